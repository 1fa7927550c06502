"""Outdoor air and a patio: wind from a mast down to its height, and the flow through its open sides."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from mistcalc.physics.air import within
from mistcalc.physics.droplet import GRAVITY

Floats = NDArray[np.float64]
Terrain = Literal["city", "suburb", "open", "water"]

# Exponent and boundary layer thickness [m] of each terrain, HoF ch. 24 table 1.
TERRAINS: dict[Terrain, tuple[float, float]] = {
    "city": (0.33, 460.0),
    "suburb": (0.22, 370.0),
    "open": (0.14, 270.0),
    "water": (0.10, 210.0),
}
MAST_HEIGHT = 10.0  # m, over open ground


def wind_profile(mast_wind: ArrayLike, height: ArrayLike, terrain: Terrain) -> Floats:
    """Mean wind at `height` above ground of a terrain [m/s], from that at a 10 m mast over open ground.

    mast_wind: m/s, 0-100; terrain: city, suburb, open or water. height: m, 0.1-200. Inside the layer of roofs
    and trees, where a patio is, the power law is an extrapolation: see it as a first estimate. RangeError
    outside the ranges. Source: ASHRAE Handbook of Fundamentals (2005 ch. 16, 2009 and later ch. 24), eq. 4
    with table 1.
    """
    exponent, thickness = TERRAINS[terrain]
    mast_exponent, mast_thickness = TERRAINS["open"]
    wind = within("wind", mast_wind, 0.0, 100.0, "m/s")
    z = within("height", height, 0.1, 200.0, "m")
    aloft = wind * (mast_thickness / MAST_HEIGHT) ** mast_exponent  # where the ground no longer matters
    return aloft * (z / thickness) ** exponent


def buoyant_flow(difference: ArrayLike, area: ArrayLike, height: ArrayLike, outdoor: ArrayLike) -> Floats:
    """Two-way flow through large openings because the air inside is colder and heavier [m3/s].

    difference: K, 0 or more, outdoor less inside virtual temperature; area: m2, all openings together, half
    of it in, half out; height: m, of the openings; outdoor: K. Q = Cd (A/2) (g H d/T)^1/2 with
    Cd = 0.40 + 0.0045 d. Good to 30-50 %. Source: ASHRAE Handbook of Fundamentals 1997 ch. 25 eq. 37-38, read
    second-hand.
    """
    d = within("difference", difference, 0.0, 100.0, "K")
    t = within("temperature", outdoor, 200.0, 400.0, "K")
    h = within("height", height, 0.0, 30.0, "m")
    return (0.40 + 0.0045 * d) * _area(area) / 2 * np.sqrt(GRAVITY * h * d / t)


def combined_flow(first: ArrayLike, second: ArrayLike) -> Floats:
    """Air change by wind and by weight at once [m3/s]: the larger of the two, without a corner.

    (a^4 + b^4)^1/4. first, second: m3/s, 0 or more. Source: Warren & Parkins 1984 (the larger); the power is
    ours.
    """
    a, b = (within("flow", flow, 0.0, 1e9, "m3/s") for flow in (first, second))
    most = np.maximum(a, b)
    least = np.minimum(a, b) / np.where(most > 0, most, 1.0)
    return most * np.sqrt(np.sqrt(1 + (least * least) ** 2))  # a power takes ten times as long


# Speed of (g' h)^1/2 at which cold air runs out along the floor, 0.35-0.54 from shallow to half-depth layers
# (Benjamin 1968, J. Fluid Mech. 31, 209).
FRONT_SPEED = 0.45


def _area(area: ArrayLike) -> Floats:
    return within("area", area, 0.0, 1e5, "m2")
