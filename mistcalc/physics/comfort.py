"""What air feels like: the heat index."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.physics.air import Floats, within

COLDEST, HOTTEST = 253.15, 333.15  # K
SIMPLE_BELOW = 80.0  # degF: where the simple form's answer is below this it stands

# Rothfusz's regression in degF and %, T^i R^j as (i, j, coefficient).
_TERMS = (
    (0, 0, -42.379),
    (1, 0, 2.04901523),
    (0, 1, 10.14333127),
    (1, 1, -0.22475541),
    (2, 0, -6.83783e-3),
    (0, 2, -5.481717e-2),
    (2, 1, 1.22874e-3),
    (1, 2, 8.5282e-4),
    (2, 2, -1.99e-6),
)


def heat_index(t: ArrayLike, relative_humidity: ArrayLike) -> Floats:
    """Heat index in the shade [K], as the US National Weather Service computes it.

    t: dry bulb, K, 253-333; relative_humidity: 0-1. The simple form, averaged with the dry bulb, stands
    while it is below 80 degF; else Rothfusz's regression, less its adjustment for dry air (RH below 13 %,
    80-112 degF) or plus the one for humid air (above 85 %, 80-87 degF). In air cooler than about 80 degF, or
    very dry, the index says little more than the dry bulb. Beyond the chart (about 110 degF at 40 %) it is an
    extrapolation. Light wind, shade, people at rest or walking. RangeError outside the ranges.
    Source: Rothfusz 1990, NWS Technical Attachment SR 90-23; NWS Weather Prediction Center, "The Heat Index
    Equation".
    """
    f = (within("temperature", t, COLDEST, HOTTEST, "K") - 273.15) * 1.8 + 32
    rh = within("relative_humidity", relative_humidity, 0.0, 1.0, "1") * 100
    simple = 0.5 * (f + 0.5 * (f + 61 + (f - 68) * 1.2 + rh * 0.094))
    full = sum((c * f**i * rh**j for i, j, c in _TERMS), np.zeros(np.broadcast_shapes(f.shape, rh.shape)))
    dry = (13 - rh) / 4 * np.sqrt(np.maximum(17 - np.abs(f - 95), 0.0) / 17)
    humid = (rh - 85) / 10 * (87 - f) / 5
    full = full - np.where((rh < 13) & (f >= 80) & (f <= 112), dry, 0.0)
    full = full + np.where((rh > 85) & (f >= 80) & (f <= 87), humid, 0.0)
    index = np.where(simple < SIMPLE_BELOW, simple, full)
    return ((index - 32) / 1.8 + 273.15)[()]
