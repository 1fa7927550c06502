"""How an afternoon feels at the seats, in words: one sentence wherever it is told."""

from __future__ import annotations

from typing import Any

from mistcalc.model.results import COMFORT_COLUMNS, Comfort
from mistcalc.report.common.locale_text import Locale


def feel_line(felt: Comfort | None, day: str, locale: Locale) -> str:
    """Four columns of SET as 10 to 90 % ranges; where the index has no answer, that it has none."""
    ranges: dict[str, Any] = {column: readings(felt, column, locale) for column in COMFORT_COLUMNS}
    if felt is None or not all(ranges.values()):
        return locale.label("feel.none", day=day)
    return locale.label("feel.line", day=day, speed=felt.fan_speed, **ranges)


def seat_line(felt: Comfort | None, seat: int, locale: Locale) -> str:
    """The four columns at one seat; empty where the index has no answer."""
    ranges: dict[str, Any] = {column: readings(felt, column, locale, seat) for column in COMFORT_COLUMNS}
    return locale.label("feel.seat", **ranges) if all(ranges.values()) else ""


def readings(felt: Comfort | None, column: str, locale: Locale, seat: int | None = None) -> str:
    """ "84 to 88", mean of the seats or at one; one number where both ends read the same; empty where there
    is no answer."""
    band = None
    if felt is not None:
        band = felt.band(column) if seat is None else felt.seat_band(seat, column)
    if band is None:
        return ""
    low, high = (locale.number(kelvin, "reading") for kelvin in (band[0], band[-1]))
    return low if low == high else locale.label("feel.span", low=band[0], high=band[-1])
