"""The row of a trade's page that says when: a cell a day."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from mistcalc.drawing import fonts
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import MEDIUM, THIN, Item, LineSegment, Text
from mistcalc.model.results import Calendar, CalendarStep, Design
from mistcalc.report.common.calendar_text import day_text, when
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.slip import Slip

DAYS, CELL_PAD = 12.4, 2.8  # height of the row; beside what stands in one of its cells [mm]
MOST_DAYS = 6


def row_of_days(design: Design, slip: Slip, room: Box, locale: Locale) -> tuple[list[Item], float]:
    """When this trade comes, a cell a day, lines to write on where the project states none; a rule below."""
    cells = _cells(design.calendar, slip, locale)
    shown, size, wides = _set_days(cells, room.width)
    bottom, edge = room.top - DAYS, room.left
    items: list[Item] = [LineSegment((room.left, bottom), (room.right, bottom), layer="NOTE", pen=MEDIUM)]
    for n, ((head, _), day, wide) in enumerate(zip(cells, shown, wides, strict=True)):
        x, fits = edge + (1.8 if n else 0.0), wide - CELL_PAD
        items.append(Text((x, room.top - 4.6), fonts.fit(head, 2.5, fits, True), 2.5, True, layer="NOTE"))
        if day:
            day = fonts.fit(day, size, fits, True)
            items.append(Text((x, room.top - 10.6), day, size, True, layer="NOTE"))
        else:
            ends = ((x, room.top - 10.8), (x + fits - 4.0, room.top - 10.8))
            items.append(LineSegment(*ends, layer="NOTE", pen=THIN))
        if n:
            items.append(LineSegment((edge, room.top), (edge, bottom), layer="NOTE", pen=THIN))
        edge += wide
    return items, bottom - 3.0


def _set_days(
    cells: Sequence[tuple[str, tuple[str, ...]]], room: float
) -> tuple[list[str], float, list[float]]:
    """The days as they are shown, all of one height; how wide their cells are, alike where that will do."""
    for size, which in product((3.5, 2.5), (0, -1)):
        shown = [days[which] for _, days in cells]
        needs = [
            CELL_PAD + max(fonts.width(head, 2.5, True), fonts.width(day, size, True))
            for (head, _), day in zip(cells, shown, strict=True)
        ]
        spare = (room - sum(needs)) / len(cells)
        if max(needs) <= room / len(cells):
            break
        if spare >= 0.0:
            return shown, size, [need + spare for need in needs]
    return shown, size, [room / len(cells)] * len(cells)


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
