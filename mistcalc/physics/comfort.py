"""What air does to people: heat index."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.physics.air import Floats, within

FAHRENHEIT_ZERO = 459.67  # degF below which there is nothing


def heat_index(t: ArrayLike, relative_humidity: ArrayLike) -> Floats:
    """Heat index of the US National Weather Service [K]: how hot air in the shade, with a light wind, seems.

    t: K, 233-333; relative_humidity: 0-1. The regression was fitted for 80-110 degF and common humidities;
    where (simple form + t)/2 is below 80 degF the simple form answers, as the service does. Above about
    125 degF with humid air the figure has no meaning. Source: Rothfusz 1990, NWS SR 90-23, with the service's
    two adjustments (dry air below 13 %, damp air above 85 %).
    """
    f = within("temperature", t, 233.15, 333.15, "K") * 9 / 5 - FAHRENHEIT_ZERO
    rh = 100 * within("relative_humidity", relative_humidity, 0.0, 1.0, "1")
    simple = 0.5 * (f + 61.0 + (f - 68.0) * 1.2 + rh * 0.094)
    full = (
        (-42.379 + 2.04901523 * f - 6.83783e-3 * f**2)
        + (10.14333127 - 0.22475541 * f + 1.22874e-3 * f**2) * rh
        + (-5.481717e-2 + 8.5282e-4 * f - 1.99e-6 * f**2) * rh**2
    )
    dry = np.clip((13.0 - rh) / 4.0, 0.0, None) * np.sqrt(np.clip(17.0 - np.abs(f - 95.0), 0.0, None) / 17.0)
    damp = np.clip((rh - 85.0) / 10.0, 0.0, None) * np.clip((87.0 - f) / 5.0, 0.0, None)
    full = full - np.where((f >= 80.0) & (f <= 112.0), dry, 0.0) + np.where(f >= 80.0, damp, 0.0)
    mean = (simple + f) / 2
    return (np.where(mean < 80.0, mean, full) + FAHRENHEIT_ZERO) * 5 / 9
