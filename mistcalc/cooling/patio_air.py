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

PASSES = 4  # of the secant: the residual is returned, never assumed
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


@dataclass(frozen=True, slots=True)
class Mixed:
    """The well-mixed patio air: K, kg/kg, and the outdoor air passing through, m3/s."""

    temperature: np.ndarray
    ratio: np.ndarray
    flow: np.ndarray


def mixed(
    outdoors: Outdoors,
    captured: np.ndarray,
    supply_enthalpy: np.ndarray | float,
    wind_flow: np.ndarray,
    buoyant_flow: Callable[[np.ndarray], np.ndarray],
    scale: np.ndarray | float = 1.0,
) -> Mixed:
    """Patio air once `captured` water [kg/s] has evaporated in the outdoor air passing through.

    wind_flow: m3/s. buoyant_flow(dT): m3/s from outdoor less patio virtual temperature [K]. The two add in
    quadrature, times `scale`. Water beyond saturation stays liquid, so the patio is never below its wet
    bulb. No flow and no water: outdoor air. Water and no flow at all is answered as saturated air.
    """
    h_out = air.enthalpy(outdoors.temperature, outdoors.ratio)
    virtual_out = air.virtual_temperature(outdoors.temperature, outdoors.ratio)
    dry = outdoors.dry_density
    flow = np.maximum(wind_flow, 1e-3) * scale + np.cbrt(captured / dry)  # above the answer or near it
    for _ in range(FLOW_STEPS):
        t, w = _state(outdoors, h_out, captured / (dry * flow), supply_enthalpy)
        buoyant = buoyant_flow(np.maximum(virtual_out - air.virtual_temperature(t, w), 0.0))
        wanted = np.maximum(scale * np.hypot(wind_flow, buoyant), 1e-6)
        # Newton in log(flow): the buoyant part falls as flow^-1/2, the wind part not at all.
        share = (scale * buoyant / wanted) ** 2
        flow = flow * (wanted / flow) ** (1 / (1 + 0.5 * share))
    t, w = _state(outdoors, h_out, captured / (dry * flow), supply_enthalpy)
    return Mixed(t, w, flow)


def _state(
    outdoors: Outdoors, h_out: np.ndarray, added: np.ndarray, supply_enthalpy: np.ndarray | float
) -> tuple[np.ndarray, np.ndarray]:
    # More water than a saturated patio could ever take changes nothing; the cap keeps the arithmetic sane.
    added = np.minimum(added, 0.2)
    return unfogged(h_out + added * supply_enthalpy, outdoors.ratio + added, outdoors.air_pressure)


def unfogged(h: np.ndarray, water: np.ndarray, air_pressure: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Temperature [K] and humidity ratio of air that holds `water` and enthalpy `h` per kg of dry air.

    Where that is more water than it can hold as vapour, the air is saturated and the rest is mist.
    """
    settled = air.settled_temperature(h, water, air_pressure)
    full = air.saturated_ratio(settled, air_pressure, "water") * (1 - 1e-9)
    foggy = water > full
    return (
        np.where(foggy, settled, air.temperature(h, np.where(foggy, full, water))),
        np.where(foggy, full, water),
    )


def fixed_point(
    respond: Callable[[np.ndarray], np.ndarray], start: np.ndarray, passes: int = PASSES
) -> tuple[np.ndarray, np.ndarray]:
    """x with respond(x) = x, elementwise, and the residual |respond(x) - x| of the pass before.

    `respond` falls with x (wetter patio air takes less water), often steeply, so plain repetition
    oscillates. A secant finds each element's slope; it is held to -5..0.5, outside which the two points
    were too close to tell.
    """
    x = start
    answer = respond(x)
    slope = np.full(x.shape, -0.5)
    for _ in range(passes):
        nearer = np.maximum(x + (answer - x) / (1 - slope), 0.0)
        again = respond(nearer)
        moved = nearer - x
        told = np.abs(moved) > 1e-12 * np.maximum(np.abs(nearer), 1e-12)
        slope = np.where(told, (again - answer) / np.where(told, moved, 1.0), slope).clip(-5.0, 0.5)
        x, answer = nearer, again
    return x, np.abs(answer - x)
