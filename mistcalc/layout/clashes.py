"""Which marks break which rules, measured in plan from the geometry and not from the search."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np

from mistcalc.layout.geometry import Plan
from mistcalc.layout.row_search import RowLayout
from mistcalc.layout.run_frames import NEAR
from mistcalc.layout.run_grid import RunGrid, round_corner
from mistcalc.model.results import Clash, Mark


def clashes_of(plan: Plan, marks: tuple[Mark, ...], laid: RowLayout) -> tuple[Clash, ...]:
    """Hard rules and clearances first, in the order of the plan; then spacing and setbacks."""
    if not marks:
        return ()
    out: list[Clash] = []
    points = np.array([m.point for m in marks])
    for keepout in plan.keepouts:
        distance = keepout.ground.distance(points[:, 0], points[:, 1])
        for n in np.flatnonzero(distance < keepout.reach - NEAR):
            out.append(
                Clash(
                    keepout.rule,  # type: ignore[arg-type]
                    keepout.hard,
                    marks[n].name,
                    keepout.name,
                    float(distance[n] - keepout.offset),
                    keepout.reach - keepout.offset,
                )
            )
    out += _spacing(marks, laid)
    return tuple(out)


def _spacing(marks: tuple[Mark, ...], laid: RowLayout) -> Iterator[Clash]:
    """Gaps outside closest to widest and ends barer than that, blocked stretches left out, and marks inside a
    setback."""
    step, rules = laid.rules.step, laid.rules
    closest, widest = rules.closest * step, rules.widest * step
    before: tuple[Mark, float] | None = None  # the mark before in tube order, and tube beyond it
    blocked_run = {g.strip.number for g in laid.row.gone}
    ring = bool(laid.strips) and laid.strips[-1].band.run.corner is not None
    if ring and (
        last := [m for m in marks if m.run == laid.strips[-1].band.run.name][:: laid.strips[-1].sense]
    ):
        low, high = laid.strips[-1].band.tube
        before = (last[-1], high - low - last[-1].tube_along)
    for strip in laid.strips:
        tube = [m for m in marks if m.run == strip.band.run.name][:: strip.sense]
        if not tube:
            before = None
            continue
        length = strip.band.tube[1] - strip.band.tube[0]
        if before is not None:
            gap = before[1] + tube[0].tube_along
            wide = (
                gap > widest + NEAR
                and not {strip.number, (strip.number - 1) % len(laid.strips)} & blocked_run
            )
            if wide or gap < closest - NEAR:
                yield Clash("spacing", False, tube[0].name, before[0].name, gap, _limit(gap, closest, widest))
        for a, b in itertools.pairwise(tube):
            gap = b.tube_along - a.tube_along
            if gap < closest - NEAR or (gap > widest + NEAR and not _over(strip, a, b, laid)):
                yield Clash("spacing", False, b.name, a.name, gap, _limit(gap, closest, widest))
        ends = (("start", tube[0], tube[0].tube_along), ("end", tube[-1], length - tube[-1].tube_along))
        for side, mark, distance in ends:
            kind = strip.end_kind(side)
            if distance < rules.setback(kind) * step - NEAR:
                yield Clash("setback", False, mark.name, kind, distance, rules.setback(kind) * step)
            bare = distance - _blocked_at(strip, side, laid)
            if bare > widest + NEAR and not (kind == "corner" and _goes_on(strip, side, marks, laid)):
                yield Clash("bare end", False, mark.name, kind, bare, widest)
        before = (tube[-1], length - tube[-1].tube_along)


def _blocked_at(strip: RunGrid, side: str, laid: RowLayout) -> float:
    """Length of the blocked stretch at an end of the tube, metres."""
    length = strip.band.tube[1] - strip.band.tube[0]
    step = laid.rules.step
    at_end = [
        g for g in laid.row.gone
        if g.strip is strip and (g.start <= 0.0 if side == "start" else g.end * step >= length - NEAR)
    ]  # fmt: skip
    return max(((g.end - g.start) * step for g in at_end), default=0.0)


def _goes_on(strip: RunGrid, side: str, marks: tuple[Mark, ...], laid: RowLayout) -> bool:
    """Whether the run round the corner carries marks: the gap to them is judged by itself."""
    other = round_corner(strip, side, laid.strips)
    return other is not None and any(m.run == other.band.run.name for m in marks)


def _limit(gap: float, closest: float, widest: float) -> float:
    return closest if gap < closest else widest


def _over(strip: RunGrid, a: Mark, b: Mark, laid: RowLayout) -> bool:
    """Whether a blocked stretch lies between two marks."""
    step = laid.rules.step
    return any(
        g.strip is strip and g.start * step >= a.tube_along - step and g.end * step <= b.tube_along + step
        for g in laid.row.gone
    )
