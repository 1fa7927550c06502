"""What a balance reads of a case, and of several cases at once: one after another along the hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import partial
from typing import Any, TypeVar

import numpy as np

from mistcalc.cooling import wind
from mistcalc.cooling.case import Case
from mistcalc.cooling.patio_air import Entering, Outdoors, wet_bulb_depression
from mistcalc.cooling.unknowns import BANDS, Unknowns
from mistcalc.model.project import Nozzle
from mistcalc.physics import nozzle, ventilation
from mistcalc.physics.droplet import GRAVITY

S = TypeVar("S")

# Cold air that flows out along the floor moves as the root of the height from the level that does not move:
# in the mean 2/3 of the greatest speed, with which the handbook's formula counts (derived).
SETTLED_FLOW = 2 / 3
# Stand for all nozzles that have an open side downwind: 19 in 20 cases within 0.02 K of every nozzle's own.
WAYS_OUT = 8
ALIKE = 1e-9  # m: ways out that differ by less are one


@dataclass(frozen=True, slots=True)
class Exits:
    """Where the wind takes the plumes out of the patio: m downwind, inf where a wall stops them, nearest
    first; and the share of all nozzles each stands for. Both [way, draw, hour]."""

    edge: np.ndarray
    weight: np.ndarray

    def mean(self, of_each: np.ndarray) -> np.ndarray:
        """Mean over the nozzles, [way, draw, hour] to [draw, hour]."""
        return np.asarray((self.weight * of_each).sum(axis=0))


@dataclass(frozen=True, slots=True)
class AirChange:
    """What moves the patio's air, [draw, hour] or one for all: m3/s, 1, m/s, m2, m, 1, K, 1, m2."""

    by_wind: np.ndarray  # outdoor air, before `exchange`
    returns: np.ndarray  # of the air that comes in: share that comes back
    inward: np.ndarray
    open_area: np.ndarray | float
    clear_height: np.ndarray | float
    exchange: np.ndarray
    temperature: np.ndarray  # outdoors
    gathered: np.ndarray  # of the cold beside the line, over the patio's mean
    section: np.ndarray | float  # what the cold spreads through: height by the root of the plan's area

    def __call__(self, difference: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Outdoor air that passes through [m3/s] with the patio `difference` K (virtual) colder, and how far
        the wind alone drives it, 0 to 1.

        What comes back is the wake's own air: outdoor air as far as the wake is flushed. Cold air that would
        run out along the floor is swept back with it where the wake's air comes in faster.
        """
        t, clear = self.temperature, self.clear_height
        runs_out = self._front(difference) ** 2
        swept_back = self.returns * self.inward**2 / np.maximum(self.inward**2 + runs_out, 1e-12)
        swept_back = np.minimum(swept_back, 1.0)  # where all comes back, rounding is a hair over
        by_weight = SETTLED_FLOW * ventilation.buoyant_flow(difference, self.open_area, clear, t)
        flow = ventilation.combined_flow(self.by_wind, (1 - swept_back) * by_weight)
        return flow * self.exchange, ((self.by_wind / np.maximum(flow, 1e-9)) ** 2) ** 2

    def swept(self, difference: np.ndarray) -> np.ndarray:
        """How far the cold stays where the wind carries it, 0 to 1, with the patio `difference` K colder: the
        less, the farther its weight makes it spread in the time that the wind's air stays.

        A cloud's width grows by that way in quadrature, and the air beside the line, colder than the patio's
        mean, runs the faster. The front's speed: Benjamin 1968; the rest derived.
        """
        spread = self._front(difference * np.maximum(self.gathered, 1.0)) * self.section
        return 1 / (1 + (spread / np.maximum(self.by_wind * self.exchange, 1e-9)) ** 2)

    def _front(self, difference: np.ndarray) -> np.ndarray:
        """How fast cold air runs out along the floor [m/s]."""
        heavier = GRAVITY * difference / self.temperature
        return ventilation.FRONT_SPEED * np.sqrt(heavier * self.clear_height / 2)


@dataclass(frozen=True, slots=True)
class BalanceInputs:
    """Arrays that broadcast to [draw, hour]; SI as in `Case`."""

    outdoors: Outdoors
    depression: np.ndarray  # K, of outdoor air's wet bulb
    entering: Entering
    change: AirChange
    exits: Exits
    unknowns: Unknowns
    speed: np.ndarray  # of the air at the nozzles, by the wind alone
    wind_keeps: np.ndarray
    injected: np.ndarray  # kg/s, all nozzles
    water: np.ndarray | float  # kg/s, all nozzles, by the line's own pressures
    flow: np.ndarray  # m3/s, of one nozzle
    gauge: np.ndarray | float
    median: np.ndarray  # m, drops
    spread: np.ndarray
    supply: np.ndarray | float  # K, of the water
    supply_enthalpy: np.ndarray | float
    height: np.ndarray | float  # m, of the tips above the floor
    spacing: np.ndarray | float


def inputs_of(case: Case, like: BalanceInputs | None = None) -> BalanceInputs:
    """like: those of the same patio in the same air and wind with another line."""
    s, n, u, lee, ground = case.spray, case.plumbing.nozzle, case.unknowns, case.lee, case.ground
    flow = case.flow
    by_wind = case.wind_flow / (1 + lee.returns * case.wind_flow / np.maximum(lee.flush, 1e-9))
    change = AirChange(
        by_wind, lee.returns, lee.inward, ground.open_area, ground.clear_height,
        u.exchange, case.outdoors.temperature, case.gathered, np.sqrt(ground.volume * ground.height),
    )  # fmt: skip
    shape = np.broadcast_shapes(case.speed.shape, case.outdoors.temperature.shape)
    return BalanceInputs(
        entering=Entering.of(case.outdoors, change, shape) if like is None else like.entering,
        outdoors=case.outdoors,
        depression=wet_bulb_depression(case.outdoors) if like is None else like.depression,
        change=change,
        exits=ways_out(case) if like is None else like.exits,
        unknowns=u,
        speed=case.speed,
        wind_keeps=case.wind_keeps,
        injected=case.water * flow / s.flow,
        water=case.water,
        flow=flow,
        gauge=s.gauge,
        median=drop_size(n, s.gauge, u),
        spread=n.drop_spread + u.drop_spread,
        supply=case.plumbing.water.temperature,
        supply_enthalpy=case.supply_enthalpy,
        height=s.height,
        spacing=s.spacing,
    )


def drop_size(of: Nozzle, gauge: float, u: Unknowns) -> np.ndarray:
    """Median drop at a pressure [m], [draw, 1]: the stated one within the band of a stated size, else that of
    the correlation within the correlation's own, wider band; the same draw goes through either."""
    size = partial(
        nozzle.median_of,
        gauge,
        of.at,
        of.drop_spread + u.drop_spread,
        flow=of.flow,
        median=of.drop_median,
        sauter=of.drop_sauter,
    )
    if of.drop_median is None and of.drop_sauter is None:
        return size(over_correlation=BANDS["drop_size"].moved(u.drop_size, *nozzle.SWIRL_BAND))
    return np.minimum(size() * u.drop_size, nozzle.LARGEST_DROP)


def ways_out(case: Case) -> Exits:
    """Every nozzle's way out, those of like length taken together: a plume's fate asks for nothing else."""
    each = [wind.exit_distances(strip, case.ground, case.toward) for strip in case.ground.strips]
    edges = np.sort(np.concatenate(each), axis=0)
    count = len(edges)
    leaving = np.isfinite(edges).sum(axis=0)
    ways = min(WAYS_OUT, count)
    nth = [np.minimum((2 * way + 1) * leaving // (2 * ways), count - 1) for way in range(ways)]
    edge = [np.take_along_axis(edges, n[None], axis=0)[0] for n in nth]
    weight = [leaving / (ways * count)] * ways
    stopped = np.full(leaving.shape, np.inf)
    return _told_apart(np.stack([*edge, stopped]), np.stack([*weight, 1 - leaving / count]))


def _told_apart(edge: np.ndarray, weight: np.ndarray) -> Exits:
    """Equal ways as one, with the weight of all: from nozzles in a row behind a straight side most are."""
    farther = np.isinf(edge[1:]) != np.isinf(edge[:-1])
    farther |= np.where(np.isinf(edge[1:]), 0.0, edge[1:]) > np.where(farther, 0.0, edge[:-1]) + ALIKE
    nth = np.concatenate([np.zeros((1, *farther.shape[1:]), int), farther.cumsum(axis=0)])
    told = Exits(
        np.full((nth.max() + 1, *farther.shape[1:]), np.inf), np.zeros((nth.max() + 1, *farther.shape[1:]))
    )
    for row, there, share in zip(nth[:, None], edge[:, None], weight[:, None], strict=True):
        np.put_along_axis(told.edge, row, there, axis=0)
        np.put_along_axis(told.weight, row, share + np.take_along_axis(told.weight, row, axis=0), axis=0)
    return told


# ------------------------------------------------------------------ several cases at once


def joined(each: Sequence[BalanceInputs]) -> tuple[BalanceInputs, tuple[slice, ...]]:
    """Cases of the same draws one after another along the hours, and where each of them lies: they share
    nothing but the arithmetic's overhead."""
    shapes = [np.broadcast_shapes(one.speed.shape, one.outdoors.temperature.shape) for one in each]
    ends = np.cumsum([hours for _, hours in shapes]).tolist()
    places = tuple(slice(end - hours, end) for end, (_, hours) in zip(ends, shapes, strict=True))
    ways = max(len(one.exits.edge) for one in each)
    padded = [replace(one, exits=_padded(one.exits, ways)) for one in each]
    return _joined(padded, shapes), places


def _joined(each: Sequence[Any], shapes: Sequence[tuple[int, ...]]) -> Any:
    """Records of one kind as one: arrays side by side, records within them alike, the draws as they are."""
    first = each[0]
    if isinstance(first, Unknowns):
        return first
    if is_dataclass(first) and not isinstance(first, type):
        parts = {f.name: [getattr(one, f.name) for one in each] for f in fields(first)}
        return replace(first, **{name: _joined(values, shapes) for name, values in parts.items()})
    lead = np.ndim(first) - 2 if np.ndim(first) > 2 else 0
    wide = (np.broadcast_to(x, (*np.shape(x)[:lead], *shape)) for x, shape in zip(each, shapes, strict=True))
    return np.concatenate(list(wide), axis=-1)


def _padded(exits: Exits, ways: int) -> Exits:
    """With as many ways out as the case that has most, of no weight."""
    more = np.zeros((ways - len(exits.edge), *exits.edge.shape[1:]))
    return Exits(np.concatenate([more + np.inf, exits.edge]), np.concatenate([more, exits.weight]))


def parted(solved: S, places: Sequence[slice]) -> tuple[S, ...]:
    """A record of joined cases as one of each; what has no hours (`class_weight`) is every one's."""
    return tuple(_part(solved, place) for place in places)


def _part(value: Any, place: slice) -> Any:
    if isinstance(value, dict):
        return {name: _part(x, place) for name, x in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: _part(getattr(value, f.name), place) for f in fields(value)})
    return value[:, place] if np.ndim(value) >= 2 else value
