"""Hours of use by where they stand in a grid of set points, and the rules of that grid."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from mistcalc import units
from mistcalc.model.project import COMPASS, NO_HUMIDITY_STOP, NO_WIND_STOP, Control, side_of
from mistcalc.model.results import SeasonLimits
from mistcalc.season import holds
from mistcalc.season.solved_year import SolvedYear, hours_gained
from mistcalc.season.year_of_control import thermostat

CALM = len(COMPASS)


@dataclass(frozen=True, slots=True)
class RuleGrid:
    """Set points tried, each rising; the last of wind and humidity is no stop at all."""

    on_above: tuple[float, ...]
    wind: tuple[float, ...]
    humidity: tuple[float, ...]

    def lowest(self, control: Control) -> Control:
        """A control that runs whatever a rule of this grid runs."""
        start = min(self.on_above[0], control.on_above)
        return replace(
            control, on_above=start, off_below=min(start - _span(control), control.off_below), not_from=(),
            humidity_stop=NO_HUMIDITY_STOP, wind_stop=NO_WIND_STOP, least_run=0.0, least_rest=0.0, days=None,
            most_a_day=None, wind_measured_at="patio",
        )  # fmt: skip


def rule_grid(system: units.System, measured_at: str) -> RuleGrid:
    """Round figures of the reader's thermometer and wind gauge."""
    if system == "us":
        degrees, unit, speed = range(80, 106, 2), "degF", "mph"
    else:
        degrees, unit, speed = range(27, 42), "degC", "m/s"
    usual = {"us": (4, 6, 8, 10, 12, 15, 20), "metric": (2, 3, 4, 5, 6, 8, 10)}[system]
    winds = [at if measured_at == "mast" else at / 4 for at in usual]
    return RuleGrid(
        tuple(float(units.to_si(t, unit, "temperature")) for t in degrees),
        (*(float(units.to_si(wind, speed, "speed")) for wind in winds), NO_WIND_STOP),
        (*(percent / 100 for percent in range(20, 65, 5)), NO_HUMIDITY_STOP),
    )


@dataclass(frozen=True, slots=True)
class Rule:
    """Places in the grid; hours of the day as places in the window of use, the end not in it."""

    start: int
    hours: tuple[int, int]
    wind: int
    barred: tuple[int, ...]  # places in COMPASS
    humidity: int


@dataclass(frozen=True, slots=True, eq=False)
class HourTable:
    """Hours of use by where they stand in the grid, [draw, hour of use], and what an hour of mist gains."""

    grid: RuleGrid
    start: np.ndarray  # how many start temperatures call for mist, [hour of use]
    wind: np.ndarray  # place of the lowest wind stop that lets it run
    humidity: np.ndarray
    side: np.ndarray  # place in COMPASS, CALM without wind, [hour of use]
    window: np.ndarray  # place in the day's window of use, [hour of use]
    may: np.ndarray  # on a day on which it may run, [hour of use]
    gain: np.ndarray
    clocks: tuple[int, ...]  # hours of the day of the window
    day: np.ndarray  # of the year, [hour of use]
    a_day: float  # hours that a day's water lasts; infinite where no day of use has more

    def runs(self, rule: Rule) -> np.ndarray:
        """Which hours of use a rule runs, [draw, hour of use]."""
        first, end = rule.hours
        called = self.may & (self.start > rule.start) & (self.window >= first) & (self.window < end)
        called = called & ~np.isin(self.side, rule.barred)
        called = called & (self.wind <= rule.wind) & (self.humidity <= rule.humidity)
        return np.asarray(called & ~holds.beyond_days_hours(self.a_day, self.day, called))


def hour_table(year: SolvedYear, grid: RuleGrid, control: Control, limits: SeasonLimits) -> HourTable:
    used = year.hours.used
    at_mast = control.wind_measured_at == "mast" and year.mast_wind is not None
    blowing = year.mast_wind if at_mast else year.wind
    assert blowing is not None
    calls = (replace(control, on_above=t, off_below=t - _span(control)) for t in grid.on_above)
    levels = np.sum([thermostat(one, year.temperature) for one in calls], axis=0)
    shape = year.humidity[:, used].shape
    side = np.full(shape[1], CALM) if year.direction is None else side_of(year.direction[used])
    first = int(np.ceil(control.hours[0] - 0.5)) % 24  # the first hour whose middle is in use
    window = (year.hours.clock[used] - first) % 24
    places = np.unique(window)
    day, a_day = year.hours.day[used], holds.hours_of_a_day(control, year.hourly.water)
    return HourTable(
        grid=grid,
        start=levels[used],
        wind=np.broadcast_to(np.searchsorted(grid.wind, blowing[..., used]), shape),
        humidity=np.searchsorted(grid.humidity, year.humidity[:, used]),
        side=np.where(side < 0, CALM, side),
        window=np.searchsorted(places, window),
        may=~holds.on_barred_day(control, year.hours.weekday[used]),
        gain=hours_gained(year, limits),
        clocks=tuple(((places + first) % 24).tolist()),
        day=day,
        a_day=a_day if a_day < np.bincount(day).max(initial=0) else np.inf,
    )


def as_control(table: HourTable, rule: Rule, control: Control) -> Control:
    """A rule as the project file states it; a stop that is none keeps off nothing."""
    start = table.grid.on_above[rule.start]
    first, last = (table.clocks[place] for place in (rule.hours[0], rule.hours[1] - 1))
    whole = rule.hours == (0, len(table.clocks))
    return replace(
        control, on_above=start, off_below=start - _span(control),
        hours=control.hours if whole else (float(first), float((last + 1) % 24)),
        wind_stop=table.grid.wind[rule.wind], humidity_stop=table.grid.humidity[rule.humidity],
        not_from=tuple(COMPASS[place] for place in rule.barred),
    )  # fmt: skip


def _span(control: Control) -> float:
    """What lies between on and off."""
    return control.on_above - control.off_below
