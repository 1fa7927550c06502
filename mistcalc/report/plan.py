"""The reflected ceiling plan of one patio, at exact scale: one sheet or, where none fits, a run a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from mistcalc.drawing import frame, symbols
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.frame import SCALES_METRIC, SCALES_US, Paper
from mistcalc.drawing.labels import Tag
from mistcalc.drawing.sheet import BOLD, Item, View
from mistcalc.model.project import Patio
from mistcalc.model.results import Design, Finding, Layout
from mistcalc.report import lid_sketch, paths, run_sketch
from mistcalc.report.leaf import Leaf
from mistcalc.report.lie import Lie, Part, lies, stretches, whole
from mistcalc.report.noted import Noted
from mistcalc.report.plan_notes import plan_notes
from mistcalc.report.run_sketch import short_name
from mistcalc.report.screens import near
from mistcalc.report.screens_on_plan import draw_screens, name_screens
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
    leaf = plan.leaf(whole(plan.runs, patio, [end for one in near(layout) for end in one.line]))
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
        draw_screens(sketch, self.layout)
        for lie in self.runs:
            run_sketch.draw_tube(sketch, lie, self.design.project.plumbing, self.voice)
        for lie in shown:
            run_sketch.draw_marks(sketch, lie)
        for lie in shown:
            run_sketch.name_marks(sketch, lie)
            self._blocked(sketch, lie)
        self._cuts(sketch, part)
        drawn = [run_sketch.draw_ladder(sketch, lie, self.voice) for lie in shown]
        sketch.ladders = {lie.run.name: how for lie, (how, _) in zip(shown, drawn, strict=True)}
        for lie, (_, out) in zip(shown, drawn, strict=True):
            run_sketch.draw_datum(sketch, lie, out, self.patio.depth, self.voice)
        joints = lid_sketch.joint_names(sketch, self.layout, self.runs, self.voice)
        stops = self._warn(sketch, part)
        things = lid_sketch.name_things(sketch, self.patio, self.layout, self.voice)
        beside = name_screens(sketch, self.layout, self.voice)
        sketch.homeless = [*stops, *joints, *things, *beside]
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

    def _warn(self, sketch: Sketch, part: Part) -> list[tuple[str, ...]]:
        """Numbered triangles at things and marks, and a black STOP with its name at each hole that must not
        be drilled; a line leads from one that stands off its mark. Returns what found no room."""
        marks = {mark.name: mark for mark in self.layout.marks if part.shows(mark)}
        things = {thing.name: thing.point for thing in self.layout.lid.obstacles}
        signs: list[tuple[Point, str, int]] = []  # where, what a STOP says ("": a triangle), its number
        for name, numbers in self._stopped().items():
            if name in marks:
                signs.append((marks[name].point, f"{', '.join(map(str, numbers))}: {short_name(name)}", 0))
        for one in self.findings:
            if not one.look or (one.stop and one.marks):
                continue
            places = [things[one.thing]] if one.thing in things else []
            places += [marks[name].point for name in one.marks[:1] if name in marks and not places]
            places = places or self._in_panel(one.finding)
            signs += [(point, "", one.number) for point in places[:1] if sketch.part.holds(point)]
        tags = [self._tag(sketch, sign) for sign in signs]
        homeless: list[tuple[str, ...]] = []
        for (point, says, number), tag, placed in zip(signs, tags, sketch.place(tags), strict=True):
            if placed is not None:
                sketch.lead(sketch.at(point), tag.reach, placed.box, "WARN")
                sketch.items += self._sign(placed.box.middle, says, number, sketch.view)
            elif says and sketch.zone is not None:
                homeless.append((f"{self.voice.label('paper.stop')} {says}",))
        return homeless

    def _in_panel(self, finding: Finding) -> list[Point]:
        """Where a sign stands for what is neither a mark nor a thing: a plaster panel, a missing joint."""
        lie = next((lie for lie in self.runs if lie.run.name == finding.value("run")), None)
        along = finding.value("spot")
        if lie is None or not isinstance(along, float):
            return []
        return [paths.moved(paths.moved(lie.datum, lie.ahead, along), lie.house, 0.6 * self.patio.depth)]

    def _stopped(self) -> dict[str, list[int]]:
        """Marks that must not be drilled, with the numbers of what is wrong there."""
        out: dict[str, list[int]] = {}
        for one in self.findings:
            for name in one.marks if one.look and one.stop else ():
                out.setdefault(name, []).append(one.number)
        return out

    def _sign(self, at: Point, says: str, number: int, view: View | None = None) -> list[Item]:
        if says:
            return symbols.stop(at, says, self.voice.label("paper.stop"), view)
        return symbols.warning(at, number, view)

    def _tag(self, sketch: Sketch, sign: tuple[Point, str, int]) -> Tag:
        point, says, number = sign
        box = self._sign((0.0, 0.0), says, number)[0].box()
        if says:
            return Tag(sketch.at(point), 2.6, box.width, box.height)
        return Tag(sketch.at(point), 2.4, box.width + 1.0, box.height + 1.0)
