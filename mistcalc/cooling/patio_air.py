"""The patio's air: outdoor air passing through, what the plumes give it, and the two brought to agree.

Arrays broadcast over [draw, hour]. Balance of the well-mixed patio, G = dry air passing through [kg/s],
x = captured water [kg/s]:  G (w - w_o) = x,  G (h - h_o) = x h_l(supply).  The plumes breathe the result,
so x is a fixed point; everything else follows from it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from mistcalc.physics import air

STEEPEST_RISE = 0.5  # of the response: two points that say more were too close to tell
FLOW_STEPS = 6


@dataclass(frozen=True, slots=True)
class Outdoors:
    """Outdoor air, [draw, hour]: K, kg/kg, Pa."""

    temperature: np.ndarray
    ratio: np.ndarray
    air_pressure: np.ndarray

    @property
    def dry_density(self) -> np.ndarray:
        """kg of dry air per m3."""
        return air.density(self.temperature, self.ratio, self.air_pressure) / (1 + self.ratio)


def wet_bulb_depression(out: Outdoors) -> np.ndarray:
    """How far outdoor air is above its wet bulb [K]."""
    return np.maximum(out.temperature - air.wet_bulb(out.temperature, out.ratio, out.air_pressure), 0.0)


Moves = Callable[[np.ndarray], tuple[np.ndarray, np.ndarray]]


@dataclass(frozen=True, slots=True)
class Entering:
    """What `mixed` asks of the air that passes through, whatever is captured: J/kg and kg/m3 of dry air, K,
    m3/s with the patio no colder."""

    enthalpy: np.ndarray
    dry_density: np.ndarray
    virtual: np.ndarray
    still: np.ndarray

    @classmethod
    def of(cls, out: Outdoors, air_change: Moves, shape: tuple[int, ...]) -> Entering:
        still, _ = air_change(np.zeros(shape))
        return cls(
            air.enthalpy(out.temperature, out.ratio),
            out.dry_density,
            air.virtual_temperature(out.temperature, out.ratio),
            still,
        )


@dataclass(frozen=True, slots=True)
class PatioAir:
    """The patio's mean air: K, kg/kg; the outdoor air passing through, m3/s; how far the wind alone drives
    that, 0 to 1, the rest the cold air's weight."""

    temperature: np.ndarray
    ratio: np.ndarray
    flow: np.ndarray
    by_wind: np.ndarray


def mixed(
    outdoors: Outdoors,
    captured: np.ndarray,
    supply_enthalpy: np.ndarray | float,
    air_change: Moves,
    entering: Entering | None = None,
) -> PatioAir:
    """Patio air once `captured` water [kg/s] has evaporated in the outdoor air passing through.

    air_change(dT): that air [m3/s] and how far the wind alone drives it, 0 to 1, from outdoor less patio
    virtual temperature [K]; the wind's part does not know dT, the rest rises about with its root. Water
    beyond saturation stays liquid, so the patio is never below its wet bulb. No flow and no water: outdoor
    air. Water and no flow at all is answered as saturated air.
    """
    if entering is None:
        shape = np.broadcast_shapes(captured.shape, outdoors.temperature.shape)
        entering = Entering.of(outdoors, air_change, shape)
    h_out, dry, virtual_out = entering.enthalpy, entering.dry_density, entering.virtual
    flow = np.maximum(entering.still, 1e-3) + np.cbrt(captured / dry)  # above the answer or near it
    for _ in range(FLOW_STEPS):
        t, w = _state(outdoors, h_out, captured / (dry * flow), supply_enthalpy)
        wanted, by_wind = air_change(np.abs(virtual_out - air.virtual_temperature(t, w)))
        wanted = np.maximum(wanted, 1e-6)
        # Newton in log(flow): the part by weight falls as flow^-1/2, the wind's not at all.
        flow = flow * (wanted / flow) ** (1 / (1.5 - 0.5 * by_wind))
    t, w = _state(outdoors, h_out, captured / (dry * flow), supply_enthalpy)
    return PatioAir(t, w, flow, by_wind)


def _state(
    outdoors: Outdoors, h_out: np.ndarray, added: np.ndarray, supply_enthalpy: np.ndarray | float
) -> tuple[np.ndarray, np.ndarray]:
    # More water than a saturated patio could ever take changes nothing; the cap keeps the arithmetic sane.
    added = np.minimum(added, 0.2)
    return saturation_adjusted(h_out + added * supply_enthalpy, outdoors.ratio + added, outdoors.air_pressure)


def saturation_adjusted(
    h: np.ndarray, water: np.ndarray, air_pressure: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Temperature [K] and humidity ratio of air that holds `water` and enthalpy `h` per kg of dry air.

    Where that is more water than it can hold as vapour, the air is saturated and the rest is mist.
    """
    dry_bulb = air.ZERO_CELSIUS + (h - water * air.LATENT_AT_ZERO) / (air.CP_DRY + water * air.CP_VAPOUR)
    t = np.maximum(dry_bulb, air.COLDEST)  # were all of it vapour: too much of it makes that absurdly cold
    foggy = water > air.saturated_ratio(t, air_pressure, "water") * (1 - 1e-9)
    if not foggy.any():
        return t, water
    h, p, mist = (np.broadcast_to(x, foggy.shape)[foggy] for x in (h, air_pressure, water))
    t, ratio = (np.array(np.broadcast_to(x, foggy.shape)) for x in (t, water))
    t[foggy] = air.saturated_equilibrium_temperature(h, mist, p, steps=4)
    ratio[foggy] = air.saturated_ratio(t[foggy], p, "water") * (1 - 1e-9)
    return t, ratio


def fixed_point(
    respond: Callable[[np.ndarray], np.ndarray],
    at_zero: np.ndarray,
    first: np.ndarray,
    most: np.ndarray | float,
    calls: int,
) -> np.ndarray:
    """Elementwise x with respond(x) = x, by so many calls of it (1 or more) and a step more.

    respond: falls with x (wetter patio air takes less water), often steeply, so that plain repetition
    oscillates. `at_zero`: its answer at 0; `first`: the first to try; `most`: no answer is greater. A secant
    finds each element's slope; where it would leave the bracket, that is halved.
    """
    low, high = np.zeros(at_zero.shape), np.broadcast_to(most, at_zero.shape)
    x, answer = low, at_zero
    nearer = first
    for _ in range(calls):
        again = respond(nearer)
        moved = nearer - x
        apart = np.abs(moved) > 1e-12 * at_zero
        slope = np.minimum(
            np.where(apart, (again - answer) / np.where(apart, moved, 1.0), 0.0), STEEPEST_RISE
        )
        x, answer = nearer, again
        low, high = np.where(answer > x, x, low), np.where(answer > x, high, x)
        nearer = x + (answer - x) / (1 - slope)
        nearer = np.where((nearer >= low) & (nearer <= high), nearer, (low + high) / 2)
    return nearer
