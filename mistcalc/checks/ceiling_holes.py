"""Judgements on things that need a hole of their own in the ceiling: no joist may be where they go."""

from __future__ import annotations

import math
from collections.abc import Iterator

from mistcalc.checks.shared import NEAR
from mistcalc.model.project import Obstacle, Patio
from mistcalc.model.results import Finding, Fix, Layout, Member
from mistcalc.model.run_extents import Reach, lid_along

NEEDS_A_HOLE = ("light", "speaker", "vent")  # a fan hangs from a box or brace that its fitter puts on a joist
FARTHEST = 1.22  # m (4 ft), as for any other move


def joist_over(thing: Obstacle, layout: Layout, along: float) -> Member | None:
    """The joist across that a thing's hole would cut if its middle were so far along; None: it is clear."""
    if thing.kind not in NEEDS_A_HOLE:
        return None
    across = (m for m in layout.lid.members if m.run == thing.run and m.along is not None)
    over = (m for m in across if abs((m.along or 0.0) - along) < (thing.size[0] + m.width) / 2 - NEAR)
    return min(over, key=lambda m: abs((m.along or 0.0) - along), default=None)


def after(thing: Obstacle, fix: Fix) -> float:
    """How far along a thing is once a fix is done."""
    return thing.along + {"along+": fix.by, "along-": -fix.by}.get(fix.toward, 0.0)


def ceiling_hole_findings(patio: Patio, layout: Layout) -> Iterator[Finding]:
    """Each thing whose hole would cut a joist, with the least move along the tape that clears all joists."""
    ends = {run.name: lid_along(patio, n) for n, run in enumerate(patio.runs)}
    for thing in patio.obstacles:
        over = joist_over(thing, layout, thing.along)
        if over is None:
            continue
        values = (("kind", thing.kind), ("name", thing.name), ("run", thing.run), ("joist", over.along))
        fix = _least(thing, layout, patio.marks.grid, ends[thing.run])
        clear = abs((over.along or 0.0) - thing.along) - over.width / 2
        yield Finding(
            "thing-on-joist", "warn", f"{patio.name}/{thing.name}", "middle to joist", max(clear, 0.0),
            thing.size[0] / 2, "m", "geometry", (*values, ("no_fix", not fix)), fix,
            alike=(thing.kind, thing.run, not fix),
        )  # fmt: skip


def _least(thing: Obstacle, layout: Layout, grid: float, ends: Reach) -> tuple[tuple[str, object], ...]:
    half, (low, high) = thing.size[0] / 2, ends
    spots = []
    for member in layout.lid.members:
        if member.run != thing.run or member.along is None:
            continue
        for side in (1, -1):
            edge = member.along + side * (member.width / 2 + half)
            steps = side * math.ceil(side * (edge - thing.along) / grid - NEAR)  # whole steps, off the joist
            to = thing.along + steps * grid
            near = abs(to - thing.along) <= FARTHEST
            if near and low + half <= to <= high - half and joist_over(thing, layout, to) is None:
                spots.append((abs(steps), steps > 0, to))
    if not spots:
        return ()
    steps, ahead, to = min(spots)
    toward = "along+" if ahead else "along-"
    return (("move", thing.name), ("toward", toward), ("by", steps * grid), ("to", to))
