"""How many hours every rule of a grid runs and what they gain.

Each hour of use stands in one cell of the grid, and a rule runs whole blocks of cells: running sums say it
all. Where a day's water may end before the day does, an hour hangs on those before it: every rule is followed
through the hours of a day, all days at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations, product, takewhile
from typing import NamedTuple

import numpy as np

from mistcalc.model.project import COMPASS
from mistcalc.model.results import RulePartName
from mistcalc.season.rule_table import CALM, HourTable, Rule

LEAST_HOURS = 2  # of a day
WORD = 64  # bits


class Choices:
    """What may be chosen beside the start temperature, as places in the grid."""

    def __init__(self, table: HourTable, parts: Iterable[RulePartName]) -> None:
        parts = tuple(parts)
        count, grid = len(table.clocks), table.grid
        ends = [(a, b) for a in range(count) for b in range(a + LEAST_HOURS, count + 1)]
        self.hours = ends if "hours" in parts and ends else [(0, count)]
        self.wind = list(range(len(grid.wind))) if "wind" in parts else [len(grid.wind) - 1]
        self.humidity = list(range(len(grid.humidity))) if "humidity" in parts else [len(grid.humidity) - 1]
        most = len(COMPASS) if "sides" in parts else 1
        self.barred = [barred for n in range(most) for barred in combinations(range(len(COMPASS)), n)]

    @property
    def shape(self) -> tuple[int, int, int, int]:
        return len(self.wind), len(self.humidity), len(self.hours), len(self.barred)

    def rule(self, start: int, place: int) -> Rule:
        """place: in an array of `shape`, row after row."""
        wind, humidity, hours, barred = (int(n) for n in np.unravel_index(place, self.shape))
        return Rule(start, self.hours[hours], self.wind[wind], self.barred[barred], self.humidity[humidity])


Counts = tuple[np.ndarray, np.ndarray]  # hours and gain, [wind, humidity, hours, barred]


def counts(table: HourTable, chosen: np.ndarray, choices: Choices) -> Iterator[Counts]:
    """Of every rule, start temperature by start temperature, the mean of the chosen draws."""
    return (_within_a_day if np.isfinite(table.a_day) else _summed)(table, chosen, choices)


# ------------------------------------------------------------------ by running sums


def _summed(table: HourTable, chosen: np.ndarray, choices: Choices) -> Iterator[Counts]:
    ones, gain = (_by_cell(table, chosen, weight) for weight in (np.ones(table.gain.shape), table.gain))
    open_to = np.ones((CALM + 1, len(choices.barred)))
    for column, barred in enumerate(choices.barred):
        open_to[list(barred), column] = 0.0
    first, end = (np.array(ends) for ends in zip(*choices.hours, strict=True))

    def blocks(cells: np.ndarray) -> np.ndarray:
        """[wind, humidity, side, window] to [wind, humidity, hours, barred]."""
        some = cells[np.ix_(choices.wind, choices.humidity)]
        passed = np.concatenate([np.zeros((*some.shape[:-1], 1)), np.cumsum(some, axis=-1)], axis=-1)
        return np.asarray(np.moveaxis(passed[..., end] - passed[..., first], 2, -1) @ open_to)

    return ((blocks(run), blocks(gained)) for run, gained in zip(ones, gain, strict=True))


def _by_cell(table: HourTable, chosen: np.ndarray, weight: np.ndarray) -> np.ndarray:
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


# ------------------------------------------------------------------ day by day


class _Passed(NamedTuple):
    """A day's hours up to some hour, for each set of barred sides."""

    # Days with one hour or more, with two or more, ..., as bits [barred, word].
    reached: tuple[np.ndarray, ...]
    hours: np.ndarray  # [barred]
    gained: np.ndarray


def _within_a_day(table: HourTable, chosen: np.ndarray, choices: Choices) -> Iterator[Counts]:
    """What one hour of the day is like is a row of bits, one for each day of each chosen draw, so that a rule
    goes through that hour of all of them in one stroke."""
    slot, place = _slots(table)

    def bits(held: np.ndarray) -> np.ndarray:
        """[draw, hour of use] to [slot, word]."""
        _, day = np.unique(table.day, return_inverse=True)
        days = np.zeros((len(place), int(chosen.sum()), day.max(initial=-1) + 1), dtype=bool)
        days[slot, :, day] = np.broadcast_to(held, table.gain.shape)[chosen].T
        row = days.reshape(len(place), -1)
        return np.packbits(np.pad(row, ((0, 0), (0, -row.shape[1] % WORD))), axis=1).view(np.uint64)

    calm = [bits(table.wind <= wind) for wind in choices.wind]
    dry = [bits(table.humidity <= humidity) for humidity in choices.humidity]
    sides = np.stack([bits(~np.isin(table.side, barred)) for barred in choices.barred], axis=1)
    gains = {value: bits(table.gain == value) for value in np.unique(table.gain[chosen]) if value}
    windows = sorted(
        (tuple(np.flatnonzero((place >= first) & (place < end)).tolist()), n)
        for n, (first, end) in enumerate(choices.hours)
    )
    for start in range(len(table.grid.on_above)):
        warm = bits(table.may & (table.start > start))
        hours, gained = np.zeros(choices.shape), np.zeros(choices.shape)
        for w, h in product(range(len(calm)), range(len(dry))):
            called = (warm & calm[w] & dry[h])[:, None] & sides
            for n, passed in _followed(called, gains, windows, int(table.a_day)):
                hours[w, h, n], gained[w, h, n] = passed.hours, passed.gained
        yield hours / chosen.sum(), gained / chosen.sum()


def _slots(table: HourTable) -> tuple[np.ndarray, np.ndarray]:
    """Which hour of a day each hour of use is, in the order of the day, and the place of each of those in the
    window. The clock put back shows an hour twice."""
    clock = np.array(table.clocks)[table.window]
    again = (np.diff(clock, prepend=-1) == 0) & (np.diff(table.day, prepend=-1) == 0)
    _, first, slot = np.unique(2 * clock + again, return_index=True, return_inverse=True)
    return slot, table.window[first]


def _followed(
    called: np.ndarray,
    gains: Mapping[float, np.ndarray],
    windows: Sequence[tuple[tuple[int, ...], int]],
    most: int,
) -> Iterator[tuple[int, _Passed]]:
    """Each window at its end. called: [slot, barred, word]; windows: the slots of each, sorted, so that one
    goes on from where it parts from the one before."""
    none = np.zeros(called.shape[1])
    path: tuple[int, ...] = ()
    passed = [_Passed((np.zeros_like(called[0]),) * most, none, none)]
    for slots, window in windows:
        shared = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(path, slots, strict=False)))
        del passed[shared + 1 :]
        for slot in slots[shared:]:
            passed.append(_an_hour_on(passed[-1], called[slot], {v: held[slot] for v, held in gains.items()}))
        path = slots
        yield window, passed[-1]


def _an_hour_on(before: _Passed, called: np.ndarray, gains: Mapping[float, np.ndarray]) -> _Passed:
    """called: in which days the rule asks for the hour; it runs where the day's water is not gone."""
    if not before.reached:
        return before
    runs = more = called & ~before.reached[-1]
    reached = []
    for days in before.reached:
        reached.append(days | more)
        more = more & days
    gained = before.gained
    for value, held in gains.items():
        gained = gained + value * _count(runs & held)
    return _Passed(tuple(reached), before.hours + _count(runs), gained)


def _count(bits: np.ndarray) -> np.ndarray:
    return np.asarray(np.bitwise_count(bits).sum(axis=-1, dtype=float))
