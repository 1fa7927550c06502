"""From a station's year to the outdoor air at the patio: three afternoons, or every hour.

Two corrections are made, no more: air pressure for the height between station and site, and wind from the
mast over open ground to patio height among its surroundings. Temperature and humidity ratio are the
station's. The sun stands where the station's latitude and longitude put it; a low one is behind neighbors.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from mistcalc.errors import InputError
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.practice import PATIO_HEIGHT
from mistcalc.model.project import COMPASS, RARER, Place, TypedAfternoon
from mistcalc.model.results import Air, SunPath, Weather
from mistcalc.physics import air, sun, ventilation
from mistcalc.physics.most_central import medoid

NAMES: tuple[Literal["hot", "typical", "humid"], ...] = ("hot", "typical", "humid")
HOURS = 8760
SAME = 1 - 1e-9  # readings tie by the tenth of a degree; rounding must not part them
DRIEST = 0.005  # relative humidity, of air a head's bulbs name
MONTH_START = np.cumsum((0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31))
# How high the sun must stand to clear houses and trees next door; judgement.
SKYLINE = {"open": np.radians(3.0), "suburb": np.radians(10.0), "city": np.radians(15.0)}


@dataclass(frozen=True, slots=True)
class HourSelection:
    """Which hours make the afternoons. Hours are hour-ending, standard time; months from 1."""

    months: tuple[int, ...] = (6, 7, 8, 9)  # north of the equator; the opposite half year south of it
    first_hour: int = 14
    last_hour: int = 18
    hot_share: float = 0.97  # dry bulb at or above this share of those hours
    typical_band: float = 1.0  # K about their median
    humid_share: float = 0.95  # dew point at or above this share, dry bulb at or above the median
    fewest: int = 5  # humid hours that still make a kind of afternoon


# ------------------------------------------------------------------ afternoons


def outdoor_afternoons(
    weather: Weather | None, place: Place, choice: HourSelection | None = None
) -> tuple[Air, ...]:
    """Outdoor air at the patio on a hot, a typical and a humid afternoon.

    An afternoon typed into the project stands as typed, one hour; the others come from the weather file.
    Without a file there are only those typed in. Each from a file is all the hours `choice` selects, every
    one with its own temperature, moisture, wind and direction. Raises InputError("no-air") where there is
    neither a file nor a typed afternoon.
    """
    stated = {a.name: a for a in place.afternoons}
    if weather is None and not stated:
        raise InputError("no-air", "place.climate")
    picked = selected(weather, choice or HourSelection()) if weather is not None else {}
    airs = []
    for name in NAMES:
        if name in stated:
            airs.append(_typed(stated[name], place))
        elif weather is not None:
            told = _selected(weather, place, name, picked[name])
            airs.append(_rarer(told, weather, place) if name == "hot" else told)
    return tuple(airs)


def typed(place: Place) -> tuple[Air, ...]:
    """The afternoons typed into the project, at the standard air pressure of the place's elevation."""
    return tuple(_typed(a, place) for name in NAMES for a in place.afternoons if a.name == name)


def selected(weather: Weather, choice: HourSelection) -> dict[str, np.ndarray]:
    """Hours (indices into the year) behind each afternoon; at least one each.

    Where the dampest air comes with rain and is cool (El Paso, Tucson), hardly an hour is both humid and
    warm; with fewer than `fewest` of them, the humid afternoon is the dampest share of the warm hours
    instead: the dampest air in which anyone would want mist.
    """
    months = choice.months if weather.latitude >= 0 else tuple((m + 5) % 12 + 1 for m in choice.months)
    day, hour = np.divmod(np.arange(HOURS), 24)
    month = np.searchsorted(MONTH_START, day, side="right")
    ends = hour + 1
    hours = np.flatnonzero(np.isin(month, months) & (ends >= choice.first_hour) & (ends <= choice.last_hour))
    t = weather.temperature[hours]
    dew = air.vapour_pressure(weather.ratio, weather.air_pressure)[hours]  # in the order of dew points
    middle = np.median(t)
    warm = t >= middle
    humid = warm & (dew >= np.quantile(dew, choice.humid_share) * SAME)
    if np.count_nonzero(humid) < choice.fewest:
        humid = warm & (dew >= np.quantile(dew[warm], choice.humid_share) * SAME)
    return {
        "hot": hours[t >= np.quantile(t, choice.hot_share) * SAME],
        "typical": hours[np.abs(t - middle) <= choice.typical_band + 1e-6],
        "humid": hours[humid],
    }


def rare_humidity(weather: Weather) -> tuple[float, ...]:
    """Relative humidity of each of `Weather.design`, by its dry and wet bulb at the station's pressure."""
    pressure = float(np.median(weather.air_pressure))
    return tuple(
        max(air.relative_humidity_at_wet_bulb(hour.dry_bulb, hour.wet_bulb, pressure), DRIEST)
        for hour in weather.design
    )


def _rarer(hot: Air, weather: Weather, place: Place) -> Air:
    """The hot afternoon as hot and damp as the place asks, by the file's head: the hours' own ups and downs,
    winds and sun about another middle. Raises InputError where the head does not name such heat."""
    if (rare := RARER.get(place.hot_afternoon)) is None:
        return hot
    found = [n for n, hour in enumerate(weather.design) if round(1 / hour.share) == rare]
    if not found:
        asked, name = place.hot_afternoon, weather.source
        raise InputError("rare-heat-unknown", "place.hot_afternoon", asked=asked, name=name)
    hour, humidity = weather.design[found[0]], rare_humidity(weather)[found[0]]
    pressure = float(np.median(weather.air_pressure))
    ratio = float(air.humidity_ratio(hour.dry_bulb, humidity, pressure))
    assert hot.mast_wind is not None, "it is of a file"
    temperature = hot.temperature + hour.dry_bulb - hot.middle("temperature")
    ratios, wind = hot.ratio * ratio / hot.middle("ratio"), _Wind(hot.mast_wind, hot.direction)
    told = _air(hot.name, hot.source, place, temperature, ratios, hot.air_pressure, wind, hot.hours_used)
    kept = {name: getattr(hot, name) for name in ("sun_height", "sun_azimuth", "beam", "diffuse")}
    kept |= {"rare": rare, "file_middle": hot.middle("temperature"), "key": fingerprint(hot.key, rare)}
    return replace(told, **kept)


def _selected(weather: Weather, place: Place, name: str, hours: np.ndarray) -> Air:
    return _air(
        name,
        weather.source,
        place,
        weather.temperature[hours],
        weather.ratio[hours],
        weather.air_pressure[hours] * _pressure_share(weather, place),
        _Wind(weather.wind[hours], _direction(weather, hours)),
        len(hours),
        _sunlight(weather, place, hours),
    )


def _direction(weather: Weather, hours: np.ndarray | slice) -> np.ndarray | None:
    """Files write 0, north, where nothing blows; a calm hour has no direction."""
    if weather.direction is None:
        return None
    return np.where(weather.wind[hours] > 0, weather.direction[hours], np.nan)


def _typed(stated: TypedAfternoon, place: Place) -> Air:
    t = np.array([stated.dry_bulb])
    pressure = np.array([air.pressure_at_elevation(place.elevation)])
    ratio = air.humidity_ratio(t, stated.relative_humidity, pressure)
    side = None if stated.wind_from is None else COMPASS.index(stated.wind_from)
    direction = None if side is None else np.array([side * 2 * np.pi / len(COMPASS)])
    felt = stated.wind_on_patio is not None
    blowing = _Wind(np.array([stated.wind_on_patio if felt else stated.wind]), direction, felt)
    return _air(stated.name, "typed in", place, t, ratio, pressure, blowing, 0)


def measured_air(
    place: Place, t: np.ndarray, humidity: np.ndarray, wind: np.ndarray, direction: np.ndarray, source: str
) -> Air:
    """Outdoor air as measured on a day, a value a run: dry bulb [K], relative humidity [1], wind in the yard
    [m/s] and where from [rad, NaN in a calm]."""
    pressure = np.full(t.shape, air.pressure_at_elevation(place.elevation))
    ratio = air.humidity_ratio(t, humidity, pressure)
    return _air("day", source, place, t, ratio, pressure, _Wind(wind, direction, felt=True), len(t))


def through_the_day(
    weather: Weather, place: Place, name: str, clock: Sequence[int], year_number: int
) -> tuple[Air, ...]:
    """One kind of afternoon at other hours: the air of each hour that begins at `clock` on the wall, on all
    the days that have an hour of that afternoon. Clocks change as in a year of that number."""
    days = np.unique(selected(weather, HourSelection())[name] // 24)
    ahead = on_daylight_time(place.daylight_saving, year_number)[days * 24 + 12]
    return tuple(_selected(weather, place, name, days * 24 + at - ahead) for at in clock)


# ------------------------------------------------------------------ a year


def year(weather: Weather, place: Place) -> Air:
    """Outdoor air at the patio for all 8,760 hours of the file, in its order (standard time)."""
    pressure = weather.air_pressure * _pressure_share(weather, place)
    return _air(
        "year",
        weather.source,
        place,
        weather.temperature,
        weather.ratio,
        pressure,
        _Wind(weather.wind, _direction(weather, slice(None))),
        len(weather.temperature),
        _sunlight(weather, place, np.arange(HOURS)),
    )


def _pressure_share(weather: Weather, place: Place) -> float:
    """Air pressure at the place over that at the station: the ratio of their standard atmospheres."""
    here, there = air.pressure_at_elevation(place.elevation), air.pressure_at_elevation(weather.elevation)
    return float(here / there)


@dataclass(frozen=True, slots=True)
class _Wind:
    """Speed [m/s] and where from [rad], at the mast or as felt on the patio."""

    speed: np.ndarray
    direction: np.ndarray | None
    felt: bool = False


def _air(
    name: str,
    source: str,
    place: Place,
    t: np.ndarray,
    ratio: np.ndarray,
    pressure: np.ndarray,
    blowing: _Wind,
    hours_used: int,
    sunlight: dict[str, np.ndarray] | None = None,
) -> Air:
    # A lower site could hold a touch more vapour than the air can.
    ratio = np.minimum(ratio, air.saturated_ratio(t, pressure))
    wind = blowing.speed if blowing.felt else patio_wind(blowing.speed, place)
    arrays = (t, ratio, pressure, blowing.speed, wind, blowing.direction)
    return Air(
        name=name,
        source=source,
        temperature=t,
        ratio=ratio,
        air_pressure=pressure,
        wind=wind,
        mast_wind=None if blowing.felt else blowing.speed,
        direction=blowing.direction,
        relative_humidity=np.minimum(air.relative_humidity(t, ratio, pressure), 1.0),
        wet_bulb=np.minimum(air.wet_bulb(t, ratio, pressure), t),
        dew_point=_dew_point(ratio, pressure),
        hours_used=hours_used,
        key=fingerprint(name, source, hours_used, blowing.felt, *arrays, *(sunlight or {}).values()),
        ordinary=_ordinary(t, ratio, wind, blowing.direction),
        felt=blowing.felt,
        rare=None,
        file_middle=None,
        **(sunlight or {}),
    )


MOST_COMPARED = 1000  # hours: beyond an afternoon nobody asks which one stands for all


def _ordinary(t: np.ndarray, ratio: np.ndarray, wind: np.ndarray, direction: np.ndarray | None) -> int:
    """The hour nearest to all the others in temperature, moisture and the wind as an arrow."""
    if not 1 < len(t) <= MOST_COMPARED:
        return 0
    columns = [t, ratio, wind]
    if direction is not None:
        blowing = ~np.isnan(direction)
        columns += [np.where(blowing, wind * turn(direction), 0.0) for turn in (np.sin, np.cos)]
    return medoid(columns)


def _dew_point(ratio: np.ndarray, pressure: np.ndarray) -> np.ndarray:
    """Dew point [K]; that of perfectly dry air, which has none, is given as the coldest there are
    equations for (173.15 K)."""
    lowest = air.saturated_ratio(np.full_like(ratio, air.COLDEST), pressure)
    dry = ratio <= lowest * (1 + 1e-9)
    return np.where(dry, air.COLDEST, air.dew_point(np.where(dry, 2 * lowest, ratio), pressure))


# ------------------------------------------------------------------ wind


def patio_wind(mast_wind: np.ndarray, place: Place, height: float = PATIO_HEIGHT) -> np.ndarray:
    """Wind at `height` [m] clear of the house's lee [m/s] from that at a 10 m mast over open ground.

    The handbook's terrain profile, times the share that neighbours and plants leave. Inside the layer of
    roofs and trees the profile is an extrapolation; the band of draws covers it, this number does not.
    """
    return ventilation.wind_profile(mast_wind, height, place.surroundings) * place.shelter


# ------------------------------------------------------------------ sun


def _sunlight(weather: Weather, place: Place, hours: np.ndarray) -> dict[str, np.ndarray] | None:
    """The fields of `Air` that tell of the sun; None where the file has no sunlight."""
    if weather.dni is None or weather.dhi is None:
        return None
    height, azimuth = _sun(weather, hours + 0.5)
    clear = height > SKYLINE[place.surroundings]
    beam = np.where(clear, weather.dni[hours], 0.0)
    return {"sun_height": height, "sun_azimuth": azimuth, "beam": beam, "diffuse": weather.dhi[hours]}


def _sun(weather: Weather, standard: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Height and azimuth of the sun [rad] at hours of a year in standard time."""
    days = sun.TYPICAL_YEAR + (standard - weather.utc_offset) / 24
    return sun.sun_position(days, np.radians(weather.latitude), np.radians(weather.longitude))


def sun_path(weather: Weather, place: Place, year_number: int) -> SunPath:
    """The sun over the middle of each month, by the clock on the wall in a year of so many."""
    days = (MONTH_START[:-1] + MONTH_START[1:] - 1) // 2
    clock = np.arange(0.0, 24.0, SunPath.STEP)
    ahead = on_daylight_time(place.daylight_saving, year_number)[days * 24 + 12]
    standard = days[:, None] * 24 + clock - ahead[:, None]
    height, azimuth = _sun(weather, standard)
    skyline = float(SKYLINE[place.surroundings])
    height = np.where(height > skyline, height, 0.0)
    return SunPath(clock, height, azimuth, skyline, fingerprint(clock, height, azimuth, skyline))


# ------------------------------------------------------------------ clock


def on_daylight_time(rule: Literal["us", "eu", "none"], year_number: int) -> np.ndarray:
    """For every hour of a 365-day year in standard time, whether clocks on the wall are one hour ahead.

    us: from 2:00 standard time on the second Sunday of March to 1:00 standard (2:00 daylight) on the first
    Sunday of November (15 U.S.C. 260a). eu: last Sundays of March and October, 1:00 UTC (2000/84/EC),
    taken here as 2:00 standard, which is exact in Central European Time. Hours are hour-ending: element i is
    the hour from i to i + 1. Which Sunday needs a year; a leap day is left out, as in `Weather`.
    """
    ahead = np.zeros(HOURS, dtype=bool)
    if rule == "none":
        return ahead
    if rule == "us":
        begins, ends = _sunday(year_number, 3, 2) * 24 + 2, _sunday(year_number, 11, 1) * 24 + 1
    else:
        begins, ends = _sunday(year_number, 3, -1) * 24 + 2, _sunday(year_number, 10, -1) * 24 + 2
    ahead[begins:ends] = True
    return ahead


def _sunday(year_number: int, month: int, which: int) -> int:
    """Day of a 365-day year (from 0) of the `which`-th Sunday of a month; -1 for its last."""
    first = int(MONTH_START[month - 1])
    days = int(MONTH_START[month]) - first
    sundays = [day for day in range(days) if datetime.date(year_number, month, day + 1).isoweekday() == 7]
    return first + sundays[which - 1 if which > 0 else which]
