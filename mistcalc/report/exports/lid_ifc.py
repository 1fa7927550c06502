"""The patio ceilings as IFC4: the underside at framing, every mark as a flow terminal whose body is its stub,
the tube of each run as a pipe segment.

A patio has a placement of its own, in which everything is where the Layout has it; a patio more is turned to
north as the first is and stands beside it, for nobody says how they lie to each other. Identifiers come from
names: a mark that moves stays the same mark.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from mistcalc.drawing.ifc import IfcModel, Place
from mistcalc.model.lid_heights import height_at, run_heights
from mistcalc.model.project import Patio, Tube
from mistcalc.model.results import Design, Layout, Mark, RunLine
from mistcalc.model.run_extents import slants

Point = tuple[float, float]
Faces = list[list[list[Place]]]

APART = 3.0  # m, between two patios
LEAST = 0.001  # m: a body of no size is none


@dataclass(frozen=True)
class _PatioPlace:
    """Where a patio stands in the model: moved along x, turned counter-clockwise."""

    patio: Patio
    layout: Layout
    turn: float
    aside: float = 0.0

    def turned(self, point: Point) -> Point:
        c, s = math.cos(self.turn), math.sin(self.turn)
        return c * point[0] - s * point[1], s * point[0] + c * point[1]


def lid_model(design: Design) -> bytes:
    project = design.project
    stated = "place.bearing" not in project.assumed
    heading = project.heading(project.patios[0].name)
    north = (math.cos(heading), math.sin(heading)) if stated else None
    model = IfcModel(project.name, project.revision.date, north)
    model.properties(model.site, "MistPlan", (), {"SetCode": design.code, "TrueNorthStated": stated})
    wet = [thing for place in _places(design) for thing in _Patio(model, design, place).draw()]
    if wet:
        model.carry_water(wet, "mist line")
    return model.text().encode()


def _places(design: Design) -> Iterator[_PatioPlace]:
    project, right = design.project, None
    first = project.heading(project.patios[0].name)
    for patio in project.patios:
        layout, turn = design.layout_of(patio.name), first - project.heading(patio.name)
        place = _PatioPlace(patio, layout, turn)
        across = [place.turned(point)[0] for point in layout.lid.outline] or [0.0]
        aside = 0.0 if right is None else right + APART - min(across)
        right = aside + max(across)
        yield _PatioPlace(patio, layout, turn, aside)


class _Patio:
    def __init__(self, model: IfcModel, design: Design, place: _PatioPlace) -> None:
        self.model, self.design = model, design
        self.patio, self.layout = place.patio, place.layout
        ahead = (*place.turned((1.0, 0.0)), 0.0)
        self.stands = model.placed(model.storey.ObjectPlacement, (place.aside, 0.0, 0.0), ahead=ahead)

    def draw(self) -> list[Any]:
        """Draws it; returns what carries water."""
        lid = self.model.rooted(
            "IfcCovering",
            self.patio.name,
            Name=self.patio.name,
            ObjectType="patio ceiling at framing",
            ObjectPlacement=self.model.placed(self.stands),
            Representation=self.model.surface(_faces(self.patio, self.layout)),
            PredefinedType="CEILING",
        )
        wet = [self.tube(run) for run in self.layout.lid.rows]
        wet += [self.mark(mark) for mark in self.layout.marks]
        self.model.on_storey(self.patio.name, [lid, *wet])
        return wet

    def mark(self, mark: Mark) -> Any:
        tube, stub = self.tube_of(mark.run), max(mark.stub_nominal, LEAST)
        made = self.model.rooted(
            "IfcFlowTerminal",
            self.patio.name,
            mark.name,
            Name=mark.name,
            ObjectType="mist nozzle",
            Tag=mark.name,
            ObjectPlacement=self.model.placed(self.stands, (*mark.point, mark.height)),
            Representation=self.model.rod(tube.outside / 2, -stub, self.above(mark.run) or 0.0),
        )
        lengths = {
            "AlongFromDatum_m": mark.along,
            "AlongFromFinishedFace_m": mark.along_finished,
            "BackFromEdge_m": mark.back,
            "FramingAboveFloor_m": mark.height,
            "StubBelowFraming_m": mark.stub_nominal,
            "StubBelowFramingLeast_m": mark.stub_min,
            "StubBelowFramingMost_m": mark.stub_max,
        }
        texts = {"Mark": mark.name, "Patio": mark.patio, "Run": mark.run}
        self.model.properties(made, "MistMark", (self.patio.name, mark.name), {**texts, **lengths})
        return made

    def tube(self, run: RunLine) -> Any:
        n = self.patio.number_of(run.name)
        tube, above = self.tube_of(run.name), self.above(run.name)
        first, last = ((*end, self.height(run, n, end) + (above or 0.0)) for end in run.tube)
        long = math.dist(first, last)
        along = ((last[0] - first[0]) / long, (last[1] - first[1]) / long, (last[2] - first[2]) / long)
        made = self.model.rooted(
            "IfcPipeSegment",
            self.patio.name,
            run.name,
            Name=run.name,
            ObjectType="mist tube",
            ObjectPlacement=self.model.placed(self.stands, first, up=along, ahead=(-along[1], along[0], 0.0)),
            Representation=self.model.rod(tube.outside / 2, 0.0, long, wall=tube.wall),
            PredefinedType="RIGIDSEGMENT",
        )
        called = (self.patio.name, run.name)
        known = {} if above is None else {"AboveFraming_m": above}
        lengths = {"Length_m": run.tube_length, "BackFromEdge_m": run.back, "Wall_m": tube.wall, **known}
        texts = {"Run": run.name, "Patio": self.patio.name, "Material": tube.material}
        self.model.properties(made, "MistTube", called, {**texts, **lengths})
        sizes = {"NominalDiameter": tube.outside, "InnerDiameter": tube.bore, "OuterDiameter": tube.outside}
        standard = "Pset_PipeSegmentTypeCommon"
        self.model.properties(made, standard, called, sizes, kind="IfcPositiveLengthMeasure")
        return made

    def tube_of(self, run: str) -> Tube:
        plumbing = self.design.project.plumbing
        return plumbing.tube_on(run)

    def above(self, run: str) -> float | None:
        """Of the tube, over the underside of framing, where it goes through wood; None: nobody says."""
        bores = self.design.carpentry.bores
        return next((b.up for b in bores if (b.patio, b.run) == (self.patio.name, run)), None)

    def height(self, run: RunLine, n: int, point: Point) -> float:
        """Floor to framing over a place of a run."""
        (x0, y0), (x1, y1) = run.edge
        from_start = ((point[0] - x0) * (x1 - x0) + (point[1] - y0) * (y1 - y0)) / math.dist(*run.edge)
        return height_at(self.patio, n, from_start)


def _faces(patio: Patio, layout: Layout) -> Faces:
    """A level lid as one face, with what a ring leaves open cut out; a sloping one a face a run."""
    if not any(run.rise for run in patio.runs):
        loops = sorted(map(_plain, layout.lid.loops), key=lambda loop: -abs(_area(loop)))
        return [[[(x, y, patio.height) for x, y in loop] for loop in loops]]
    faces: Faces = []
    for n, (run, (low, high)) in enumerate(zip(layout.lid.runs, run_heights(patio), strict=True)):
        (x0, y0), (x1, y1) = run.edge
        size, (start, end) = math.dist(*run.edge), patio.depths_over(n)
        ax, ay = (x1 - x0) / size, (y1 - y0) / size
        past = slants(patio, n)
        here = x0 + past[0] * -start * ax - start * ay, y0 + past[0] * -start * ay + start * ax, low
        there = x1 + past[1] * end * ax - end * ay, y1 + past[1] * end * ay + end * ax, high
        first, last = (x0, y0, low), (x1, y1, high)
        # round a bend the four corners of a slope lie in no plane: two of them rise past the run's ends
        level = not any(past)
        faces += [[[first, last, there, here]]] if level else [[[first, last, there]], [[first, there, here]]]
    return faces


def _plain(loop: Sequence[Point]) -> list[Point]:
    """Without places that stand twice in a row."""
    return [place for n, place in enumerate(loop) if math.dist(place, loop[n - 1]) > 1e-6]


def _area(loop: Sequence[Point]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)) / 2
