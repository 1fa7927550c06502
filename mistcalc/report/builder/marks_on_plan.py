"""The marks of one run on a plan, and their names."""

from __future__ import annotations

from math import hypot

from mistcalc.drawing import fonts, line_geometry, symbols
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.labels import lead_boxes
from mistcalc.drawing.sheet import THIN, LineSegment, Text
from mistcalc.model.results import Mark
from mistcalc.report.builder.plan_canvas import PlanCanvas
from mistcalc.report.builder.runs_in_plan import PlanRun, gap

NAME_OFF = 4.5  # from a mark to its name
FARTHER = tuple((15.0 + 2.5 * n, 0.0, 2.5) for n in range(6))  # places a name tries last, as _name_places
ASTRAY = tuple(  # and last of all, nearest first, each with a line that leads to it
    sorted(
        ((2.5 * up, 3.0 * side, 2.5) for up in range(17) for side in range(-6, 7) if side),
        key=lambda place: (hypot(*place[:2]), place),
    )
)
LEAD_OFF = 2.6  # from a mark to where a line to its name begins
NAME_ROOM = 16.0  # widest name of a mark


def draw_marks(sketch: PlanCanvas, plan_run: PlanRun) -> None:
    for mark in plan_run.marks:
        if sketch.part.shows(mark):
            at = sketch.at(mark.point)
            sketch.symbol(symbols.mark(at, mark.drilled, mark.locked, sketch.view))


def mark_box(sketch: PlanCanvas, mark: Mark) -> Box:
    """The room of a mark on paper."""
    return Box(*sketch.at(mark.point), *sketch.at(mark.point)).grown(LEAD_OFF)


def name_marks(sketch: PlanCanvas, plan_run: PlanRun) -> None:
    """Names on the house side: level where there is room, else turned, smaller, on two tiers, then some."""
    marks = [mark for mark in plan_run.marks if sketch.part.shows(mark)]
    if not marks:
        return
    points = [sketch.at(mark.point) for mark in marks]
    pitch = gap(points)
    whole = max(fonts.width(fonts.clean(mark.name), 3.5, True) for mark in marks)
    largest = 3.5 if whole <= NAME_ROOM else 2.5  # a long name smaller rather than cut
    names = [short_name(mark.name, size=largest) for mark in marks]
    widest = max(fonts.width(name, largest, True) for name in names)
    level_run = abs(plan_run.ahead[0]) > 0.5
    if level_run and pitch >= widest + 1.2:
        placing = [(name, largest, 0.0, False) for name in names]
    else:
        size = largest if pitch >= 3.5 * 1.3 + 0.3 else 2.5
        far = fonts.width(max(names, key=len), size, True) + 2.0 if pitch < 2.5 * 1.3 + 0.3 else 0.0
        step = max(1, -int(-(2.5 * 1.3 + 1.0) // (2 * max(pitch, 0.01)))) if far else 1
        placing = [
            (name if index % step == 0 or index == len(names) - 1 else "", size,
             far * (index // step % 2), True)
            for index, name in enumerate(names)
        ]  # fmt: skip
    for mark, point, (name, size, tier, along_house) in zip(marks, points, placing, strict=True):
        box = _name(sketch, plan_run, point, name, size, tier, along_house or not level_run) if name else None
        if box is not None:
            sketch.of_mark.setdefault(mark.name, []).append(box)
        elif name:
            sketch.nameless.append(name)


def _name(
    sketch: PlanCanvas,
    plan_run: PlanRun,
    point: Point,
    name: str,
    size: float,
    tier: float,
    along_house: bool,
) -> Box | None:
    """One name and its box; moved off where something solid stands in its place, smaller in the last resort,
    at the end of a line where it is far; never cut: a bare number would be another run's mark too. None: no
    place for it, not even astray."""
    usual = (*_name_places(size), (-0.9, 0.0, 2.5), *_name_places(2.5), *FARTHER)
    for n, (more, side, height) in enumerate((*usual, *ASTRAY)):
        at = line_geometry.moved(
            line_geometry.moved(point, plan_run.house, NAME_OFF + tier + more), plan_run.ahead, side
        )
        text = _name_text(sketch, plan_run, at, name, height, along_house)
        box = text.box()
        if not sketch.free(box) or not (n == 0 or sketch.zone is None or sketch.zone.holds(box)):
            continue
        lead = lead_boxes(point, LEAD_OFF, box) if n >= len(usual) else []
        if not any(part.meets(other) for part in lead for other in sketch.written):
            break
    else:
        return None
    if tier and n < len(usual):
        ends = (
            line_geometry.moved(point, plan_run.house, LEAD_OFF),
            line_geometry.moved(point, plan_run.house, NAME_OFF + tier - 0.6),
        )
        sketch.items.append(LineSegment(*ends, layer="MARK-NAME", pen=THIN, view=sketch.view))
    sketch.write(text)
    if n >= len(usual):
        sketch.lead(point, LEAD_OFF, box, "MARK-NAME")
        sketch.written += lead
        return box
    reach = reach_toward(box, point, plan_run.house)
    sketch.name_reach[plan_run.run.name] = max(sketch.name_reach.get(plan_run.run.name, 0.0), reach)
    return box


def _name_places(size: float) -> tuple[tuple[float, float, float], ...]:
    """Farther toward the house, aside, height of the capitals: the places a name tries in turn."""
    smaller = (-0.4, 0.0, 2.5)
    aside = tuple((0.0, side, size) for side in (-2.5, 2.5, -4.0, 4.0))
    return ((0.0, 0.0, size), smaller, *aside, *((more, 0.0, size) for more in (2.5, 5.0, 7.5, 10.0, 12.5)))


def _name_text(
    sketch: PlanCanvas, plan_run: PlanRun, at: Point, name: str, size: float, along_house: bool
) -> Text:
    x, y = at
    if not along_house:
        y = y if plan_run.house[1] > 0 else y - size
        return Text((x, y), name, size, True, 0.0, "middle", True, layer="MARK-NAME", view=sketch.view)
    turn = 90.0 if abs(plan_run.house[1]) > 0.5 else 0.0
    toward = plan_run.house[0] + plan_run.house[1] > 0
    up = (-1.0, 0.0) if turn else (0.0, 1.0)
    place = (x - up[0] * size / 2, y - up[1] * size / 2)
    align = "left" if toward else "right"
    return Text(place, name, size, True, turn, align, True, layer="MARK-NAME", view=sketch.view)


def short_name(name: str, room: float = NAME_ROOM, size: float = 3.5) -> str:
    """A mark's name, its run shortened where it is long: the number is what counts."""
    name = fonts.clean(name)
    if fonts.width(name, size, True) <= room:
        return name
    head = name.rstrip("0123456789")
    number = name[len(head) :]
    return fonts.fit(head, size, max(room - fonts.width(number, size, True), 3.0), True) + number


def reach_toward(box: Box, origin: Point, direction: Point) -> float:
    """How far a box reaches from a point in a direction."""
    x = (box.right if direction[0] > 0 else box.left) - origin[0]
    y = (box.top if direction[1] > 0 else box.bottom) - origin[1]
    return x * direction[0] + y * direction[1]
