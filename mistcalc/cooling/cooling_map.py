"""The patio in plan: how much cooler at face height, and where liquid falls.

Drawn is what the two models know and no more: the patio's mixed air as the background, each nozzle's plume
where it passes (`footprint`), its drops where they come down. Nothing is diffused between them: nobody knows
the eddy diffusivity under a lid, and the answer would be that guess. All from the first draw of a case; of an
afternoon's draws `cooling_maps` takes the one in the middle of the range.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from mistcalc.cooling import wind
from mistcalc.cooling.airflow import patio_airflow
from mistcalc.cooling.balance import BalanceSolution, solve_balance
from mistcalc.cooling.case import Case, case_of, outdoors_of, spray_of
from mistcalc.cooling.hour_sampling import hour_of
from mistcalc.cooling.patio_geometry import NozzleRow, PatioGeometry, geometry_of, inside_of
from mistcalc.cooling.place_air import PATCH
from mistcalc.cooling.plume_field import Field, field_of
from mistcalc.cooling.stratification import air_at
from mistcalc.cooling.unknowns import Unknowns, draws
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import Air, CoolingMap, Layout, Line
from mistcalc.physics import air as moist
from mistcalc.physics.film import film_rate

HEIGHTS = (1.1, 1.7)  # m, a head seated and standing (ISO 7726)
CELL = 0.25  # m
MOST_CELLS = 4000  # a larger lid gets larger cells
FINE_POINTS = 10_000  # about so many, 2-4 a cell each way, of which a cell's value is the mean
SMEAR, ACROSS = 4, 8  # points a size class is spread over: downwind; along and across the line


def cooling_maps(
    patio: Patio,
    layout: Layout,
    line: Line,
    plumbing: Plumbing,
    airs: tuple[Air, ...],
    which: tuple[int, ...],
    bearing: float = 0.0,
) -> tuple[CoolingMap, ...]:
    """One Picture for each of `airs`: of one of its draws, at the hour that draw has.

    which: the draws, as `Cooling.middle` names them. The other arguments: as for
    `afternoon.afternoon_cooling`.
    """
    u = draws()
    spray = spray_of(patio, layout, line)
    lid = geometry_of(patio, layout)
    seen = []
    for air, draw in zip(airs, which, strict=True):
        hour, draw_values = hour_of(air, len(u.wind), draw), u.one(draw)
        if spray is None:
            seen.append(_still(lid, patio.name, hour, bearing, draw_values))
            continue
        case = case_of(patio, layout, spray, plumbing, (hour,), bearing, draw_values)
        known = _direction_known(hour)
        seen.append(
            picture(case, solve_balance(case), patio=patio.name, afternoon=air.name, wind_known=known)
        )
    return tuple(seen)


def _direction_known(air: Air) -> bool:
    return air.direction is not None and not bool(np.isnan(air.direction[0]))


def picture(
    case: Case,
    answer: BalanceSolution,
    heights: tuple[float, ...] = HEIGHTS,
    cell: float = CELL,
    *,
    hour: int = 0,
    patio: str = "",
    afternoon: str = "",
    wind_known: bool = True,
) -> CoolingMap:
    """The plan map of one hour of the first draw.

    heights: m above the floor, below the nozzles. cell: m, about; `MOST_CELLS` bounds their number.
    """
    grid, field, at = _Grid(case.ground, cell), field_of(case, answer, hour), (0, hour)
    outdoors, pressure = float(case.outdoors.temperature[at]), float(case.outdoors.air_pressure[at])
    mean_air = float(answer.patio.temperature[at]), float(answer.patio.ratio[at])
    drop, depression, seats = [], [], []
    x, y = (np.concatenate(pair) for pair in zip(grid.fine, _patches(case.ground.seats), strict=True))
    cells = grid.inside.size * grid.finer**2
    for height in heights:
        t, ratio = air_of_field(field, _around(case, answer, hour, x, y, height), x, y, height)
        seats.append(outdoors - t[cells:].reshape(len(case.ground.seats), -1).mean(-1))
        t, ratio = t[:cells], ratio[:cells]
        drop.append(grid.mean_of_fine(outdoors - t))
        depression.append(grid.mean_of_fine(t - moist.wet_bulb(t, ratio, pressure, "water")))
    rain = _Rain(case, answer, grid, field.toward, hour)
    floor, beyond, scale = rain.falls(case.spray.height)
    landed, landed_beyond = float(floor.sum() * grid.area / case.water), beyond / case.water
    # Saturated air adds its own water to cold drops: then shares are of all that comes down.
    comes_down = max(landed + landed_beyond, 1.0)
    return _named(
        grid,
        patio=patio,
        afternoon=afternoon,
        heights=tuple(heights),
        baseline=outdoors,
        drop=np.stack(drop),
        depression=np.stack(depression),
        face_water=np.stack([rain.falls(case.spray.height - height)[0] for height in heights]),
        floor_water=floor,
        scale_water=scale,
        film_rate=float(film_rate(*mean_air, pressure, case.air_speed[at])),
        seats=case.ground.seats,
        seat_drop=np.array(seats),
        mean_drop=tuple(float(d[grid.inside].mean()) for d in drop),
        patio_drop=outdoors - mean_air[0],
        landed=landed / comes_down,
        landed_beyond=landed_beyond / comes_down,
        wind=float(case.wind[at]),
        toward=float(case.wind_toward[at]),
        wind_known=wind_known,
        water_flow=case.water,
    )


def _named(grid: _Grid, **values: object) -> CoolingMap:
    """A Picture with its grid and key."""
    key = fingerprint(grid.x, grid.y, grid.inside, values)
    return CoolingMap(x=grid.x, y=grid.y, inside=grid.inside, key=key, **values)  # type: ignore[arg-type]


def _still(lid: PatioGeometry, patio: str, air: Air, bearing: float, u: Unknowns) -> CoolingMap:
    """No water: outdoor air in the shade, everywhere the same."""
    grid = _Grid(lid, CELL)
    out = outdoors_of(air, u)
    t, ratio, pressure = (float(x[0, 0]) for x in (out.temperature, out.ratio, out.air_pressure))
    speed = float(wind.speed(air, u.wind, u.calm)[0, 0])
    toward = wind.heading(air, bearing, u.turning)
    maps = np.zeros((len(HEIGHTS), *grid.inside.shape))
    dry = np.zeros(grid.inside.shape)
    return _named(
        grid,
        patio=patio,
        afternoon=air.name,
        heights=HEIGHTS,
        baseline=t,
        drop=maps,
        depression=np.where(grid.inside, t - moist.wet_bulb(t, ratio, pressure, "water"), maps),
        face_water=maps,
        floor_water=dry,
        scale_water=dry,
        film_rate=float(film_rate(t, ratio, pressure, speed)),
        seats=lid.seats,
        seat_drop=np.zeros((len(HEIGHTS), len(lid.seats))),
        mean_drop=(0.0,) * len(HEIGHTS),
        patio_drop=0.0,
        landed=0.0,
        landed_beyond=0.0,
        wind=speed,
        toward=float(toward[0, 0]),
        wind_known=_direction_known(air),
        water_flow=0.0,
    )


def _around(
    case: Case, answer: BalanceSolution, hour: int, x: np.ndarray, y: np.ndarray, height: float
) -> tuple[np.ndarray, np.ndarray]:
    """Dry bulb and humidity ratio at points of one height where no plume passes, first draw."""
    held = patio_airflow(case.ground).held_at(x, y, float(case.wind_toward[0, hour]))
    air = air_at(case, answer, held[:, None, None], height)
    return air.temperature[:, 0, hour], air.ratio[:, 0, hour]


def air_of_field(
    field: Field,
    around: tuple[np.ndarray, np.ndarray],
    x: np.ndarray,
    y: np.ndarray,
    height: np.ndarray | float,
) -> tuple[np.ndarray, np.ndarray]:
    """Dry bulb and humidity ratio at points: the coolest of plumes and the air around them."""
    step, _ = field.coolest(x, y, np.broadcast_to(height, x.shape))
    inside = np.maximum(step, 0.0)
    t, ratio = field.path.at("temperature", inside), field.path.at("ratio", inside)
    plume = (step >= 0) & (t < around[0])
    return np.where(plume, t, around[0]), np.where(plume, ratio, around[1])


def _patches(points: Sequence[tuple[float, float]]) -> tuple[np.ndarray, np.ndarray]:
    """Points all over the air that each person sits in, whose mean is theirs."""
    steps = np.linspace(-PATCH, PATCH, 5)
    dx, dy = np.meshgrid(steps, steps)
    return tuple(np.concatenate([(p[i] + d).ravel() for p in points]) for i, d in enumerate((dx, dy)))  # type: ignore[return-value]


class _Grid:
    """Cells that fill the lid's bounding box; maps are [y, x]."""

    def __init__(self, lid: PatioGeometry, cell: float) -> None:
        outline = np.asarray(lid.outline, dtype=float)
        self.low, high = outline.min(axis=0), outline.max(axis=0)
        size = high - self.low
        cell = max(cell, float(np.sqrt(size.prod() / MOST_CELLS)))
        self.counts = np.maximum(np.round(size / cell).astype(int), 2)
        self.step = size / self.counts
        self.x, self.y = (self.low[i] + self.step[i] * (np.arange(self.counts[i]) + 0.5) for i in (0, 1))
        self.inside = inside_of(*np.meshgrid(self.x, self.y), outline)  # type: ignore[call-arg]
        if not self.inside.any():  # a strip so narrow that no cell has its middle in it
            edge = np.concatenate([np.linspace(a, b, 200) for a, b in pairwise((*outline, outline[0]))])
            column, row = ((edge - self.low) / self.step).astype(int).clip(0, self.counts - 1).T
            self.inside[row, column] = True
        self.area = float(self.step.prod())
        self.finer = int(np.clip(np.sqrt(FINE_POINTS / self.inside.size), 2, 4))
        self.home = self._homes(lid)

    @property
    def fine(self) -> tuple[np.ndarray, np.ndarray]:
        """`finer` points each way in every cell, [point]."""
        x, y = (
            self.low[i] + self.step[i] / self.finer * (np.arange(self.counts[i] * self.finer) + 0.5)
            for i in (0, 1)
        )
        gx, gy = np.meshgrid(x, y)
        return gx.ravel(), gy.ravel()

    def mean_of_fine(self, values: np.ndarray) -> np.ndarray:
        nx, ny = self.counts
        cells = values.reshape(ny, self.finer, nx, self.finer).mean(axis=(1, 3))
        return np.where(self.inside, cells, 0.0)

    def _homes(self, lid: PatioGeometry) -> np.ndarray:
        """Where water belongs that comes down in a cell, with one more cell all round: [y, x] flat index.

        Its own cell under the lid; behind a wall the cell at the wall's foot; past an open side -1.
        """
        nx, ny = self.counts
        cell_indices = np.where(self.inside, np.arange(nx * ny).reshape(ny, nx), -1)
        home = np.pad(cell_indices, 1, constant_values=-1)
        rows, columns = np.nonzero(home < 0)
        point = self.low + self.step * (np.column_stack([columns, rows]) - 0.5)
        gap, foot, wall = np.full(len(point), np.inf), point.copy(), np.zeros(len(point), dtype=bool)
        for sides, is_wall in ((tuple(o.side for o in lid.openings), False), (lid.walls, True)):
            for side in sides:
                met = _nearest_on(side, point)
                distance = np.hypot(*(met - point).T)
                nearer = distance < gap - 1e-9
                gap[nearer], foot[nearer], wall[nearer] = distance[nearer], met[nearer], is_wall
        way = (foot - point) / np.maximum(gap, 1e-9)[:, None]
        target_cell = np.full(len(point), -1)
        for cells in (1.5, 1.0, 0.5):  # past the wall's foot, the nearest cell last
            index = np.floor((foot + cells * self.step * way - self.low) / self.step).astype(int)
            index = index.clip(0, self.counts - 1)
            there = cell_indices[index[:, 1], index[:, 0]]
            target_cell = np.where(there >= 0, there, target_cell)
        home[rows, columns] = np.where(wall, target_cell, -1)
        return home

    def collect(self, x: np.ndarray, y: np.ndarray, amount: np.ndarray) -> tuple[np.ndarray, float]:
        """Amounts that come down at points, as a map per area and the rest that falls past open sides.

        Each point is shared between the four cells about it, so that no pattern of points shows.
        """
        nx, ny = self.counts
        places = []
        for i, (value, count) in enumerate(((x, nx), (y, ny))):
            place = ((value - self.low[i]) / self.step[i] + 0.5).clip(0, count + 1 - 1e-9)  # padded cells
            places.append((place.astype(int), place % 1.0))
        (column, right), (row, up) = places
        total = np.zeros(nx * ny + 1)
        for across, along in ((0, 0), (0, 1), (1, 0), (1, 1)):
            share = (up if across else 1 - up) * (right if along else 1 - right)
            where = self.home[row + across, column + along]
            total += np.bincount(where + 1, weights=amount * share, minlength=nx * ny + 1)
        return total[1:].reshape(ny, nx) / self.area, float(total[0])


def _nearest_on(side: Sequence[tuple[float, float]], point: np.ndarray) -> np.ndarray:
    a, b = (np.asarray(end, dtype=float) for end in side)
    part = ((point - a) @ (b - a) / max(float((b - a) @ (b - a)), 1e-18)).clip(0.0, 1.0)
    return a + part[:, None] * (b - a)


@dataclass(frozen=True, slots=True)
class _Rain:
    """The drops of all nozzles, where they pass a level."""

    case: Case
    answer: BalanceSolution
    grid: _Grid
    toward: float
    hour: int

    def falls(self, depth: float) -> tuple[np.ndarray, float, np.ndarray]:
        """(liquid [kg/(m2 s)] under the lid, liquid beyond it [kg/s], water first sprayed as those drops).

        depth: m below the nozzles. A size class comes down between half way to the next smaller and half way
        to the next larger one, as wide as the plume it was in; what would pass a wall runs down it.
        """
        plume, at = self.answer.plume, (0, self.hour)
        liquid, drift, step = (part[at] for part in plume.rain(depth))
        sprayed = np.where(liquid > 0, plume.class_weight, 0.0)
        some = liquid > 1e-9
        if not some.any():
            return np.zeros(self.grid.inside.shape), 0.0, np.zeros(self.grid.inside.shape)
        liquid, sprayed, drift, step = liquid[some], sprayed[some], drift[some], step[some]
        halves = (drift[1:] + drift[:-1]) / 2
        first, last = np.append(drift[0], halves), np.append(halves, drift[-1])
        spread = first[:, None] + (last - first)[:, None] * (np.arange(SMEAR) + 0.5) / SMEAR
        wide, long = self._section(step)
        each = self.case.water / self.case.ground.nozzles / (SMEAR * ACROSS**2)
        landed = [self._points(strip, spread, wide, long) for strip in self.case.ground.strips]
        x, y, which = (np.concatenate(part) for part in zip(*landed, strict=True))
        water, beyond = self.grid.collect(x, y, each * liquid[which])
        return water, beyond, self.grid.collect(x, y, each * sprayed[which])[0]

    def _section(self, step: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Half sides [m] of the rectangle that a class comes down over, across and along the line."""
        plume, at = self.answer.plume, (0, self.hour)
        where = np.arange(plume.radius.shape[-1])
        thick = np.interp(step, where, plume.radius[at])
        section = np.interp(step, where, plume.volume_flow[at] / plume.speed[at])
        return thick, section / (4 * thick)

    def _points(
        self, strip: NozzleRow, spread: np.ndarray, wide: np.ndarray, long: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Points [point] where the drops of a strip come down, and the class of each."""
        ux, uy = np.cos(self.toward), np.sin(self.toward)
        places = np.asarray(strip.places)
        sx, sy = (strip.first[i] + places * strip.along[i] for i in (0, 1))
        to_wall = np.full(len(places), np.inf)
        for a, b in self.case.ground.walls:
            to_wall = np.minimum(to_wall, wind.ray_to_segment(sx, sy, ux, uy, a, b))
        # [nozzle, class, downwind, along, across]
        drift = np.minimum(spread, to_wall[:, None, None])[..., None, None]
        part = (np.arange(ACROSS) + 0.5) * 2 / ACROSS - 1
        along = (long[:, None] * part)[None, :, None, :, None]
        inward = (wide[:, None] * part)[None, :, None, None, :]
        x = sx[:, None, None, None, None] + drift * ux + along * strip.along[0] + inward * strip.inward[0]
        y = sy[:, None, None, None, None] + drift * uy + along * strip.along[1] + inward * strip.inward[1]
        which = np.broadcast_to(np.arange(len(wide))[None, :, None, None, None], x.shape)
        return x.ravel(), y.ravel(), which.ravel()
