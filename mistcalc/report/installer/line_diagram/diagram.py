"""The line diagram: pump, valves, zones, tees, drains and nozzles, with pressures, unrolled along the tube.

Below it, on the same axis, where the pressure goes; at the foot the five numbers for the wall by the pump.
Who reads it stands at the pump or at an open soffit and asks what shuts what, and what a gauge should show.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from mistcalc.drawing import fonts, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize, StripSection
from mistcalc.drawing.sheet import BOLD, Item, Polyline, Text
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.model.results import ZoneFlow
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.findings_by_reader import cautions_for_work
from mistcalc.report.common.line_kind import LineJob, line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.installer.line_diagram.arrangement import plots
from mistcalc.report.installer.line_diagram.canvas import DiagramCanvas, longest
from mistcalc.report.installer.line_diagram.diagram_legend import draw_legend
from mistcalc.report.installer.line_diagram.line_graph import Connection, LineGraph, scheme
from mistcalc.report.installer.line_diagram.pressure_graph import curves_of, draw_curves
from mistcalc.report.installer.line_diagram.pump_side import ABOVE, chain_width, draw_source
from mistcalc.report.installer.line_diagram.tube_and_nozzles import LANE, TRICKLE, draw_line, valve_names
from mistcalc.units import meter_volume

HEAD, ROW = 12.0, 6.0
NARROW = 250.0  # a sheet without room for the table beside the runs
WALL, WALL_UPRIGHT = 24.0, 28.0  # the numbers for the wall, with their head
CURVES = (26.0, 88.0)  # height of the picture of pressures: least, most
TALLEST_LANES = 84.0  # what the line takes beside its lanes
AXIS = 22.0  # left of the first tube, for the numbers of the pressures
SINK = 0.4  # of spare height, left above the line
WIDEST_ZONE = 50.0  # column of zones [mm]
MOST_ZONES = 9  # rows of the table; the check sheet has all
NAMES_APART = 6.0  # nozzles so far apart have their names on one tier
UPRIGHT_CURVES = 26.0  # height of the picture of pressures on upright paper: the rest stays open for notes


def diagram_sheets(
    design: LineJob, paper: PaperSize, locale: Locale, wall: bool = True
) -> tuple[SheetDraft, ...]:
    """One sheet; more only where runs are too many for one. wall: with the five numbers at its foot."""
    if not design.line.marks:
        return ()
    danger, zone = _danger(design, paper, locale)
    made = scheme(design.line, design.project.plumbing)
    narrow, upright = zone.width < NARROW, paper.height > paper.width
    table, wide = _table(design, made, locale, narrow)
    side = chain_width(design, locale, narrow) if narrow else max(chain_width(design, locale, narrow), wide)
    pieces = _pieces(design, made, locale)
    drafts = []
    for number, plot in enumerate(plots(made, zone.left + side + 4.0, zone.right)):
        for_wall = (WALL_UPRIGHT if upright else WALL) if number == 0 and wall else 0.0
        zone = _no_taller(zone, len(table[1]), plot.lanes, for_wall) if upright else zone
        top, foot = zone.top - HEAD, zone.bottom + for_wall
        board = DiagramCanvas(Box(zone.left, foot, zone.right, top))
        items: list[Item] = [*danger, *_head(design, locale, paper.room)]
        high = top
        if number == 0:
            drawn = text_and_tables.table(table[0], table[1], (zone.left, top), zone.bottom, ROW)
            items += drawn.items
            board.solid.append(Box(zone.left, drawn.bottom, zone.left + wide, top))
            high = drawn.bottom - 4.0
        upper = high if narrow else top
        needs = TALLEST_LANES + LANE * plot.lanes
        tall = min(max(upper - foot - needs, CURVES[0]), CURVES[1]) if curves_of(design, plot) else 0.0
        curves = Box(zone.left, foot, zone.right, foot + tall)
        spare = max(upper - curves.top - needs, 0.0)
        room = Box(zone.left, curves.top + 3.0, zone.right, upper)
        floor = draw_source(board, design, plot.columns[made.source], room, locale, narrow)
        line_room = room._replace(bottom=floor, top=upper - SINK * spare)
        draw_line(board, design, made, plot, line_room, locale)
        draw_curves(board, design, plot, curves, locale)
        left_over, signs = tuple[Paragraph, ...](), list[Item]()
        if number == 0:
            if wall:
                items += _wall(design, Box(zone.left, zone.bottom, zone.right, foot), locale)
            if not narrow:
                signs = _signs(design, made, curves, plot.columns[made.source] - AXIS, locale)
                spot = _left_of_words(board, Box(zone.left, floor + ABOVE + 6.0, zone.left + wide, high))
                flowed = text_and_tables.flow_text(pieces, [spot]) if spot.height > 12.0 else None
                items += flowed.items if flowed else ()
                left_over = flowed.left_over if flowed else pieces
        drafts.append(
            SheetDraft(
                paper,
                locale.label("paper_line.short"),
                (*items, *signs, *board.items),
                left_over=(pieces[0], *left_over)
                if left_over and left_over[0] is not pieces[0]
                else left_over,
                kind="diagram",
                sections=_strip(design, made, pieces if narrow else (), not signs, paper.footed, locale)
                if number == 0
                else (),
            )
        )
    return tuple(drafts)


def _left_of_words(board: DiagramCanvas, spot: Box) -> Box:
    """An open part as far as what is written into it from the right."""
    into = [box.left for box in board.written if box.meets(spot) and box.left > spot.middle[0]]
    return spot._replace(right=min([spot.right, *into]) - 1.5)


def _danger(design: LineJob, paper: PaperSize, locale: Locale) -> tuple[list[Item], Box]:
    """What can hurt, below the title of a sheet without a right strip, and the room for the drawing."""
    room = paper.room
    if not paper.footed or not cautions_for_work(design.findings, "valves"):
        return [], room
    items, y = caution_boxes.low(design.findings, "valves", room._replace(top=room.top - 10.0), locale)
    return items, room._replace(top=y - 4.0 + HEAD)


def _no_taller(zone: Box, rows: int, lanes: int, for_wall: float) -> Box:
    """What the line takes of an upright sheet."""
    tall = HEAD + ROW * (rows + 1) + 4.0 + TALLEST_LANES + LANE * lanes + UPRIGHT_CURVES + for_wall
    return zone._replace(bottom=max(zone.bottom, zone.top - tall))


def stands_upright(design: LineJob, paper: PaperSize, locale: Locale) -> bool:
    """Whether so narrow a sheet takes the whole line with room for every nozzle's name."""
    zone = paper.room
    made = scheme(design.line, design.project.plumbing)
    side = chain_width(design, locale, True)
    drawn = list(plots(made, zone.left + side + 4.0, zone.right)) if design.line.marks else []
    return len(drawn) == 1 and all(
        b - a >= NAMES_APART
        for bar in drawn[0].bars
        for a, b in pairwise(sorted(bar.x(node) for node in bar.stretch.marks))
    )


def _head(design: LineJob, locale: Locale, zone: Box) -> Iterator[Item]:
    title = Text((zone.left, zone.top - 5.0), locale.label("paper_line.title"), 5.0, True, layer="NOTE")
    yield title
    many = len(design.line.zones) > 1
    keys = ("lead_zones" if many else "lead", "lead_short")
    x = zone.left + title.width + 8.0
    lead = longest([locale.label(f"paper_line.{key}") for key in keys], zone.right - x)
    yield Text((x, zone.top - 5.0), lead, layer="NOTE")


# ------------------------------------------------------------------ zones


def _table(
    design: LineJob, made: LineGraph, locale: Locale, narrow: bool
) -> tuple[tuple[list[TableColumn], list[Row]], float]:
    """Zones with their valve, their flow and their first and last pressure; and how wide it is."""
    label, line = locale.label, design.line
    zones = [zone for zone in line.zones if zone.marks]
    widths = [25.0, 14.0, 18.0, 22.0, 20.0, 20.0]
    heads = [label(f"paper_line.{name}") for name in ("zone", "valve", "nozzles", "flow", "first", "far")]
    widths = [max(wide, text_and_tables.head_width(head)) for wide, head in zip(widths, heads, strict=True)]
    names = [text_and_tables.head_width(zone.name) for zone in zones] if len(line.zones) > 1 else []
    widths[0] = max(widths[0], min(WIDEST_ZONE, max(names, default=0.0)))
    columns = [
        TableColumn(wide, head, "left" if n < 2 else "right", 2.5, n in (0, 5))
        for n, (wide, head) in enumerate(zip(widths, heads, strict=True))
    ]
    rows = [_zone_row(design, zone, made, locale) for zone in zones[:MOST_ZONES]]
    if len(zones) > MOST_ZONES:
        rows.append(Row(span=label("paper_line.more_zones", count=len(zones) - MOST_ZONES)))
    sets = [zone_set for zone_set in line.sets if len(zone_set.zones) > 1][: 0 if narrow else 3]
    for zone_set in sets:
        words = label(
            "paper_line.together_more", zones=zone_set.zones, flow=zone_set.flow, gauge=zone_set.supply_gauge
        )
        rows.append(Row(span=label("paper_line.together"), words=words))
    return (columns, rows), sum(widths)


def _zone_row(design: LineJob, zone: ZoneFlow, made: LineGraph, locale: Locale) -> Row:
    first = max((m for m in design.line.marks if m.zone == zone.name), key=lambda m: m.pressure_gauge)
    valves = ", ".join(valve_names(made)[name] for name in zone.piping.valves if name in valve_names(made))
    return Row(
        (
            zone.name if len(design.line.zones) > 1 else locale.label("paper_line.whole"),
            valves or "–",
            str(zone.marks),
            locale.number(zone.flow, "flow"),
            locale.number(first.pressure_gauge, "pressure"),
            locale.number(zone.far_gauge, "pressure"),
        )
    )


# ------------------------------------------------------------------ wall


def _wall(design: LineJob, room: Box, locale: Locale) -> Iterator[Item]:
    """Five numbers to write on the wall, all for the largest set of zones."""
    label, line = locale.label, design.line
    zones = line.duty.largest_zones if len(line.zones) > 1 else ()
    head = Text(
        (room.left, room.top - 4.5),
        label("paper_line.wall", **line_conditions(design)),
        3.5,
        True,
        layer="NOTE",
    )
    yield head
    if zones:
        zones_text = label("paper_line.wall_zones", zones=zones)
        x = head.box().right + 5.0
        yield Text((x, room.top - 4.5), fonts.fit(zones_text, 2.5, room.right - x), layer="NOTE")
    top, each = room.top - 7.0, room.width / 5
    numbers = wall_numbers(design, locale)
    wide = max(fonts.width(value, 1.0, True) for value, _ in numbers)
    size = next((size for size in (5.0, 3.5) if size * wide <= each - 4.0), 2.5)
    most = 1 + int((top - 1.4 - size - 5.1 - room.bottom) // 3.8)  # lines of words below a number
    for n, (value, words) in enumerate(numbers):
        x = room.left + n * each
        corners = ((x, top), (x + each, top), (x + each, room.bottom), (x, room.bottom))
        yield Polyline(corners, True, layer="SHEET", pen=BOLD)
        yield Text(
            (x + 2.0, top - 1.4 - size), fonts.fit(value, size, each - 4.0, True), size, True, layer="NOTE"
        )
        lines = fonts.wrap(words, 2.5, each - 3.0)
        if len(lines) > most:  # a very long name
            lines = [*lines[: most - 1], fonts.fit(" ".join(lines[most - 1 :]), 2.5, each - 3.0)]
        for above, line_ in enumerate(reversed(lines)):
            yield Text((x + 2.0, room.bottom + 1.8 + 3.8 * above), line_, layer="NOTE")


def wall_numbers(design: LineJob, locale: Locale) -> tuple[tuple[str, str], ...]:
    """(number, what it is) of the five."""
    label, line, water = locale.label, design.line, design.project.plumbing.water
    marks = [mark for mark in line.marks if mark.zone in line.duty.largest_zones]
    far = min(marks, key=lambda mark: mark.pressure_gauge)
    pump = design.project.plumbing.pump is not None
    metered = line.duty.point.reject == 0.0 and water.tank is None
    full = line.duty.filling
    filled = label("paper_check.seconds", value=max(1, round(full.time)))
    much = meter_volume(line.total_flow, locale.units)
    volume = locale.number(much, "volume")
    passing = max(line.total_flow, 1e-12)  # a line that no water reaches
    meter = label("paper_check.seconds", value=round(much / passing)) if metered else filled
    return (
        (
            locale.number(line.supply_gauge, "pressure"),
            label(f"paper_line.wall_{'pump' if pump else 'main'}"),
        ),
        (locale.number(far.pressure_gauge, "pressure"), label("paper_line.wall_far", mark=far.name)),
        (locale.number(line.total_flow, "flow"), label("paper_line.wall_flow", count=len(marks))),
        (meter, label("paper_line.wall_meter" if metered else "paper_line.wall_fill", volume=volume)),
        (locale.number(far.flow, "bucket"), label("paper_line.wall_cup", mark=far.name)),
    )


# ------------------------------------------------------------------ strip


def _strip(
    design: LineJob,
    made: LineGraph,
    paragraphs: tuple[Paragraph, ...],
    signs: bool,
    footed: bool,
    locale: Locale,
) -> tuple[StripSection, ...]:
    """What can hurt, and where the sheet has no room for them the signs and the tube in words."""
    more = locale.label("paper.more_notes", n="{n}")
    sections = []
    if cautions_for_work(design.findings, "valves") and not footed:
        sections.append(caution_boxes.in_strip(design.findings, "valves", locale))
    if signs:
        sections.append(StripSection(locale.label("paper.signs"), draw_legend(design, made, locale), more))
    if paragraphs:
        sections.append(StripSection(paragraphs[0].text, paragraphs[1:], more))
    return tuple(sections)


def _signs(design: LineJob, made: LineGraph, curves: Box, right: float, locale: Locale) -> list[Item]:
    """The legend, left of where the pressure goes."""
    room = Box(curves.left, curves.bottom, right, curves.top - 9.0)
    legend = (
        text_and_tables.heading(locale.label("paper.signs"), rule=False),
        *draw_legend(design, made, locale),
    )
    flowed = (
        text_and_tables.flow_text(legend, text_and_tables.split(room, 60.0, 6.0))
        if room.height > 20.0
        else None
    )
    return flowed.items if flowed and not flowed.left_over else []


def _pieces(design: LineJob, made: LineGraph, locale: Locale) -> tuple[Paragraph, ...]:
    """Every piece of tube in words, under a head: the drawing has no room for all of it."""
    tube = design.project.plumbing.tube
    size = locale.label("paper_check.tube_size", outside=tube.outside, wall=tube.wall)
    return (
        text_and_tables.heading(locale.label("paper_line.pieces"), rule=False),
        Paragraph(locale.label("paper_line.all_tube", material=tube.material, size=size)),
        *(Paragraph(_piece(join, made, locale), sign="–", indent=3.0) for join in made.joins),
    )


def _piece(join: Connection, made: LineGraph, locale: Locale) -> str:
    piece, tube_spec, tube = join.piece, join.piece.tube, join.tube

    def say(key: str, **values: object) -> str:
        return locale.label(f"paper_line.piece_{key}", **values)

    phrases = [say("length", length=piece.length) if piece.length > 0.0 else say("joined")]
    if piece.rise:
        phrases.append(say("up" if piece.rise > 0.0 else "down", rise=abs(piece.rise)))
    if tube_spec is not None:
        phrases.append(locale.label("paper_check.tube_size", outside=tube_spec.outside, wall=tube_spec.wall))
    if tube.most_flow > TRICKLE:
        phrases.append(say("flow", flow=tube.most_flow))
    valve = valve_names(made).get(piece.name)
    if valve is not None:
        phrases.append(say("valve", valve=valve, zones=tube.valves if len(made.zones) > 1 else ()))
    return say("name", start=str(piece.start), end=str(piece.end)) + " " + ", ".join(phrases)
