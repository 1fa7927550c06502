"""What one draw of an afternoon's hours and winds feels like anywhere under the lid, in plan and cut upright;
where the sun comes in."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from mistcalc.cooling.airflow import patio_airflow
from mistcalc.cooling.balance import BalanceSolution
from mistcalc.cooling.case import Case
from mistcalc.cooling.comfort_indices import (
    SUPPOSED_FAN,
    Around,
    effective_temperature,
    relative_humidity,
    shade_radiant,
)
from mistcalc.cooling.cooling_map import air_of_field
from mistcalc.cooling.patio_geometry import NozzleRow, PatioGeometry, inside_of
from mistcalc.cooling.place_air import Fan
from mistcalc.cooling.plume_field import field_of
from mistcalc.cooling.stratification import air_at
from mistcalc.cooling.sunlight import LAP, body_lit, reached
from mistcalc.cooling.wind import ray_to_segment
from mistcalc.model.results import Air, Layout
from mistcalc.model.results.hours_and_winds import UprightCut

CELL, MOST_CELLS = 0.3, 2500  # m; a larger lid gets larger cells
ACROSS, UP = 40, 26  # places of a cut
MOST_CUTS = 4
NODES = 7  # drops at which SET is worked out; between them it is smooth


@dataclass(frozen=True, slots=True)
class PlanCells:
    x: np.ndarray
    y: np.ndarray
    inside: np.ndarray

    @property
    def points(self) -> tuple[np.ndarray, np.ndarray]:
        """x and y of the cells under the lid, [point]."""
        across, along = np.meshgrid(self.x, self.y)
        return across[self.inside], along[self.inside]

    def whole(self, values: np.ndarray) -> np.ndarray:
        """Values [..., point] as maps [..., y, x], 0 outside the lid."""
        maps = np.zeros((*values.shape[:-1], *self.inside.shape), dtype=values.dtype)
        maps[..., self.inside] = values
        return maps


def plan_cells(ground: PatioGeometry) -> PlanCells:
    outline = np.asarray(ground.outline, dtype=float)
    low, high = outline.min(axis=0), outline.max(axis=0)
    cell = max(CELL, float(np.sqrt((high - low).prod() / MOST_CELLS)))
    counts = np.maximum(np.round((high - low) / cell).astype(int), 2)
    x, y = (low[i] + (high[i] - low[i]) * (np.arange(counts[i]) + 0.5) / counts[i] for i in (0, 1))
    inside = inside_of(*np.meshgrid(x, y), outline)  # type: ignore[call-arg]
    return PlanCells(x, y, inside if inside.any() else np.ones_like(inside))


class FeltScene:
    """One draw of every hour and wind, balanced, and what is felt anywhere in it."""

    def __init__(
        self, case: Case, answer: BalanceSolution, fans: tuple[Fan, ...], shape: tuple[int, ...]
    ) -> None:
        self.case, self.answer, self.fans, self.shape = case, answer, fans, shape
        self.fields = [field_of(case, answer, n) for n in range(case.wind.shape[1])]
        self.speeds = (SUPPOSED_FAN, *dict.fromkeys(fan.speed for fan in fans))
        out = case.outdoors
        off = out.temperature, relative_humidity(out.temperature, out.ratio, out.air_pressure)
        self.around = Around(case.air_speed, shade_radiant(*off), out.air_pressure)
        self.shade = effective_temperature(*off, self.around)[0]

    def mist(self, x: np.ndarray, y: np.ndarray, height: np.ndarray | float) -> np.ndarray:
        """K felt cooler with the mist than in shade alone at points, [hour, wind, point]."""
        under = patio_airflow(self.case.ground)
        held = np.stack([under.held_at(x, y, float(toward)) for toward in self.case.wind_toward[0]], axis=-1)
        level = np.broadcast_to(height, x.shape)
        plain = air_at(self.case, self.answer, held[:, None, :], level[:, None, None])  # type: ignore[arg-type]
        t, ratio = np.empty((2, len(self.fields), len(x)))
        for n, field in enumerate(self.fields):
            around = plain.temperature[:, 0, n], plain.ratio[:, 0, n]
            t[n], ratio[n] = air_of_field(field, around, x, y, height)
        return self._cooler(t, ratio).reshape(*self.shape, len(x))

    def _cooler(self, t: np.ndarray, ratio: np.ndarray) -> np.ndarray:
        """What airs [moment, point] feel like, against the shade: along each moment's own line from the
        outdoor air to its coldest place, on which all its airs lie."""
        first, last = t.max(axis=1), t.min(axis=1)
        nodes = first + (last - first) * np.linspace(0, 1, NODES)[:, None]
        damp = np.empty_like(nodes)
        for n in range(len(t)):
            order = np.argsort(t[n])
            damp[:, n] = np.interp(nodes[:, n], t[n][order], ratio[n][order])
        pressure = self.case.outdoors.air_pressure
        felt = effective_temperature(nodes, relative_humidity(nodes, damp, pressure), self.around)
        gains = self.shade - felt
        return np.stack([np.interp(t[n], nodes[::-1, n], gains[::-1, n]) for n in range(len(t))])

    def blown(self, t: np.ndarray, ratio: np.ndarray) -> np.ndarray:
        """K felt cooler where a fan blows air of one state a moment, [hour, wind, speed]."""
        speeds = np.maximum(self.around.speed, np.array(self.speeds)[:, None])
        humidity = relative_humidity(t, ratio, self.case.outdoors.air_pressure)
        felt = effective_temperature(t, humidity, replace(self.around, speed=speeds))
        return np.moveaxis(self.shade - felt, 0, -1).reshape(*self.shape, len(self.speeds))

    def fan_at(self, x: np.ndarray, y: np.ndarray) -> np.ndarray:
        """Index of the strongest fan's speed that reaches each point, 0 where none of the plan does."""
        best, which = np.zeros(len(x)), np.zeros(len(x), dtype=int)
        for fan in self.fans:
            there = (np.hypot(x - fan.point[0], y - fan.point[1]) <= fan.reach) & (fan.speed > best)
            best[there], which[there] = fan.speed, self.speeds.index(fan.speed)
        return which

    def cut(self, seat: int, strip: NozzleRow) -> UprightCut:
        """From the strip's open edge square to it through the seat."""
        ground, (ux, uy) = self.case.ground, strip.inward
        x0, y0 = ground.seats[seat]
        within = (x0 - strip.first[0]) * ux + (y0 - strip.first[1]) * uy
        seat_along = max(within + strip.outside, 0.0)
        edge = x0 - seat_along * ux, y0 - seat_along * uy
        wall = _nearest(ground.walls, (x0, y0), strip.inward)
        open_side = _nearest(tuple(o.side for o in ground.openings), (x0, y0), strip.inward)
        far = min(wall, open_side)
        length = seat_along + (far if np.isfinite(far) else strip.depth - within)
        along = length * (np.arange(ACROSS) + 0.5) / ACROSS
        up = ground.height * (np.arange(UP) + 0.5) / UP
        s, z = (grid.ravel() for grid in np.meshgrid(along, up))
        felt = self.mist(edge[0] + s * ux, edge[1] + s * uy, z)
        return UprightCut(
            seat=seat,
            along=along,
            up=up,
            seat_along=seat_along,
            line_along=strip.outside,
            wall=bool(wall <= open_side),
            inward=float(np.arctan2(uy, ux)),
            mist=felt.reshape(*self.shape, UP, ACROSS),
            fan_at=self.fan_at(edge[0] + along * ux, edge[1] + along * uy),
        )


def cut_rows(ground: PatioGeometry, layout: Layout) -> list[NozzleRow | None]:
    """The row of nozzles each of the first seats is cut across: its own run's, else the nearest."""
    by_name = {strip.name: strip for strip in ground.strips}

    def nearest(point: tuple[float, float]) -> NozzleRow | None:
        gaps = [
            min(np.hypot(point[0] - x, point[1] - y) for x, y in (strip.point(p, 0.0) for p in strip.places))
            for strip in ground.strips
        ]
        return ground.strips[int(np.argmin(gaps))] if gaps else None

    runs = [seat.run for seat in layout.lid.seats] or [""] * len(ground.seats)
    pairs = zip(ground.seats[:MOST_CUTS], runs, strict=False)
    return [by_name.get(run) or nearest(point) for point, run in pairs]


def _nearest(
    sides: tuple[tuple[tuple[float, float], tuple[float, float]], ...],
    point: tuple[float, float],
    way: tuple[float, float],
) -> float:
    """How far off the first of some sides is; inf where none is that way."""
    return min((float(ray_to_segment(*point, *way, a, b)) for a, b in sides), default=np.inf)


# ------------------------------------------------------------------ sun


def sun_by_hour(
    ground: PatioGeometry, plan: PlanCells, airs: tuple[Air, ...], bearing: float
) -> tuple[np.ndarray, tuple[tuple[float, float] | None, ...], np.ndarray]:
    """Where the sun reaches a lap in each hour, which way its light goes from what height, and how far each
    seat is in it."""
    x, y = plan.points
    laps = np.column_stack([x, y, np.full(len(x), LAP)])
    maps = np.zeros((len(airs), *plan.inside.shape))
    seats = np.zeros((len(airs), len(ground.seats)))
    ways: list[tuple[float, float] | None] = []
    for n, air in enumerate(airs):
        sunny = np.flatnonzero(air.beam > 0.0) if air.beam is not None else np.zeros(0, dtype=int)
        if not sunny.size or air.sun_height is None or air.sun_azimuth is None:
            ways.append(None)
            continue
        day = sunny[np.argsort(air.sun_height[sunny], kind="stable")[sunny.size // 2]]
        height, toward = air.sun_height[[day]], bearing - air.sun_azimuth[[day]]
        maps[n] = plan.whole(reached(ground, laps, height, toward)[:, 0])
        seats[n] = body_lit(ground, height, toward)[:, 0]
        ways.append((float((toward[0] + np.pi) % (2 * np.pi)), float(height[0])))
    return maps, tuple(ways), seats
