"""The reflected ceiling plan of one patio, at exact scale: one sheet or, where none fits, a run a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import NamedTuple

from mistcalc.drawing import fonts, frame, line_geometry, symbols
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.frame import SCALES_METRIC, SCALES_US, PaperSize
from mistcalc.drawing.labels import Tag
from mistcalc.drawing.sheet import BOLD, Item, View
from mistcalc.model.project import Patio
from mistcalc.model.results import Design, Finding, Layout
from mistcalc.report.builder import (
    ceiling_on_plan,
    letters_on_plan,
    marks_on_plan,
    revision_on_plan,
    runs_on_plan,
    things_on_plan,
)
from mistcalc.report.builder.marks_on_plan import short_name
from mistcalc.report.builder.plan_canvas import PlanCanvas, lines_on
from mistcalc.report.builder.plan_notes import place_notes
from mistcalc.report.builder.plan_notes_input import PlanNotesInput
from mistcalc.report.builder.runs_in_plan import (
    PlanRun,
    PlanWindow,
    plan_runs,
    run_windows,
    whole_plan_window,
)
from mistcalc.report.builder.screens_on_plan import draw_screens, name_screens
from mistcalc.report.common.findings_by_reader import NumberedFinding, numbered
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.screens import drawable_screens
from mistcalc.report.common.sheet_draft import SheetDraft

PAD = 5.0  # from the frame to the drawing [mm]
BRACKETS = (13.5, 16.0, 18.5, 21.0, 23.5, 26.0, 31.0, 36.0, 41.0)  # from the tube to one [mm]
MOST_PARTS = 40  # sheets one run may take
CUT_WORDS = 36.0  # mm: what a cut says, in lines, where it has no room in one
BESIDE_STRIP = 100.0  # mm of a sheet beside a strip of the lid, for numbers and title
MATCH_PEN = BOLD._replace(dash=(8.0, 2.0, 2.0, 2.0))


def plan_sheets(design: Design, patio: Patio, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """The plan of one patio. Every mark stands on exactly one sheet."""
    layout = design.layout_of(patio.name)
    plan = _Plan(
        design,
        patio,
        layout,
        plan_runs(patio, layout, design.line),
        numbered(design, patio.name),
        paper,
        locale,
    )
    whole = plan.leaf(
        whole_plan_window(
            plan.runs, patio, [end for screen in drawable_screens(layout) for end in screen.line]
        )
    )
    if whole is not None:
        return (whole.draft,)
    return tuple(run_leave for plan_run in plan.runs for run_leave in plan.run_leaves(plan_run))


class _DrawnPlan(NamedTuple):
    """A sheet, and of how many things it has no room for name or distance."""

    draft: SheetDraft
    unplaced: int


class _Plan:
    """What all sheets of one patio's plan share."""

    def __init__(
        self, design: Design, patio: Patio, layout: Layout, runs: tuple[PlanRun, ...],
        findings: tuple[NumberedFinding, ...], paper: PaperSize, locale: Locale,
    ) -> None:  # fmt: skip
        self.design, self.patio, self.layout, self.runs = design, patio, layout, runs
        self.findings, self.paper, self.locale = findings, paper, locale
        metric = locale.units == "metric"
        self.scales: Sequence[int] = sorted(SCALES_METRIC if metric else SCALES_US)

    def run_leaves(self, plan_run: PlanRun) -> tuple[SheetDraft, ...]:
        """The fewest sheets one run needs, at the largest scale they allow; one more where that shows more
        of what hangs there with its name."""
        zone, smallest = self.paper.zone.grown(-PAD), self.scales[-1]
        across = zone.height if abs(plan_run.ahead[0]) > 0.5 else zone.width
        whole, strip = across * smallest / 1000, (across - BESIDE_STRIP) * smallest / 1000
        for deep in (whole, strip):  # of a lid deeper than any sheet a strip along the row
            if deep == whole and plan_run.depth > whole:
                continue
            tried: list[list[_DrawnPlan]] = []
            for count in range(1, MOST_PARTS):
                made = self._all(run_windows(plan_run, count, deep))
                tried += [made] if made else []
                if len(tried) == 2 or (made and not any(sheet.unplaced for sheet in made)):
                    best = min(tried, key=lambda sheets: sum(sheet.unplaced for sheet in sheets))
                    return tuple(sheet.draft for sheet in best)
        parts = run_windows(plan_run, max(1, ceil(plan_run.run.length / strip)), strip)
        cut = [self.draw(part, smallest, cut=True) for part in parts]
        return tuple(sheet.draft for sheet in cut if sheet is not None)

    def _all(self, parts: Sequence[PlanWindow]) -> list[_DrawnPlan]:
        """A sheet for each part; none where one has no room."""
        made: list[_DrawnPlan] = []
        for part in parts:
            sheet = self.leaf(part)
            if sheet is None:
                return []
            made.append(sheet)
        return made

    def leaf(self, part: PlanWindow) -> _DrawnPlan | None:
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

    def draw(
        self, part: PlanWindow, scale: int, extent: Box | None = None, cut: bool = False
    ) -> _DrawnPlan | None:
        zone = self.paper.zone.grown(-PAD)
        if extent is None:
            extent = self.sketch(part, View("plan", scale), None).extent()
        view = View(self._view_name(part), scale, (zone.left - extent.left, zone.top - extent.top))
        sketch = self.sketch(part, view, zone)
        farther_out = not self.paper.zone.holds(sketch.extent())  # than in the trial, a ladder for one
        if farther_out and not cut:
            return None
        taken = [*sketch.solid, *sketch.written, *sketch.ground, *lines_on(sketch.items)]
        notes_input = PlanNotesInput(
            self.design, self.patio, self.runs, part, self.findings, scale, sketch, self.locale
        )
        notes = place_notes(notes_input, zone, taken, self.paper)
        if notes is None and not cut:
            return None
        title = self.locale.label("paper.plan_short")
        draft = SheetDraft(
            self.paper, title, (*sketch.items, *(notes.items if notes else ())), self.patio.name,
            scale=f"1:{scale}", left_over=notes.left_over if notes else (), kind="plan",
        )  # fmt: skip
        return _DrawnPlan(draft, len(sketch.unplaced_tags))

    def _view_name(self, part: PlanWindow) -> str:
        return f"plan {self.patio.name} {part.run} {part.number}".strip()

    def sketch(self, part: PlanWindow, view: View, zone: Box | None) -> PlanCanvas:
        """All but the notes. What must stand in its place comes first, then what may look for one."""
        sketch = PlanCanvas(view, part, zone)
        shown = [plan_run for plan_run in self.runs if part.run in ("", plan_run.run.name)]
        ceiling_on_plan.draw_lid(sketch, self.patio, self.layout, self.runs, self.locale)
        draw_screens(sketch, self.layout)
        marks = [marks_on_plan.mark_box(sketch, mark) for plan_run in shown for mark in plan_run.marks]
        for plan_run in self.runs:
            runs_on_plan.draw_tube(sketch, plan_run)
        cuts = self._cuts(sketch, part)
        for plan_run in self.runs:
            letters_on_plan.draw_letters(sketch, plan_run, self.design.project.plumbing, marks)
        for plan_run in shown:
            marks_on_plan.draw_marks(sketch, plan_run)
        for point, words in cuts:
            for lines in ([words], fonts.wrap(words, 2.5, CUT_WORDS)):
                (placed,) = sketch.place([runs_on_plan.tag_of(sketch.at(point), 1.0, lines)])
                if placed is not None:
                    sketch.label(placed, lines, "NOTE")
                    break
        for plan_run in shown:
            marks_on_plan.name_marks(sketch, plan_run)
            self._blocked(sketch, plan_run)
        ours = [plan_run for plan_run in shown if part.run or not plan_run.second]
        sketch.datum_lines = [line for one in ours for line in runs_on_plan.end_lines(sketch, one)]
        drawn = [runs_on_plan.draw_ladder(sketch, plan_run, self.locale) for plan_run in shown]
        sketch.ladders = {plan_run.run.name: how for plan_run, (how, _) in zip(shown, drawn, strict=True)}
        hooked = [
            (plan_run, runs_on_plan.draw_datum(sketch, plan_run, out))
            for plan_run, (_, out) in zip(shown, drawn, strict=True)
            if plan_run in ours and part.holds(plan_run.datum)  # both rows hang on one datum
        ]
        for plan_run, middle in hooked:
            runs_on_plan.name_datum(sketch, plan_run, middle, self.locale)
        change, letter = self.design.change, self.design.project.revision.letter
        if change is not None:
            revision_on_plan.draw_clouds(sketch, shown, change, letter)
            revision_on_plan.draw_found(sketch, shown, change, self.patio, self.locale)
        joints = ceiling_on_plan.joint_names(sketch, self.layout, self.runs, self.locale)
        stops = self._warn(sketch, part)
        things = things_on_plan.name_things(sketch, self.patio, self.layout, self.locale)
        beside = name_screens(sketch, self.layout, self.locale)
        nameless = [tuple(sketch.nameless)] if sketch.nameless else []
        sketch.unplaced_tags = [*nameless, *stops, *joints, *things, *beside]
        return sketch

    def _blocked(self, sketch: PlanCanvas, plan_run: PlanRun) -> None:
        """A bracket behind the names over each stretch that can take no mark."""
        for stretch in self.layout.blocked:
            if stretch.run != plan_run.run.name:
                continue
            tube = line_geometry.moved(plan_run.datum, plan_run.house, plan_run.line.back)
            ends = [
                line_geometry.moved(tube, plan_run.ahead, along) for along in (stretch.start, stretch.end)
            ]
            shown = line_geometry.clip((ends[0], ends[1]), sketch.part.window)
            if shown is not None:
                sketch.symbol(self._bracket(sketch, shown, plan_run.house))

    def _bracket(self, sketch: PlanCanvas, stretch: line_geometry.Segment, house: Point) -> list[Item]:
        """Over a stretch, as near as no name stands in its line."""
        toward = runs_on_plan.angle((-house[0], -house[1]))
        ways: list[list[Item]] = []
        for off in BRACKETS:
            a, b = (line_geometry.moved(sketch.at(end), house, off) for end in stretch)
            ways.append(symbols.blocked(a, b, toward, view=sketch.view))
        kept_off = [*sketch.written, *sketch.letters]
        struck = (any(item.box().meets(name) for item in way for name in kept_off) for way in ways)
        return next((way for way, met in zip(ways, struck, strict=True) if not met), ways[0])

    def _cuts(self, sketch: PlanCanvas, part: PlanWindow) -> list[tuple[Point, str]]:
        """The lines where one sheet of a long run ends and the next begins, and where a deep lid is cut; an
        end of each and its words."""
        if not part.run:
            return []
        plan_run = next(plan_run for plan_run in self.runs if plan_run.run.name == part.run)
        backs, alongs = part.backs, (part.start, part.end)
        cuts: list[tuple[Point, Point, str]] = []
        for along, cut in zip(alongs, (part.number > 1, part.number < part.of), strict=True):
            if cut:
                edge = line_geometry.moved(plan_run.datum, plan_run.ahead, along)
                ends = (line_geometry.moved(edge, plan_run.house, back) for back in backs)
                words = self.locale.label("paper.match", along=along, run=plan_run.run.name)
                cuts.append((*ends, words))  # type: ignore[arg-type]
        for back in backs:
            if 0.0 < back < plan_run.depth:
                edge = line_geometry.moved(plan_run.datum, plan_run.house, back)
                ends = (line_geometry.moved(edge, plan_run.ahead, along) for along in alongs)
                words = self.locale.label("paper.match_deep", back=back, deep=plan_run.depth)
                cuts.append((*ends, words))  # type: ignore[arg-type]
        for low, high, _ in cuts:
            sketch.stroke(low, high, "NOTE", MATCH_PEN, 0.5)
        return [(high, words) for _, high, words in cuts]

    def _warn(self, sketch: PlanCanvas, part: PlanWindow) -> list[tuple[str, ...]]:
        """Numbered triangles at things and marks, and a black STOP with its name at each hole that must not
        be drilled; a line leads from one that stands off its mark. Returns what found no room."""
        marks = {mark.name: mark for mark in self.layout.marks if part.shows(mark)}
        things = {thing.name: thing.point for thing in self.layout.lid.obstacles}
        signs: list[tuple[Point, str, int]] = []  # where, what a STOP says ("": a triangle), its number
        for name, numbers in self._stopped().items():
            if name in marks:
                signs.append((marks[name].point, f"{', '.join(map(str, numbers))}: {short_name(name)}", 0))
        for finding in self.findings:
            if not finding.look or (finding.stop and finding.marks):
                continue
            places = [things[name] for name in finding.things if name in things]
            each = len(places) or 1
            places += [marks[name].point for name in finding.marks[:1] if name in marks and not places]
            places = places or self._in_panel(finding.finding)
            signs += [(point, "", finding.number) for point in places[:each] if sketch.part.holds(point)]
        tags = [self._tag(sketch, sign) for sign in signs]
        unplaced: list[tuple[str, ...]] = []
        for (point, says, number), tag, placed in zip(signs, tags, sketch.place(tags), strict=True):
            if placed is not None:
                sketch.lead(sketch.at(point), tag.reach, placed.box, "WARN")
                sketch.items += self._sign(placed.box.middle, says, number, sketch.view)
            elif says and sketch.zone is not None:
                unplaced.append((f"{self.locale.label('paper.stop')} {says}",))
        return unplaced

    def _in_panel(self, finding: Finding) -> list[Point]:
        """Where a sign stands for what is neither a mark nor a thing: a plaster panel, a missing joint, a
        stretch without marks."""
        plan_run = next(
            (plan_run for plan_run in self.runs if plan_run.run.name == finding.value("run")), None
        )
        along, back = finding.value("spot"), finding.value("spot_back")
        if plan_run is None or not isinstance(along, float):
            return []
        behind = back if isinstance(back, float) else 0.6 * plan_run.depth
        return [
            line_geometry.moved(
                line_geometry.moved(plan_run.datum, plan_run.ahead, along),
                plan_run.house,
                behind,
            )
        ]

    def _stopped(self) -> dict[str, list[int]]:
        """Marks that must not be drilled, with the numbers of what is wrong there."""
        out: dict[str, list[int]] = {}
        for finding in self.findings:
            for name in finding.marks if finding.look and finding.stop else ():
                out.setdefault(name, []).append(finding.number)
        return out

    def _sign(self, at: Point, says: str, number: int, view: View | None = None) -> list[Item]:
        if says:
            return symbols.stop(at, says, self.locale.label("paper.stop"), view)
        return symbols.warning(at, number, view)

    def _tag(self, sketch: PlanCanvas, sign: tuple[Point, str, int]) -> Tag:
        point, says, number = sign
        box = self._sign((0.0, 0.0), says, number)[0].box()
        if says:
            return Tag(sketch.at(point), 2.6, box.width, box.height, led=True)
        return Tag(sketch.at(point), 2.4, box.width + 1.0, box.height + 1.0, led=True)
