"""The ceilings as they lie, in the model space of a DXF: for an architect to lay the house over.

Each patio in its own coordinates, the next one beside it. Layers begin with MIST-. Marks, lights, seats and
runs are blocks with attributes (NAME, HEIGHT, STUB, ...); `files.plan_drawing` reads them again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import atan2, degrees, fmod, hypot
from typing import Any

from mistcalc.drawing.boxes import Point, around
from mistcalc.model.lid_heights import run_heights
from mistcalc.model.project import Patio
from mistcalc.model.results import JointLine, Layout, PlacedObstacle
from mistcalc.units import System, spell

APART = 3.0  # m, between two patios
TEXT = 0.1  # m, height of a name
BLOCKS = ("MIST_MARK", "MIST_BOX", "MIST_ROUND", "MIST_POINT", "MIST_RUN", "MIST_NORTH")
THIN = 1e-6  # m: a block of no size is none
MARK = 0.0125  # m, half of a mark's cross


@dataclass(frozen=True)
class TruePlan:
    """One patio as laid. heading: of +x, rad clockwise from north; None: nobody said."""

    patio: Patio
    layout: Layout
    heading: float | None


def draw_true_plans(
    doc: Any, plans: Sequence[TruePlan], millimetres: float, plain: Callable[[str], str]
) -> float:
    """Draws them; returns how far right they reach, in units of the drawing. millimetres: in one unit."""
    _blocks(doc, 1000.0 / millimetres)
    right = 0.0
    for plan in plans:
        lid = plan.layout.lid
        points = [*lid.outline, *(p for screen in lid.screens for p in screen.line)]
        if not points:
            continue
        box = around(points)
        aside = right + APART - box.left if right else 0.0
        _PlanDrawer(doc, plan, 1000.0 / millimetres, aside, plain).draw()
        right = box.right + aside
    return right * 1000.0 / millimetres


def _blocks(doc: Any, per_metre: float) -> None:
    for name in BLOCKS:
        doc.blocks.new(name)
    mark, cross = doc.blocks.get("MIST_MARK"), MARK * per_metre
    mark.add_circle((0, 0), cross)
    for end in ((2 * cross, 0), (0, 2 * cross)):
        mark.add_line((-end[0], -end[1]), end)
    doc.blocks.get("MIST_BOX").add_lwpolyline(
        [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)], close=True
    )
    doc.blocks.get("MIST_ROUND").add_circle((0, 0), 0.5)
    doc.blocks.get("MIST_POINT").add_point((0, 0))
    arm = 0.15 * per_metre
    doc.blocks.get("MIST_RUN").add_lwpolyline([(0, 0), (arm, -arm), (-arm, -arm)], close=True)
    north = doc.blocks.get("MIST_NORTH")
    north.add_line((0, 0), (0, 5 * arm))
    north.add_lwpolyline([(-arm, 3 * arm), (0, 5 * arm), (arm, 3 * arm)])


class _PlanDrawer:
    def __init__(
        self, doc: Any, plan: TruePlan, per_metre: float, aside: float, plain: Callable[[str], str]
    ) -> None:
        self.doc, self.space, self.plan = doc, doc.modelspace(), plan
        self.per_metre, self.aside, self.plain = per_metre, aside, plain
        self.system: System = "us" if per_metre < 10 else "metric"

    def draw(self) -> None:
        lid, patio = self.plan.layout.lid, self.plan.patio
        edge = [run.edge[0] for run in lid.runs] + ([] if patio.is_ring else [lid.runs[-1].edge[1]])
        self.line("EDGE", edge, patio.is_ring)
        for loop in lid.loops:
            self.line("OUTLINE", loop, True)
        for layer, lines in (
            ("WALL", lid.walls),
            ("JOIST", [member.line for member in lid.members]),
            ("JOINT", [joint.line for joint in lid.joints]),
            ("TUBE", [row.tube for row in lid.rows]),
            ("SCREEN-WALL", [screen.line for screen in lid.screens]),
        ):
            for ends in lines:
                self.line(layer, ends, False)
        for number in range(len(patio.runs)):
            self.run(number)
        self.things()
        self.marks()
        if self.plan.heading is not None:
            low = around(lid.outline)
            turn = degrees(self.plan.heading) - 90.0  # north on the paper, counter-clockwise from up
            self.block("MIST_NORTH", "NORTH", (low.left - 1.0, low.bottom - 1.0), {"NAME": "N"}, turn=turn)

    def at(self, point: Point) -> Point:
        return round((point[0] + self.aside) * self.per_metre, 6), round(point[1] * self.per_metre, 6)

    def layer(self, name: str) -> str:
        full = f"MIST-{name}"
        if full not in self.doc.layers:
            self.doc.layers.add(full, color=7, linetype="CONTINUOUS", lineweight=25)
        return full

    def line(self, layer: str, points: Sequence[Point], closed: bool) -> None:
        style = {"layer": self.layer(layer)}
        self.space.add_lwpolyline([self.at(p) for p in points], close=closed, dxfattribs=style)

    def block(
        self,
        name: str,
        layer: str,
        point: Point,
        said: dict[str, str],
        size: tuple[float, float] | None = None,
        turn: float = 0.0,
    ) -> None:
        style: dict[str, Any] = {"layer": self.layer(layer), "rotation": turn}
        if size is not None:
            style |= {"xscale": size[0] * self.per_metre, "yscale": size[1] * self.per_metre}
        made = self.space.add_blockref(name, self.at(point), dxfattribs=style)
        x, y = self.at(point)
        height = TEXT * self.per_metre
        for n, (tag, text) in enumerate((tag, text) for tag, text in said.items() if text):
            place = (x + height, y + height - n * 1.5 * height)
            attribute = made.add_attrib(
                tag, self.plain(text), place, {"height": height, "layer": style["layer"]}
            )
            attribute.is_invisible = tag != "NAME"

    def spelled(self, metres: float) -> str:
        return spell(metres, "length", self.system)

    def lies(self, name: str, run: str, along: float, back: float) -> dict[str, str]:
        return {"NAME": name, "RUN": run, "ALONG": self.spelled(along), "BACK": self.spelled(back)}

    def run(self, number: int) -> None:
        patio, line = self.plan.patio, self.plan.layout.lid.runs[number]
        run, heading = patio.runs[number], self.plan.heading
        said = {
            "NAME": run.name,
            "PATIO": patio.name,
            "DATUM": run.datum.end,
            "SURFACE": run.datum.surface,
            "SECOND": run.datum.second,
            "HEIGHT": self.spelled(run_heights(patio)[number][0]),
            "LENGTH": self.spelled(run.length),
            "DEPTH": self.spelled(patio.depths_over(number)[0]),
            "DEPTH_AT_END": "" if run.depth_at_end is None else self.spelled(run.depth_at_end),
            "BEND": spell(run.bend, "angle", self.system) if run.bends else "",
            "BACK": patio.back,
            "RISE": self.spelled(run.rise) if run.rise else "",
            "JOIST_WIDTH": self.spelled(run.framing.width),
            "JOIST_DEPTH": self.spelled(run.framing.depth),
            "BEARING": ""
            if heading is None or number
            else f"{round(fmod(degrees(heading - patio.tilt), 360.0), 6) + 0.0:g}",
        }
        self.block("MIST_RUN", "RUN", line.datum_point, said)

    def things(self) -> None:
        lid = self.plan.layout.lid
        seats = {each.name: each for each in self.plan.patio.seats}
        stated = {each.name: each for each in self.plan.patio.obstacles}
        for thing in lid.obstacles:
            as_stated = stated[thing.name]
            said = {
                **self.lies(thing.name, thing.run, thing.along, thing.back),
                "WIDE": self.spelled(as_stated.size[0]),
                "DEEP": self.spelled(as_stated.size[1]),
                "CLEARANCE": self.spelled(thing.clearance),
            }
            if as_stated.air_speed is not None:
                said["AIR_SPEED"] = spell(as_stated.air_speed, "speed", self.system)
            layer = thing.kind.upper().replace(" ", "-")
            wide, tall, turn = self.lain(thing)
            shape = "MIST_ROUND" if thing.kind in ("light", "fan") else "MIST_BOX"
            self.block(shape, layer, thing.point, said, (max(wide, THIN), max(tall, THIN)), turn)
        asked = {(run.name, joint.name) for run in self.plan.patio.runs for joint in run.joints}
        for each in (joint for joint in lid.joints if (joint.run, joint.joint.name) in asked):
            said = {"NAME": each.joint.name, "RUN": each.run, "ON": each.joint.on}
            said["ALONG"] = self.spelled(each.joint.along)
            self.block("MIST_POINT", "JOINT-NAME", self.middle(each), said)
        for seat in lid.seats:
            at = seats[seat.name]
            said = self.lies(seat.name, seat.run, at.along, at.back)
            self.block("MIST_POINT", "SEAT", seat.point, said)

    def lain(self, thing: PlacedObstacle) -> tuple[float, float, float]:
        """How wide and tall a thing is as its block is drawn, and how far that is turned [deg]."""
        if thing.radius is not None:
            return 2 * thing.radius, 2 * thing.radius, 0.0
        (x0, y0), (x1, y1), (x2, y2), _ = thing.outline
        if min(abs(x1 - x0), abs(y1 - y0)) < THIN and min(abs(x2 - x1), abs(y2 - y1)) < THIN:
            box = around(thing.outline)
            return box.width, box.height, 0.0
        ahead = self.ahead(thing.run)
        return hypot(x1 - x0, y1 - y0), hypot(x2 - x1, y2 - y1), degrees(atan2(ahead[1], ahead[0]))

    def ahead(self, run: str) -> Point:
        line = next(each for each in self.plan.layout.lid.runs if each.name == run)
        (x0, y0), (x1, y1) = line.edge
        size = hypot(x1 - x0, y1 - y0)
        return (x1 - x0) / size, (y1 - y0) / size

    def middle(self, joint: JointLine) -> Point:
        """Of its line, square to its run: at a bend the line itself leans."""
        ((x0, y0), (x1, y1)), (ax, ay) = joint.line, self.ahead(joint.run)
        back = -(x1 - x0) * ay + (y1 - y0) * ax
        return x0 - back / 2 * ay, y0 + back / 2 * ax

    def marks(self) -> None:
        for mark in self.plan.layout.marks:
            said = {
                "NAME": mark.name,
                "RUN": mark.run,
                "ALONG": self.spelled(round(mark.along, 9)),
                "HEIGHT": self.spelled(round(mark.height, 9)),
                "STUB": self.spelled(round(mark.stub_nominal, 9)),
            }
            self.block("MIST_MARK", "MARK", mark.point, said)
