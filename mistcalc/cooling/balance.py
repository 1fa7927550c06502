"""Plumes and patio air brought to agree: what the plumes give the air is what they breathe."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from mistcalc.cooling import wind
from mistcalc.cooling.case import Case
from mistcalc.cooling.patio_air import (
    PASSES,
    Outdoors,
    PatioAir,
    added_vapor,
    fixed_point,
    mixed,
    saturation_adjusted,
)
from mistcalc.cooling.unknowns import BANDS, Unknowns
from mistcalc.model.project import Nozzle
from mistcalc.model.results import FATES
from mistcalc.physics import air as moist
from mistcalc.physics import nozzle
from mistcalc.physics.plume import Fate, Plume, spray_plume

COLDEST, HOTTEST = 233.15, 333.15  # K, air the plume's equations answer for
FIRST_SLOPE = -0.5  # of captured water answered on captured water supposed, before two points tell it
# Still air lies in layers, as outdoors at the lid and ever colder to the floor: what flows out there is
# colder than the mean, 1/0.61 of it (derived: layers that grow evenly colder, out by the root of the height).
LAYERED_KEPT = 0.61
CLASSES = 8  # of drop size: 12 would move the share left liquid by under 1 %


@dataclass(frozen=True, slots=True)
class State:
    """Plumes and the patio air that captured water would make, [draw, hour]."""

    plume: Plume
    patio: PatioAir
    kept: np.ndarray  # share of the plumes' cooling that stays under the lid
    evaporated: np.ndarray  # share of the water, inside or out; below 0 where vapour condenses on the drops
    fate: Fate  # of the water by each of the exits, [way, draw, hour]


@dataclass(frozen=True, slots=True)
class BalanceSolution(State):
    """The state in which what is captured is what was supposed; residual as a share of the injected water."""

    residual: np.ndarray
    fates: dict[str, np.ndarray]  # results.FATES -> share of the water; they sum to 1
    carried: np.ndarray  # share of the water that leaves the patio as liquid, dry later or not
    apart: State  # the plumes if they breathed outdoor air alone


def solve_balance(case: Case, passes: int = PASSES) -> BalanceSolution:
    """The fixed point between what the plumes give the patio and what they breathe.

    One scalar a case: the captured water x [kg/s]; patio air, plumes and their fate follow from it.
    """
    exits, injected = _exits(case), case.injected
    none = np.zeros(np.broadcast_shapes(case.speed.shape, case.outdoors.temperature.shape))
    captured, apart = _respond(case, exits, injected, none)
    # Where the patio's air is full the answer has a kink, and every secant across it would miss.
    full = added_vapor(case.outdoors, _patio(case, captured))
    first = np.minimum(captured / (1 - FIRST_SLOPE), full)
    most = injected * np.maximum(case.wind_keeps, 1.0)
    missed, state = fixed_point(partial(_respond, case, exits, injected), captured, first, most, passes)
    return BalanceSolution(
        plume=state.plume,
        patio=state.patio,
        kept=state.kept,
        evaporated=state.evaporated,
        fate=state.fate,
        residual=missed / case.water,
        fates=_fates(case, state, exits),
        carried=exits.mean(np.where(np.isinf(exits.edge), 0.0, state.fate.carried)),
        apart=apart,
    )


def _respond(case: Case, exits: Exits, injected: np.ndarray, x: np.ndarray) -> tuple[np.ndarray, State]:
    """Water [kg/s] whose cooling stays under the lid, were the patio's air as x makes it; and that state."""
    patio = _patio(case, x)
    plume = _plume(case, *_breathed(case.outdoors, patio, case.unknowns.surroundings))
    fate = plume.fate(case.spray.height, exits.edge)
    kept_share = LAYERED_KEPT + patio.by_wind * (case.wind_keeps - LAYERED_KEPT)
    # What dries on the way out cools the less of the patio the later it dries: half-way counts for the mean
    # of it. In the lee it comes back.
    by_half = exits.mean(plume.fate(case.spray.height, exits.edge / 2).evaporated)
    late = np.clip(plume.evaporated_at(case.spray.height) - by_half, 0.0, 1.0)
    kept_share = kept_share * (1 - late * (1 - case.lee.returns))
    state = State(
        plume=plume,
        patio=patio,
        kept=kept_share,
        evaporated=plume.evaporated_at(case.spray.height),
        fate=fate,
    )
    # In saturated air a little vapour may condense on cold drops: that is not taken from the patio's air.
    return kept_share * np.maximum(state.evaporated, 0.0) * injected, state


def _fates(case: Case, state: State, exits: Exits) -> dict[str, np.ndarray]:
    """Where the water ends. What is still in the air at a wall runs down it. In saturated air vapour
    condenses on the drops; there the shares are of all that comes down."""
    fate, dried = state.fate, state.evaporated
    down_walls = exits.mean(np.where(np.isinf(exits.edge), fate.carried, 0.0))
    dried_under, floor_under = exits.mean(fate.evaporated), exits.mean(fate.landed) + down_walls
    floor = state.plume.liquid_at(case.spray.height) + down_walls
    ends = dried_under, dried - dried_under, floor_under, floor - floor_under, 1 - dried - floor
    ends = tuple(np.maximum(end, 0.0) for end in ends)
    return dict(zip(FATES, (end / sum(ends) for end in ends), strict=True))


def _patio(case: Case, x: np.ndarray) -> PatioAir:
    return mixed(case.outdoors, x, case.supply_enthalpy, case.air_change)


def _breathed(out: Outdoors, patio: PatioAir, share: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The plumes' surroundings: `share` of patio air, the rest outdoor, mixed by dry-air mass."""
    h_out = moist.enthalpy(out.temperature, out.ratio)
    h_in = moist.enthalpy(patio.temperature, patio.ratio)
    t, ratio = saturation_adjusted(
        h_out + share * (h_in - h_out), out.ratio + share * (patio.ratio - out.ratio), out.air_pressure
    )
    return t.clip(COLDEST, HOTTEST), ratio  # mixing 60 degC with 60 degC may give a hair more


def _plume(case: Case, t: np.ndarray, ratio: np.ndarray) -> Plume:
    n, u, s = case.plumbing.nozzle, case.unknowns, case.spray
    return spray_plume(
        t,
        ratio,
        case.outdoors.air_pressure,
        wind=case.speed,
        flow=case.flow,
        gauge=s.gauge,
        median_diameter=drop_size(n, s.gauge, u),
        spread=n.drop_spread + u.drop_spread,
        water_temperature=case.plumbing.water.temperature,
        height=s.height,
        spacing=s.spacing,
        profile_factor=u.profile,
        classes=CLASSES,
        entrainment=u.entrainment,
        cross_entrainment=u.cross_entrainment,
        thrust=u.thrust,
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


# Stand for all nozzles that have an open side downwind: 19 in 20 cases within 0.02 K of every nozzle's own.
WAYS_OUT = 8


@dataclass(frozen=True, slots=True)
class Exits:
    """Where the wind takes the plumes out of the patio: m downwind, inf where a wall stops them, nearest
    first; and the share of all nozzles each stands for. Both [way, draw, hour]."""

    edge: np.ndarray
    weight: np.ndarray

    def mean(self, of_each: np.ndarray) -> np.ndarray:
        """Mean over the nozzles, [way, draw, hour] to [draw, hour]."""
        return np.asarray((self.weight * of_each).sum(axis=0))


def _exits(case: Case) -> Exits:
    """Every nozzle's way out, those of like length taken together: a plume's fate asks for nothing else."""
    edges = np.sort(
        [wind.exit_distance(strip, place, case.ground, case.toward) for strip in case.ground.strips
         for place in strip.places], axis=0,
    )  # fmt: skip
    count = len(edges)
    leaving = np.isfinite(edges).sum(axis=0)
    ways = min(WAYS_OUT, count)
    nth = [np.minimum((2 * way + 1) * leaving // (2 * ways), count - 1) for way in range(ways)]
    edge = [np.take_along_axis(edges, n[None], axis=0)[0] for n in nth]
    weight = [leaving / (ways * count)] * ways
    stopped = np.full(leaving.shape, np.inf)
    return Exits(np.stack([*edge, stopped]), np.stack([*weight, 1 - leaving / count]))
