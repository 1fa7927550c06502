"""The control's rule found in hours already solved: every rule of a grid tried in a table of counts.

A rule is a start temperature, hours of the day, a wind stop, sides from which the wind bars it, a humidity
stop. It is to gain most bearable hours, on the mean over some draws, for no more water than stated; of rules
within an hour of the best the one that runs least. What a part gains is told by choosing without it as well.
Of least runs and rests it takes those with which it comes on least, for an hour more or less at most.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from mistcalc.model.project import Control
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
from mistcalc.season.rule_counts import Choices, counts
from mistcalc.season.rule_table import HourTable, Rule, RuleGrid, as_control, hour_table
from mistcalc.season.solved_year import SolvedYear, controlled

WORTH = 1.0  # h a year: what gains no more is left out, and as little is not fought over; judgement
HOUR = 3600.0  # s
TIMINGS = ((2 * HOUR, 0.0), (0.0, 2 * HOUR), (2 * HOUR, 2 * HOUR), (3 * HOUR, 3 * HOUR))  # least run and rest


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
    more = np.median(_gained(table, own)) - np.median(gained)
    return FoundRule(
        control=timed[place].control if timed else None,
        parts=tuple(told),
        found=_score(table, runs),
        stated=_score(table, own),
        keep_stated=bool(more > WORTH and own.sum(axis=1).mean() <= most + 1e-9),
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
    choices = Choices(table, parts)
    best, near = -np.inf, []
    for start, (hours, gained) in enumerate(counts(table, chosen, choices)):
        fits = hours <= most + 1e-9
        best = max(best, float(gained[fits].max(initial=-np.inf)))
        among = np.flatnonzero(fits & (gained >= best - WORTH - 1e-9))
        near.append((start, among, hours.flat[among], gained.flat[among]))
    least, found = np.inf, None
    for start, among, taken, gain in near:
        taken = np.where(gain >= best - WORTH - 1e-9, taken, np.inf)
        place = int(taken.argmin()) if taken.size else 0
        if taken.size and taken[place] < least - 1e-9:
            least, found = float(taken[place]), choices.rule(start, int(among[place]))
    return found, best


def _gained(table: HourTable, runs: np.ndarray) -> np.ndarray:
    return np.asarray((table.gain * runs).sum(axis=1))


def _score(table: HourTable, runs: np.ndarray) -> RuleScore:
    return RuleScore(quantiles(runs.sum(axis=1).astype(float)), quantiles(_gained(table, runs)))


def _best_possible(table: HourTable, hours: np.ndarray) -> np.ndarray:
    """Hours gained by whoever knew the gain of every hour it may run, using as many of them, [draw]; of a day
    no more than its water lasts."""
    gains = np.where(table.may & (table.start > 0), np.maximum(table.gain, 0.0), 0.0)
    order = np.lexsort((-gains, np.broadcast_to(table.day, gains.shape)), axis=1)  # the day's best first
    among_its_day = np.arange(gains.shape[1]) - np.searchsorted(table.day, table.day)
    gains = np.where(among_its_day < table.a_day, np.take_along_axis(gains, order, axis=1), 0.0)
    sorted_gains = -np.sort(-gains, axis=1)
    among = np.arange(sorted_gains.shape[1]) < hours[:, None]
    return np.asarray((sorted_gains * among).sum(axis=1))
