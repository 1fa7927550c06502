"""What is asked of `physics.plume`: held to its ranges, laid flat, and turned into what the core marches."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.physics import air, droplet, nozzle
from mistcalc.physics import plume_path as core
from mistcalc.physics.air import Floats

LEAST_FLOW = 1e-12  # m3/s, a closed nozzle is computed as this: the vanishing spray
LEAST_GAUGE = 1e3  # Pa

RANGES = {  # of the arguments, but for those that `air` and `nozzle` know
    "t": (233.0, 334.0, "K"),
    "air_pressure": (50e3, 110e3, "Pa"),
    "wind": (0.0, 40.0, "m/s"),
    "flow": (0.0, 1e-3, "m3/s"),
    "median_diameter": (0.5e-6, 4e-3, "m"),
    "spread": (1.05, 20.0, "1"),
    "water_temperature": (273.0, 344.0, "K"),
    "height": (0.1, 30.0, "m"),
    "spacing": (0.01, np.inf, "m"),
    "profile_factor": (1.0, 1.5, "1"),
    "entrainment": (0.01, 0.5, "1"),
    "cross_entrainment": (0.0, 2.0, "1"),
    "thrust": (0.05, 1.5, "1"),
    "lift": (0.0, 1.0, "1"),
}


def checked(given: Mapping[str, ArrayLike], classes: int) -> tuple[core.PlumeInputs, Floats, tuple[int, ...]]:
    """(the case, height above the floor, both flat; the shape all broadcasts to)."""
    within = {name: _within(name, value) for name, value in given.items()}
    broadcast = dict(zip(within, np.broadcast_arrays(*within.values()), strict=True))
    shape = broadcast["t"].shape
    flat = {name: value.ravel() for name, value in broadcast.items()}
    saturation = air.saturation_pressure(flat["t"], "water")
    humidity = air.vapour_pressure(flat["ratio"], flat["air_pressure"]) / saturation
    air.within("relative_humidity", humidity, 0.0, 1.0 + 1e-5, "1")  # rounding: saturated air is welcome
    water = np.maximum(flat["flow"], LEAST_FLOW) * droplet.water_density(flat["water_temperature"])
    exit_speed = nozzle.exit_speed(np.maximum(flat["gauge"], LEAST_GAUGE))
    diameter, weight = nozzle.size_classes(flat["median_diameter"], flat["spread"], classes)
    case = core.PlumeInputs(
        t=flat["t"],
        ratio=flat["ratio"],
        pressure=flat["air_pressure"],
        wind=flat["wind"],
        water=water,
        water_temperature=flat["water_temperature"],
        jet=core.CONE * flat["thrust"] * water * exit_speed,
        spacing=flat["spacing"],
        profile_factor=flat["profile_factor"],
        entrainment=flat["entrainment"],
        cross_entrainment=flat["cross_entrainment"],
        lift=flat["lift"],
        diameter=np.ascontiguousarray(diameter.T),
        weight=weight,
    )
    return case, flat["height"], shape


def _within(name: str, value: ArrayLike) -> Floats:
    if name == "ratio":
        return air.ratio_within(value)
    if name == "gauge":
        return nozzle.gauge_within(value)
    low, high, unit = RANGES[name]
    return air.within("temperature" if name == "t" else name, value, low, high, unit)
