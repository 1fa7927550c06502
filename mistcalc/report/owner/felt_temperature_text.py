"""How an afternoon feels at the seats, in words: one sentence wherever it is told."""

from __future__ import annotations

from typing import Any

from mistcalc import words
from mistcalc.model.results import COMFORT_COLUMNS, Comfort
from mistcalc.units import System


def feel_line(felt: Comfort | None, day: str, units: System, language: str) -> str:
    """Four columns of SET as 10 to 90 % ranges; where the index has no answer, that it has none."""
    ranges: dict[str, Any] = {column: readings(felt, column, units, language) for column in COMFORT_COLUMNS}
    if felt is None or not all(ranges.values()):
        return words.label("feel.none", units, language, day=day)
    return words.label("feel.line", units, language, day=day, speed=felt.fan_speed, **ranges)


def seat_line(felt: Comfort | None, seat: int, units: System, language: str) -> str:
    """The four columns at one seat; empty where the index has no answer."""
    ranges: dict[str, Any] = {
        column: readings(felt, column, units, language, seat) for column in COMFORT_COLUMNS
    }
    return words.label("feel.seat", units, language, **ranges) if all(ranges.values()) else ""


def readings(felt: Comfort | None, column: str, units: System, language: str, seat: int | None = None) -> str:
    """ "84 to 88", mean of the seats or at one; one number where both ends read the same; empty where there
    is no answer."""
    band = None
    if felt is not None:
        band = felt.band(column) if seat is None else felt.seat_band(seat, column)
    if band is None:
        return ""
    low, high = (words.number(kelvin, "reading", units, language) for kelvin in (band[0], band[-1]))
    return low if low == high else words.label("feel.span", units, language, low=band[0], high=band[-1])
