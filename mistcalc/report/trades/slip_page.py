"""One trade's page drawn: head and days, key plan and detail, lists to tick, cautions and needs, the hold."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from mistcalc.drawing import alerts, fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, HEAVY, MEDIUM, THIN, Item, LineSegment, Polyline, Sheet, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Calendar, CalendarStep, Design
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.calendar_text import day_text, when
from mistcalc.report.common.findings_by_reader import by_level
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.upright_page import page_head
from mistcalc.report.installer.steps_and_tables import dashed
from mistcalc.report.trades.key_plan import datum_words, key_plans, number_box
from mistcalc.report.trades.slip import Need, Slip, SlipList, SlipRow

FOOT = 8.0  # of a page [mm]
DETAIL = 62.0  # width of the one detail [mm]
PLANS = (72.0, 66.0, 60.0, 54.0, 48.0, 42.0, 38.0)  # heights of plan and detail, tried in turn
LABEL, TICK = 9.0, 8.0  # columns of a list [mm]
WHERE = (62.0, 27.0, 34.0, 41.0, 48.0, 59.0, 69.0, 76.0, 90.0)  # of places: what makes a list lowest [mm]
NARROW_WHERE = (34.0, 24.0, 32.0, 44.0)  # the same where a list stands in two columns
ROW = 5.4  # least height of a row [mm]
GUTTER = 6.0
AIR = (0.6, 0.2)  # between the sentences that end a page, shares of the usual, tried in turn
DAYS = 12.4  # height of the row of days [mm]
MOST_DAYS = 6
SIGN = 6.5  # from one line to sign on to the next [mm]
SIGNED_FOR, MOST_SIGNED_FOR = 76.0, 91.0  # room for what is signed for, all lines alike [mm]
Closing = Callable[[float], list[Item]]  # draws what ends a page, from a height down


def slip_sheets(design: Design, slip: Slip, paper: PaperSize, locale: Locale) -> tuple[Sheet, ...]:
    """The page; a further one where its lists are long."""
    box = paper.inside.grown(-2.0)
    room = Box(box.left + 2.0, box.bottom + FOOT, box.right - 2.0, box.top - 1.0)
    title = locale.label(f"paper_trade.{slip.name}")
    head, y = page_head(design, room, title, slip.lead, locale, 3.5)
    days, top = _days(design, slip, room._replace(top=y + 2.0), locale)
    endings = [_closing(design, slip, room, air, locale) for air in AIR]
    lists, high, (closing, tall) = _that_fit(slip, room._replace(top=top - 3.0), endings)
    pictures, y = _pictures(design, slip, room._replace(top=top), high, locale)
    items, left = [*head, *days, *pictures], list(lists)
    pages: list[list[Item]] = []
    while True:
        drawn, y, left = _lists(left, room._replace(top=y))
        items += drawn
        pages.append(items)
        if not left and y - tall >= room.bottom:
            items += closing(y)
            break
        items, y = page_head(design, room, title, slip.lead, locale)
    return tuple(_sheet(design, page, n, len(pages), title, paper, locale) for n, page in enumerate(pages, 1))


def _that_fit(
    slip: Slip, room: Box, endings: Sequence[tuple[Closing, float]]
) -> tuple[Sequence[SlipList], float, tuple[Closing, float]]:
    """Lists, height of plan and detail, and end of the page with which all is on one: lists in two columns
    and the end set closer only where it takes that. On two pages, what leaves the end alone on the second."""
    shallow = [
        part if _depth(part, room) <= _depth(_narrow(part), room) else _narrow(part) for part in slip.lists
    ]
    for end in endings:
        for lists in (slip.lists, shallow):
            high = next((high for high in PLANS if _fits(lists, high, room, end[1])), None)
            if high is not None:
                return lists, high, end
    high = next((high for high in PLANS if _fits(slip.lists, high, room, 0.0)), PLANS[-1])
    return slip.lists, high, endings[0]


def _fits(lists: Sequence[SlipList], high: float, room: Box, end: float) -> bool:
    _, y, left = _lists(lists, room._replace(top=room.top - high))
    return not left and y - end >= room.bottom


def _narrow(part: SlipList) -> SlipList:
    return replace(part, narrow=True)


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


# ------------------------------------------------------------------ days


def _days(design: Design, slip: Slip, room: Box, locale: Locale) -> tuple[list[Item], float]:
    """When this trade comes, a cell a day, lines to write on where the project states none; a rule below."""
    cells = _cells(design.calendar, slip, locale)
    wide = room.width / len(cells)
    bottom = room.top - DAYS
    items: list[Item] = [LineSegment((room.left, bottom), (room.right, bottom), layer="NOTE", pen=MEDIUM)]
    for n, (head, days) in enumerate(cells):
        x, fits = room.left + n * wide + (0.0 if n == 0 else 1.8), wide - 2.8
        items.append(Text((x, room.top - 4.6), fonts.fit(head, 2.5, fits, True), 2.5, True, layer="NOTE"))
        tries = [(day, size) for day in days for size in (3.5, 2.5)]
        day, size = next((t for t in tries if fonts.width(t[0], t[1], True) <= fits), tries[-1])
        if day:
            day = fonts.fit(day, size, fits, True)
            items.append(Text((x, room.top - 10.6), day, size, True, layer="NOTE"))
        else:
            ends = ((x, room.top - 10.8), (x + fits - 4.0, room.top - 10.8))
            items.append(LineSegment(*ends, layer="NOTE", pen=THIN))
        if n:
            edge = room.left + n * wide
            items.append(LineSegment((edge, room.top), (edge, bottom), layer="NOTE", pen=THIN))
    return items, bottom - 3.0


def _cells(calendar: Calendar | None, slip: Slip, locale: Locale) -> list[tuple[str, tuple[str, ...]]]:
    """Head and day of each cell, the day as long as finds room: first, last and who is next; or each of
    several steps."""
    label = locale.label
    first, last, after = (label(f"paper_trade.{key}") for key in ("first", "last", "next"))
    own = [] if calendar is None else [s for s in calendar.steps if s.trade in slip.trades and s.days]
    if calendar is None or not own:
        return [(first, ("",)), (last, ("",)), (after, ("",))]
    if len(own) > 1:
        shown = own if len(own) <= MOST_DAYS else own[: MOST_DAYS - 1]
        cells = [(label("paper_trade.step", step=step.name), _span(calendar, step, locale)) for step in shown]
        more = len(own) - len(shown)
        return [*cells, ("", (label("paper_trade.more", count=more),))] if more else cells
    step = own[0]
    cells = [(first, (when(calendar, step.first, locale),)), (last, (when(calendar, step.last, locale),))]
    later = [s for s in calendar.steps if s.first > step.last and s.days and s.trade not in slip.trades]
    if later:
        text = label("paper_trade.who", trade=later[0].trade, day=when(calendar, later[0].first, locale))
        cells.append((after, (text,)))
    return cells


def _span(calendar: Calendar, step: CalendarStep, locale: Locale) -> tuple[str, ...]:
    first, last = when(calendar, step.first, locale), when(calendar, step.last, locale)
    if first == last:
        return (first,)
    texts = [locale.label("paper_trade.days", first=first, last=last)]
    if calendar.dated:
        ends = (day_text(day, locale, weekday=False) for day in (step.first, step.last))
        texts.append(locale.label("paper_trade.days", **dict(zip(("first", "last"), ends, strict=True))))
    return tuple(texts)


# ------------------------------------------------------------------ key plan and detail


def _pictures(design: Design, slip: Slip, room: Box, high: float, locale: Locale) -> tuple[list[Item], float]:
    """Key plan on the left, the one detail on the right, each under its head."""
    bottom = room.top - high
    wide = room.width - (DETAIL + GUTTER if slip.detail is not None else 0.0)
    plan = Box(room.left, bottom, room.left + wide, room.top)
    items = _head(locale.label("paper_trade.where"), locale.label("paper_trade.key_plan"), plan)
    words = text_and_tables.flow_text([Paragraph(datum_words(design, locale))], [plan._replace(bottom=-1e6)])
    low = bottom + 1.5 + plan.top - words.bottom
    items += key_plans(design, slip, plan._replace(top=plan.top - 5.0, bottom=low), locale)
    below = plan._replace(top=low, bottom=-1e6)
    items += text_and_tables.flow_text([Paragraph(datum_words(design, locale))], [below]).items
    if slip.detail is not None:
        items += slip.detail(Box(room.right - DETAIL, bottom + 1.0, room.right, room.top))
    items.append(LineSegment((room.left, bottom), (room.right, bottom), layer="NOTE", pen=HEAVY))
    return items, bottom - 3.0


def _head(words: str, note: str, room: Box) -> list[Item]:
    head = Text((room.left, room.top - 3.5), fonts.fit(words, 3.5, room.width, True), 3.5, True, layer="NOTE")
    x = head.at[0] + head.width + 3.0
    return [head, Text((x, room.top - 3.5), fonts.fit(note, 2.5, room.right - x), layer="NOTE")]


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
        y = bottom - 2.6
    return items, y, []


def _list(part: SlipList, room: Box) -> tuple[list[Item], float, tuple[SlipRow, ...]]:
    """A list under its head, its rows in one column or two; nothing where not even the first row fits."""
    items = _head(part.head, part.note, room)
    y = room.top - 5.4
    items.append(LineSegment((room.left, y), (room.right, y), layer="NOTE", pen=BOLD))
    count = 2 if part.narrow else 1
    columns = text_and_tables.split(room, room.width / count, GUTTER) if part.narrow else [room]
    half = -(-len(part.rows) // count)
    pairs = [part.rows[index::half] for index in range(half)]
    tries = NARROW_WHERE if part.narrow else WHERE
    where = min(tries, key=lambda wide: sum(y - _side_by_side(pair, columns, y, wide)[1] for pair in pairs))
    for index, pair in enumerate(pairs):
        drawn, low = _side_by_side(pair, columns, y, where)
        if low < room.bottom:
            rest = [row for c in range(count) for row in part.rows[c * half + index : (c + 1) * half]]
            return (items if index else []), y, tuple(rest)
        items += drawn
        y = low
    return items, y, ()


def _side_by_side(
    rows: Sequence[SlipRow], columns: Sequence[Box], top: float, where: float
) -> tuple[list[Item], float]:
    drawn = [_row(row, column._replace(top=top), where) for column, row in zip(columns, rows, strict=False)]
    return [item for items, _ in drawn for item in items], min(low for _, low in drawn)


def _row(row: SlipRow, room: Box, where: float) -> tuple[list[Item], float]:
    """Label, place in 3.5 bold, words, a box to tick; a rule below. A long label is told with its place."""
    if not row.spots and fonts.width(row.label, 3.5, True) > LABEL - 2.0:
        row = replace(row, label="", where=f"{row.label}: {row.where}")
    left = room.left + LABEL
    where = where if row.words else room.width - LABEL - TICK
    inner = room._replace(bottom=-1e6, top=room.top - 1.1)
    place = text_and_tables.flow_text(
        [Paragraph(row.where, 3.5, bold=True)], [inner._replace(left=left, right=left + where - 1.0)]
    )
    told = text_and_tables.flow_text(
        [Paragraph(row.words)],
        [inner._replace(left=left + where, right=room.right - TICK, top=inner.top - 0.8)],
    )
    bottom = min(place.bottom, told.bottom if row.words else room.top, room.top - ROW + 1.0) - 1.0
    items = [*place.items, *(told.items if row.words else [])]
    middle = room.top - ROW / 2
    if row.spots:
        items += number_box((room.left + 3.4, middle), row.label)
    else:
        items.append(Text((room.left + 1.0, middle - 1.75), row.label, 3.5, True, layer="NOTE"))
    items += symbols.tick_box((room.right - 3.0, middle), 4.4)
    items.append(LineSegment((room.left, bottom), (room.right, bottom), layer="NOTE", pen=THIN))
    return items, bottom


# ------------------------------------------------------------------ cautions, needs, hold


def _closing(design: Design, slip: Slip, room: Box, air: float, locale: Locale) -> tuple[Closing, float]:
    """What ends a page: a function that draws it from a height down, and how tall it is. air: share
    of the usual space between sentences."""
    columns = text_and_tables.split(room._replace(bottom=room.top - 200.0), room.width / 2, GUTTER)
    told = [*_care(slip, locale), *_needs(design.calendar, slip, locale)]
    words = [replace(paragraph, before=air * paragraph.before) for paragraph in told]
    flowed = text_and_tables.level(words, columns)
    hold, tall = _hold(slip, room, locale)

    def draw(y: float) -> list[Item]:
        moved = [column._replace(top=y, bottom=y - (column.top - flowed.bottom)) for column in columns]
        return text_and_tables.flow_text(words, moved).items + hold(room.bottom)

    return draw, columns[0].top - flowed.bottom + tall + 3.0


def _care(slip: Slip, locale: Locale) -> list[Paragraph]:
    """Cautions under the graver word, then what this trade alone minds."""
    graded = by_level(slip.cautions)
    paragraphs = [alerts.head(locale.label(f"level.{graded[0][0]}"), 3.5)] if graded else []
    paragraphs += dashed([caution_boxes.short(c, locale) for _, of in graded for c in of])
    paragraphs.append(text_and_tables.heading(locale.label("paper_trade.mind"), rule=False))
    return [*paragraphs, *dashed(slip.mind), Paragraph(locale.label("paper.codes_decide"), bold=True)]


def _needs(calendar: Calendar | None, slip: Slip, locale: Locale) -> list[Paragraph]:
    head = text_and_tables.heading(locale.label("paper_trade.needs"), rule=False)
    return [head, *dashed([_by(need, calendar, locale) for need in slip.needs])]


def _by(need: Need, calendar: Calendar | None, locale: Locale) -> str:
    step = calendar.step(need.step) if calendar is not None else None
    if calendar is None or step is None:
        return need.words
    return locale.label("paper_trade.by", what=need.words, day=when(calendar, step.last, locale))


def _hold(slip: Slip, room: Box, locale: Locale) -> tuple[Closing, float]:
    """The frame at the foot, drawn up from a height, and how tall it is."""
    inner = Box(room.left + 3.5, -1e6, room.right - 3.5, 0.0)
    words = [Paragraph(slip.hold, 3.5, bold=True, before=0.0), Paragraph(slip.hold_words)]
    words = [paragraph for paragraph in words if paragraph.text]
    deep = -text_and_tables.flow_text(words, [inner]).bottom
    tall = 3.0 + deep + 2.6 + SIGN * len(slip.signing)
    longest = max((fonts.width(what, 2.5, True) + 3.0 for what, _ in slip.signing if what), default=0.0)
    named = min(max(longest, SIGNED_FOR), MOST_SIGNED_FOR) if longest else 0.0

    def draw(bottom: float) -> list[Item]:
        top = bottom + tall
        items = [*text_and_tables.flow_text(words, [inner._replace(top=top - 3.0)]).items]
        for n, (what, blanks) in enumerate(reversed(slip.signing)):
            items += _to_sign(what, blanks, inner._replace(bottom=bottom + 3.0 + SIGN * n), named)
        corners = Box(room.left, bottom, room.right, top).corners
        return [*items, Polyline(corners, True, layer="NOTE", pen=HEAVY)]

    return draw, tall


def _to_sign(what: str, blanks: Sequence[str], room: Box, named: float) -> list[Item]:
    """What is signed for, then blanks with their names, in one line at the foot of a room. named: room for
    what is signed for."""
    left, y = room.left + named, room.bottom
    items: list[Item] = []
    if what:
        fitted = fonts.fit(what, 2.5, named - 3.0, True)
        items.append(Text((room.left, y), fitted, 2.5, True, layer="NOTE"))
    longest = (room.right - left) / len(blanks) - 8.0
    names = [fonts.fit(name, 2.5, max(longest, 14.0)) for name in blanks]
    line = (room.right - left - sum(fonts.width(name, 2.5) for name in names)) / len(names)
    x = left
    for name in names:
        text = Text((x, y), name, layer="NOTE")
        end = x + text.width + line
        items += [
            text,
            LineSegment((x + text.width + 1.2, y - 0.7), (end - 2.5, y - 0.7), layer="NOTE", pen=THIN),
        ]
        x = end
    return items
