"""A year of which all warm hours in use are solved: whatever the set points, it is a mask and a sum."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from mistcalc.model.project import Control
from mistcalc.model.results import COMFORT_COLUMNS, HourlyUse, Season, SeasonHours, SeasonLimits
from mistcalc.season.year_of_control import ControlYear, Timetable, control_year, tally, thermostat, timetable


@dataclass(frozen=True, slots=True, eq=False)
class SolvedYear:
    """Hours of use, and the mist in those that `widest` would run."""

    source: str
    widest: Control
    ahead: np.ndarray  # clocks on the wall, [hour]
    first_weekday: int
    hours: Timetable
    temperature: np.ndarray  # K, [hour]
    humidity: np.ndarray  # in the yard, [draw, hour]
    wind: np.ndarray  # m/s, in the yard, [draw, hour]
    mast_wind: np.ndarray | None  # [hour]
    direction: np.ndarray | None  # [hour]
    patios: tuple[SeasonHours, ...]
    hourly: HourlyUse


def controlled(year: SolvedYear, control: Control) -> tuple[Timetable, ControlYear]:
    """What a control does in it. Its hours and months lie within the widest's."""
    hours = timetable(control, year.ahead, year.first_weekday)
    hours = replace(hours, used=hours.used & year.hours.used)
    warm = thermostat(control, year.temperature)
    air = (year.humidity, year.wind, year.mast_wind, year.direction)
    return hours, control_year(control, hours, warm, *air, year.hourly.water)


def year_under(year: SolvedYear, control: Control, limits: SeasonLimits) -> Season:
    """The tallies under a control that asks for no hour the widest would not run."""
    hours, runs = controlled(year, control)
    kept = hours.used[year.hours.used]
    patios = year.patios if kept.all() else tuple(_some(felt, kept) for felt in year.patios)
    return tally(hours, runs, patios, limits, year.source, year.temperature, year.hourly)


def hours_gained(year: SolvedYear, limits: SeasonLimits) -> np.ndarray:
    """What an hour of mist gains in each hour of use, [draw, hour of use]: 1 where it makes bearable what was
    not, -1 the other way; the mean of the patios. A fan there is runs in both."""
    gains = []
    for felt in year.patios:
        without, on = ("fan", "both") if felt.fans else ("shade", "mist")
        known = np.isfinite(felt.utci[on])
        good = [np.where(known, felt.utci[name] <= limits.bearable, 0.0) for name in (on, without)]
        gains.append(good[0] - good[1])
    return np.asarray(np.mean(gains, axis=0))


def _some(felt: SeasonHours, kept: np.ndarray) -> SeasonHours:
    """Some of the hours of use."""
    columns = ("depression", "humidity", "carried_out", "landing")
    return replace(
        felt,
        utci={name: felt.utci[name][:, kept] for name in COMFORT_COLUMNS},
        effective={name: felt.effective[name][:, kept] for name in COMFORT_COLUMNS},
        **{name: getattr(felt, name)[:, kept] for name in columns},
        lit=None if felt.lit is None else felt.lit[..., kept],
        beam=None if felt.beam is None else felt.beam[..., kept],
    )
