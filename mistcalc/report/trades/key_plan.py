"""The key plan of a trade's page: the lid small and not to scale, with the numbers of its lists in boxes."""

from __future__ import annotations

from collections.abc import Sequence

from mistcalc.drawing import fonts, line_geometry, symbols
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.labels import Tag
from mistcalc.drawing.sheet import (
    BLACK,
    BOLD,
    FINE,
    HEAVY,
    JOINT_PEN,
    MEDIUM,
    TUBE_PEN,
    Item,
    LineSegment,
    Pen,
    Polyline,
    Text,
    View,
)
from mistcalc.model.project import Patio
from mistcalc.model.results import Design
from mistcalc.report.builder.plan_canvas import PlanCanvas
from mistcalc.report.builder.runs_in_plan import PlanRun, plan_runs, whole_plan_window
from mistcalc.report.builder.things_on_plan import draw_thing
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.slip import Slip, SlipRow

NAMES, NAME = 48.0, 22.0  # widest name of a run, where there is room and where not [mm]
ROUND = 10.0  # round a lid, for datums and numbers [mm]
BOX = 5.2  # a number's box [mm]
BETWEEN = 4.0
BAR = 1.1  # half of a joist that the tube crosses [mm]
SMALLEST = 12.0  # a lid's side on paper [mm]
LEGIBLE = 40.0  # the longer side of a lid whose numbers are told apart [mm]


def longer_side(design: Design, room: Box) -> float:
    """On paper [mm], of the lid that is smallest there, where all stand side by side in a room."""
    patios = design.project.patios
    wide = (room.width - BETWEEN * (len(patios) - 1)) / len(patios)
    sides = []
    for patio in patios:
        runs = plan_runs(patio, design.layout_of(patio.name), design.line)
        window = whole_plan_window(runs, patio).window
        sides.append(1000 * max(window.width, window.height) / _scale(window, wide, room.height))
    return min(sides)


def _scale(window: Box, wide: float, high: float) -> float:
    """At which a lid has room round it, as in a room so wide and high."""
    inner = (max(wide - 2 * ROUND, SMALLEST), max(high - 2 * ROUND, SMALLEST))
    return max(1000 * window.width / inner[0], 1000 * window.height / inner[1])


def key_plans(design: Design, slip: Slip, room: Box, locale: Locale) -> list[Item]:
    """All patios side by side in a room, each as large as it can be."""
    patios = design.project.patios
    wide = (room.width - BETWEEN * (len(patios) - 1)) / len(patios)
    items: list[Item] = []
    for n, patio in enumerate(patios):
        left = room.left + n * (wide + BETWEEN)
        items += _lid(design, patio, slip, room._replace(left=left, right=left + wide), locale)
    return items


def _lid(design: Design, patio: Patio, slip: Slip, room: Box, locale: Locale) -> list[Item]:
    layout = design.layout_of(patio.name)
    runs = plan_runs(patio, layout, design.line)
    part = whole_plan_window(runs, patio)
    scale = _scale(part.window, room.width, room.height)
    middle = part.window.middle
    origin = (room.middle[0] - 1000 * middle[0] / scale, room.middle[1] - 1000 * middle[1] / scale)
    sketch = PlanCanvas(View(f"key {slip.name} {patio.name}", scale, origin), part, room)
    for start, end in layout.lid.open_edges:
        sketch.stroke(start, end, "LID", MEDIUM, 0.5)
    for start, end in layout.lid.walls:
        sketch.stroke(start, end, "WALL", HEAVY)
    if "members" in slip.shows:
        for member in layout.lid.members:
            sketch.stroke(*member.line, "FRAME", FINE)
    for plan_run in runs:
        sketch.stroke(*plan_run.tube, "TUBE", TUBE_PEN, 0.8)
        if "members" in slip.shows:
            for member in layout.lid.members:
                place = line_geometry.crossing(member.line, plan_run.tube)
                if place is not None:
                    at, out = sketch.at(place), plan_run.house
                    ends = [line_geometry.moved(at, out, by) for by in (-BAR, BAR)]
                    sketch.items.append(LineSegment(*ends, layer="FRAME", pen=BOLD, view=sketch.view))
    if "joints" in slip.shows:
        for joint in layout.lid.joints:
            sketch.stroke(*joint.line, "JOINT", JOINT_PEN)
    for thing in layout.lid.obstacles:
        if thing.kind in slip.shows:
            draw_thing(sketch, thing)
    for plan_run in runs:
        if not plan_run.second:
            _datum(sketch, plan_run)
    _numbers(sketch, patio.name, [row for part in slip.lists for row in part.rows])
    return sketch.items


def datum_words(design: Design, locale: Locale) -> str:
    """Which surface each datum is, in a line below the plan; runs hooked on like surfaces together."""
    runs: dict[str, list[str]] = {}
    for run in (run for patio in design.project.patios for run in patio.runs):
        runs.setdefault(locale.word(run.datum.surface), []).append(run.name)
    told = (f"{locale.label('paper.datum', name=', '.join(of))}: {what}." for what, of in runs.items())
    return " ".join(told)


def _datum(sketch: PlanCanvas, plan_run: PlanRun) -> None:
    """A small triangle, its tip on the surface that the tape is hooked on, and the run's name."""
    open_side = (-plan_run.house[0], -plan_run.house[1])
    tip = line_geometry.moved(sketch.at(plan_run.datum), open_side, 2.6)
    foot = line_geometry.moved(tip, plan_run.ahead, -3.6)
    across = line_geometry.left(plan_run.ahead)
    corners = (tip, line_geometry.moved(foot, across, 2.0), line_geometry.moved(foot, across, -2.0))
    sign = Polyline(corners, True, BLACK, layer="DATUM", pen=Pen(0), view=sketch.view)
    sketch.symbol([sign])
    middle, whole = sign.box().middle, fonts.clean(plan_run.run.name)
    for name in dict.fromkeys((fonts.fit(whole, 3.5, NAMES, True), fonts.fit(whole, 3.5, NAME, True))):
        (placed,) = sketch.place([Tag(middle, 2.0, fonts.width(name, 3.5, True) + 0.2, 4.6)])
        if placed is not None:
            x, y = placed.box.middle
            text = Text((x, y - 1.75), name, 3.5, True, 0.0, "middle", True, layer="DATUM", view=sketch.view)
            sketch.items.append(text)
            break


def _numbers(sketch: PlanCanvas, patio: str, rows: Sequence[SlipRow]) -> None:
    """Each row's number in a box on or beside each of its places; a line leads from one that stands off. None
    where most would find no room: a few of many help nobody."""
    asked = [(row.label, at) for row in rows for name, at in row.spots if name == patio]
    tags = [
        Tag(sketch.at(at), 0.8, max(BOX, 2.0 + 2.2 * len(label)) + 0.6, BOX + 0.6, True, True)
        for label, at in asked
    ]
    places = sketch.place(tags)
    few = 2 * sum(placed is not None for placed in places) < len(places)
    for (label, at), tag, placed in zip(asked, tags, places, strict=True):
        if placed is not None and not few:
            sketch.lead(sketch.at(at), tag.reach, placed.box, "NOTE")
            sketch.items += number_box(placed.box.middle, label)


def number_box(at: tuple[float, float], label: str) -> list[Item]:
    """A number of a list, in its box."""
    if len(label) < 3:
        return symbols.letter_box(at, label, layer="NOTE")
    return symbols.value_box(at, label, 2.5)
