"""Single values of a measuring day's description: times, winds, offsets, clocks. All raise InputError."""

from __future__ import annotations

import re
from typing import Any

import numpy as np

from mistcalc import units
from mistcalc.errors import InputError
from mistcalc.model.measuring_day import WindNote, Window
from mistcalc.model.project import COMPASS

MOST_OFFSET = 2.0  # K: a sensor farther off is broken
SAME = "same as the watch"
_CLOCK = re.compile(
    r"(?:(?P<h>\d{1,2}) ?h)? ?(?:(?P<min>\d{1,3}) ?min)? ?(?:(?P<s>\d{1,4}) ?s)? (?P<way>ahead|behind)"
)
_TURN = re.compile(r"(?P<degrees>\d{1,3}) deg of plan")


def span(text: str) -> Window:
    parts = re.split(r"\s+to\s+|\s*[-–]\s*", text.strip())
    if len(parts) != 2:
        raise InputError("day-mist", text=text[:60])
    return time_of_day(parts[0]), time_of_day(parts[1])


def time_of_day(text: str) -> float:
    """Seconds from midnight: 14:20, 14:20:30, 2:20 pm."""
    if match := re.fullmatch(r"(\d{1,2}):(\d{2}):(\d{2})", text):
        hours, minutes, seconds = (int(part) for part in match.groups())
        return units.parse(f"{hours}:{minutes:02d}", "clock") * 3600 + seconds
    return units.parse(text, "clock") * 3600


def wind(text: str) -> WindNote:
    stripped = text.strip()
    if stripped.casefold() == "calm":
        return WindNote(0.0)
    speed, _, side = stripped.partition(" from ")
    amount = units.parse(speed, "speed")
    side = side.strip()
    if side.upper() in COMPASS:
        return WindNote(amount, COMPASS.index(side.upper()) * 2 * np.pi / len(COMPASS))
    if turned := _TURN.fullmatch(side):
        return WindNote(amount, float(np.radians(int(turned["degrees"]))), in_plan=True)
    raise InputError("day-wind-side", text=side[:60], known=COMPASS)


def offset(text: Any) -> float:
    offset = float(units.parse(text, "temperature_difference"))
    if abs(offset) > MOST_OFFSET:
        raise InputError("day-offset", text=str(text)[:60], most=MOST_OFFSET)
    return offset


def ahead(stated: Any) -> float:
    """How far the logger's clock is ahead of the watch [s]."""
    if stated == SAME:
        return 0.0
    match = _CLOCK.fullmatch(str(stated).strip())
    if match is None or not (match["h"] or match["min"] or match["s"]):
        raise InputError("day-clock", "clock", text=str(stated)[:60])
    size = int(match["h"] or 0) * 3600.0 + int(match["min"] or 0) * 60.0 + int(match["s"] or 0)
    return size if match["way"] == "ahead" else -size


def clock_of(seconds: float) -> str:
    minutes = round(seconds / 60) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
