"""The air behind a building: how far the wake reaches in which the wind runs back toward the wall.

Near-wake formulas of plume models for roof stacks. SI; every argument and answer broadcasts. A steady wind
on a building that stands alone; no lid is in any of them. Good to a factor of 1.5.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.physics.air import Floats, within

MOST_SIZE = 1e4  # m
WIDEST = 8.0  # times the smaller side: a larger side than that counts no more
REATTACHES, SETTLES = 0.9, 2.7  # of the length scale: where flow that left an edge is back; is as before


def length_scale(height: ArrayLike, width: ArrayLike) -> Floats:
    """R = Bs^(2/3) Bl^(1/3) [m], Bs the smaller and Bl the larger of height and width, Bl up to 8 Bs.

    height, width (across the wind): m, above 0 to 10,000; RangeError outside. Source: Wilson 1979 (ASHRAE
    Trans. 85 part 1), as the US EPA's building downwash module prints it.
    """
    h, w = _size("height", height), _size("width", width)
    small, large = np.minimum(h, w), np.maximum(h, w)
    return small ** (2 / 3) * np.minimum(large, WIDEST * small) ** (1 / 3)


def recirculation_length(height: ArrayLike, width: ArrayLike, length: ArrayLike) -> Floats:
    """How far behind the lee wall the wind near the ground runs back toward it [m].

    1.8 W / [(L/H)^0.3 (1 + 0.24 W/H)], 0.3 <= L/H <= 3; for W/H < 1 the exponent is
    max(0, 0.3 (W/H - 0.33)/0.67). height, width across the wind, length along it: m, above 0 to 10,000;
    RangeError outside. Source: Fackrell 1984 (J. Wind Eng. Ind. Aerodyn. 16), with the limits of the US EPA's
    building downwash module.
    """
    h, w, along = _size("height", height), _size("width", width), _size("length", length)
    slender = np.clip(0.3 * (w / h - 0.33) / 0.67, 0.0, 0.3)
    return 1.8 * w / (np.clip(along / h, 0.3, 3.0) ** slender * (1 + 0.24 * w / h))


def disturbed_depth(distance: ArrayLike, scale: ArrayLike) -> Floats:
    """How far from a surface the wind is disturbed that runs along it, having left it at its edge [m].

    0.27 R - 0.1 x, 0 from 2.7 R on. distance x from the edge, scale R (`length_scale`): m, 0-10,000. Source:
    Wilson 1979 for roofs (ASHRAE HoF, airflow around buildings); for walls the same, a judgment.
    """
    return np.maximum(0.27 * _scale(scale) - 0.1 * within("distance", distance, 0.0, MOST_SIZE, "m"), 0.0)


def stopped(distance: ArrayLike, scale: ArrayLike) -> Floats:
    """Share of the wind that is missing in that layer [0 to 1].

    All of it while the flow is off the surface, to 0.9 R, then less and less, none from 2.7 R on.
    distance from the edge, scale R (`length_scale`): m, 0-10,000. Source: the two lengths, Wilson 1979 for
    roofs; the straight line between them is ours.
    """
    x, r = within("distance", distance, 0.0, MOST_SIZE, "m"), _scale(scale)
    return np.clip((SETTLES * r - x) / ((SETTLES - REATTACHES) * r), 0.0, 1.0)


def flushing_flow(height: ArrayLike, width: ArrayLike, length: ArrayLike, wind: ArrayLike) -> Floats:
    """Outdoor air that changes the recirculating air behind a building [m3/s].

    height, width across the wind, length along it: m, above 0 to 10,000; wind: m/s at the roof, 0-100;
    RangeError outside. The cavity's volume, a quarter of an ellipse as wide as
    the building, over the time air stays in it, t U/H = 11 (W/H)^1.5 / (1 + 0.6 (W/H)^1.5). Source: Fackrell
    1984 (J. Wind Eng. Ind. Aerodyn. 16, 97), from memory.
    """
    h, w = _size("height", height), _size("width", width)
    wide = (w / h) ** 1.5
    stay = 11 * wide / (1 + 0.6 * wide) * h  # m of wind passed by
    volume = np.pi / 4 * h * w * recirculation_length(height, width, length)
    return volume * within("wind", wind, 0.0, 100.0, "m/s") / stay


def _scale(scale: ArrayLike) -> Floats:
    return within("scale", scale, 1e-3, MOST_SIZE, "m")


def _size(name: str, value: ArrayLike) -> Floats:
    return within(name, value, 1e-3, MOST_SIZE, "m")
