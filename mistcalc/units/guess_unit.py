"""The unit a bare number most likely lacks: 24 of a pitch is inches, 38 of a run feet."""

from __future__ import annotations

import math

from mistcalc.errors import InputError
from mistcalc.units.read import parse
from mistcalc.units.table import KINDS, System

# What is tried, likeliest first; of other kinds the one unit we write.
_TRIED: dict[tuple[str, System], tuple[str, ...]] = {
    ("length", "us"): ("in", "ft", "um"), ("length", "metric"): ("mm", "cm", "m", "um"),
    ("flow", "us"): ("gpm", "gph"), ("flow", "metric"): ("L/h", "L/min"),
}  # fmt: skip


def with_likely_unit(
    number: str, kind: str, system: System, usual: float, low: float, high: float
) -> str | None:
    """`number` with the unit that brings it nearest to `usual` within low..high (SI); None: none does.

    kind: a key of KINDS.
    """
    row = KINDS[kind]
    candidates: list[tuple[float, str]] = []
    for unit in _TRIED.get((kind, system), (row.us if system == "us" else row.metric,)):
        try:
            value = parse(f"{number} {unit}", kind)
        except InputError:
            continue
        if low <= value <= high:
            ratio = abs(value / usual) if value and usual else 1.0
            candidates.append((abs(math.log(ratio)), f"{number} {unit}"))
    return min(candidates, key=lambda one: one[0])[1] if candidates else None
