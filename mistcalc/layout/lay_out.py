"""Lay one patio: plan, strips, the row, and the Layout that everyone downstream reads."""

from __future__ import annotations

import itertools

import numpy as np

from mistcalc.layout import plaster
from mistcalc.layout.clashes import clashes_of
from mistcalc.layout.fixes import clearance_fixes, equal_row_fixes
from mistcalc.layout.geometry import Plan, plan_of, polygon_area, screens, sides
from mistcalc.layout.mark_names import MarkNames
from mistcalc.layout.row_plans import LaidRow, lay_rows
from mistcalc.layout.row_search import PATTERNS, RowLayout
from mistcalc.layout.run_frames import RunFrame, edge_path, house_path
from mistcalc.layout.run_grid import BlockedTube, Rules, RunGrid
from mistcalc.model.earlier_set import EarlierMark
from mistcalc.model.lid_heights import height_at, level_distance
from mistcalc.model.practice import BAY
from mistcalc.model.project import ALONE, FixedMark, HouseNames, Patio
from mistcalc.model.results import Blocked, Layout, Lid, Mark, RunLine


def lay(
    patio: Patio, earlier: tuple[EarlierMark, ...] = (), house: HouseNames = ALONE, fixes: bool = True
) -> Layout:
    """Marks for every run of a patio, with what they clash with and the lid drawn out in plan.

    `earlier`: the patio's marks of an earlier set; they keep their places and names where they can. Marks in
    `Run.fixed`, those drilled among them, stay in any case. `house`: the names of all its patios, so that no
    mark here is called as one elsewhere. `fixes`: whether what would end a clash is looked for, most of the
    work in a full lid.

    Never raises for a bad lid: a run without room carries no mark, a row that cannot be laid is
    "broken", a lid past 10,000 marks is `too_large` and not laid. Judged in `checks.lid`.
    """
    plan = plan_of(patio)
    names = MarkNames.of(patio, house)
    fixed = {*house.marks, *(mark.name for row in patio.rows for mark in row.fixed)}
    earlier = tuple(mark for mark in earlier if mark.name not in fixed)
    rows = lay_rows(plan, earlier)
    by_row = [_marks(each, laid, earlier, names) for each, laid in rows]
    of_row = {row.name: tuple(m for some in by_row for m in some if m.run == row.name) for row in patio.rows}
    marks = tuple(mark for some in of_row.values() for mark in some)
    gaps = tuple((name, _gaps(some, name)) for name, some in of_row.items())
    row, rules = rows[0][1].row, rows[0][1].rules
    plastered = plaster.panels(plan)
    clashes = tuple(
        clash
        for (each, laid), some in zip(rows, by_row, strict=True)
        for clash in clashes_of(each, some, laid)
    )
    ends = clearance_fixes(plan, marks, clashes) if fixes else ()
    equal = equal_row_fixes(plan, rows) if fixes and not earlier else ()
    strips = [(strip, laid.row) for _, laid in rows for strip in laid.strips]
    return Layout(
        patio=patio.name,
        marks=marks,
        gaps=gaps,
        pattern=max((laid.row.pattern for _, laid in rows), key=PATTERNS.index),  # type: ignore[arg-type, misc]
        pitch=row.pitch * rules.step,
        lid=_lid(rows, dict(gaps)),
        blocked=tuple(_blocked(gone, rules.step) for _, laid in rows for gone in laid.row.gone),
        clashes=clashes,
        fixes=(*ends, *equal),
        empty_runs=tuple(s.band.run.name for s, found in strips if not len(found.marks.get(s.number, ()))),
        panels=tuple(panel for panel, _ in plastered),
        panel_spans=tuple(span for _, span in plastered),
        too_large=any(laid.too_large for _, laid in rows),
    )


# ------------------------------------------------------------------ marks


def _marks(
    plan: Plan, laid: RowLayout, earlier: tuple[EarlierMark, ...], names: MarkNames
) -> tuple[Mark, ...]:
    """Marks run by run, each run from its datum."""
    out: list[Mark] = []
    for strip in laid.strips:
        indices = laid.row.marks.get(strip.number, np.array([], dtype=int))[:: strip.sense]
        if len(indices):
            out += _run_marks(plan, laid, strip, indices, earlier, names)
    return tuple(out)


def _run_marks(
    plan: Plan,
    laid: RowLayout,
    strip: RunGrid,
    indices: np.ndarray,
    earlier: tuple[EarlierMark, ...],
    called: MarkNames,
) -> list[Mark]:
    band, step = strip.band, laid.rules.step
    fixed = dict(zip(strip.fixed, strip.fixed_marks, strict=True))
    held = laid.row.held.get(strip.number, {})
    there: dict[int, FixedMark | EarlierMark] = {**held, **fixed}
    # A step is no whole float: 224 eighths of an inch are 28 in, and to be written so.
    along = [
        there[i].along if i in there else round(float(strip.along_steps(i)) * step, 9)
        for i in indices.tolist()
    ]
    stay = [there[i].name if i in there else None for i in indices.tolist()]
    before = [mark for mark in earlier if mark.run == band.run.name]
    names = called.of_run(band.run.name, along, stay, before, laid.row.pitch * step / 2)
    stub = plaster.stub_lengths(plan.patio.plaster)
    growth = plaster.face_growth(plan.patio.plaster, band.on)
    sigma = [band.sigma(a) for a in along]
    points = [band.point(s, band.back) for s in sigma]
    clear = _member_clear(plan, np.array(points))
    near = _nearest(plan, band, np.array(along))
    out = []
    for n, index in enumerate(indices.tolist()):
        mark = fixed.get(index)
        why = laid.row.pattern
        if mark is not None:
            why = "drilled" if mark.drilled else "fixed"
        elif index in held:
            why = "kept"
        out.append(
            Mark(
                name=names[n],
                patio=plan.patio.name,
                run=band.run.name,
                along=along[n],
                along_finished=along[n] - growth,
                tube_along=sigma[n] - band.tube[0],
                back=band.back,
                point=points[n],
                stub_min=stub[0],
                stub_nominal=stub[1],
                stub_max=stub[2],
                why=why,
                member_clear=None if clear is None else float(clear[n]),
                near=near[n][0],
                near_offset=near[n][1],
                locked=mark is not None and not mark.drilled,
                drilled=mark is not None and mark.drilled,
                height=height_at(plan.patio, strip.number, sigma[n]),
                level=level_distance(band.run, along[n]),
            )
        )
    return out


def _member_clear(plan: Plan, points: np.ndarray) -> np.ndarray | None:
    """Hole edge to the nearest member, for each point; None in a lid without members."""
    least = None
    for keepout in plan.keepouts:
        if keepout.rule == "member":
            clear = keepout.ground.distance(points[:, 0], points[:, 1]) - keepout.offset
            least = clear if least is None else np.minimum(least, clear)
    return least


def _nearest(plan: Plan, band: RunFrame, along: np.ndarray) -> list[tuple[str, float]]:
    """For each mark the member or joint across the run that lies nearest on the tape, and how far past
    its centre the mark is; no name where that is a bay off. A joint on a member counts as the member: that is
    what shows at rough-in."""
    things = [("member", m.along) for m in plan.members if m.run == band.on.run.name and m.along is not None]
    things += [(j.name, j.along) for j in band.run.joints]
    if not things:
        return [("", 0.0)] * len(along)
    at = np.array([a for _, a in things])
    off = along[:, None] - at[None, :]
    pick = np.abs(np.round(off, 9)).argmin(axis=1)
    nearest = [(things[k][0], float(off[n, k])) for n, k in enumerate(pick)]
    return [(name if abs(past) <= BAY else "", past) for name, past in nearest]


def _gaps(marks: tuple[Mark, ...], run: str) -> tuple[float, ...]:
    along = [m.along for m in marks if m.run == run]
    return tuple(round(b - a, 9) for a, b in itertools.pairwise(along))


# ------------------------------------------------------------------ lid


def _blocked(gone: BlockedTube, step: float) -> Blocked:
    strip, band = gone.strip, gone.strip.band
    ends = sorted(band.along(band.tube[0] + x * step) for x in (gone.start, gone.end))
    low, high = gone.start - strip.lead, gone.end - strip.lead
    names: list[str] = []
    for name, a, b in strip.hard:
        short = "framing" if " member " in name or name == "edge beam" else name
        if a < high and b > low and short not in names:
            names.append(short)
    if low <= -1 or high >= len(strip.free):  # tube past the datum
        names.append("datum")
    return Blocked(band.run.name, ends[0], ends[1], tuple(names))


def _lid(rows: list[LaidRow], gaps: dict[str, tuple[float, ...]]) -> Lid:
    plan, rules = rows[0][0], rows[0][1].rules
    bands = plan.bands
    edge, wall = edge_path(bands), house_path(bands)
    outline = (*edge, *reversed(wall))
    walls, open_edges = sides(plan)
    return Lid(
        outline=outline,
        walls=walls,
        open_edges=open_edges,
        runs=tuple(_run_line(band, rules, gaps[band.run.name]) for band in bands),
        members=plan.members,
        joints=plan.joints,
        obstacles=plan.obstacles,
        seats=plan.seats,
        area=polygon_area(outline),
        screens=screens(plan),
        second_rows=tuple(_run_line(b, rules, gaps[b.run.name]) for each, _ in rows[1:] for b in each.bands),
    )


def _second(band: RunFrame) -> float:
    """Along to where the lid ends, far from the datum: across a corner square that is the house."""
    return max(band.along(end) for end in band.reach)


def _run_line(band: RunFrame, rules: Rules, gaps: tuple[float, ...]) -> RunLine:
    low, high = band.tube
    datum = band.point(band.sigma(0.0), 0.0)
    blocked = rules.widest * rules.step + 1e-6  # a gap over a blocked stretch is no pitch
    pitches = {round(g, 6) for g in gaps if g <= blocked}
    return RunLine(
        name=band.run.name,
        edge=(band.point(0.0, 0.0), band.point(band.run.length, 0.0)),
        tube=(band.point(low, band.back), band.point(max(low, high), band.back)),
        tube_length=max(0.0, high - low),
        datum_point=datum,
        datum_at_start=band.run.datum.end == "start",
        pitch=pitches.pop() if len(pitches) == 1 else None,
        back=band.back,
        rise=band.run.rise,
        second=_second(band) if band.run.datum.second else None,
        of="" if band.edge is None else band.edge.run.name,
    )
