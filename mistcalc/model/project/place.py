"""Where the patio is: height, climate, surroundings, afternoons typed in by hand."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from mistcalc.model.content_digest import ADDED
from mistcalc.model.quantities import Kelvin, Metre, MetrePerSecond, Radian, Share

TYPICAL_YEAR = "typical year"
# How rare the heat of the hot afternoon is to be, as a climate file's head may tell it: 1 in so many hours.
RARER = {"1 in 50 hours": 50, "1 in 100 hours": 100, "1 in 250 hours": 250}
COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


@dataclass(frozen=True, slots=True)
class TypedAfternoon:
    """An afternoon typed in by hand instead of a climate file. Its wind is told at one of two places."""

    name: Literal["hot", "typical", "humid"]
    dry_bulb: Kelvin
    relative_humidity: Share
    wind: MetrePerSecond | None = None  # at a 10 m mast over open ground, as a forecast tells it
    wind_on_patio: MetrePerSecond | None = None  # at seat height in the yard, clear of the house's lee
    wind_from: str | None = None  # where it comes from, one of COMPASS; None: nobody said


@dataclass(frozen=True, slots=True)
class Place:
    elevation: Metre
    climate: str | None  # a shipped sample's name, or a file beside the project file
    surroundings: Literal["open", "suburb", "city"] = "suburb"
    shelter: Share = 0.5  # share of the wind at patio height that neighbors and plants leave
    daylight_saving: Literal["us", "eu", "none"] = "us"
    north: str = ""  # words for the plan
    bearing: Radian = (
        0.0  # heading of the first run (`Project.heading`), walked from its start, clockwise from north
    )
    afternoons: tuple[TypedAfternoon, ...] = ()
    # Where on earth, north and east positive; None: nobody said. For how far the weather station is.
    latitude: Radian | None = field(default=None, metadata=ADDED)
    longitude: Radian | None = field(default=None, metadata=ADDED)
    hot_afternoon: str = field(default=TYPICAL_YEAR, metadata=ADDED)  # or one of RARER
