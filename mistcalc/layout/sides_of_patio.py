"""The sides of the lid in plan: what is wall, what is open, and what stands free before the open ones."""

from __future__ import annotations

import itertools

from mistcalc.layout.geometry import Plan
from mistcalc.layout.run_frames import RunFrame, edge_path, house_path
from mistcalc.model.project import Patio, Screen
from mistcalc.model.results import PlacedScreen, Point
from mistcalc.model.run_extents import back_from_start

Side = tuple[Point, Point]


def sides(plan: Plan) -> tuple[tuple[Side, ...], tuple[Side, ...]]:
    """Walls and open edges. Open ones are walked with the patio on the left; a wall goes as it comes."""
    bands, patio = plan.bands, plan.patio
    edge, back = edge_path(bands), house_path(bands)
    walls: list[Side] = []
    open_edges: list[Side] = list(itertools.pairwise(edge))
    if patio.back == "wall":
        walls += itertools.pairwise(back)
    else:
        open_edges += itertools.pairwise(reversed(back))
    ends = ((bands[0].run.starts_at, (back[0], edge[0])), (bands[-1].run.ends_at, (edge[-1], back[-1])))
    for kind, side in () if patio.is_ring else ends:
        (walls if kind == "wall" else open_edges).append(side)
    return tuple(walls), tuple(open_edges)


def screens(plan: Plan) -> tuple[PlacedScreen, ...]:
    """Where the patio's screens stand. One of a run that does not exist is left out."""
    by_name = {band.run.name: band for band in plan.bands}
    return tuple(
        PlacedScreen(
            screen.name,
            screen.run,
            _line(plan.patio, screen, by_name[screen.run]),
            screen.height,
            screen.open,
            screen.out,
        )
        for screen in plan.patio.screens
        if screen.run in by_name
    )


def _line(patio: Patio, screen: Screen, band: RunFrame) -> Side:
    depth, out = band.depth, screen.out
    if screen.side in ("start", "end"):
        outside = -out if screen.side == "start" else band.run.length + out
        line = band.point(outside, 0.0), band.point(outside, depth)
        return line if screen.side == "end" else line[::-1]
    if screen.start is not None and screen.end is not None:
        low, high = sorted((band.sigma(screen.start), band.sigma(screen.end)))
    elif screen.side == "edge":
        low, high = 0.0, band.run.length
    else:
        low, high = back_from_start(patio, patio.runs.index(band.run))
    if screen.side == "edge":
        return band.point(low, -out), band.point(high, -out)
    return band.point(high, depth + out), band.point(low, depth + out)
