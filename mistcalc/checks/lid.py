"""Judgements on a lid and its marks. Every threshold is here; the numbers come from the layout room.

Nobody has published clearances between a mist line and other things: those are the project's own, and
warn. What must not be drilled fails. Where a source exists it is named; the rest is common practice.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise

import numpy as np

from mistcalc.checks.ceiling_holes import ceiling_hole_findings
from mistcalc.checks.clashes import clash_findings, fix_values, row_place_findings
from mistcalc.checks.framing import framing_findings
from mistcalc.checks.joints import joint_findings
from mistcalc.checks.shared import JUDGEMENT, NEAR, PRACTICE, heard, on_patio
from mistcalc.model.lid_heights import level_distance, lowest_and_highest
from mistcalc.model.practice import MOST_MARKS
from mistcalc.model.project import Patio, Run
from mistcalc.model.results import Finding, HolesVerdict, Layout, Mark, Point
from mistcalc.model.run_extents import lid_along, spreads, strip_corners, tube_reach
from mistcalc.units import parse

ONE_TAPE = parse("25 ft", "length")  # a run longer than this is checked from its other end too
LOWEST_LID = parse("8 ft", "length")  # floor to framing
CONE = math.radians(40)  # half of the widest usual spray cone, 80 degrees

_HOUSEWARD = (("toward", "house"), ("also_toward", "house"))


def lid_findings(patio: Patio, layout: Layout) -> tuple[Finding, ...]:
    """All that a builder should hear about one lid, failing findings first."""
    findings = [
        *_shape(patio, layout),
        *_wishes(patio, layout),
        *clash_findings(patio, layout),
        *ceiling_hole_findings(patio, layout),
        *_rows(patio, layout),
        *_runs(patio, layout),
        *joint_findings(patio, layout),
    ]
    if patio.back == "open":
        findings = [_without_house(finding) for finding in findings]
    return heard((on_patio(finding, patio.name) for finding in findings), "builder")


def holes_verdict(layout: Layout, findings: Iterable[Finding]) -> HolesVerdict:
    """May they be drilled, and do they miss the wood? findings: `lid_findings` of the patio."""
    hit = sorted({clash.mark for clash in layout.clashes if clash.hard})
    drilled = {mark.name for mark in layout.marks if mark.drilled}
    unknown = framing_unknown(findings)
    clear = [m.member_clear for m in layout.marks if m.member_clear is not None and m.name not in unknown]
    return HolesVerdict(
        stop=tuple(name for name in hit if name not in drilled),
        stop_drilled=tuple(name for name in hit if name in drilled),
        wood="unstated" if not clear else "partly" if unknown else "missed",
        unknown=len(unknown),
        clear=min(clear, default=None),
    )


def framing_unknown(findings: Iterable[Finding]) -> frozenset[str]:
    """Marks over which the project does not say where the wood is: no hole there "misses" it."""
    unknown_marks = (finding.value("unknown", ()) for finding in findings)
    return frozenset(str(name) for names in unknown_marks if isinstance(names, tuple) for name in names)


def _without_house(finding: Finding) -> Finding:
    """A move back, told for a patio that has no house there to move toward."""

    def told(pairs: tuple[tuple[str, object], ...]) -> tuple[tuple[str, object], ...]:
        return tuple((key, "back" if (key, value) in _HOUSEWARD else value) for key, value in pairs)

    return replace(finding, fix=told(finding.fix), values=told(finding.values))


# ------------------------------------------------------------------ the lid itself


def _shape(patio: Patio, layout: Layout) -> Iterator[Finding]:
    if crosses_itself(layout.lid.loops) or _left_open(patio, layout):
        values = _over_each_other(patio, layout)
        yield Finding("lid-crosses-itself", "fail", patio.name, source="geometry", values=values)
    if layout.too_large:
        tube = sum(row.tube_length for row in layout.lid.rows)
        count = tube / patio.marks.pitch
        yield Finding("lid-too-large", "fail", patio.name, "marks", count, MOST_MARKS, "", JUDGEMENT)
    lowest, _ = lowest_and_highest(patio)
    if lowest < LOWEST_LID - NEAR:
        yield Finding("lid-low", "warn", patio.name, "height", lowest, LOWEST_LID, "m", PRACTICE)
    places: list[tuple[str, str, str, Point]] = [
        (o.name, o.kind, o.run, o.point) for o in layout.lid.obstacles
    ]
    places += [(s.name, "seat", s.run, s.point) for s in layout.lid.seats]
    for name, kind, run, point in places:
        if not in_outline(point, layout.lid.outline):
            values = (("name", name), ("kind", kind), ("run", run))
            where = f"{patio.name}/{name}"
            if kind == "seat":
                yield Finding("seat-outside-lid", "warn", where, source="geometry", values=values)
            else:
                yield Finding("thing-outside-lid", "fail", where, source="geometry", values=values)
    beam = patio.edge_beam
    gap = min(line.back for line in layout.lid.runs) - beam.width  # as laid: a line moves off the beam's wood
    need = beam.drop * math.tan(CONE)
    if beam.drop > NEAR and gap < need - NEAR:
        yield Finding(
            "edge-beam-in-spray", "warn", patio.name, "line to beam", max(gap, 0.0), need, "m", PRACTICE,
            (("drop", beam.drop),),
        )  # fmt: skip


def crosses_itself(loops: tuple[tuple[Point, ...], ...]) -> bool:
    """Whether two sides of an outline that are not neighbours meet, or of a ring the house is turned inside
    out: its lid is deeper than the house leaves room for."""
    sides = np.array([side for loop in loops for side in pairwise((*loop, loop[0]))])
    low, high = sides.min(axis=1), sides.max(axis=1)
    meets = np.all(
        np.maximum(low[:, None], low[None]) <= np.minimum(high[:, None], high[None]) + NEAR, axis=-1
    )
    across = _off_line(sides)
    meets &= across & across.T
    i, j = np.nonzero(meets)
    which = np.repeat(np.arange(len(loops)), [len(loop) for loop in loops])
    apart, size = np.abs(i - j), np.array([len(loop) for loop in loops])[which[i]]
    alien = (which[i] != which[j]) | ((apart > 1) & (apart < size - 1))
    return bool(alien.any()) or len({_turns_left(loop) for loop in loops}) < len(loops)  # walked to and fro


def _over_each_other(patio: Patio, layout: Layout) -> tuple[tuple[str, object], ...]:
    """The two runs, not neighbours, whose lids overlap most, and how deep; or a ring left open."""
    lines, ring = layout.lid.runs, patio.is_ring
    if _left_open(patio, layout):
        return (("last", lines[-1].name),)
    strips = []
    for n, line in enumerate(lines):
        start, end = np.array(line.edge)
        ahead = (end - start) / math.dist(start, end)
        house = np.array((-ahead[1], ahead[0]))
        strips.append(np.array([start + s * ahead + back * house for s, back in strip_corners(patio, n)]))
    pairs = [
        (i, j) for j in range(len(strips)) for i in range(j - 1) if not (ring and j - i == len(strips) - 1)
    ]
    overlaps = [(_overlap(strips[i], strips[j]), i, j) for i, j in pairs]
    deep, i, j = max(overlaps, default=(0.0, 0, 0))
    return (("run", lines[i].name), ("other", lines[j].name), ("by", deep)) if deep > NEAR else ()


def _left_open(patio: Patio, layout: Layout) -> bool:
    """Whether the last run ends where the first one starts and no corner says so."""
    runs = layout.lid.runs
    return not patio.is_ring and len(runs) > 1 and math.dist(runs[-1].edge[1], runs[0].edge[0]) <= NEAR


def _off_line(sides: np.ndarray) -> np.ndarray:
    """Whether a side [column] meets the line of another [row]: its ends do not stand on one hand of it."""
    start, way = sides[:, 0], sides[:, 1] - sides[:, 0]
    off = sides[None] - start[:, None, None]
    left = way[:, None, None, 0] * off[..., 1] - way[:, None, None, 1] * off[..., 0]
    left = left / np.maximum(np.hypot(*way.T), NEAR)[:, None, None]
    return np.asarray((left.min(axis=-1) <= NEAR) & (left.max(axis=-1) >= -NEAR))


def _overlap(one: np.ndarray, other: np.ndarray) -> float:
    """How far two convex outlines [corner, 2] would have to move apart [m]; below zero, how far apart they
    are across one of their sides."""
    least = math.inf
    for way in (side for each in (one, other) for side in np.roll(each, -1, axis=0) - each):
        if (size := np.hypot(*way)) > NEAR:
            a, b = (each @ (-way[1], way[0]) / size for each in (one, other))
            least = min(least, a.max() - b.min(), b.max() - a.min())
    return float(least)


def _turns_left(loop: tuple[Point, ...]) -> bool:
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise((*loop, loop[0]))) > 0


def in_outline(point: Point, outline: tuple[Point, ...]) -> bool:
    """Whether a point lies in an outline, its border counted in."""
    x, y = point
    inside = False
    for (x0, y0), (x1, y1) in pairwise((*outline, outline[0])):
        size = math.hypot(x1 - x0, y1 - y0) or 1.0
        share = min(max(((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / size**2, 0.0), 1.0)
        if math.hypot(x - x0 - share * (x1 - x0), y - y0 - share * (y1 - y0)) <= NEAR:
            return True
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            inside = not inside
    return inside


def _wishes(patio: Patio, layout: Layout) -> Iterator[Finding]:
    """Wishes that cannot all be had, and where the layout gave way."""
    want, where = patio.marks, f"{patio.name}/marks"
    if want.closest > want.widest + NEAR:
        yield Finding("limits-crossed", "fail", where, "closest", want.closest, want.widest, "m", "project")
    elif not want.closest - NEAR <= want.pitch <= want.widest + NEAR:
        limit = want.closest if want.pitch < want.closest else want.widest
        values = (("closest", want.closest), ("widest", want.widest))
        yield Finding(
            "pitch-outside-limits", "warn", where, "pitch", want.pitch, limit, "m", "project", values
        )
    elif layout.marks and layout.pattern == "equal" and abs(layout.pitch - want.pitch) > want.grid / 2 + NEAR:
        yield Finding("pitch-changed", "note", where, "pitch", layout.pitch, want.pitch, "m", "project")


# ------------------------------------------------------------------ rows


def _rows(patio: Patio, layout: Layout) -> Iterator[Finding]:
    if not layout.marks:
        if not layout.too_large:
            runs = {run.name: run.length for run in patio.runs}
            wide = tuple(o.name for o in layout.lid.obstacles if o.keeps_off > runs[o.run] / 4)
            yield Finding(
                "no-marks", "fail", patio.name, "marks", 0.0, 1.0, "", "geometry", (("things", wide),)
            )
        return
    if layout.pattern == "broken":
        drilled = {m.name for m in layout.marks if m.drilled}
        marks = tuple(dict.fromkeys(c.mark for c in layout.clashes if c.hard and c.mark not in drilled))
        yield Finding("row-broken", "fail", patio.name, source="geometry", values=(("marks", marks),))
    elif layout.pattern != "equal":
        moves = [f for f in layout.fixes if f.purpose == "equal row"]
        gaps = [g for _, some in layout.gaps for g in some if g <= patio.marks.widest + NEAR]
        values: tuple[tuple[str, object], ...] = (("pattern", layout.pattern), ("pitch", layout.pitch))
        if gaps:
            values += (("least", min(gaps)), ("most", max(gaps)))
        if len(moves) == 2:
            also = moves[1]
            values += (("also", also.move), ("also_toward", also.toward), ("also_by", also.by))
        fix = fix_values(moves[0] if moves else None)
        code = f"row-{layout.pattern}"
        yield Finding(
            code, "note", patio.name, "pitch", layout.pitch, patio.marks.pitch, "m", "geometry", values, fix
        )
    for stretch in layout.blocked:
        values = (("run", stretch.run), ("start", stretch.start), ("end", stretch.end), ("by", stretch.by))
        back = next(line.back for line in layout.lid.rows if line.name == stretch.run)
        values += (("spot", (stretch.start + stretch.end) / 2), ("spot_back", back))
        length = stretch.end - stretch.start
        yield Finding(
            "blocked-stretch", "warn", f"{patio.name}/{stretch.run}", "length", length, patio.marks.widest,
            "m", "geometry", values,
        )  # fmt: skip


# ------------------------------------------------------------------ runs


def _runs(patio: Patio, layout: Layout) -> Iterator[Finding]:
    for run, line in zip(patio.rows, layout.lid.rows, strict=True):
        n, where = patio.number_of(run.name), f"{patio.name}/{run.name}"
        marks = [m for m in layout.marks if m.run == run.name]
        if line.tube_length <= NEAR and not line.of:
            yield _no_tube(patio, layout, n, where)
        elif run.name in layout.empty_runs:
            short = run.length < patio.marks.pitch + patio.marks.from_wall - NEAR
            values = (("run", run.name), ("reason", "short" if short else "no-room"))
            yield Finding("empty-run", "note", where, "length", run.length, None, "m", "geometry", values)
        yield from row_place_findings(patio, run, line, layout.lid.runs[n])
        if run.rise and not line.of:
            level = level_distance(run, run.length)
            way = ("rises" if run.rise > 0 else "falls", True)
            yield Finding(
                "run-slopes", "note", where, "length", run.length, level, "m", "geometry",
                (("run", run.name), ("level", level), ("rise", abs(run.rise)), way),
            )  # fmt: skip
        if not line.of:
            more = [m for m in layout.marks if m.run != run.name and layout.lid.run_of(m.run) == run.name]
            yield from framing_findings(patio, n, marks, more)
        yield from _lost(run, marks, where, patio.marks.grid)
        if run.length > ONE_TAPE and marks and not run.datum.second:
            yield _other_end(patio, n, marks, where)


def _no_tube(patio: Patio, layout: Layout, n: int, where: str) -> Finding:
    """A run no longer than its tube is turned in at its outside corners."""
    run, backs = patio.runs[n], [line.back for line in layout.lid.runs]
    low, high = tube_reach(0.0, spreads(patio, n), (backs[n - 1], backs[(n + 1) % len(backs)]))
    need = low - high
    values = (("run", run.name),)
    return Finding("run-no-tube", "warn", where, "length", run.length, need, "m", "geometry", values)


def _lost(run: Run, marks: list[Mark], where: str, grid: float) -> Iterator[Finding]:
    """Marks fixed by hand where there is no tube, or where another one is."""
    there = {m.name: m for m in marks if m.locked or m.drilled}
    for mark in run.fixed:
        if mark.name not in there:
            same = next((m for m in there.values() if abs(m.along - mark.along) < grid + NEAR), None)
            code = "fixed-marks-as-one" if same else "fixed-mark-off-line"
            values = (("mark", mark.name), ("run", run.name), *((("other", same.name),) if same else ()))
            yield Finding(code, "fail", where, "along", mark.along, None, "m", "project", values)


def _other_end(patio: Patio, n: int, marks: list[Mark], where: str) -> Finding:
    """The last mark of a long run, from what stands at the far end of the tape."""
    run, last = patio.runs[n], marks[-1]
    far_is_end = run.datum.end == "start"
    kind = run.ends_at if far_is_end else run.starts_at
    end = lid_along(patio, n)[1]
    distance = end - last.along
    far = {"wall": "far wall", "open": "far open end"}  # the datum's end may be of the same kind
    past = "wall past the corner" if patio.back == "wall" else "far end"  # across a corner square
    to = past if end > run.length else far.get(kind, kind)
    values = (
        ("run", last.run),
        ("mark", last.name),
        ("to", to),
        ("distance", distance),
        ("along", last.along),
    )
    return Finding("check-other-end", "note", where, "length", run.length, ONE_TAPE, "m", PRACTICE, values)
