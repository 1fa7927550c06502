"""A measuring day: what loggers and a sheet say of one afternoon with the mist on and off by turns.

Times are seconds by the watch that the sheet was written by, from midnight of that day.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.model.quantities import MetrePerSecond, Radian, Share
from mistcalc.model.reprs import ShortRepr

OUTSIDE = "outside"  # the place of the sensor that stands upwind, in the shade
LOOKS = ("dry", "damp", "wet")
SETTLED = 600.0  # s: only the last ten minutes of a block count, once a slow sensor has caught up
AFTER_LAST = 1200.0  # s of mist off after the last round
FEWEST = 0.6  # of the readings that ten minutes should hold; judgement
Window = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WindNote:
    """Wind in the yard, clear of the house, during one round. `side`: where from, clockwise from north, or
    from the heading of the plan's +x where `in_plan`; None in a calm."""

    speed: MetrePerSecond
    side: Radian | None = None
    in_plan: bool = False


@dataclass(frozen=True, eq=False)
class Record:
    """One sensor. Arrays of one length; temperature has the sensor's own offset taken off, NaN: missing."""

    at: str  # a seat's name, or OUTSIDE
    time: np.ndarray  # s
    temperature: np.ndarray  # K
    humidity: np.ndarray | None = None  # 0..1
    looked: tuple[str, ...] = ()  # of LOOKS, one a round; empty: nobody looked
    name: str = ""  # the column it came from

    def within(self, window: Window) -> np.ndarray:
        """Which readings lie in a window, its end not counted, bool."""
        return (self.time >= window[0]) & (self.time < window[1])

    def full(self, window: Window) -> float:
        """Share of the readings that a window should hold, by the record's own usual step."""
        there = np.isfinite(self.temperature)
        if there.sum() < 2:
            return 0.0
        step = float(np.median(np.diff(self.time[there])))
        return float((self.within(window) & there).sum()) * step / (window[1] - window[0])


@dataclass(frozen=True, eq=False, repr=False)
class MeasuringDay(ShortRepr):
    """All of one day on one patio."""

    source: str
    patio: str
    rounds: tuple[Window, ...]  # mist on, one after another
    winds: tuple[WindNote, ...]  # one a round
    records: tuple[Record, ...]
    humidity: Share | None = None  # outside, typed in; None: the outside sensor has it

    @property
    def outside(self) -> Record:
        return next(r for r in self.records if r.at == OUTSIDE)

    @property
    def inside(self) -> tuple[Record, ...]:
        return tuple(r for r in self.records if r.at != OUTSIDE)

    def on(self, k: int) -> Window:
        """The settled end of a round."""
        return self.rounds[k][1] - SETTLED, self.rounds[k][1]

    def off(self, before: int) -> Window:
        """The settled end of the rest before a round; after the last one where there is no such round."""
        end = self.rounds[before][0] if before < len(self.rounds) else self.rounds[-1][1] + AFTER_LAST
        return end - SETTLED, end

    def pairs(self, record: Record) -> tuple[int, ...]:
        """Runs of which a sensor, and the one outside, have enough readings in the round and either side."""
        return tuple(
            k
            for k in range(len(self.rounds))
            if all(
                sensor.full(window) >= FEWEST
                for sensor in (record, self.outside)
                for window in (self.off(k), self.on(k), self.off(k + 1))
            )
        )
