"""Plumes and patio air brought to agree: what the plumes give the air is what they breathe."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from mistcalc.cooling.balance_inputs import BalanceInputs, inputs_of
from mistcalc.cooling.case import Case
from mistcalc.cooling.patio_air import (
    PASSES,
    Outdoors,
    PatioAir,
    added_vapor,
    fixed_point,
    mixed,
    saturation_adjusted,
    wet_bulb_depression,
)
from mistcalc.model.results import FATES
from mistcalc.physics import air as moist
from mistcalc.physics.plume import Fate, Plume, spray_plume

COLDEST, HOTTEST = 233.15, 333.15  # K, air the plume's equations answer for
GUESSES = 4  # of the captured water, from how it moves the patio's air alone: no plume is marched for them
LESS_IN_DAMP = 0.5  # power of the depression left at which drops dry less: within 0.1 of the captured water
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
    swept: np.ndarray  # how far the cold stays where the wind carries it, 0 to 1: the rest lies all over
    evaporated: np.ndarray  # share of the water, inside or out; below 0 where vapour condenses on the drops


@dataclass(frozen=True, slots=True)
class BalanceSolution(State):
    """The state in which what is captured is what was supposed; residual as a share of the injected water."""

    residual: np.ndarray
    fates: dict[str, np.ndarray]  # results.FATES -> share of the water; they sum to 1
    carried: np.ndarray  # share of the water that leaves the patio as liquid, dry later or not


def solve_balance(case: Case, passes: int = PASSES) -> BalanceSolution:
    """The fixed point between what the plumes give the patio and what they breathe."""
    return balance_of(inputs_of(case), passes)


def balance_of(asked: BalanceInputs, passes: int = PASSES) -> BalanceSolution:
    """`solve_balance`, of what it needs of a case, or of several cases one after another.

    One scalar a case: the captured water x [kg/s]; patio air, plumes and their fate follow from it.
    """
    none = np.zeros(np.broadcast_shapes(asked.speed.shape, asked.outdoors.temperature.shape))
    captured, _ = _respond(asked, none)
    most = asked.injected * np.maximum(asked.wind_keeps, 1.0)
    first = _first_guess(asked, captured, most)
    missed, state = fixed_point(partial(_respond, asked), captured, first, most, passes)
    fate = state.plume.fate(asked.height, asked.exits.edge)  # by each of the exits, [way, draw, hour]
    return BalanceSolution(
        plume=state.plume,
        patio=state.patio,
        kept=state.kept,
        swept=state.swept,
        evaporated=state.evaporated,
        residual=missed / asked.water,
        fates=_fates(asked, state, fate),
        carried=asked.exits.mean(np.where(np.isinf(asked.exits.edge), 0.0, fate.carried)),
    )


def _first_guess(asked: BalanceInputs, captured: np.ndarray, most: np.ndarray) -> np.ndarray:
    """Captured water [kg/s] near the answer: what plumes in outdoor air give, less as the patio's air is
    damper and more or less of it stays as its weight drives it out."""
    out, share = asked.outdoors, asked.unknowns.surroundings
    dry = np.maximum(wet_bulb_depression(out), 1e-9)
    empty = _patio(asked, np.zeros_like(captured))
    kept = np.maximum(_kept(asked, empty)[0], 1e-9)

    def supposed(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        patio = _patio(asked, x)
        left = wet_bulb_depression(Outdoors(patio.temperature, patio.ratio, out.air_pressure)) / dry
        drying = np.clip(1 - share * (1 - left), 0.0, 1.0) ** LESS_IN_DAMP
        return captured * drying * _kept(asked, patio)[0] / kept, x

    _, guess = fixed_point(supposed, captured, captured / 2, most, GUESSES)
    return np.minimum(guess, added_vapor(out, _patio(asked, guess)))


def _kept(asked: BalanceInputs, patio: PatioAir) -> tuple[np.ndarray, np.ndarray]:
    """Share of the plumes' cooling that stays under the lid, dried at once; how far the cold is swept."""
    warm, cold = (moist.virtual_temperature(air.temperature, air.ratio) for air in (asked.outdoors, patio))
    swept = asked.change.swept(np.abs(warm - cold))
    layers = LAYERED_KEPT + patio.by_wind * (1 - LAYERED_KEPT)
    return layers * (1 + swept * (asked.wind_keeps - 1)), swept


def _respond(asked: BalanceInputs, x: np.ndarray) -> tuple[np.ndarray, State]:
    """Water [kg/s] whose cooling stays under the lid, were the patio's air as x makes it; and that state."""
    patio = _patio(asked, x)
    plume = _plume(asked, *_breathed(asked.outdoors, patio, asked.unknowns.surroundings))
    landing = plume.passing(asked.height)
    dried = plume.evaporated_at(asked.height, landing)
    kept_share, swept = _kept(asked, patio)
    # What dries on the way out cools the less of the patio the later it dries: half-way counts for the mean
    # of it. In the lee it comes back.
    half_way = plume.fate(asked.height, asked.exits.edge / 2, landing)
    late = np.clip(dried - asked.exits.mean(half_way.evaporated), 0.0, 1.0)
    kept_share = kept_share * (1 - late * (1 - asked.change.returns))
    # In saturated air a little vapour may condense on cold drops: that is not taken from the patio's air.
    return kept_share * np.maximum(dried, 0.0) * asked.injected, State(plume, patio, kept_share, swept, dried)


def _fates(asked: BalanceInputs, state: State, fate: Fate) -> dict[str, np.ndarray]:
    """Where the water ends. What is still in the air at a wall runs down it. In saturated air vapour
    condenses on the drops; there the shares are of all that comes down."""
    exits, dried = asked.exits, state.evaporated
    down_walls = exits.mean(np.where(np.isinf(exits.edge), fate.carried, 0.0))
    dried_under, floor_under = exits.mean(fate.evaporated), exits.mean(fate.landed) + down_walls
    floor = state.plume.liquid_at(asked.height) + down_walls
    ends = dried_under, dried - dried_under, floor_under, floor - floor_under, 1 - dried - floor
    ends = tuple(np.maximum(end, 0.0) for end in ends)
    return dict(zip(FATES, (end / sum(ends) for end in ends), strict=True))


def _patio(asked: BalanceInputs, x: np.ndarray) -> PatioAir:
    return mixed(asked.outdoors, x, asked.supply_enthalpy, asked.change)


def _breathed(out: Outdoors, patio: PatioAir, share: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The plumes' surroundings: `share` of patio air, the rest outdoor, mixed by dry-air mass."""
    h_out = moist.enthalpy(out.temperature, out.ratio)
    h_in = moist.enthalpy(patio.temperature, patio.ratio)
    t, ratio = saturation_adjusted(
        h_out + share * (h_in - h_out), out.ratio + share * (patio.ratio - out.ratio), out.air_pressure
    )
    return t.clip(COLDEST, HOTTEST), ratio  # mixing 60 degC with 60 degC may give a hair more


def _plume(asked: BalanceInputs, t: np.ndarray, ratio: np.ndarray) -> Plume:
    u = asked.unknowns
    return spray_plume(
        t,
        ratio,
        asked.outdoors.air_pressure,
        wind=asked.speed,
        flow=asked.flow,
        gauge=asked.gauge,
        median_diameter=asked.median,
        spread=asked.spread,
        water_temperature=asked.supply,
        height=asked.height,
        spacing=asked.spacing,
        profile_factor=u.profile,
        classes=CLASSES,
        entrainment=u.entrainment,
        cross_entrainment=u.cross_entrainment,
        thrust=u.thrust,
    )
