"""Plumes and patio air brought to agree: what the plumes give the air is what they breathe."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.cooling.balance_inputs import BalanceInputs, inputs_of
from mistcalc.cooling.case import Case
from mistcalc.cooling.patio_air import (
    Outdoors,
    PatioAir,
    fixed_point,
    mixed,
    saturation_adjusted,
    wet_bulb_depression,
)
from mistcalc.model.results import FATES
from mistcalc.physics import air as moist
from mistcalc.physics.path_interpolation import Crossing
from mistcalc.physics.plume import Fate, Plume, spray_plume

COLDEST, HOTTEST = 233.15, 333.15  # K, air the plume's equations answer for
PASSES = 3  # fine looks at the plumes: the residual is returned, never assumed
SETTLING = 2  # times the patio's air is asked after each look
LESS_IN_DAMP = 0.5  # power of the dryness with which plumes give less, until two looks tell it
STEEPEST = 3.0  # of such powers: in nearly full air plumes give nothing long before it is full
Fineness = tuple[int, int]  # drop sizes and steps
FINE, ROUGH = (8, 60), (4, 30)  # 12 sizes would move the share left liquid by under 1 %
TO_BEGIN = (ROUGH, ROUGH)  # looks before the fine ones
IN_ORDER = ((2, 15),)  # one look, which hardly tells a kelvin but which of two patios is the cooler
# Still air lies in layers, as outdoors at the lid and ever colder to the floor: what flows out there is
# colder than the mean, 1/0.61 of it (derived: layers that grow evenly colder, out by the root of the height).
LAYERED_KEPT = 0.61


@dataclass(frozen=True, slots=True)
class _Look:
    """What the plumes do in some patio air, [draw, hour]."""

    plume: Plume
    landing: Crossing  # of the drops on the floor
    evaporated: np.ndarray  # share of the water, inside or out; below 0 where vapour condenses on the drops
    in_time: np.ndarray  # share of that which cools the patio: the rest dries late, on the way out
    dryness: np.ndarray  # of what they breathe
    fineness: Fineness

    @property
    def gives(self) -> np.ndarray:
        """Share of the water. In saturated air a little vapour may condense on cold drops: that is not taken
        from the patio's air."""
        return np.asarray(self.in_time * np.maximum(self.evaporated, 0.0))


@dataclass(frozen=True, slots=True)
class BalanceSolution:
    """Plumes and patio air that agree, [draw, hour]; residual: by how much of the injected water what these
    plumes leave in this air is not what the air was made with."""

    plume: Plume
    patio: PatioAir
    kept: np.ndarray  # share of the plumes' cooling that stays under the lid
    swept: np.ndarray  # how far the cold stays where the wind carries it, 0 to 1: the rest lies all over
    evaporated: np.ndarray  # share of the water, inside or out; below 0 where vapour condenses on the drops
    residual: np.ndarray
    fates: dict[str, np.ndarray]  # results.FATES -> share of the water; they sum to 1
    carried: np.ndarray  # share of the water that leaves the patio as liquid, dry later or not


def solve_balance(
    case: Case, passes: int = PASSES, begin: tuple[Fineness, ...] = TO_BEGIN
) -> BalanceSolution:
    """The fixed point between what the plumes give the patio and what they breathe."""
    return balance_of(inputs_of(case), passes, begin)


def balance_of(
    asked: BalanceInputs, passes: int = PASSES, begin: tuple[Fineness, ...] = TO_BEGIN
) -> BalanceSolution:
    """`solve_balance`, of what it needs of a case, or of several cases one after another.

    One scalar a case: the captured water x [kg/s]; patio air, plumes and their fate follow from it. What the
    plumes give depends on x little, and a look at them is a march; how much of that stays, and in what air,
    depends on x much and costs little. So that is solved between looks: rough ones to `begin` with, the first
    in outdoor air, then `passes` fine ones.
    """
    empty = _patio(asked, np.zeros(np.broadcast_shapes(asked.speed.shape, asked.outdoors.temperature.shape)))
    look, power = _look(asked, empty, begin[0]), np.asarray(LESS_IN_DAMP)
    captured = _settled(asked, look, power, empty, None)
    patio = _patio(asked, captured)
    for fineness in (*begin[1:], *[FINE] * passes):
        before, look = look, _look(asked, patio, fineness)
        if before.fineness == fineness:
            power = _power(before, look)
        captured = _settled(asked, look, power, empty, (captured, patio))
        patio = _patio(asked, captured)
    kept, swept = _kept(asked, patio)
    fate = look.plume.fate(asked.height, asked.exits.edge, look.landing)  # by each exit, [way, draw, hour]
    return BalanceSolution(
        plume=look.plume,
        patio=patio,
        kept=kept * look.in_time,
        swept=swept,
        evaporated=look.evaporated,
        residual=np.abs(kept * look.gives * asked.injected - captured) / asked.water,
        fates=_fates(asked, look, fate),
        carried=asked.exits.mean(np.where(np.isinf(asked.exits.edge), 0.0, fate.carried)),
    )


def _settled(
    asked: BalanceInputs,
    look: _Look,
    power: np.ndarray,
    empty: PatioAir,
    first: tuple[np.ndarray, PatioAir] | None,
) -> np.ndarray:
    """Captured water [kg/s] in whose air as much is captured, were what the plumes give to go as a `power` of
    how dry the air is that they breathe. first: one near it, and its air."""

    def captured_in(patio: PatioAir) -> np.ndarray:
        return np.asarray(given * _dryness(asked, patio) ** power * _kept(asked, patio)[0])

    def captured(x: np.ndarray) -> np.ndarray:
        return captured_in(first[1] if first is not None and x is first[0] else _patio(asked, x))

    given = look.gives * asked.injected / look.dryness**power
    most = asked.injected * np.maximum(asked.wind_keeps, 1.0)
    at_zero = given * _kept(asked, empty)[0]
    return fixed_point(captured, at_zero, at_zero / 2 if first is None else first[0], most, SETTLING)


def _power(before: _Look, look: _Look) -> np.ndarray:
    """With which power of the dryness the plumes gave less, or more, between two looks."""
    drier, more = (
        np.log(np.maximum(a / b, 1e-9))
        for a, b in ((look.dryness, before.dryness), (look.gives, np.maximum(before.gives, 1e-9)))
    )
    told = np.abs(drier) > 1e-6
    return np.clip(np.where(told, more / np.where(told, drier, 1.0), LESS_IN_DAMP), 0.0, STEEPEST)


def _dryness(asked: BalanceInputs, patio: PatioAir) -> np.ndarray:
    """Of the air that plumes breathe, over that of outdoor air: depression of the wet bulb, 0 to 1."""
    out = asked.outdoors
    inside = Outdoors(patio.temperature, patio.ratio, out.air_pressure)
    left = wet_bulb_depression(inside) / np.maximum(asked.depression, 1e-9)
    return np.clip(1 - asked.unknowns.surroundings * (1 - left), 1e-6, 1.0)


def _kept(asked: BalanceInputs, patio: PatioAir) -> tuple[np.ndarray, np.ndarray]:
    """Share of the plumes' cooling that stays under the lid, dried at once; how far the cold is swept."""
    warm, cold = (moist.virtual_temperature(air.temperature, air.ratio) for air in (asked.outdoors, patio))
    swept = asked.change.swept(np.abs(warm - cold))
    layers = LAYERED_KEPT + patio.by_wind * (1 - LAYERED_KEPT)
    return layers * (1 + swept * (asked.wind_keeps - 1)), swept


def _look(asked: BalanceInputs, patio: PatioAir, fineness: Fineness) -> _Look:
    """The plumes of nozzles that breathe such air."""
    plume = _plume(asked, *_breathed(asked.outdoors, patio, asked.unknowns.surroundings), fineness)
    landing = plume.passing(asked.height)
    dried = plume.evaporated_at(asked.height, landing)
    # What dries on the way out cools the less of the patio the later it dries: half-way counts for the mean
    # of it. In the lee it comes back.
    half_way = plume.fate(asked.height, asked.exits.edge / 2, landing)
    late = np.clip(dried - asked.exits.mean(half_way.evaporated), 0.0, 1.0)
    in_time = 1 - late * (1 - asked.change.returns)
    return _Look(plume, landing, dried, in_time, _dryness(asked, patio), fineness)


def _fates(asked: BalanceInputs, look: _Look, fate: Fate) -> dict[str, np.ndarray]:
    """Where the water ends. What is still in the air at a wall runs down it. In saturated air vapour
    condenses on the drops; there the shares are of all that comes down."""
    exits, dried = asked.exits, look.evaporated
    down_walls = exits.mean(np.where(np.isinf(exits.edge), fate.carried, 0.0))
    dried_under, floor_under = exits.mean(fate.evaporated), exits.mean(fate.landed) + down_walls
    floor = look.plume.liquid_at(asked.height, look.landing) + down_walls
    ends = dried_under, dried - dried_under, floor_under, floor - floor_under, 1 - dried - floor
    ends = tuple(np.maximum(end, 0.0) for end in ends)
    return dict(zip(FATES, (end / sum(ends) for end in ends), strict=True))


def _patio(asked: BalanceInputs, x: np.ndarray) -> PatioAir:
    return mixed(asked.outdoors, x, asked.supply_enthalpy, asked.change, asked.entering)


def _breathed(out: Outdoors, patio: PatioAir, share: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The plumes' surroundings: `share` of patio air, the rest outdoor, mixed by dry-air mass."""
    h_out = moist.enthalpy(out.temperature, out.ratio)
    h_in = moist.enthalpy(patio.temperature, patio.ratio)
    t, ratio = saturation_adjusted(
        h_out + share * (h_in - h_out), out.ratio + share * (patio.ratio - out.ratio), out.air_pressure
    )
    return t.clip(COLDEST, HOTTEST), ratio  # mixing 60 degC with 60 degC may give a hair more


def _plume(asked: BalanceInputs, t: np.ndarray, ratio: np.ndarray, fineness: Fineness) -> Plume:
    classes, steps = fineness
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
        classes=classes,
        steps=steps,
        entrainment=u.entrainment,
        cross_entrainment=u.cross_entrainment,
        thrust=u.thrust,
    )
