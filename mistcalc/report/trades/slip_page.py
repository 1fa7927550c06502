"""One trade's page drawn: head and days, key plan and detail, lists to tick, cautions and needs, the hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

from mistcalc.drawing import alerts, fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, HEAVY, THIN, Item, LineSegment, Sheet, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Calendar, Design
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.calendar_text import when
from mistcalc.report.common.findings_by_reader import by_level
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.upright_page import page_head
from mistcalc.report.installer.steps_and_tables import dashed
from mistcalc.report.trades.day_row import row_of_days
from mistcalc.report.trades.key_plan import LEGIBLE, datum_words, key_plans, longer_side, number_box
from mistcalc.report.trades.signing_frame import Closing, hold_frame
from mistcalc.report.trades.slip import Need, Slip, SlipList, SlipRow

FOOT = 8.0  # of a page [mm]
DETAIL = 62.0  # width of the one detail [mm]
PLANS = (72.0, 66.0, 60.0, 54.0, 48.0, 42.0, 38.0, 35.0, 32.0)  # heights of plan and detail, tried in turn
TALLER = (108.0, 96.0, 84.0, 72.0, 60.0)  # the same on two pages
BESIDE = 46.0  # width of what is said of the plan, where that stands beside it [mm]
LABEL, TICK = 9.0, 8.0  # columns of a list [mm]
WHERE = (62.0, 27.0, 34.0, 41.0, 48.0, 59.0, 69.0, 76.0, 90.0, 105.0, 120.0)  # of places, tried
NARROW_WHERE = (34.0, 24.0, 18.0, 30.0, 32.0, 44.0)  # the same where a list stands in two columns
NOTE_LINE = 4.4  # from a line of what is said of a list to the next [mm]
LEAST_WORDS = 12.0  # room that a row's words need beside its place [mm]
ROW, TIGHT = 5.4, 4.9  # least height of a row; where its place is written small [mm]
GUTTER = 6.0
AIR = (0.6, 0.2, 0.1)  # between the sentences that end a page, shares of the usual, tried in turn


def slip_sheets(design: Design, slip: Slip, paper: PaperSize, locale: Locale) -> tuple[Sheet, ...]:
    """The page; a further one where its lists are long."""
    box = paper.inside.grown(-2.0)
    room = Box(box.left + 2.0, box.bottom + FOOT, box.right - 2.0, box.top - 1.0)
    title = locale.label(f"paper_trade.{slip.name}")
    head, y = page_head(design, room, title, slip.lead, locale, 3.5)
    days, top = row_of_days(design, slip, room._replace(top=y + 2.0), locale)
    endings = [_closing(design, slip, room, air, locale) for air in AIR]
    fit = _that_fit(slip, room._replace(top=top - 3.0), endings, _heights(design, slip, room, locale))
    highs = TALLER if fit is None else fit[1:2]
    boxes: list[Item] = []
    if (
        fit is None
    ):  # on two pages what can hurt stands before the work, and the plan has room for its numbers
        boxes, top = alerts.draw(_danger(slip, locale), room._replace(top=top), caution_boxes.SMALLER)
        fit = slip.lists, TALLER[0], _closing(design, slip, room, AIR[0], locale, again=False)
        top -= 3.0
    lists, _, (closing, tall) = fit

    def pages_with(high: float) -> tuple[int, int, list[list[Item]]]:
        """How many, how many lists go on from one to the next, and the pages."""
        pictures, y = _pictures(design, slip, room._replace(top=top), high, locale)
        items, left = [*head, *days, *boxes, *pictures], list(lists)
        pages: list[list[Item]] = []
        parted = 0
        while True:
            drawn, y, left = _lists(left, room._replace(top=y))
            items += drawn
            pages.append(items)
            if not left and y - tall >= room.bottom:
                items += closing(y)
                return len(pages), parted, pages
            parted += bool(left and left[0] not in lists)
            items, y = page_head(design, room, title, slip.lead, locale)

    *_, pages = min(map(pages_with, highs), key=lambda made: made[:2])  # the tallest of those as good
    return tuple(_sheet(design, page, n, len(pages), title, paper, locale) for n, page in enumerate(pages, 1))


def _heights(design: Design, slip: Slip, room: Box, locale: Locale) -> tuple[list[float], list[float]]:
    """Of plan and detail, tallest first: those at which the plan is large enough for its numbers; others."""
    highs = [high for high in PLANS if high >= slip.least_pictures]
    if not any(row.spots for part in slip.lists for row in part.rows):
        return highs, []
    sides = [longer_side(design, _plan_room(design, slip, room, high, locale)[1]) for high in highs]
    good = [high for high, side in zip(highs, sides, strict=True) if side >= LEGIBLE] or highs[:1]
    return good, highs[len(good) :]


def _that_fit(
    slip: Slip, room: Box, endings: Sequence[tuple[Closing, float]], highs: tuple[list[float], list[float]]
) -> tuple[Sequence[SlipList], float, tuple[Closing, float]] | None:
    """Lists, height of plan and detail, and end of the page with which all is on one: lists in two columns
    and the end set closer only where it takes that; but where the plan would be small, before it is."""
    tries = [slip.lists, *([_lowest(part, room, most) for part in slip.lists] for most in (2, 3))]
    low = [replace(part, height=2.5) for part in slip.lists]
    small = [low, [_lowest(part, room, 3) for part in low]]
    fuller = [*product(endings, tries), *product(endings, small)]
    good, lower = highs
    for (end, lists), high in (*product(fuller, good), *((of, high) for high in lower for of in fuller)):
        if _fits(lists, high, room, end[1]):
            return lists, high, end
    return None


def _fits(lists: Sequence[SlipList], high: float, room: Box, end: float) -> bool:
    _, y, left = _lists(lists, room._replace(top=room.top - high))
    return not left and y - end >= room.bottom


def _lowest(part: SlipList, room: Box, most: int) -> SlipList:
    """A list in at most so many columns, as makes it lowest; in no more than it takes."""
    tries = [part, *(replace(part, columns=count) for count in range(part.columns + 1, most + 1))]
    return min(tries, key=lambda one: _depth(one, room))


def _depth(part: SlipList, room: Box) -> float:
    return room.top - _list(part, room._replace(bottom=-1e6))[1]


def _sheet(
    design: Design, items: Sequence[Item], n: int, count: int, title: str, paper: PaperSize, locale: Locale
) -> Sheet:
    box = paper.inside.grown(-2.0)
    name = locale.label("paper_trade.page", code=design.code, trade=title, number=n, count=count)
    foot = Text((box.right - 2.0, box.bottom + 1.5), name, 2.5, True, align="right")
    room = foot.start[0] - box.left - 8.0
    words = locale.label("paper_trade.old_paper")
    old = Text((box.left + 2.0, box.bottom + 1.5), fonts.fit(words, 2.5, room), 2.5)
    return Sheet(paper.width, paper.height, (*items, old, foot), title, str(n) if count > 1 else "")


# ------------------------------------------------------------------ key plan and detail


def _pictures(design: Design, slip: Slip, room: Box, high: float, locale: Locale) -> tuple[list[Item], float]:
    """Key plan on the left, the one detail on the right, each under its head."""
    bottom = room.top - high
    items, plan = _plan_room(design, slip, room, high, locale)
    items += key_plans(design, slip, plan, locale)
    if slip.detail is not None:
        items += slip.detail(Box(room.right - DETAIL, bottom + 1.0, room.right, room.top))
    items.append(LineSegment((room.left, bottom), (room.right, bottom), layer="NOTE", pen=HEAVY))
    return items, bottom - 3.0


def _plan_room(design: Design, slip: Slip, room: Box, high: float, locale: Locale) -> tuple[list[Item], Box]:
    """The plan's head and words, and its room: between them, or beside them where it is larger there."""
    bottom = room.top - high
    wide = room.width - (DETAIL + GUTTER if slip.detail is not None else 0.0)
    plan = Box(room.left, bottom, room.left + wide, room.top)
    told = Paragraph(datum_words(design, locale))
    head, note = locale.label("paper_trade.where"), locale.label("paper_trade.key_plan")
    deep = text_and_tables.depth(told, plan.width)
    between = plan._replace(top=plan.top - 5.0, bottom=bottom + 1.5 + deep)
    narrow = plan._replace(right=plan.left + BESIDE)
    beside = plan._replace(left=narrow.right + 2.0)
    tall = text_and_tables.depth(told, BESIDE) + 16.0 <= high
    if tall and longer_side(design, beside) > longer_side(design, between):
        column = [Paragraph(note), replace(told, before=3.0)]
        flowed = text_and_tables.flow_text(column, [narrow._replace(top=plan.top - 6.0, bottom=-1e6)])
        return [*_head(head, "", narrow), *flowed.items], beside
    items = _head(head, note, plan)
    flowed = text_and_tables.flow_text([told], [plan._replace(top=between.bottom, bottom=-1e6)])
    return [*items, *flowed.items], between


def _head(words: str, note: str, room: Box) -> list[Item]:
    """A head, and what is said of it beside it; what finds no room there in lines below."""
    note = " ".join(fonts.clean(note).split())  # as it is wrapped: what stands beside is not told again
    head = Text((room.left, room.top - 3.5), fonts.fit(words, 3.5, room.width, True), 3.5, True, layer="NOTE")
    x, y = head.at[0] + head.width + 3.0, room.top - 3.5
    beside = fonts.wrap(note, 2.5, room.right - x)[:1]
    below = fonts.wrap(note.removeprefix("".join(beside)).strip(), 2.5, room.width)
    lines = [(x, line) for line in beside] + [(room.left, line) for line in below if line]
    return [head, *(Text((at, y - NOTE_LINE * n), line, layer="NOTE") for n, (at, line) in enumerate(lines))]


# ------------------------------------------------------------------ lists


def _lists(lists: Sequence[SlipList], room: Box) -> tuple[list[Item], float, list[SlipList]]:
    """Lists under each other, as many rows as find room; what is left goes on."""
    items: list[Item] = []
    y = room.top
    for n, part in enumerate(lists):
        drawn, bottom, rest = _list(part, room._replace(top=y))
        items += drawn
        if rest:
            return items, y if not drawn else bottom, [replace(part, rows=rest), *lists[n + 1 :]]
        y = bottom - 2.0
    return items, y, []


def _list(part: SlipList, room: Box) -> tuple[list[Item], float, tuple[SlipRow, ...]]:
    """A list under its head, its rows in columns; nothing where not even the first row fits."""
    items = _head(part.head, part.note, room)
    y = room.top - 5.4 - NOTE_LINE * max(len(items) - 2, 0)
    items.append(LineSegment((room.left, y), (room.right, y), layer="NOTE", pen=BOLD))
    count = part.columns
    columns = text_and_tables.split(room, room.width / count, GUTTER) if count > 1 else [room]
    half = -(-len(part.rows) // count)
    pairs = [part.rows[index::half] for index in range(half)]
    most = columns[0].width - LABEL - TICK - LEAST_WORDS
    high = part.height
    own = [fonts.width(row.where, high, True) + 1.2 for row in part.rows if row.words]
    tries = [wide for wide in (*(NARROW_WHERE if count > 1 else WHERE), *own) if wide <= most]

    def cost(wide: float) -> float:
        """How low it goes, and a little for each place that is then written small or broken [mm]."""
        deep = sum(y - _side_by_side(pair, columns, y, wide, high)[1] for pair in pairs)
        return deep + sum(wide < need - 0.2 for need in own)

    where = min(tries, key=cost)
    for index, pair in enumerate(pairs):
        drawn, low = _side_by_side(pair, columns, y, where, high)
        if low < room.bottom:
            rest = [row for c in range(count) for row in part.rows[c * half + index : (c + 1) * half]]
            return (items if index else []), y, tuple(rest)
        items += drawn
        y = low
    return items, y, ()


def _side_by_side(
    rows: Sequence[SlipRow], columns: Sequence[Box], top: float, where: float, high: float
) -> tuple[list[Item], float]:
    drawn = [
        _row(row, column._replace(top=top), where, high) for column, row in zip(columns, rows, strict=False)
    ]
    return [item for items, _ in drawn for item in items], min(low for _, low in drawn)


def _row(row: SlipRow, room: Box, where: float, high: float) -> tuple[list[Item], float]:
    """Label, place in bold, words, a box to tick; a rule below. A long label is told with its place, which
    is written smaller rather than broken."""
    if not row.spots and fonts.width(row.label, 3.5, True) > LABEL - 2.0:
        row = replace(row, label="", where=f"{row.label}: {row.where}")
    left = room.left + LABEL
    where = where if row.words else room.width - LABEL - TICK
    least = ROW if high > 2.5 else TIGHT
    inner = room._replace(bottom=-1e6, top=room.top - 0.2 * least)
    sizes = [size for size in (high, 3.0, 2.5) if fonts.width(row.where, size, True) <= where - 1.0]
    place = text_and_tables.flow_text(
        [Paragraph(row.where, sizes[0] if sizes else high, bold=True)],
        [inner._replace(left=left, right=left + where - 1.0)],
    )
    told = text_and_tables.flow_text(
        [Paragraph(row.words)],
        [inner._replace(left=left + where, right=room.right - TICK, top=inner.top - 0.8 * (high - 2.5))],
    )
    bottom = min(place.bottom, told.bottom if row.words else room.top, room.top - least + 1.0) - 1.0
    items = [*place.items, *(told.items if row.words else [])]
    middle = room.top - least / 2
    if row.spots:
        items += number_box((room.left + 3.4, middle), row.label)
    else:
        items.append(Text((room.left + 1.0, middle - 1.75), row.label, 3.5, True, layer="NOTE"))
    items += symbols.tick_box((room.right - 3.0, middle), least - 1.0)
    items.append(LineSegment((room.left, bottom), (room.right, bottom), layer="NOTE", pen=THIN))
    return items, bottom


# ------------------------------------------------------------------ cautions, needs, hold


def _closing(
    design: Design, slip: Slip, room: Box, air: float, locale: Locale, again: bool = True
) -> tuple[Closing, float]:
    """What ends a page: a function that draws it from a height down, and how tall it is. air: share
    of the usual space between sentences. again: with the cautions, which a page before has not told."""
    columns = text_and_tables.split(room._replace(bottom=room.top - 200.0), room.width / 2, GUTTER)
    boxes = _danger(slip, locale) if again else []
    told = [p for box in boxes for p in (alerts.head(box.word, 3.5), *box.told)]
    told += [*_care(slip, locale), *_needs(design.calendar, slip, locale)]
    words = [replace(paragraph, before=air * paragraph.before) for paragraph in told]
    flowed = text_and_tables.level(words, columns)
    hold, tall = hold_frame(slip, room)

    def draw(y: float) -> list[Item]:
        moved = [column._replace(top=y, bottom=y - (column.top - flowed.bottom)) for column in columns]
        return text_and_tables.flow_text(words, moved).items + hold(room.bottom)

    return draw, columns[0].top - flowed.bottom + tall + 3.0


def _danger(slip: Slip, locale: Locale) -> list[alerts.Alert]:
    """Cautions under the graver word."""
    graded = by_level(slip.cautions)
    told = dashed([caution_boxes.short(c, locale) for _, of in graded for c in of])
    return [alerts.Alert(locale.label(f"level.{graded[0][0]}"), tuple(told))] if graded else []


def _care(slip: Slip, locale: Locale) -> list[Paragraph]:
    """What this trade alone minds."""
    head = text_and_tables.heading(locale.label("paper_trade.mind"), rule=False)
    return [head, *dashed(slip.mind), Paragraph(locale.label("paper.codes_decide"), bold=True)]


def _needs(calendar: Calendar | None, slip: Slip, locale: Locale) -> list[Paragraph]:
    head = text_and_tables.heading(locale.label("paper_trade.needs"), rule=False)
    return [head, *dashed([_by(need, calendar, locale) for need in slip.needs])]


def _by(need: Need, calendar: Calendar | None, locale: Locale) -> str:
    step = calendar.step(need.step) if calendar is not None else None
    if calendar is None or step is None:
        return need.words
    day = when(calendar, step.last, locale).replace(" ", "\N{NO-BREAK SPACE}")
    return locale.label("paper_trade.by", what=need.words, day=day)
