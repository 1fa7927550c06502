"""The owner's page of the sun: where it reaches hour by hour, when it is on which seat, what keeps it off."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mistcalc.drawing import text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, Item, LineSegment, Pen, Text
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.model.results import Design, PatioSun, SunMap
from mistcalc.report.common.findings_by_reader import about_sun
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.owner.printed_plan import PrintedPlan, arrow
from mistcalc.report.owner.sky_ring import sun_over_plan
from mistcalc.units import compass_point

SUNLIT = ((45.0, 1.6, 0.0),)  # lines where the sun reaches: direction [deg], apart, shift of the first [mm]
SHADE = Pen(1.0, (2.4, 1.2))
GAP = 5.0  # mm between plans
LEAST, MOST = 20.0, 62.0  # mm, the height of a plan
HEAD, UNDER = 6.0, 14.5  # mm over a plan and under it
ROW = 5.0
MONTH = 28.0  # mm, of the table's first column
MOST_SEATS = 4  # columns of the table
SKY, ROOMY = 47.0, 84.0  # mm, kept for the sun over the plan where the plans keep so much themselves
TALLER = 2.0  # of a plan's width: beyond that it stands in a row of four


def sun_pages(
    design: Design, patio: str, paper: PaperSize, locale: Locale
) -> tuple[tuple[SheetDraft, ...], tuple[Paragraph, ...]]:
    """A page where the sun reaches a seat in the hours of use, else none (`sun_words` says so); what found no
    room is left over."""
    sun = design.sun_of(patio)
    if sun is None or not sun.spells:
        return (), ()
    room = paper.inside.grown(-2.0)
    page = Box(room.left + 4.0, room.bottom + 7.0, room.right - 4.0, room.top - 2.0)
    items, y = _head(sun, page, locale)
    below = (*_kept_off(design, patio, locale), *_about(design, sun, locale))
    needed = page.top - text_and_tables.flow_text(below, [page._replace(bottom=-1000.0)]).bottom
    rows, more = _table(sun, _names(design, sun, locale), page.width, locale)
    needed += ROW * (len(rows[1]) + 1) + (6.0 if more else 2.0) + 10.0
    high = y - page.bottom - needed
    high -= SKY if high - SKY > ROOMY else 0.0
    drawn, y = _plans(design, sun, page._replace(top=y), high, locale)
    items += drawn
    head = text_and_tables.heading(locale.label("sun.table"), 2.5, rule=False)
    flowed = text_and_tables.flow_text([head], [page._replace(top=y)])
    table = text_and_tables.table(rows[0], rows[1], (page.left, flowed.bottom - 1.5), page.bottom, ROW)
    items += [*flowed.items, *table.items]
    told = [*([Paragraph(more)] if more else []), *below]
    flowed = text_and_tables.flow_text(told, [page._replace(top=table.bottom - 1.5)])
    items += flowed.items
    if not flowed.left_over:
        room_left = page._replace(top=flowed.bottom - 6.0)
        items += sun_over_plan(design, sun, _cells(sun), room_left, locale)
    title = locale.label("sun.head")
    return (SheetDraft(paper, title, tuple(items), patio, kind="owner"),), flowed.left_over


def sun_words(design: Design, patio: str, locale: Locale) -> tuple[Paragraph, ...]:
    """That no sun reaches a seat, where a page says it of none."""
    sun, control = design.sun_of(patio), design.project.control
    if sun is None or sun.spells:
        return ()
    first, last = (f"month-{month}" for month in control.months)
    start, end = control.hours
    words = locale.label("sun.free", start=start, end=end, first=first, last=last)
    return (Paragraph(words, before=0.8),)


def _head(sun: PatioSun, page: Box, locale: Locale) -> tuple[list[Item], float]:
    flowed = text_and_tables.flow_text([Paragraph(locale.label("sun.head"), 5.0, bold=True)], [page])
    y = flowed.bottom - 3.0
    rule = LineSegment((page.left, y), (page.right, y), layer="NOTE", pen=BOLD)
    lead = locale.label("sun.lead", month=f"month-{sun.month + 1}", lap=sun.lap)
    told = text_and_tables.flow_text([Paragraph(lead)], [page._replace(top=y - 3.0)])
    return [*flowed.items, rule, *told.items], told.bottom - 4.0


def _plans(design: Design, sun: PatioSun, room: Box, high: float, locale: Locale) -> tuple[list[Item], float]:
    """The plans in rows of two, of four where the patio is long up the sheet; as large as the page bears."""
    cells = _cells(sun)
    across = 4 if cells.height > TALLER * cells.width else 2
    rows = -(-len(sun.maps) // across)
    wide = (room.width - GAP * (across - 1)) / across
    tallest = min(max(high / max(rows, 1) - HEAD - UNDER, LEAST), MOST * (4 / across if across == 2 else 2))
    items: list[Item] = []
    top = low = room.top
    for n, moment in enumerate(sun.maps):
        if n and n % across == 0:
            top = low
        left = room.left + (n % across) * (wide + GAP)
        name = locale.number(moment.clock, "clock")
        items.append(Text((left, top - 3.5), name, 3.5, True, layer="NOTE"))
        laid, corner = design.layout_of(sun.patio), (left, top - HEAD)
        plan = PrintedPlan(laid, design.line, cells, sun.seats, corner, wide, tallest)
        items += plan.items(moment.lit >= 0.5, sun.inside, SUNLIT)
        ends = ([plan.at(end) for end in screen.line] for screen in sun.screens)
        items += [LineSegment(a, b, layer="NOTE", pen=SHADE) for a, b in ends]
        told = _shines(design, sun.patio, moment, locale)
        flowed = text_and_tables.flow_text([told], [Box(left, -1000.0, left + wide, plan.bottom - 3.0)])
        items += flowed.items
        low = min(low, flowed.bottom - 4.5)
    return items, low


def _cells(sun: PatioSun) -> Box:
    """What the cells of the maps fill, in plan."""
    (dx, dy), (x, y) = (sun.x[1] - sun.x[0], sun.y[1] - sun.y[0]), (sun.x, sun.y)
    return Box(*(float(v) for v in (x[0] - dx / 2, y[0] - dy / 2, x[-1] + dx / 2, y[-1] + dy / 2)))


def _shines(design: Design, patio: str, moment: SunMap, locale: Locale) -> Paragraph:
    comes_from = design.project.heading(patio) - moment.toward + np.pi
    side = locale.label(f"word.{compass_point(comes_from)}")
    words = locale.label("sun.shines", height=moment.height, side=side)
    return Paragraph(words, sign=lambda at: arrow(at, moment.toward), indent=10.0)


def _names(design: Design, sun: PatioSun, locale: Locale) -> list[str]:
    names = [seat.name for seat in design.layout_of(sun.patio).lid.seats]
    return names or [locale.label("sun.unnamed")] * len(sun.seats)


def _table(
    sun: PatioSun, names: Sequence[str], wide: float, locale: Locale
) -> tuple[tuple[list[TableColumn], list[Row]], str]:
    """((columns, rows), what stands under it): a row a month of use, a column a seat in the sun."""
    hours = dict.fromkeys(range(len(names)), 0.0)
    for spell in sun.spells:
        hours[spell.seat] += spell.end - spell.start
    sunny = sorted((seat for seat in hours if hours[seat]), key=lambda seat: -hours[seat])
    shown = sorted(sunny[:MOST_SEATS])
    heads = [locale.label("sun.seat", number=seat + 1, name=names[seat]) for seat in shown]
    columns = [TableColumn(MONTH, locale.label("sun.col_month"))]
    columns += [TableColumn((wide - MONTH) / len(shown), head) for head in heads]
    rows = []
    for month in np.flatnonzero(sun.used.any(axis=1)):
        cells = [_cell(sun, seat, int(month), locale) for seat in shown]
        rows.append(Row((locale.label("season.month", month=f"month-{month + 1}"), *cells)))
    left = len(sunny) - len(shown)
    return (columns, rows), locale.label("sun.more_seats", count=left) if left else ""


def _cell(sun: PatioSun, seat: int, month: int, locale: Locale) -> str:
    spells = [
        locale.label("sun.spell", start=spell.start, end=spell.end)
        for spell in sun.spells
        if (spell.seat, spell.month) == (seat, month)
    ]
    if len(spells) < 2:
        return "".join(spells) or locale.label("sun.none")
    return locale.label("sun.several", first=", ".join(spells[:-1]), last=spells[-1])


def _kept_off(design: Design, patio: str, locale: Locale) -> list[Paragraph]:
    findings = about_sun(design, patio)
    head = text_and_tables.heading(locale.label("sun.keeps"), 2.5, rule=False)
    return [head, *(Paragraph(locale.say(f), sign="–", indent=3.0, before=1.2) for f in findings)]


def _about(design: Design, sun: PatioSun, locale: Locale) -> list[Paragraph]:
    """What the sun is worth to a body, and how far the page can be trusted."""
    first = design.cooling_of(sun.patio, design.afternoons[0].name)
    rise = None if first.feel is None else first.feel.full_sun()
    worth = [Paragraph(locale.label("sun.worth", rise=rise), before=2.0)] if rise is not None else []
    return [*worth, Paragraph(locale.label("sun.limits", skyline=sun.skyline), before=2.0)]
