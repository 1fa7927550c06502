"""What a place or a size that a browser sends is held to. What makes no sense is refused, never clamped."""

from __future__ import annotations

import math

from mistcalc.errors import InputError
from mistcalc.units import System, parse

FINE: dict[System, float] = {"us": parse("1/16 in", "length"), "metric": 0.001}  # m: as joists are found to


def checked(value: object, low: float, high: float, where: str) -> float:
    """A position sent by a browser: a finite number from `low` to `high`, else refused."""
    given = value if isinstance(value, int | float) and not isinstance(value, bool) else math.nan
    if not low - 1e-9 <= given <= high + 1e-9:
        raise InputError("edit-off-the-lid", where, low=low, high=high)
    return float(given)
