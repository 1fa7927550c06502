"""The sun under one lid through the year: when it reaches the seats, where it does, and what keeps it off.

All under a clear sky: clouds only ever leave less.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import numpy as np

from mistcalc.cooling.patio_geometry import PatioGeometry, geometry_of, inside_of
from mistcalc.cooling.sunlight import BODY, LAP, body_lit, reached
from mistcalc.cooling.wind import ray_to_segment
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.project import Patio
from mistcalc.model.results import Layout, PatioSun, RunLine, ShadeScreen, SunMap, SunPath

MAPS = 4  # whole hours, one after another
EVENING = 17.5  # h: about which they lie where no hour has more sun than another
Side = tuple[tuple[float, float], tuple[float, float]]
SideName = Literal["edge", "back", "start", "end"]
CELLS = 60  # of a map along the patio's longer way


def sun_on_patio(patio: Patio, layout: Layout, path: SunPath, used: np.ndarray, bearing: float) -> PatioSun:
    """used: the control's months and hours, [month, step]. bearing: heading of +x."""
    ground = geometry_of(patio, layout)
    toward = bearing - path.azimuth
    lit = body_lit(ground, path.height.ravel(), toward.ravel()).reshape(len(ground.seats), *path.height.shape)
    month = _most_sun(lit, used)
    outline = np.asarray(ground.outline, dtype=float)
    low, high = outline.min(axis=0), outline.max(axis=0)
    size = (high - low).max() / CELLS
    x, y = (np.arange(low[i] + size / 2, high[i], size) for i in (0, 1))
    across, along = np.meshgrid(x, y)
    inside = inside_of(across, along, outline)
    laps = np.column_stack([across[inside], along[inside], np.full(int(inside.sum()), LAP)])
    maps = []
    for step in _hours_shown(path.clock, lit[:, month].sum(axis=0) * used[month], path.height[month]):
        shines = np.zeros(inside.shape)
        at = path.height[month, [step]], toward[month, [step]]
        shines[inside] = reached(ground, laps, *at)[:, 0]
        way = float((at[1][0] + np.pi) % (2 * np.pi))
        maps.append(SunMap(float(path.clock[step]), way, float(at[0][0]), shines))
    sunny = used & (path.height > 0.0)
    return PatioSun(
        patio=patio.name,
        clock=path.clock,
        seats=ground.seats,
        lit=lit,
        used=used,
        screens=tuple(_screens(ground, layout, path.height[sunny], toward[sunny])),
        skyline=path.skyline,
        month=month,
        x=x,
        y=y,
        inside=inside,
        maps=tuple(maps),
        lap=LAP,
        key=fingerprint(patio.name, path, used, bearing, lit, *(one.lit for one in maps)),
    )


def _most_sun(lit: np.ndarray, used: np.ndarray) -> int:
    """The month of use whose middle day has most sun on the seats in the hours of use; of equal ones that in
    the middle of them."""
    sun = np.round(np.where(used, lit.sum(axis=0), 0.0).sum(axis=1), 6)
    best = np.flatnonzero(used.any(axis=1) & (sun == sun[used.any(axis=1)].max(initial=0.0)))
    return int(best[len(best) // 2]) if best.size else 6


def _hours_shown(clock: np.ndarray, sun: np.ndarray, height: np.ndarray) -> list[int]:
    """Steps of MAPS whole hours in which the sun is up: those with most of it on the seats, else about the
    evening. sun: on all seats in the hours of use, [step]."""
    whole = np.flatnonzero(np.abs(clock - np.round(clock)) < 1e-6)
    whole = whole[height[whole] > 0.0]
    if whole.size <= MAPS:
        return whole.tolist()
    each_hour = round(1 / SunPath.STEP)
    runs = [whole[n : n + MAPS] for n in range(whole.size - MAPS + 1)]
    worth = [
        (round(float(sun[run[0] : run[-1] + each_hour].sum()), 6), -abs(clock[run].mean() - EVENING))
        for run in runs
    ]
    return runs[max(range(len(runs)), key=worth.__getitem__)].tolist()


def _screens(
    ground: PatioGeometry, layout: Layout, height: np.ndarray, toward: np.ndarray
) -> Iterator[ShadeScreen]:
    """One an open side through which the sun reaches a seat: as deep and as long as all such rays need."""
    points = np.array([(x, y, z) for x, y in ground.seats for z in BODY]).reshape(-1, 3)
    which, ray = np.nonzero(reached(ground, points, height, toward))
    x, y, z = points[which].T
    ux, uy, slope = np.cos(toward[ray]), np.sin(toward[ray]), np.tan(height[ray])
    met = np.array([ray_to_segment(x, y, ux, uy, *opening.side) for opening in ground.openings])
    first = met.argmin(axis=0) if len(met) else np.zeros(0, dtype=int)
    for n, opening in enumerate(ground.openings):
        through = (first == n) & np.isfinite(met[n])
        if not through.any():
            continue
        (ax, ay), (bx, by) = opening.side
        far = met[n, through]
        long = float(np.hypot(bx - ax, by - ay))
        along = (
            (x[through] + far * ux[through] - ax) * (bx - ax)
            + (y[through] + far * uy[through] - ay) * (by - ay)
        ) / long
        under = ground.height - (z[through] + far * slope[through])
        outward = ux[through] * opening.outward[0] + uy[through] * opening.outward[1]
        run, where = _name(layout, opening.side)
        start, end = float(along.min()), float(along.max())
        line = tuple((ax + s / long * (bx - ax), ay + s / long * (by - ay)) for s in (start, end))
        if where == "edge" and not run.datum_at_start:
            start, end = long - end, long - start
        yield ShadeScreen(
            run=run.name,
            where=where,
            start=start,
            end=end,
            length=long,
            line=(line[0], line[1]),
            drop=float(under.max()),
            wider=float((under / slope[through] * outward).max()),
        )


def _name(layout: Layout, side: Side) -> tuple[RunLine, SideName]:
    """The run an open side is of, and which of its sides: edge, back, start or end."""
    runs = layout.lid.runs
    for run in runs:
        if run.edge == side:
            return run, "edge"
    if runs[0].edge[0] in side:
        return runs[0], "start"
    if runs[-1].edge[1] in side:
        return runs[-1], "end"
    middle = np.add(*side) / 2
    near = min(runs, key=lambda run: float(np.hypot(*(np.add(*run.edge) / 2 - middle))))
    return near, "back"
