"""Control joints where a project asks for them: every panel within its limits, chosen together with marks.

A joint lies on a member where that can be, else on blocking; no mark stands within its clearance. The row of
marks is laid twice: free, with joints put round its marks, and round joints put first. The better pair stays:
the better row, then fewest blocks.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from mistcalc.layout.geometry import NOT_IN_CEILING, Plan, plan_of
from mistcalc.layout.plaster import panels
from mistcalc.layout.row_plans import LaidRow, lay_rows
from mistcalc.layout.row_search import PATTERNS
from mistcalc.layout.run_frames import NEAR, RunFrame
from mistcalc.model.earlier_set import EarlierMark
from mistcalc.model.plaster_panels import NARROWEST_PANEL, longest_side, within_limits
from mistcalc.model.project import Joint, Patio
from mistcalc.model.run_extents import framed_from_start

AT_CORNER = 0.05  # m: a joint stated so near a corner of the framing is at it; judgement
# A joint more costs 1. No usual number of them outweighs a light in the way, of lights a block, of blocks a
# panel past its limits.
OVER_A_THING, BLOCK, PAST, UNEVEN = 10.0, 100.0, 1e6, 0.5
FARTHEST_PAST = 1.5  # times the longest side: where lengths do not come out they come out well within that
Place = tuple[float, bool]  # along [m], on a member


def with_proposed_joints(patio: Patio, earlier: tuple[EarlierMark, ...] = ()) -> Patio:
    """The patio with joints added to those stated, wherever a panel breaks its limits; as it is where it asks
    for none. What no joint across would mend stays as it is. earlier: its marks of the set before."""
    if patio.plaster.joints != "propose" or not patio.plaster.plastered or patio.depth <= 0:
        return patio
    plan = plan_of(_with(patio, {run.name: _at_corners(patio, n) for n, run in enumerate(patio.runs)}))
    row_first = _filled(plan, _marks(lay_rows(plan, earlier)))
    joints_first = _filled(plan, {})
    both = dict.fromkeys((row_first, joints_first))
    best = row_first if len(both) < 2 else min(both, key=lambda proposed: _rank(proposed, earlier))
    return _named(patio, best)


def _named(stated: Patio, proposed: Patio) -> Patio:
    """New joints named in the order of the runs and their tapes."""
    taken = {joint.name for run in stated.runs for joint in run.joints}
    names = (name for n in range(1, 10_000) if (name := f"J{n}") not in taken)
    runs = []
    for run, old in zip(proposed.runs, stated.runs, strict=True):
        new = sorted((joint for joint in run.joints if joint not in old.joints), key=lambda j: j.along)
        runs.append(replace(run, joints=(*old.joints, *(replace(joint, name=next(names)) for joint in new))))
    return replace(stated, runs=tuple(runs))


def _with(patio: Patio, new: Mapping[str, Sequence[Place]]) -> Patio:
    """The patio with new joints in its runs, without a name yet."""
    runs = []
    for run in patio.runs:
        added = (Joint("", along, "member" if on else "blocking") for along, on in new[run.name])
        runs.append(replace(run, joints=(*run.joints, *added)))
    return replace(patio, runs=tuple(runs))


def _at_corners(patio: Patio, n: int) -> list[Place]:
    """Where members of a run end and the next one's begin, unless a joint is stated there."""
    run = patio.runs[n]
    low, high = framed_from_start(patio, n)
    ends = []
    before = patio.runs[n - 1]  # of a ring's first run its last
    if before.corner is not None and before.framing.covers_corner:
        ends.append(low)
    if run.corner is not None and not run.framing.covers_corner:
        ends.append(high)
    alongs = [end if run.datum.end == "start" else run.length - end for end in ends]
    return [(along, False) for along in alongs if all(abs(j.along - along) > AT_CORNER for j in run.joints)]


def _rank(proposed: Patio, earlier: tuple[EarlierMark, ...]) -> tuple[float, ...]:
    """How good a pair of row and joints is, least first: panels within limits, then the row, then blocks."""
    plan = plan_of(proposed)
    laid = [row for _, row in lay_rows(plan, earlier)]
    wanted = proposed.marks.pitch / laid[0].rules.step
    joints = [joint for run in proposed.runs for joint in run.joints]
    blocks = sum(joint.on == "blocking" for joint in joints)
    past = sum(
        float(_past_limits(np.array(abs(end - start)), plan.band(run).depth))
        for _, (run, start, end) in panels(plan)
    )
    pattern = max(PATTERNS.index(row.row.pattern) for row in laid)
    off = sum(abs(row.row.pitch - wanted) for row in laid)
    return round(past, 6), pattern, off, blocks, len(joints)


def _marks(rows: Sequence[LaidRow]) -> dict[str, list[float]]:
    """Where marks of all its rows lie on each run, from its datum [m]."""
    out: dict[str, list[float]] = {}
    for laid in (row for _, row in rows):
        for strip in laid.strips:
            places = laid.row.marks.get(strip.number, ())
            alongs = (float(strip.along_steps(int(index))) * laid.rules.step for index in places)
            out.setdefault(strip.band.on.run.name, []).extend(alongs)
    return out


def _filled(plan: Plan, marks: Mapping[str, Sequence[float]]) -> Patio:
    return _with(
        plan.patio, {band.run.name: _joints(plan, band, marks.get(band.run.name, ())) for band in plan.bands}
    )


def _joints(plan: Plan, band: RunFrame, marks: Sequence[float]) -> list[Place]:
    """New joints of one run, in the order of its tape."""
    low, high = sorted((band.along(band.owned[0]), band.along(band.owned[1])))
    if high - low <= NEAR:
        return []
    there = sorted(joint.along for joint in band.run.joints if low + NEAR < joint.along < high - NEAR)
    places = _candidates(plan, band, marks)
    new: list[Place] = []
    for start, end in pairwise((low, *there, high)):
        if not within_limits(end - start, band.depth):
            new += _cut(start, end, band.depth, [p for p in places if start < p[0][0] < end])
    return new


def _past_limits(side: np.ndarray, depth: float) -> np.ndarray:
    """By what share pieces are too long, or too narrow."""
    narrow = depth / NARROWEST_PANEL / np.maximum(side, NEAR) - 1 - NEAR
    return np.maximum(np.maximum(side / longest_side(depth) - 1 - NEAR, narrow), 0.0)


def _candidates(plan: Plan, band: RunFrame, marks: Sequence[float]) -> list[tuple[Place, float]]:
    """Places for a joint that keep clear of every mark, with what each costs: members, and each 1/2 in
    (10 mm) of the tape between them."""
    clear = plan.patio.marks.clear_of_joints - NEAR
    low, high = sorted((band.along(band.owned[0]), band.along(band.owned[1])))
    wood = [m.along for m in plan.members if m.run == band.run.name and m.along is not None]
    places: list[Place] = [(along, True) for along in wood]
    step, across = plan.tape.half, band.run.framing.lies == "across"
    for along in (n * step for n in range(math.ceil(low / step), math.floor(high / step) + 1)):
        if all(abs(along - at) > step / 2 for at in wood):  # else it is the member's own
            places.append((along, not across))
    things = [(o.along, o.size[0] / 2) for o in plan.patio.obstacles
              if o.run == band.run.name and o.kind not in NOT_IN_CEILING and o.kind != "column"]  # fmt: skip
    out = []
    for along, on in places:
        if all(abs(along - mark) >= clear for mark in marks):
            over = any(abs(along - at) < half for at, half in things)
            out.append(((along, on), 1.0 + (0.0 if on else BLOCK) + (OVER_A_THING if over else 0.0)))
    return sorted(out)


def _cut(start: float, end: float, depth: float, places: Sequence[tuple[Place, float]]) -> list[Place]:
    """The cheapest joints that leave every piece within its limits, by dynamic programming; where lengths do
    not come out, pieces past them by as little as may be; none where no length of piece is within them."""
    if not within_limits(longest_side(depth), depth):
        return []
    ideal = (end - start) / max(1, math.ceil((end - start) / longest_side(depth) - NEAR))
    nodes: list[tuple[Place, float]] = [((start, True), 0.0), *places, ((end, True), 0.0)]
    alongs = np.array([along for (along, _), _ in nodes])
    best, before = np.zeros(len(nodes)), np.full(len(nodes), -1)
    for n in range(1, len(nodes)):
        sides = alongs[n] - alongs[:n]
        first = int(np.count_nonzero(sides > FARTHEST_PAST * longest_side(depth)))
        if first == n:
            best[n] = math.inf
            continue
        sides = sides[first:]
        uneven = UNEVEN * ((sides - ideal) / ideal) ** 2
        costs = best[first:n] + nodes[n][1] + uneven + PAST * _past_limits(sides, depth)
        cheapest = int(costs.argmin())
        best[n], before[n] = costs[cheapest], first + cheapest
    chain, n = [], len(nodes) - 1
    while (n := int(before[n])) > 0:
        chain.append(nodes[n][0])
    return chain[::-1]
