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


SQUARE_ON, DIAGONAL = 0.55, 0.30  # Cv at 0 and 45 degrees
SINGLE_SIDED = 0.1


def wind_flow(area: ArrayLike, wind: ArrayLike, angle: ArrayLike = 0.0) -> Floats:
    """Air that wind drives in through an opening with a way out elsewhere [m3/s], Q = Cv A U.

    area: m2; wind: m/s at the opening; angle: rad between the wind and straight in, 0-pi (from pi/2 the
    opening is in the lee: 0). Cv falls in a straight line from 0.55 square-on through 0.30 at 45 degrees to
    0.05 at 90, and is 0 in the lee. Good to 30-50 %. Source: ASHRAE Handbook of Fundamentals (2009 and
    later ch. 16), Cv 0.5-0.6 square-on, 0.25-0.35 diagonal; the line between is ours.
    """
    angle = within("angle", angle, 0.0, np.pi, "rad")
    coefficient = SQUARE_ON - (SQUARE_ON - DIAGONAL) * angle / (np.pi / 4)
    return np.where(angle < np.pi / 2, coefficient, 0.0) * _area(area) * within("wind", wind, 0, 100, "m/s")


def cross_flow(areas: ArrayLike, angles: ArrayLike, wind: ArrayLike) -> Floats:
    """Air that wind drives through a space with several openings [m3/s].

    areas: m2, [opening]; angles: rad between the wind and straight in, [..., opening]; wind: m/s, [...].
    Each opening is driven by (Cv / Cv square-on)^2, 0 in the lee, and passes
    2^1/2 Cv(0) A U |drive - inside|^1/2, in or out; the pressure inside is where the two sums agree. Two
    equal openings facing each other pass the handbook's Cv A U (`wind_flow`) at every angle; openings that
    are driven alike, or only one, pass nothing. Source: `wind_flow`, with the flow of both sums made equal.
    """
    areas = _area(areas)
    wind = np.asarray(within("wind", wind, 0.0, 100.0, "m/s"))
    drive = (wind_flow(1.0, 1.0, angles) / SQUARE_ON) ** 2
    low, high = drive.min(-1), drive.max(-1)
    for _ in range(40):  # halving: the sum falls with the pressure inside
        inside = (low + high) / 2
        push = drive - inside[..., None]
        more_in = (areas * np.sign(push) * np.sqrt(np.abs(push))).sum(-1) > 0
        low, high = np.where(more_in, inside, low), np.where(more_in, high, inside)
    entering = np.sqrt(np.maximum(drive - inside[..., None], 0.0))
    return np.sqrt(2.0) * SQUARE_ON * (areas * entering).sum(-1) * wind


def single_sided_flow(area: ArrayLike, wind: ArrayLike) -> Floats:
    """Air that an opening exchanges by the wind's turbulence alone, with no other way out [m3/s].

    area: m2; wind: m/s past it. Q = 0.1 A U, for windows; wide patio openings are an extrapolation.
    Source: Warren & Parkins 1984 (ASHRAE Trans. 90), from memory.
    """
    return SINGLE_SIDED * _area(area) * within("wind", wind, 0.0, 100.0, "m/s")


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


def together(first: ArrayLike, second: ArrayLike) -> Floats:
    """Air change by wind and by weight at once [m3/s]: the larger of the two, without a corner.

    (a^4 + b^4)^1/4. first, second: m3/s, 0 or more. Source: Warren & Parkins 1984 (the larger); the power is
    ours.
    """
    a, b = (within("flow", flow, 0.0, 1e9, "m3/s") for flow in (first, second))
    most = np.maximum(a, b)
    least = np.minimum(a, b) / np.where(most > 0, most, 1.0)
    return most * (1 + least**4) ** 0.25


# Speed of (g' h)^1/2 at which cold air runs out along the floor, 0.35-0.54 from shallow to half-depth layers
# (Benjamin 1968, J. Fluid Mech. 31, 209).
FRONT_SPEED = 0.45


def _area(area: ArrayLike) -> Floats:
    return within("area", area, 0.0, 1e5, "m2")
