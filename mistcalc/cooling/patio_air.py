"""The patio's air: outdoor air passing through, what the plumes give it, and the two brought to agree.

Arrays broadcast over [draw, hour]. Balance of the well-mixed patio, G = dry air passing through [kg/s],
x = captured water [kg/s]:  G (w - w_o) = x,  G (h - h_o) = x h_l(supply).  The plumes breathe the result,
so x is a fixed point; everything else follows from it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from mistcalc.physics import air

T = TypeVar("T")

PASSES = 5  # of the secant: the residual is returned, never assumed
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
    air_change: Callable[[np.ndarray], tuple[np.ndarray, np.ndarray]],
) -> PatioAir:
    """Patio air once `captured` water [kg/s] has evaporated in the outdoor air passing through.

    air_change(dT): that air [m3/s] and how far the wind alone drives it, 0 to 1, from outdoor less patio
    virtual temperature [K]; the wind's part does not know dT, the rest rises about with its root. Water
    beyond saturation stays liquid, so the patio is never below its wet bulb. No flow and no water: outdoor
    air. Water and no flow at all is answered as saturated air.
    """
    h_out = air.enthalpy(outdoors.temperature, outdoors.ratio)
    virtual_out = air.virtual_temperature(outdoors.temperature, outdoors.ratio)
    dry = outdoors.dry_density
    still, _ = air_change(np.zeros(np.broadcast_shapes(captured.shape, dry.shape)))
    flow = np.maximum(still, 1e-3) + np.cbrt(captured / dry)  # above the answer or near it
    for _ in range(FLOW_STEPS):
        t, w = _state(outdoors, h_out, captured / (dry * flow), supply_enthalpy)
        wanted, by_wind = air_change(np.abs(virtual_out - air.virtual_temperature(t, w)))
        wanted = np.maximum(wanted, 1e-6)
        # Newton in log(flow): the part by weight falls as flow^-1/2, the wind's not at all.
        flow = flow * (wanted / flow) ** (1 / (1.5 - 0.5 * by_wind))
    t, w = _state(outdoors, h_out, captured / (dry * flow), supply_enthalpy)
    return PatioAir(t, w, flow, by_wind)


def added_vapor(outdoors: Outdoors, patio: PatioAir) -> np.ndarray:
    """Water [kg/s] that the patio's air holds as vapour above what the outdoor air brought."""
    return outdoors.dry_density * patio.flow * (patio.ratio - outdoors.ratio)


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
    settled = air.saturated_equilibrium_temperature(h, water, air_pressure)
    full = air.saturated_ratio(settled, air_pressure, "water") * (1 - 1e-9)
    foggy = water > full
    return (
        np.where(foggy, settled, air.temperature(h, np.where(foggy, full, water))),
        np.where(foggy, full, water),
    )


def fixed_point(
    respond: Callable[[np.ndarray], tuple[np.ndarray, T]],
    at_zero: np.ndarray,
    first: np.ndarray,
    most: np.ndarray | float,
    passes: int = PASSES,
) -> tuple[np.ndarray, T]:
    """Elementwise x with respond(x) = x, after `passes` (1 or more) calls: how far the last one missed, and
    whatever else it told.

    respond: x to (answer, anything that follows from it), the answer falling with x (wetter patio air takes
    less water), often steeply, so that plain repetition oscillates. `at_zero`: its answer at 0; `first`: the
    first to try; `most`: no answer is greater. A secant finds each element's slope; where it would leave the
    bracket, that is halved.
    """
    low, high = np.zeros(at_zero.shape), np.broadcast_to(most, at_zero.shape)
    x, answer = low, at_zero
    nearer = first
    for _ in range(passes):
        again, state = respond(nearer)
        moved = nearer - x
        apart = np.abs(moved) > 1e-12 * at_zero
        slope = np.minimum(
            np.where(apart, (again - answer) / np.where(apart, moved, 1.0), 0.0), STEEPEST_RISE
        )
        x, answer = nearer, again
        low, high = np.where(answer > x, x, low), np.where(answer > x, high, x)
        nearer = x + (answer - x) / (1 - slope)
        nearer = np.where((nearer >= low) & (nearer <= high), nearer, (low + high) / 2)
    return np.abs(answer - x), state
