"""The smallest move of something else that ends a clash, or makes the row equal.

The row is held; only things that can move are moved. Posts, glass and beams are named in findings and
stay; so do members and joints.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

import numpy as np

from mistcalc.layout.geometry import Keepout, Plan, in_lid, obstacle_keepouts, placed, plan_of
from mistcalc.layout.row_plans import LaidRow, lay_rows, second_plans
from mistcalc.layout.row_search import PATTERNS, clashing_row
from mistcalc.layout.run_frames import NEAR
from mistcalc.layout.run_grid import RunGrid, pieces
from mistcalc.layout.search_order import SearchOrder
from mistcalc.model.project import Obstacle
from mistcalc.model.results import Clash, Fix, Mark

Toward = Literal["house", "edge", "along+", "along-"]

FARTHEST = 48  # units
STAY = ("column", "door glass", "beam", "outlooker", "pocket")
ORDER: tuple[Toward, ...] = ("house", "along+", "along-", "edge")  # which of equal moves is named


def moved(obstacle: Obstacle, toward: Toward, by: float) -> Obstacle:
    along = {"along+": by, "along-": -by}.get(toward, 0.0)
    back = {"house": by, "edge": -by}.get(toward, 0.0)
    return replace(obstacle, along=obstacle.along + along, back=obstacle.back + back)


def clearance_fixes(plan: Plan, marks: tuple[Mark, ...], clashes: tuple[Clash, ...]) -> tuple[Fix, ...]:
    """For each obstacle with marks in its clearance, the least move by whole units that leaves none."""
    troubled: dict[str, list[str]] = {}
    for clash in clashes:
        if clash.rule == "clearance":
            troubled.setdefault(clash.against, []).append(clash.mark)
    out = []
    for obstacle in plan.patio.obstacles:
        if obstacle.name in troubled and obstacle.kind not in STAY:
            keepouts = _own(plan, obstacle)
            points = np.array([m.point for m in marks])
            step = _least(plan, obstacle, keepouts, points, ORDER)
            if step is not None and _still_clears(plan, obstacle, moved(obstacle, *step)):
                out.append(Fix(obstacle.name, *step, ends=tuple(troubled[obstacle.name])))
    return tuple(out)


def _still_clears(plan: Plan, thing: Obstacle, new: Obstacle) -> bool:
    """A body on the line shapes the row: moved, the row may not hold, so lay again and look. Anything
    else leaves the row where it was."""
    before, after = _own(plan, thing), _own(plan, new)
    bands = [band for each in (plan, *second_plans(plan)) for band in each.bands]
    if not any(k.hard and k.span(band) for k in (*before, *after) for band in bands):
        return True
    others = tuple(new if o is thing else o for o in plan.patio.obstacles)
    again = [row for _, row in lay_rows(plan_of(replace(plan.patio, obstacles=others)))]
    places = [(s, row.row.marks[s.number]) for row in again for s in row.strips if s.number in row.row.marks]
    points = np.array(list(_points(places, again[0].rules.step)))
    return not any(_hit(k, points).any() for k in after)


def equal_row_fixes(plan: Plan, rows: Sequence[LaidRow]) -> tuple[Fix, ...]:
    """Where the first row is not equal: move what stops the equal row at the pitch wanted, two things at
    most, along the run. Offered only if laying again then gives that row, and second ones no worse."""
    laid = rows[0][1]
    if laid.row.pattern == "equal" or not laid.row.marks:
        return ()
    order = SearchOrder.of(laid.strips, plan.patio)
    empty = frozenset(
        s.number for s in order.strips if not len(laid.row.marks.get(order.number(s.number), ()))
    )
    chain, _ = pieces(order.strips, laid.rules, empty)
    wanted = clashing_row(chain, laid.rules)
    if wanted is None:
        return ()
    numbered = [(piece.strip.number, some) for piece, some in zip(chain, wanted[0], strict=True)]
    places = [(laid.strips[order.number(n)], order.marks(n, some)) for n, some in numbered]
    points = np.array(list(_points(places, laid.rules.step)))
    stops = [k for k in plan.keepouts if k.hard and _hit(k, points).any()]
    names = {k.name for k in stops}
    things = [o for o in plan.patio.obstacles if o.name in names and o.kind not in STAY]
    if not 1 <= len(names) <= 2 or len(things) != len(names) or any(k.rule == "joint" for k in stops):
        return ()
    fixes, after = [], plan.patio
    for thing in things:
        hard = [k for k in _own(plan, thing) if k.hard]
        step = _least(plan, thing, hard, points, ("along+", "along-"))
        if step is None:
            return ()
        fixes.append(Fix(thing.name, *step, ends=(), purpose="equal row"))
        new = moved(thing, *step)
        after = replace(after, obstacles=tuple(new if o is thing else o for o in after.obstacles))
    again = [row.row for _, row in lay_rows(plan_of(after))]
    worse = any(
        PATTERNS.index(new.pattern) > PATTERNS.index(old.row.pattern)
        for new, (_, old) in zip(again, rows, strict=True)
    )
    good = (again[0].pattern, again[0].pitch) == ("equal", laid.rules.pitch) and not worse
    return tuple(fixes) if good else ()


def _points(places: list[tuple[RunGrid, np.ndarray]], step: float) -> Iterator[tuple[float, float]]:
    for strip, indices in places:
        band = strip.band
        for index in indices.tolist():
            yield band.point(band.tube[0] + (strip.lead + index) * step, band.back)


def _own(plan: Plan, obstacle: Obstacle) -> list[Keepout]:
    thing = placed(obstacle, plan.band(obstacle.run))
    return list(obstacle_keepouts(thing, plan.patio.marks.hole))


def _hit(keepout: Keepout, points: np.ndarray) -> np.ndarray:
    return keepout.ground.distance(points[:, 0], points[:, 1]) < keepout.reach - NEAR


def _least(
    plan: Plan, obstacle: Obstacle, keepouts: list[Keepout], points: np.ndarray, order: tuple[Toward, ...]
) -> tuple[Toward, float] | None:
    """Least whole number of units, first direction in `order` on ties, that clears every point and keeps
    the obstacle in the lid; None within 48."""
    band, unit = plan.band(obstacle.run), plan.tape.unit
    by = np.arange(1, FARTHEST + 1) * unit
    best: tuple[int, Toward] | None = None
    x0, y0 = placed(obstacle, band).point
    for toward in order:
        x1, y1 = placed(moved(obstacle, toward, unit), band).point
        sx, sy = (x1 - x0) / unit * by, (y1 - y0) / unit * by
        clear = np.ones(FARTHEST, dtype=bool)
        for k in keepouts:  # moving the thing one way is moving the points the other way
            distance = k.ground.distance(points[:, 0] - sx[:, None], points[:, 1] - sy[:, None])
            clear &= ~(distance < k.reach - NEAR).any(axis=1)
        for n in np.flatnonzero(clear):
            if best is not None and n >= best[0]:
                break
            if in_lid(plan, (x0 + sx[n], y0 + sy[n])):
                best = (int(n), toward)
                break
    return None if best is None else (best[1], float(by[best[0]]))
