"""The reflected ceiling plan of one patio, at exact scale: one sheet or, where none fits, a run a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from mistcalc.drawing import frame, symbols
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import SCALES_METRIC, SCALES_US, Paper
from mistcalc.drawing.labels import Tag
from mistcalc.drawing.sheet import BOLD, View
from mistcalc.model.project import Patio
from mistcalc.model.results import Design, Layout
from mistcalc.report import lid_sketch, paths, run_sketch
from mistcalc.report.leaf import Leaf
from mistcalc.report.lie import Lie, Part, lies, stretches, whole
from mistcalc.report.noted import Noted
from mistcalc.report.plan_notes import plan_notes
from mistcalc.report.sketch import Sketch
from mistcalc.report.subjects import Numbered, numbered
from mistcalc.report.voice import Voice

PAD = 5.0  # from the frame to the drawing [mm]
MOST_PARTS = 40  # sheets one run may take
MATCH_PEN = BOLD._replace(dash=(8.0, 2.0, 2.0, 2.0))


def plan_leaves(design: Design, patio: Patio, paper: Paper, voice: Voice) -> tuple[Leaf, ...]:
    """The plan of one patio. Every mark stands on exactly one sheet."""
    layout = design.layout_of(patio.name)
    plan = _Plan(design, patio, layout, lies(patio, layout), numbered(design, patio.name), paper, voice)
    leaf = plan.leaf(whole(plan.runs, patio))
    if leaf is not None:
        return (leaf,)
    return tuple(one for lie in plan.runs for one in plan.run_leaves(lie))


class _Plan:
    """What all sheets of one patio's plan share."""

    def __init__(
        self, design: Design, patio: Patio, layout: Layout, runs: tuple[Lie, ...],
        findings: tuple[Numbered, ...], paper: Paper, voice: Voice,
    ) -> None:  # fmt: skip
        self.design, self.patio, self.layout, self.runs = design, patio, layout, runs
        self.findings, self.paper, self.voice = findings, paper, voice
        metric = voice.units == "metric"
        self.scales: Sequence[int] = sorted(SCALES_METRIC if metric else SCALES_US)

    def run_leaves(self, lie: Lie) -> tuple[Leaf, ...]:
        """The fewest sheets one run needs, at the largest scale they allow."""
        for count in range(1, MOST_PARTS):
            made = [self.leaf(part) for part in stretches(lie, self.patio, count)]
            if all(made):
                return tuple(leaf for leaf in made if leaf is not None)
        smallest = self.scales[
            -1
        ]  # a lid far deeper than any sheet: shown from its open edge as far as it goes
        parts = stretches(lie, self.patio, max(1, ceil(lie.run.length * 1000 / smallest / 200)))
        cut = [self.draw(part, smallest, cut=True) for part in parts]
        return tuple(leaf for leaf in cut if leaf is not None)

    def leaf(self, part: Part) -> Leaf | None:
        """The sheet of a part at the largest usual scale at which drawing and title fit; None: none does."""
        for scale in self.scales:
            zone = self.paper.zone.grown(-PAD)
            box = part.window
            if frame.choose_scale(box.width, box.height, (zone.width, zone.height), (scale,)) is None:
                continue
            extent = self.sketch(part, View("plan", scale), None).extent()
            if extent.width > zone.width or extent.height > zone.height:
                continue
            made = self.draw(part, scale, extent=extent)
            if made is not None:
                return made
        return None

    def draw(self, part: Part, scale: int, extent: Box | None = None, cut: bool = False) -> Leaf | None:
        zone = self.paper.zone.grown(-PAD)
        if extent is None:
            extent = self.sketch(part, View("plan", scale), None).extent()
        view = View(self._view_name(part), scale, (zone.left - extent.left, zone.top - extent.top))
        sketch = self.sketch(part, view, zone)
        taken = [*sketch.solid, *sketch.written, *sketch.ground]
        noted = Noted(self.design, self.patio, self.runs, part, self.findings, scale, sketch, self.voice)
        notes = plan_notes(noted, zone, taken, self.paper)
        if notes is None and not cut:
            return None
        title = self.voice.label("paper.plan_short")
        return Leaf(
            self.paper, title, (*sketch.items, *(notes.items if notes else ())), self.patio.name,
            scale=f"1:{scale}", left_over=notes.left_over if notes else (), kind="plan",
        )  # fmt: skip

    def _view_name(self, part: Part) -> str:
        return f"plan {self.patio.name} {part.run} {part.number}".strip()

    def sketch(self, part: Part, view: View, zone: Box | None) -> Sketch:
        """All but the notes. What must stand in its place comes first, then what may look for one."""
        sketch = Sketch(view, part, zone)
        shown = [lie for lie in self.runs if part.run in ("", lie.run.name)]
        lid_sketch.draw_lid(sketch, self.patio, self.layout, self.runs, self.voice)
        for lie in self.runs:
            run_sketch.draw_tube(sketch, lie, self.design.project.plumbing, self.voice)
        for lie in shown:
            run_sketch.draw_marks(sketch, lie)
        for lie in shown:
            run_sketch.name_marks(sketch, lie)
            self._blocked(sketch, lie)
        self._cuts(sketch, part)
        sketch.ladders = {
            lie.run.name: run_sketch.draw_ladder(sketch, lie, self.patio.depth, self.voice) for lie in shown
        }
        lid_sketch.joint_names(sketch, self.layout, self.runs, self.voice)
        self._warn(sketch, part)
        sketch.homeless = lid_sketch.name_things(sketch, self.patio, self.layout, self.voice)
        return sketch

    def _blocked(self, sketch: Sketch, lie: Lie) -> None:
        """A bracket behind the names over each stretch that can take no mark."""
        for stretch in self.layout.blocked:
            if stretch.run != lie.run.name:
                continue
            tube = paths.moved(lie.datum, lie.house, lie.line.back)
            ends = [paths.moved(tube, lie.ahead, along) for along in (stretch.start, stretch.end)]
            shown = paths.clip((ends[0], ends[1]), sketch.part.window)
            if shown is not None:
                a, b = (paths.moved(sketch.at(end), lie.house, 13.5) for end in shown)
                toward = run_sketch.angle((-lie.house[0], -lie.house[1]))
                sketch.symbol(symbols.blocked(a, b, toward, view=sketch.view))

    def _cuts(self, sketch: Sketch, part: Part) -> None:
        """The lines where one sheet of a long run ends and the next begins."""
        if not part.run:
            return
        lie = next(lie for lie in self.runs if lie.run.name == part.run)
        for along, cut in ((part.start, part.number > 1), (part.end, part.number < part.of)):
            if cut:
                edge = paths.moved(lie.datum, lie.ahead, along)
                low, high = (
                    paths.moved(edge, lie.house, -0.3),
                    paths.moved(edge, lie.house, self.patio.depth + 0.3),
                )
                sketch.stroke(low, high, "NOTE", MATCH_PEN, 0.5)
                words = [self.voice.label("paper.match", along=along, run=lie.run.name)]
                (placed,) = sketch.place([run_sketch.tag_of(sketch.at(high), 1.0, words)])
                if placed is not None:
                    sketch.label(placed, words, "NOTE")

    def _warn(self, sketch: Sketch, part: Part) -> None:
        """Numbered triangles at things and marks, and a black STOP at each hole that must not be drilled."""
        marks = {mark.name: mark for mark in self.layout.marks if part.shows(mark)}
        things = {thing.name: thing.point for thing in self.layout.lid.obstacles}
        word = self.voice.label("paper.stop")
        signs: list[tuple[Tag, Numbered]] = []
        for one in self.findings:
            if not one.look:
                continue
            if one.stop and one.marks:
                wide = symbols.stop((0, 0), one.number, word)[0].box().width
                signs += [
                    (Tag(sketch.at(marks[name].point), 2.6, wide, 4.6), one)
                    for name in one.marks
                    if name in marks
                ]
                continue
            places = [things[one.thing]] if one.thing in things else []
            places += [marks[name].point for name in one.marks[:1] if name in marks and not places]
            for point in places[:1]:
                if sketch.part.holds(point):
                    box = symbols.warning((0, 0), one.number)[0].box()
                    signs.append((Tag(sketch.at(point), 2.4, box.width + 1.0, box.height + 1.0), one))
        for (tag, one), placed in zip(signs, sketch.place([tag for tag, _ in signs]), strict=True):
            at = placed.box.middle if placed is not None else None
            if at is not None and tag.height == 4.6 and one.stop and one.marks:
                sketch.items += symbols.stop(at, one.number, word, sketch.view)
            elif at is not None:
                sketch.items += symbols.warning(at, one.number, sketch.view)
