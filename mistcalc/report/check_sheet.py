"""The installer's one sheet: what line and pump must show beside blanks for what they do, and hold points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from mistcalc.drawing import flow, fonts, symbols
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.flow import Cell, Column, Paragraph, Row
from mistcalc.drawing.frame import Paper, Section
from mistcalc.drawing.sheet import HEAVY, THIN, Item, Line, Polyline, Text
from mistcalc.model.results import Design
from mistcalc.report.assumed import assumed
from mistcalc.report.leaf import Leaf
from mistcalc.report.run_sketch import short_name
from mistcalc.report.subjects import about_line, cautions
from mistcalc.report.voice import Voice

PAD, GUTTER, ROW = 6.0, 8.0, 7.0
MEASURED, BOX = 25.0, 5.0  # blank for what was measured, box to tick [mm]
HOLD_WIDTH = 118.0
Check = tuple[str, str]  # what, wanted


@dataclass(frozen=True)
class Left:
    """What of one page found no room: rows of checks, hold points, findings, cautions."""

    rows: tuple[Row, ...] = ()
    holds: tuple[str, ...] = ()
    words: tuple[Paragraph, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.rows or self.holds or self.words)


def check_leaves(design: Design, paper: Paper, voice: Voice) -> tuple[Leaf, ...]:
    """The check sheet; further sheets of it only where zones and findings are many."""
    left = Left(tuple(_rows(design, voice)), _holds(design), tuple(_words(design, voice)))
    leaves: list[Leaf] = []
    while left or not leaves:
        items, rest = _page(design, paper, left, voice)
        leaves.append(
            Leaf(paper, voice.label("paper_check.short"), tuple(items), kind="check",
                 sections=_strip(design, voice))
        )  # fmt: skip
        if rest == left:
            break
        left = rest
    return tuple(leaves)


def _page(design: Design, paper: Paper, left: Left, voice: Voice) -> tuple[list[Item], Left]:
    zone = paper.zone.grown(-PAD)
    head = Text((zone.left, zone.top - 5.0), voice.label("paper_check.title"), 5.0, True, layer="NOTE")
    lead = Text((zone.left + head.width + 8.0, zone.top - 5.0), "", layer="NOTE")
    room = zone.right - lead.at[0]
    items: list[Item] = [
        head,
        Text(lead.at, fonts.fit(voice.label("paper_check.lead"), 2.5, room), layer="NOTE"),
    ]
    top = zone.top - 13.0
    narrow = zone.width < 250.0
    wide = zone.width if narrow else zone.width - HOLD_WIDTH - GUTTER
    drawn = (
        flow.table(_columns(wide, voice), left.rows, (zone.left, top), zone.bottom, ROW)
        if left.rows
        else None
    )
    if drawn is not None:
        items += drawn.items
    rows = left.rows[drawn.rows :] if drawn else ()
    foot = drawn.bottom if drawn else top
    side = Box(zone.right - HOLD_WIDTH, zone.bottom, zone.right, top)
    below = Box(zone.left, zone.bottom, zone.left + wide, foot - 7.0)
    if narrow:
        side = below._replace(right=zone.left + min(HOLD_WIDTH, zone.width))
    holds, bottom = _hold_points(left.holds, side, voice, items, len(_holds(design)) - len(left.holds) + 1)
    spots = [below] if not narrow else []
    spots.append(side._replace(top=bottom - 5.0) if not narrow else below._replace(top=bottom - 5.0))
    columns = [c for spot in spots for c in _split(spot) if c.height > 12.0]
    words = left.words
    if columns and words:
        flowed = flow.flow(words, columns)
        items += flowed.items
        words = flowed.left_over
    return items, Left(rows, holds, words)


def _split(spot: Box) -> list[Box]:
    count = max(1, round((spot.width + GUTTER) / 105.0))
    wide = (spot.width - GUTTER * (count - 1)) / count
    lefts = [spot.left + n * (wide + GUTTER) for n in range(count)]
    return [spot._replace(left=left, right=left + wide) for left in lefts]


# ------------------------------------------------------------------ checks


def _columns(wide: float, voice: Voice) -> list[Column]:
    label = voice.label
    wanted = min(62.0, 0.36 * wide)
    return [
        Column(wide - wanted - MEASURED - 14.0, label("paper_check.check")),
        Column(wanted, label("paper_check.wanted"), "right", 2.5, True),
        Column(MEASURED, label("paper_check.measured")),
        Column(14.0, label("paper_check.ok"), "middle"),
    ]


def _rows(design: Design, voice: Voice) -> list[Row]:
    groups = (("water", _water), ("tube", _tube), ("pump", _pump), ("running", _running))
    rows: list[Row] = []
    duty = design.line.duty
    for name, make in groups:
        checks = make(design, voice)
        if checks:
            words = voice.label(
                f"paper_check.note_{name}", rating=duty.tube_rating, temperature=duty.tube_rating_temperature
            )
            rows.append(Row(span=voice.label(f"paper_check.group_{name}"), words=words))
            rows += [Row((what, wanted, "", Cell(sign=_tick))) for what, wanted in checks]
    return rows


def _tick(at: tuple[float, float]) -> list[Item]:
    return symbols.tick_box(at, BOX)


def _water(design: Design, voice: Voice) -> list[Check]:
    water, label = design.project.plumbing.water, voice.label
    rows = [
        (label("paper_check.static"), voice.number(water.static, "pressure")),
        (label("paper_check.residual", flow=water.at_flow), voice.number(water.residual, "pressure")),
    ]
    if water.filter is not None:
        rows.append((label("paper_check.filter"), voice.number(water.filter, "drop_size")))
    return rows


def _tube(design: Design, voice: Voice) -> list[Check]:
    plumbing, duty, label = design.project.plumbing, design.line.duty, voice.label
    tube, pump = plumbing.tube, plumbing.pump
    size = label("paper_check.tube_size", outside=tube.outside, wall=tube.wall)
    worst = plumbing.water.static if pump is None else pump.set_pressure
    if pump is not None and pump.nameplate is not None and pump.nameplate.relief is not None:
        worst = max(worst, pump.nameplate.relief)
    hot = voice.number(duty.tube_rating_temperature, "temperature")
    wanted = label("paper_check.at", value=voice.number(worst, "pressure"), other=hot)
    return [
        (label("paper_check.tube", material=tube.material, joints=tube.joints), size),
        (label("paper_check.rating"), wanted),
        (label("paper_check.fill"), voice.number(duty.fill_volume, "volume")),
    ]


def _pump(design: Design, voice: Voice) -> list[Check]:
    pump, duty, label = design.project.plumbing.pump, design.line.duty, voice.label
    if pump is None:
        return []
    plate = pump.nameplate
    flow_ = plate.flow if plate else duty.pick_flow
    motor = plate.motor if plate else duty.pick_motor
    volts = plate.volts if plate else duty.pick_volts
    rows = [(label("paper_check.pump_flow"), voice.number(flow_, "flow"))]
    if plate is not None:
        rows.append((label("paper_check.pump_pressure"), voice.number(plate.pressure, "pressure")))
    motor_told = label(
        "paper_check.at", value=voice.number(motor, "motor"), other=voice.number(volts, "voltage")
    )
    rows.append((label("paper_check.motor"), motor_told))
    amps = label("paper_check.amps", full=duty.full_load_amps, circuit=duty.circuit_amps)
    if duty.full_load_amps is not None and duty.circuit_amps is not None:
        rows.append((label("paper_check.circuit"), amps))
    relief = plate.relief if plate else None
    wanted = voice.number(relief, "pressure") if relief else label("paper_check.relief_none")
    return [*rows, (label("paper_check.relief"), wanted)]


def _running(design: Design, voice: Voice) -> list[Check]:
    line, duty, label, plumbing = design.line, design.line.duty, voice.label, design.project.plumbing
    rows: list[Check] = []
    if plumbing.pump is not None:
        rows.append((label("paper_check.set"), voice.number(plumbing.pump.set_pressure, "pressure")))
        rows.append((label("paper_check.inlet"), voice.number(duty.inlet_gauge, "pressure")))
    else:
        rows.append((label("paper_check.start"), voice.number(line.supply_gauge, "pressure")))
    for zone in line.zones:
        key = "zone" if len(line.zones) > 1 else "all"
        told = label(f"paper_check.{key}_flow", zone=zone.name, count=zone.marks)
        rows.append((told, voice.number(zone.flow, "flow")))
        if zone.marks:
            far = label(f"paper_check.{key}_far", zone=zone.name, mark=short_name(zone.far_mark, 24.0, 2.5))
            rows.append((far, voice.number(zone.far_gauge, "pressure")))
    if line.opens_at is not None:
        rows.append((label("paper_check.opens"), voice.number(line.opens_at, "pressure")))
    return rows


# ------------------------------------------------------------------ hold points


def _holds(design: Design) -> tuple[str, ...]:
    """Hold points in the order of the work."""
    plastered = [p.plaster.system for p in design.project.patios if p.plaster.system != "none"]
    if not plastered:
        return ("open", "hand_over")
    coats = ("brown",) if "three-coat" in plastered else ()
    return ("open", "lath", *coats, "hand_over")


def _hold_points(
    names: Sequence[str], room: Box, voice: Voice, items: list[Item], first: int
) -> tuple[tuple[str, ...], float]:
    """A heavy box a hold point, from the top of a room down; returns those left and where they end."""
    label, y = voice.label, room.top
    for index, name in enumerate(names):
        words = [
            flow.heading(
                f"{label('paper_hold.hold', number=first + index)}: {label(f'paper_hold.{name}')}", rule=False
            ),
            Paragraph(label(f"paper_hold.{name}_do")),
        ]
        inner = Box(room.left + 3.5, -1000.0, room.right - 3.5, y - 3.5)
        flowed = flow.flow(words, [inner], "NOTE")
        blanks = flowed.bottom - 7.5
        bottom = blanks - 9.5
        if bottom < room.bottom:
            return tuple(names[index:]), y
        items += flowed.items
        for n, row in enumerate((("pressure", "start", "end"), ("temperature", "signed", "date"))):
            items += _blanks(row, inner, blanks - 6.5 * n, voice)
        corners = ((room.left, bottom), (room.right, bottom), (room.right, y), (room.left, y))
        items.append(Polyline(corners, True, layer="NOTE", pen=HEAVY))
        y = bottom - 4.0
    return (), y


def _blanks(names: Sequence[str], room: Box, y: float, voice: Voice) -> list[Item]:
    items: list[Item] = []
    wide = room.width / len(names)
    for index, name in enumerate(names):
        x = room.left + index * wide
        text = Text((x, y), fonts.fit(voice.label(f"paper_hold.{name}"), 2.5, wide - 8.0), layer="NOTE")
        items.append(text)
        items.append(Line((x + text.width + 1.2, y - 0.6), (x + wide - 2.5, y - 0.6), layer="NOTE", pen=THIN))
    return items


# ------------------------------------------------------------------ words


def _words(design: Design, voice: Voice) -> list[Paragraph]:
    """Findings on line and pump, then every caution for whoever builds it, in full."""
    label = voice.label
    told = [flow.heading(label("paper_check.findings"))]
    for finding in about_line(design):
        sign = voice.label(f"level.{finding.level}")
        told.append(Paragraph(voice.say(finding), sign=sign, indent=13.0))
    if len(told) == 1:
        told.append(Paragraph(label("paper_check.no_findings")))
    told.append(flow.heading(label("paper_check.cautions")))
    told += [Paragraph(voice.say(one), sign="–", indent=3.5) for one in cautions(design, owner=False)]
    return [*told, Paragraph(label("paper.codes_decide"), bold=True)]


def _strip(design: Design, voice: Voice) -> tuple[Section, ...]:
    label, line = voice.label, design.line
    nozzle = design.project.plumbing.nozzle
    told = [
        Paragraph(label("paper_check.nozzles", count=len(line.marks), nozzle=nozzle.label)),
        Paragraph(label("paper_check.each", flow=nozzle.flow, at=nozzle.at)),
    ]
    about = tuple(p for p in design.project.assumed if p.startswith(("line", "pump", "water")))
    taken = assumed(replace(design.project, assumed=about), voice)
    listed = tuple(Paragraph(words, sign="–", indent=3.0) for words in taken)
    sections = [Section(label("paper_check.line"), tuple(told))]
    if listed:
        sections.append(Section(label("paper.assumed"), listed, label("paper.more_plan", n="{n}")))
    return tuple(sections)
