"""What a measuring day says: measured drops, and this patio's ranges told again with them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.model.quantities import Kelvin, Share

Band = tuple[Kelvin, Kelvin, Kelvin]


@dataclass(frozen=True)
class MeasuredCooling:
    """What one sensor says of its seat, and the numbers by which a wet one gives itself away."""

    seat: str
    pairs: tuple[Kelvin, ...]  # (outside, on less off) less (inside, on less off), round by round
    drop: Kelvin  # their mean
    error: Kelvin  # standard error of it
    above_wet_bulb: Kelvin  # least of the rounds: reading less the outdoor wet bulb; below 0 cannot be
    depression: Kelvin  # of the air outside, mean: how far apart air and wet bulb are
    left_after: Share | None  # of the drop, ten minutes after the mist stopped; None: too small to say
    humidity: Share | None  # what the sensor itself reads with the mist on; None: it reads none
    humidity_by_temperature: Share  # what it would read in air as cool as it says, cooled by mist
    looked: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sensors:
    """A measuring day's sensors judged: a dry one a seat, and those left out, each with the signs that it is
    wet, damp or misplaced."""

    dry: tuple[MeasuredCooling, ...]
    left_out: tuple[tuple[MeasuredCooling, tuple[str, ...]], ...]


@dataclass(frozen=True)
class UpdatedRange:
    """One range before and after a measuring day, 10, 50 and 90 %."""

    afternoon: str  # or "day": the measured day's own air and wind
    seat: str  # "": the mean of the seats
    before: Band
    after: Band


@dataclass(frozen=True, eq=False)
class CalibratedRanges:
    """The draws weighted by how well each agrees with what was measured."""

    weights: np.ndarray  # [draw], sum 1
    effective: float  # how many equal draws the weighted ones are worth
    fit: Share  # chance of readings as far from the nearest draw as these, were that draw the truth
    told: tuple[UpdatedRange, ...]

    def on_the_day(self, seat: str) -> UpdatedRange:
        return next(span for span in self.told if (span.afternoon, span.seat) == ("day", seat))
