"""The lid itself on a plan: walls, edges, framing, joints and what else is in or under it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

from mistcalc.drawing import boxes, line_geometry, symbols
from mistcalc.drawing.boxes import Point, along, around
from mistcalc.drawing.sheet import (
    BOLD,
    FINE,
    JOINT_PEN,
    JOIST_PEN,
    MEDIUM,
    THIN,
    WHITE,
    Hatch,
    LineSegment,
    Pen,
    Text,
)
from mistcalc.model.project import Patio
from mistcalc.model.results import JointLine, Layout, Member, PlacedObstacle
from mistcalc.model.run_extents import SAME
from mistcalc.report.builder import things_on_plan
from mistcalc.report.builder.plan_canvas import PlanCanvas, fitted, tag_of
from mistcalc.report.builder.runs_in_plan import WALL, PlanRun, lid_boxes
from mistcalc.report.common.locale_text import Locale

SOLID_LID = 0.4  # m: a member wider than this is drawn as a hatched slab, not as a joist
ON_WALL = 0.3  # m: door glass this near a wall is drawn in it


def draw_lid(
    sketch: PlanCanvas, patio: Patio, layout: Layout, runs: tuple[PlanRun, ...], locale: Locale
) -> None:
    """Everything of the lid but its marks, their numbers, and the tags of things."""
    doors = _walls(sketch, layout)
    for start, end in layout.lid.open_edges:
        sketch.stroke(start, end, "LID", BOLD)
    if patio.edge_beam.width > 0:
        for chain in line_geometry.chains([line.edge for line in layout.lid.runs]):
            inner = line_geometry.offset(chain, patio.edge_beam.width)
            for start, end in pairwise(inner):
                sketch.stroke(start, end, "FRAME", FINE)
    _members(sketch, layout, runs)
    for joint in layout.lid.joints:
        sketch.stroke(*joint.line, "JOINT", JOINT_PEN)
    for thing in layout.lid.obstacles:
        if thing.name not in doors and sketch.part.holds(thing.point):
            things_on_plan.draw_thing(sketch, thing)
    shown = (boxes.common(box, sketch.part.window) for box in lid_boxes(patio, runs))
    sketch.ground += [
        around((sketch.at((b.left, b.bottom)), sketch.at((b.right, b.top)))) for b in shown if b is not None
    ]


# ------------------------------------------------------------------ walls


def _walls(sketch: PlanCanvas, layout: Layout) -> set[str]:
    """Hatched walls with their doors; names of the obstacles drawn as doors."""
    doors: set[str] = set()
    outline = layout.lid.outline
    for chain in line_geometry.chains(layout.lid.walls):
        if _inside(_beside(chain), outline):
            chain = chain[::-1]  # walk it with the lid on the right
        outer = line_geometry.offset(chain, WALL)
        for index, inner in enumerate(pairwise(chain)):
            gaps = []
            for thing in layout.lid.obstacles:
                gap = _door_in(thing, inner)
                if gap is not None:
                    doors.add(thing.name)
                    gaps.append(gap)
                    if sketch.part.holds(thing.point):
                        _slider(sketch, inner, gap)
            for piece in line_geometry.split(inner, gaps):
                ends = (piece[0] == inner[0], piece[1] == inner[1])
                _wall(sketch, piece, inner, (outer[index], outer[index + 1]), ends)
    return doors


def _half_way(one: Point, other: Point) -> Point:
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2


def _wall(
    sketch: PlanCanvas,
    piece: line_geometry.Segment,
    inner: line_geometry.Segment,
    outer: line_geometry.Segment,
    ends: tuple[bool, bool],
) -> None:
    """A straight piece of wall. Its sides are drawn, and its ends where it is cut or the chain ends."""
    shown = line_geometry.clip(piece, sketch.part.window)
    if shown is None:
        return
    out = line_geometry.left(line_geometry.unit(*inner))
    a, b = shown
    far_a = outer[0] if ends[0] and a == piece[0] else line_geometry.moved(a, out, WALL)
    far_b = outer[1] if ends[1] and b == piece[1] else line_geometry.moved(b, out, WALL)
    solid = sketch.outline((a, b, far_b, far_a), "WALL", Pen(0), hatch=Hatch(1.2))
    chain = along(
        sketch.at(_half_way(a, far_a)), sketch.at(_half_way(b, far_b)), sketch.view.length(WALL) / 2
    )
    if len(chain) > 1:  # the box round a slanting wall takes in half the lid
        sketch.items.append(solid)
        sketch.solid += chain
    else:
        sketch.symbol([solid])
    sides = [(a, b), (far_a, far_b)]
    sides += [(a, far_a)] if far_a == line_geometry.moved(a, out, WALL) else []
    sides += [(b, far_b)] if far_b == line_geometry.moved(b, out, WALL) else []
    for start, end in sides:
        line = LineSegment(sketch.at(start), sketch.at(end), layer="WALL", pen=BOLD, view=sketch.view)
        sketch.items.append(line)


def _door_in(thing: PlacedObstacle, wall: line_geometry.Segment) -> tuple[float, float] | None:
    """Stretch of a wall, from its start, that a door or window takes."""
    if thing.kind != "door glass" or len(thing.outline) < 3:
        return None
    along = line_geometry.unit(*wall)
    reach = [
        ((x - wall[0][0]) * along[0] + (y - wall[0][1]) * along[1],
         abs(-(x - wall[0][0]) * along[1] + (y - wall[0][1]) * along[0]))
        for x, y in thing.outline
    ]  # fmt: skip
    whole = hypot(wall[1][0] - wall[0][0], wall[1][1] - wall[0][1])
    low, high = max(0.0, min(r for r, _ in reach)), min(whole, max(r for r, _ in reach))
    on_wall = max(off for _, off in reach) < ON_WALL
    return (low, high) if on_wall and high - low > 0.1 else None


def _slider(sketch: PlanCanvas, wall: line_geometry.Segment, gap: tuple[float, float]) -> None:
    """Two leaves of glass that pass each other, in the thickness of the wall."""
    along = line_geometry.unit(*wall)
    out = line_geometry.left(along)
    low, high = gap
    middle, lap = (low + high) / 2, min(0.08, (high - low) / 10)
    drafts = []
    for start, end, near in ((low, middle + lap, 0.25), (middle - lap, high, 0.55)):
        a, b = line_geometry.moved(wall[0], along, start), line_geometry.moved(wall[0], along, end)
        corners = (
            line_geometry.moved(a, out, near * WALL), line_geometry.moved(b, out, near * WALL),
            line_geometry.moved(b, out, (near + 0.25) * WALL),
            line_geometry.moved(a, out, (near + 0.25) * WALL),
        )  # fmt: skip
        drafts.append(sketch.outline(corners, "OBST", MEDIUM, fill=WHITE))
    sketch.symbol(drafts)


def _beside(chain: list[Point]) -> Point:
    """A point just left of the chain's longest piece."""
    pieces = list(pairwise(chain))
    a, b = max(pieces, key=lambda p: hypot(p[1][0] - p[0][0], p[1][1] - p[0][1]))
    return line_geometry.moved(
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), line_geometry.left(line_geometry.unit(a, b)), 0.001
    )


def _inside(point: Point, outline: tuple[Point, ...]) -> bool:
    x, y = point
    inside = False
    for (x0, y0), (x1, y1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            inside = not inside
    return inside


# ------------------------------------------------------------------ framing


def _members(sketch: PlanCanvas, layout: Layout, runs: tuple[PlanRun, ...]) -> None:
    """Centre lines, but for those a joint lies on, and a solid bar where the tube crosses."""
    joints = {(j.run, round(j.joint.along, 4)) for j in layout.lid.joints}
    for member in layout.lid.members:
        if member.width > SOLID_LID:
            _slab(sketch, member)
            continue
        if member.along is None or (member.run, round(member.along, 4)) not in joints:
            sketch.stroke(*member.line, "FRAME", JOIST_PEN)
        for plan_run in runs:
            place = line_geometry.crossing(member.line, plan_run.tube)
            if place is not None and sketch.part.holds(place):
                width = sketch.view.length(member.width)
                sketch.items += symbols.joist_bar(sketch.at(place), width, plan_run.turn, sketch.view)


def _slab(sketch: PlanCanvas, member: Member) -> None:
    across = line_geometry.left(line_geometry.unit(*member.line))
    a, b = member.line
    half = member.width / 2
    ends = [line_geometry.moved(p, across, s) for p, s in ((a, half), (b, half), (b, -half), (a, -half))]
    shown = line_geometry.clip_shape(ends, sketch.part.window)
    if shown:
        sketch.items.append(sketch.outline(shown, "FRAME", THIN, hatch=Hatch(2.4, 135.0)))


def joint_names(
    sketch: PlanCanvas, layout: Layout, runs: tuple[PlanRun, ...], locale: Locale
) -> list[tuple[str, ...]]:
    """Name and distance in each joint's line, as near the house as is free; else beside an end of it. Returns
    those that found no room."""
    homeless: list[tuple[str, ...]] = []
    for joint in layout.lid.joints:
        along = joint.joint.along
        of = next(plan_run for plan_run in runs if plan_run.run.name == joint.run)
        own = sketch.part.run in ("", joint.run) and SAME < along < of.run.length - SAME
        key = (
            "paper.joint" if own else "paper.joint_of"
        )  # beside another run it would be read on that one's tape
        told = locale.in_cell(along).replace("\n", " ")
        name = fitted((locale.label(key, name=joint.joint.name, run=joint.run, along=told),), 0)[0]
        shown = line_geometry.clip(joint.line, sketch.part.window)
        if shown is None or _name_in_line(sketch, joint, shown, name, of.house):
            continue
        if not _name_at_end(sketch, shown, name) and sketch.zone is not None:
            homeless.append((name,))
    return homeless


def _name_at_end(sketch: PlanCanvas, shown: line_geometry.Segment, name: str) -> bool:
    for end in shown:
        (placed,) = sketch.place([tag_of(sketch.at(end), 1.0, [name], 0)])
        if placed is not None:
            sketch.label(placed, [name], "JOINT", 0)
            return True
    return False


def _name_in_line(
    sketch: PlanCanvas, joint: JointLine, shown: line_geometry.Segment, name: str, house: Point
) -> bool:
    toward = line_geometry.unit(*joint.line)
    ends = shown if toward[0] * house[0] + toward[1] * house[1] > 0 else shown[::-1]
    inward = line_geometry.unit(ends[1], ends[0])
    turn = 90.0 if abs(inward[1]) > 0.5 else 0.0
    up = (-1.0, 0.0) if turn else (0.0, 1.0)
    for text in _tries(sketch, ends, inward, turn, up, name):
        if sketch.free(text.box()):
            sketch.write(text)
            return True
    return False


def _tries(
    sketch: PlanCanvas, ends: line_geometry.Segment, inward: Point, turn: float, up: Point, name: str
) -> Iterator[Text]:
    top, low = sketch.at(ends[1]), sketch.at(ends[0])
    room = hypot(top[0] - low[0], top[1] - low[1])
    blank = Text((0, 0), name, turn=turn, layer="JOINT", view=sketch.view)
    step = 2.5
    while step + blank.width < room - 4.0:
        x, y = line_geometry.moved(top, inward, step + blank.width / 2)
        at = (x - up[0] * 1.25, y - up[1] * 1.25)
        yield Text(at, name, turn=turn, align="middle", mask=True, layer="JOINT", view=sketch.view)
        step += 2.5
