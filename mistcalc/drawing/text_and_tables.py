"""Writing that fills a space: paragraphs flowing through columns, and tables with rules. Millimetres, y up.

What does not fit is never dropped in silence: it is handed back, so the caller can put it on a further
sheet or say how much is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise
from typing import NamedTuple

from mistcalc.drawing import fonts
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.sheet import FINE, HEAVY, MEDIUM, Item, LineSegment, Text

Sign = Callable[[Point], Sequence[Item]]  # draws something whose middle is at a point


@dataclass(frozen=True)
class Paragraph:
    """Some writing: `height` of its capitals, an indent holding a sign or number, space `before` it.

    `rule` draws a line under it (a heading); `keep`: so many of those under it stay with it, but one in the
    last column; `whole`: what stands under it belongs on one sheet.
    """

    text: str
    height: float = 2.5
    bold: bool = False
    sign: str | Sign | None = None
    indent: float = 0.0
    before: float = 1.2
    rule: bool = False
    keep: int = 0
    whole: bool = False


def heading(text: str, height: float = 3.5, rule: bool = True, keep: int = 1) -> Paragraph:
    """A bold head, kept with what follows."""
    return Paragraph(text, height, bold=True, before=3.0, rule=rule, keep=keep)


LARGER = {2.5: 3.5, 3.5: 5.0}  # writing, and the next larger [mm]


def larger(paragraphs: Iterable[Paragraph]) -> tuple[Paragraph, ...]:
    """The same in the next larger writing, for a page with room to be read from farther off."""
    return tuple(
        replace(p, height=LARGER.get(p.height, p.height), indent=1.4 * p.indent, before=1.4 * p.before)
        for p in paragraphs
    )


class Flowed(NamedTuple):
    """What was drawn, how low it reaches in the last column used, and the paragraphs that found no room."""

    items: list[Item]
    bottom: float
    left_over: tuple[Paragraph, ...]


def flow_text(paragraphs: Sequence[Paragraph], columns: Sequence[Box], layer: str = "NOTE") -> Flowed:
    """Set paragraphs into columns, filling each before the next; a paragraph is never split."""
    items: list[Item] = []
    column, y = 0, columns[0].top
    for index, paragraph in enumerate(paragraphs):
        while True:
            box = columns[column]
            before = 0.0 if y == box.top else paragraph.before
            drawn, bottom = set_paragraph(paragraph, (box.left, y - before), box.width, layer)
            needed = bottom - _following(paragraphs, index, box.width, len(columns) - column)
            if needed >= box.bottom - 1e-6:
                items += drawn
                y = bottom
                break
            column += 1
            if column == len(columns):
                return Flowed(items, y, tuple(paragraphs[index:]))
            y = columns[column].top
    return Flowed(items, y, ())


def under_head(left: tuple[Paragraph, ...], whole: Sequence[Paragraph]) -> tuple[Paragraph, ...]:
    """What is left of some writing, under the head it stood under."""
    if not left or left[0].keep:
        return left
    return (*[p for p in whole[: len(whole) - len(left)] if p.keep][-1:], *left)


def level(paragraphs: Sequence[Paragraph], columns: Sequence[Box], layer: str = "NOTE") -> Flowed:
    """Set into columns of one height, no lower than it takes: the shallowest that hold all."""
    deep = sum(p.before + depth(p, columns[0].width) for p in paragraphs) / len(columns)
    bottom = columns[0].top - 0.8 * deep
    while bottom > columns[0].bottom:
        bottom = max(columns[0].bottom, bottom - 1.0)
        flowed = flow_text(paragraphs, [column._replace(bottom=bottom) for column in columns], layer)
        if not flowed.left_over:
            return flowed._replace(bottom=bottom)
    return flow_text(paragraphs, columns, layer)


def split(box: Box, wide: float, gutter: float) -> list[Box]:
    """A box in columns of about `wide`."""
    count = max(1, round((box.width + gutter) / (wide + gutter)))
    each = (box.width - gutter * (count - 1)) / count
    lefts = [box.left + n * (each + gutter) for n in range(count)]
    return [box._replace(left=left, right=left + each) for left in lefts]


def _following(paragraphs: Sequence[Paragraph], index: int, width: float, most: int) -> float:
    """Height a heading must find below itself: what it keeps, `most` at most, and heads between."""
    deep, found = 0.0, 0
    for p in paragraphs[index + 1 :]:
        if found == min(paragraphs[index].keep, most) or (found and p.keep):
            break
        deep += p.before + depth(p, width)
        found += not p.keep
    return deep


def depth(paragraph: Paragraph, width: float) -> float:
    """Height of a paragraph set to a width, without the space before it."""
    lines = fonts.wrap(paragraph.text, paragraph.height, width - paragraph.indent, paragraph.bold)
    deep = max(len(lines), 1) * fonts.LEAD * paragraph.height - (fonts.LEAD - 1.3) * paragraph.height
    return deep + (1.2 if paragraph.rule else 0.0)


def set_paragraph(
    paragraph: Paragraph, top_left: Point, width: float, layer: str = "NOTE"
) -> tuple[list[Item], float]:
    """The paragraph from its top left corner down, and the y of its lower edge."""
    x, top = top_left
    h = paragraph.height
    items: list[Item] = []
    lines = fonts.wrap(paragraph.text, h, width - paragraph.indent, paragraph.bold)
    for index, line in enumerate(lines):
        at = (x + paragraph.indent, top - h - index * fonts.LEAD * h)
        items.append(Text(at, line, h, paragraph.bold, layer=layer))
    if isinstance(paragraph.sign, str):
        items.append(Text((x, top - h), paragraph.sign, h, True, layer=layer))
    elif paragraph.sign is not None:
        items += paragraph.sign((x + 0.4 * paragraph.indent, top - h / 2))
    bottom = top - depth(paragraph, width)
    if paragraph.rule:
        items.append(LineSegment((x, bottom), (x + width, bottom), layer=layer, pen=MEDIUM))
    return items, bottom


@dataclass(frozen=True)
class TableColumn:
    """One column of a table: width [mm], head, alignment, lettering; `heavy`: a 0.7 rule on its left."""

    width: float
    head: str = ""
    align: str = "left"
    height: float = 2.5
    bold: bool = False
    heavy: bool = False


@dataclass(frozen=True)
class Cell:
    """Writing of one cell, one line or more, after a sign (a tick box, a triangle) that takes `room` mm."""

    text: str = ""
    sign: Sign | None = None
    room: float = 0.0


@dataclass(frozen=True)
class Row:
    """A row of cells; or, with `span`, one line across the table: a bold head and words after it."""

    cells: tuple[str | Cell, ...] = ()
    span: str = ""
    words: str = ""


class DrawnTable(NamedTuple):
    """What was drawn, how many rows it took, the y of its lower edge."""

    items: list[Item]
    rows: int
    bottom: float


SPAN = 5.2  # least height of a line across: with less, the rules strike its head [mm]
_PAD, _OVER = 1.6, 0.8  # beside writing; what of it writing may take [mm]


def table(
    columns: Sequence[TableColumn], rows: Sequence[Row], top_left: Point, bottom: float, row: float = 7.0
) -> DrawnTable:
    """A ruled table from its top left corner, down to `bottom` at most; a heavier rule after each fifth row.
    row: height of the head and of a row of one line.

    Call again with rows[drawn.rows:] on the next sheet. A span is never left last on a sheet.
    """
    left, top = top_left
    right = left + sum(column.width for column in columns)
    head = Row(tuple(column.head for column in columns))
    over = row_depth(head, row)
    lows = list(accumulate((row_depth(each, row) for each in rows), initial=over))[1:]
    taken = [each for each, low in zip(rows, lows, strict=True) if low <= top - bottom + 1e-6]
    while taken and len(taken) < len(rows) and taken[-1].span:
        taken.pop()
    items: list[Item] = []
    plain = [replace(column, bold=True, height=2.5) for column in columns]
    items += _cells(plain, head, left, top, over)
    y = top - over
    items.append(LineSegment((left, y), (right, y), pen=HEAVY._replace(width=0.5)))
    stretches = [top]  # between them stand the upright rules, which a span interrupts
    since_span = 0
    for each in taken:
        since_span = 0 if each.span else since_span + 1
        deep = row_depth(each, row)
        if each.span:
            stretches += [y, y - deep]
            items += _span(each, left, y, deep, right)
        else:
            items += _cells(columns, each, left, y, deep)
        y -= deep
        items.append(LineSegment((left, y), (right, y), pen=FINE if since_span % 5 else MEDIUM))
    stretches.append(y)
    items += _uprights(columns, left, stretches)
    corners = ((left, top), (right, top), (right, y), (left, y), (left, top))
    items += [LineSegment(a, b, pen=HEAVY._replace(width=0.5)) for a, b in pairwise(corners)]
    return DrawnTable(items, len(taken), y)


def fitted(columns: Sequence[TableColumn], rows: Sequence[Row], room: float) -> list[TableColumn]:
    """The columns no wider than the room together, where their writing allows: each gives of what it can
    spare. A head may take two lines, a blank to write in gives a third."""
    over = sum(column.width for column in columns) - room
    if over <= 0.0:
        return list(columns)
    needs = []
    for n, column in enumerate(columns):
        cells = [
            cell if isinstance(cell, Cell) else Cell(cell) for row in rows for cell in row.cells[n : n + 1]
        ]
        wide = [
            fonts.width(fonts.clean(c.text), column.height, column.bold) + c.room for c in cells if c.text
        ]
        blank = not wide and not any(cell.sign for cell in cells)
        least = max(head_width(line) for line in _two_lines(column.head))
        needs.append(max(least, *(w + 2 * _PAD for w in wide), column.width * 2 / 3 if blank else 0.0))
    spare = [max(0.0, column.width - need) for column, need in zip(columns, needs, strict=True)]
    share = min(1.0, over / max(sum(spare), 1e-9))
    out = []
    for column, one in zip(columns, spare, strict=True):
        width = column.width - share * one
        head = column.head if head_width(column.head) <= width + 1e-6 else "\n".join(_two_lines(column.head))
        out.append(replace(column, width=width, head=head))
    return out


def _two_lines(head: str) -> list[str]:
    """A head parted between two words, where that makes it narrowest."""
    words = head.split(" ")
    parted = [[" ".join(words[:n]), " ".join(words[n:])] for n in range(1, len(words))]
    return min(parted or [[head]], key=lambda lines: max(map(head_width, lines)))


def beside_title(title: Text, lead: str, right: float) -> list[Text]:
    """What a sheet's title is followed by on its line, up to `right`; in two lines where one has no room."""
    x, y = title.at[0] + title.width + 8.0, title.at[1]
    lines = fonts.wrap(lead, 2.5, right - x)
    lows = (y,) if len(lines) < 2 else (y + 2.4, y - 1.2)
    shown = lines if len(lines) <= len(lows) else [lines[0], fonts.fit(" ".join(lines[1:]), 2.5, right - x)]
    return [Text((x, low), line, layer="NOTE") for low, line in zip(lows, shown, strict=False)]


def head_width(head: str) -> float:
    """The least width [mm] of a column that shows all of its head."""
    return fonts.width(fonts.clean(head), 2.5, True) + 2 * _PAD


def in_lines(text: str, column: TableColumn) -> str:
    """Writing in as many lines as it takes in a column."""
    room = column.width - 2 * _PAD + _OVER
    return "\n".join(fonts.wrap(text, column.height, room, column.bold))


def span_in_lines(row: Row, width: float) -> Row:
    """A line across a table so wide, its words in as many lines as they take."""
    return replace(row, words="\n".join(fonts.wrap(row.words, 2.5, width - _beside_head(row, width) - _PAD)))


def _beside_head(row: Row, width: float) -> float:
    """From a table's left edge to the words of a line across it."""
    return 2 * _PAD + fonts.width(fonts.fit(row.span, 3.5, 0.4 * width, True), 3.5, True) + 1.5


def row_depth(row: Row, least: float) -> float:
    """Height of a row whose cells, or words across it, may have several lines; across, the head is larger."""
    texts = [row.words, *(cell if isinstance(cell, str) else cell.text for cell in row.cells)]
    one = max(least, SPAN) if row.span else least
    return one + fonts.LEAD * 2.5 * max((text.count("\n") for text in texts), default=0)


def _uprights(columns: Sequence[TableColumn], left: float, stretches: Sequence[float]) -> list[Item]:
    items: list[Item] = []
    for high, low in zip(stretches[::2], stretches[1::2], strict=True):
        x = left
        for before, column in pairwise(columns):
            x += before.width
            if high > low:
                items.append(LineSegment((x, high), (x, low), pen=HEAVY if column.heavy else FINE))
    return items


def _span(row: Row, left: float, top: float, deep: float, right: float) -> list[Item]:
    lines, step = row.words.split("\n"), fonts.LEAD * 2.5
    base = top - (deep - step * (len(lines) - 1)) / 2 - 1.6
    head = Text((left + _PAD, base), fonts.fit(row.span, 3.5, 0.4 * (right - left), True), 3.5, True)
    x = left + _beside_head(row, right - left)
    told = [fonts.fit(words, 2.5, right - _PAD + _OVER - x) for words in lines]
    return [head, *(Text((x, base - step * n), words, 2.5) for n, words in enumerate(told))]


def _cells(columns: Sequence[TableColumn], row: Row, left: float, top: float, deep: float) -> list[Item]:
    items: list[Item] = []
    x = left
    for column, content in zip(columns, row.cells, strict=True):
        cell = Cell(content) if isinstance(content, str) else content
        middle = top - deep / 2
        if cell.sign is not None:
            width = column.width if not cell.text else cell.room + _PAD
            items += cell.sign((x + width / 2, middle))
        lines = cell.text.split("\n")
        for n, words in enumerate(lines):
            if words:
                at = middle + ((len(lines) - 1) / 2 - n) * fonts.LEAD * column.height
                items.append(_set_cell(column, replace(cell, text=words), x, at))
        x += column.width
    return items


def _set_cell(column: TableColumn, cell: Cell, x: float, middle: float) -> Text:
    start = x + _PAD + cell.room
    words = fonts.fit(cell.text, column.height, x + column.width - _PAD - start + _OVER, column.bold)
    at = {
        "left": start,
        "middle": (start + x + column.width - _PAD) / 2,
        "right": x + column.width - _PAD,
    }[column.align]
    return Text((at, middle - column.height / 2), words, column.height, column.bold, align=column.align)
