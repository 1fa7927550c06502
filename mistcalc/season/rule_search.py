"""The control's rule found in hours already solved: every rule of a grid tried in a table of counts.

A rule is a start temperature, hours of the day, a wind stop, sides from which the wind bars it, a humidity
stop. It is to gain most bearable hours, on the mean over some draws, for no more water than stated; of rules
within an hour of the best the one that runs least. What a part gains is told by choosing without it as well.
Of least runs and rests it takes those with which it comes on least, for an hour more or less at most.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from mistcalc import units
from mistcalc.model.project import COMPASS, NO_HUMIDITY_STOP, NO_WIND_STOP, Control, side_of
from mistcalc.model.results import (
    RULE_PARTS,
    FoundRule,
    RulePart,
    RulePartName,
    RuleScore,
    RuleTiming,
    SeasonLimits,
    quantiles,
)
from mistcalc.season import holds
from mistcalc.season.solved_year import SolvedYear, controlled, hours_gained
from mistcalc.season.year_of_control import thermostat

WORTH = 1.0  # h a year: what gains no more is left out, and as little is not fought over; judgement
LEAST_HOURS = 2  # of a day
HOUR = 3600.0  # s
TIMINGS = ((2 * HOUR, 0.0), (0.0, 2 * HOUR), (2 * HOUR, 2 * HOUR), (3 * HOUR, 3 * HOUR))  # least run and rest
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

    def runs(self, rule: Rule) -> np.ndarray:
        """Which hours of use a rule runs, [draw, hour of use]."""
        first, end = rule.hours
        called = self.may & (self.start > rule.start) & (self.window >= first) & (self.window < end)
        called &= ~np.isin(self.side, rule.barred)
        return np.asarray(called & (self.wind <= rule.wind) & (self.humidity <= rule.humidity))


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
    )


def find_rule(
    year: SolvedYear, grid: RuleGrid, control: Control, limits: SeasonLimits, most_water: float | None
) -> FoundRule:
    """most_water: m3 a year; None: what the project's own control takes, all there is where it never runs.
    Every second draw is chosen on, the others judge."""
    table = hour_table(year, grid, control, limits)
    _, now = controlled(year, control)
    own = now.runs[:, year.hours.used]
    if most_water is None:
        most_water = float(own.sum(axis=1).mean()) * year.hourly.water or np.inf
    most = most_water / year.hourly.water if year.hourly.water > 0.0 else np.inf
    chosen = np.arange(len(own)) % 2 == 0
    stages = tuple(_stages(table, chosen, most))
    rule = next((rule for _, rule, kept in reversed(stages) if kept), None)
    told, before = [], np.zeros(len(own))
    for name, tried, kept in stages:
        gained = _gained(table, table.runs(tried)) if tried is not None else np.zeros(len(own))
        best = as_control(table, tried, control) if tried is not None else None
        told.append(RulePart(name, best, quantiles(gained), quantiles(gained - before), kept))
        before = gained if kept else before
    runs, place = np.zeros_like(own), 0
    timed: list[TimedRule] = []
    if rule is not None:
        timed = list(timed_rules(year, as_control(table, rule, control)))
        place = fewest_starts(timed, table.gain, chosen, most)
        runs = timed[place].runs
    gained = _gained(table, runs)
    return FoundRule(
        control=timed[place].control if timed else None,
        parts=tuple(told),
        found=_score(table, runs),
        stated=_score(table, own),
        best=quantiles(_best_possible(table, runs.sum(axis=1))),
        chosen_on=(int(chosen.sum()), float(gained[chosen].mean())),
        held_out=(int((~chosen).sum()), float(gained[~chosen].mean())),
        most_water=most_water,
        an_hour=year.hourly.water,
        bearable=limits.bearable,
        timings=tuple(
            RuleTiming(
                one.control.least_run,
                one.control.least_rest,
                quantiles(one.starts),
                _score(table, one.runs),
                chosen=n == place,
            )
            for n, one in enumerate(timed)
        ),
    )


@dataclass(frozen=True, slots=True, eq=False)
class TimedRule:
    """A rule with a least run and a least rest, worked hour by hour: [draw, hour of use], [draw]."""

    control: Control
    runs: np.ndarray
    starts: np.ndarray


def timed_rules(year: SolvedYear, control: Control) -> Iterator[TimedRule]:
    """A control with its own least run and rest, then with others."""
    own = (control.least_run, control.least_rest)
    for run, rest in dict.fromkeys((own, (0.0, 0.0), *TIMINGS)):
        timed = replace(control, least_run=run, least_rest=rest)
        _, told = controlled(year, timed)
        yield TimedRule(timed, told.runs[:, year.hours.used], told.starts.sum(axis=1).astype(float))


def fewest_starts(tried: Sequence[TimedRule], gain: np.ndarray, chosen: np.ndarray, most: float) -> int:
    """Which comes on least in the chosen draws, of those that keep to `most` hours, run no WORTH longer
    than the rule alone and gain no WORTH less than the best; an earlier one that comes on once more stays.

    gain: of an hour of mist. An hour that only a least run keeps on may be cooler than any the year was
    solved for: it gains nothing.
    """

    def meant(of_draws: Iterable[np.ndarray]) -> np.ndarray:
        return np.array([float(each[chosen].mean()) for each in of_draws])

    runs = meant(one.runs.sum(axis=1) for one in tried)
    gained = meant((gain * one.runs).sum(axis=1) for one in tried)
    starts = meant(one.starts for one in tried)
    (alone,) = (n for n, one in enumerate(tried) if one.control.least_run == one.control.least_rest == 0.0)
    fits = runs <= min(most, runs[alone] + WORTH) + 1e-9
    if not fits.any():
        return alone
    fits &= gained >= gained[fits].max() - WORTH - 1e-9
    least = starts[fits].min()
    return int(np.flatnonzero(fits & (starts <= least + 1.0))[0])


def _stages(
    table: HourTable, chosen: np.ndarray, most: float
) -> Iterator[tuple[RulePartName, Rule | None, bool]]:
    """The best with one part more each time, and whether it is worth it; all have a start temperature."""
    parts: list[RulePartName] = ["temperature"]
    reached = 0.0
    for name in RULE_PARTS:
        rule, gained = best_rule(table, chosen, most, (*parts, name))
        kept = rule is not None and gained > reached + WORTH
        yield name, rule, kept
        if kept:
            parts.append(name)
            reached = gained


def best_rule(
    table: HourTable, chosen: np.ndarray, most: float, parts: Iterable[RulePartName]
) -> tuple[Rule | None, float]:
    """The best rule of these parts on the mean of the chosen draws, and what the best gains; None where each
    takes more than `most` hours."""
    options = _Options(table, tuple(parts))
    run, gain = (_counts(table, chosen, weight) for weight in (np.ones(table.gain.shape), table.gain))
    best, found = -np.inf, None
    for within in (0.0, WORTH):
        least, goal = np.inf, best - within
        for start in range(len(table.grid.on_above)):
            hours, gained = options.summed(run[start]), options.summed(gain[start])
            fits = hours <= most + 1e-9
            if not within:
                best = max(best, float(gained[fits].max(initial=-np.inf)))
                continue
            hours = np.where(fits & (gained >= goal - 1e-9), hours, np.inf)
            place = int(hours.argmin())
            if hours.flat[place] < least - 1e-9:
                least, found = (
                    float(hours.flat[place]),
                    options.rule(start, np.unravel_index(place, hours.shape)),
                )
    return found, best


class _Options:
    """What may be chosen beside the start temperature, as places in the grid."""

    def __init__(self, table: HourTable, parts: tuple[RulePartName, ...]) -> None:
        count, grid = len(table.clocks), table.grid
        ends = [(a, b) for a in range(count) for b in range(a + LEAST_HOURS, count + 1)]
        self.hours = ends if "hours" in parts and ends else [(0, count)]
        self.wind = list(range(len(grid.wind))) if "wind" in parts else [len(grid.wind) - 1]
        self.humidity = list(range(len(grid.humidity))) if "humidity" in parts else [len(grid.humidity) - 1]
        most = len(COMPASS) if "sides" in parts else 1
        self.barred = [barred for n in range(most) for barred in combinations(range(len(COMPASS)), n)]
        self.open = np.ones((CALM + 1, len(self.barred)))
        for column, barred in enumerate(self.barred):
            self.open[list(barred), column] = 0.0

    def summed(self, counts: np.ndarray) -> np.ndarray:
        """[wind, humidity, side, window] to [wind, humidity, hours, barred]."""
        some = counts[np.ix_(self.wind, self.humidity)]
        passed = np.concatenate([np.zeros((*some.shape[:-1], 1)), np.cumsum(some, axis=-1)], axis=-1)
        first, end = (np.array(ends) for ends in zip(*self.hours, strict=True))
        return np.asarray(np.moveaxis(passed[..., end] - passed[..., first], 2, -1) @ self.open)

    def rule(self, start: int, place: tuple[np.integer, ...]) -> Rule:
        wind, humidity, hours, barred = (int(n) for n in place)
        return Rule(start, self.hours[hours], self.wind[wind], self.barred[barred], self.humidity[humidity])


def _counts(table: HourTable, chosen: np.ndarray, weight: np.ndarray) -> np.ndarray:
    """Mean over the chosen draws of `weight` in hours that a rule of these places runs, sides and hours of
    the window apart, [start, wind, humidity, side, window]."""
    grid = table.grid
    shape = (len(grid.on_above) + 1, len(grid.wind), len(grid.humidity), CALM + 1, len(table.clocks))
    places = (table.start, table.wind[chosen], table.humidity[chosen], table.side, table.window)
    index = np.ravel_multi_index(np.broadcast_arrays(*places), shape)
    weight = np.where(table.may, weight[chosen], 0.0)
    sums = np.bincount(index.ravel(), weight.ravel(), minlength=int(np.prod(shape))).reshape(shape)
    called = np.cumsum(sums[::-1], axis=0)[::-1][1:]
    return np.asarray(called.cumsum(axis=1).cumsum(axis=2) / chosen.sum())


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


def _gained(table: HourTable, runs: np.ndarray) -> np.ndarray:
    return np.asarray((table.gain * runs).sum(axis=1))


def _score(table: HourTable, runs: np.ndarray) -> RuleScore:
    return RuleScore(quantiles(runs.sum(axis=1).astype(float)), quantiles(_gained(table, runs)))


def _best_possible(table: HourTable, hours: np.ndarray) -> np.ndarray:
    """Hours gained by whoever knew the gain of every hour it may run, using as many of them, [draw]."""
    sorted_gains = -np.sort(
        -np.where(table.may & (table.start > 0), np.maximum(table.gain, 0.0), 0.0), axis=1
    )
    among = np.arange(sorted_gains.shape[1]) < hours[:, None]
    return np.asarray((sorted_gains * among).sum(axis=1))
