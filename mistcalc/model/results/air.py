"""Outdoor air: a weather station's year, and the air at the patio for the hours asked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.model.quantities import Kelvin, Metre, Share
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.finding import Finding


@dataclass(frozen=True, slots=True)
class DesignHour:
    """How hot it is at a station in one hour of so many, by a long record: a climate file's head says so."""

    share: Share  # of all hours that are as hot or hotter
    dry_bulb: Kelvin
    wet_bulb: Kelvin  # mean of those hours


@dataclass(frozen=True, eq=False, repr=False)
class Weather(ShortRepr):
    """A weather station's year. All arrays have one value an hour, shape (hours,).

    `time_standard` is the hour of a 365-day year at which the hour ENDS, standard time: 1.0 is the hour
    from 00:00 to 01:00 on 1 January. Wind is at the station mast, about 10 m.
    """

    station: str
    source: str
    latitude: float  # degrees
    longitude: float  # degrees
    elevation: Metre
    utc_offset: float  # hours
    time_standard: np.ndarray
    temperature: np.ndarray  # K
    ratio: np.ndarray  # kg/kg
    air_pressure: np.ndarray  # Pa absolute
    wind: np.ndarray  # m/s
    direction: np.ndarray | None  # rad clockwise from north, wind from; None where the file has none
    ghi: np.ndarray | None  # W/m2, sunlight: on level ground, from the sun's disc, from the rest of the sky
    dni: np.ndarray | None
    dhi: np.ndarray | None
    notes: tuple[Finding, ...]
    key: str
    design: tuple[DesignHour, ...] = ()  # rarest first

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Weather) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)


@dataclass(frozen=True, eq=False, repr=False)
class Air(ShortRepr):
    """Outdoor air at the patio for the hours asked, shape (hours,).

    An afternoon from a file is all the hours it selects, one typed in a single hour. `wind` is at patio
    height, after surroundings and shelter; `mast_wind` as at the station.
    """

    name: str  # hot | typical | humid | year
    source: str
    temperature: np.ndarray  # K
    ratio: np.ndarray  # kg/kg
    air_pressure: np.ndarray  # Pa absolute
    wind: np.ndarray  # m/s
    mast_wind: np.ndarray | None  # m/s; None where the wind was told as measured in the yard
    direction: np.ndarray | None  # rad clockwise from north, wind from; NaN in a calm; None: nobody said
    relative_humidity: np.ndarray  # 0..1
    wet_bulb: np.ndarray  # K
    dew_point: np.ndarray  # K
    hours_used: int  # hours of the file behind an afternoon; 0 where typed in
    key: str
    ordinary: int = 0  # the hour nearest to all the others: drawn where one hour must stand for all
    felt: bool = False  # wind and direction are those in the yard, not a mast's
    rare: int | None = None  # heat and damp are of one hour in so many, as the file's head tells it
    file_middle: float | None = None  # K, where so: middle dry bulb of the same hours as the file has them
    # The sun in the middle of each hour; all None where the file has no sunlight or the air was typed in.
    sun_height: np.ndarray | None = None  # rad over the horizon
    sun_azimuth: np.ndarray | None = None  # rad clockwise from north
    beam: np.ndarray | None = None  # W/m2 from its disc; 0 where it stands behind the neighbors or is down
    diffuse: np.ndarray | None = None  # W/m2 from the rest of the sky on level ground

    def middle(self, name: str) -> float:
        """Median over the hours of a quantity: it describes them, nothing is computed from it."""
        return float(np.median(getattr(self, name)))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Air) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)
