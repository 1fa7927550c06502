"""A line shut in: the test by gauge before it is covered, and the watch while plaster goes on."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.model.quantities import CubicMetrePerSecond, Kelvin, Pascal, Share
from mistcalc.model.reprs import ShortRepr

PressureTestOutcome = Literal["leak", "again", "holds", "temperature", "unsure"]
PressureTestKind = Literal["test", "watch"]


@dataclass(frozen=True, slots=True)
class GaugeReading:
    """Gauge [Pa] and temperatures [K] read together; numbers, or arrays of one shape for many holds."""

    gauge: ArrayLike
    tube: ArrayLike
    vessel: ArrayLike = 293.15  # of no matter where there is no vessel


@dataclass(frozen=True, slots=True)
class PressureTest:
    """One hold, from the moment it was shut in to the last reading."""

    kind: PressureTestKind
    start: GaugeReading
    end: GaugeReading
    seconds: float
    number: int = 1  # which of a series, pumped up again in between
    before: float = 0.0  # seconds held earlier in the series
    gas: float | None = None  # m3 of the vessel at the start's gauge, where it was tried; None: as planned
    place: str = ""  # what was held: "" is the whole line


@dataclass(frozen=True, slots=True)
class MissingReading:
    """What a log leaves out, so that a hold cannot be told: start, gauge, temperature, before draw, draw; or
    early, a gauge that is from no later than the first start."""

    kind: PressureTestKind
    place: str
    missing: str
    when: datetime.datetime


@dataclass(frozen=True, slots=True)
class GaugeReadingErrors:
    """One standard deviation of the difference of two readings. Judgement: change it if you know better."""

    gauge: Pascal
    thermometer: Kelvin
    spot: Share  # of the change: one spot against the whole tube
    gas: Share = 0.0  # of the vessel's gas, at worst
    deviations: float = 2.5  # so many are allowed for


@dataclass(frozen=True, slots=True)
class PressureBounds:
    """What readings of a hold could mean at worst. Pa and m3, arrays of one shape or numbers."""

    expected: np.ndarray  # gauge with nothing lost, air and temperatures as likely
    low: np.ndarray  # least gauge with nothing lost and no air dissolved
    low_dissolved: np.ndarray  # and with all trapped air dissolved
    low_again: np.ndarray  # and with as much dissolved as can be in this hold of a series
    near: float  # so far may a gauge be off
    fall: np.ndarray  # of the gauge, start to end
    read: np.ndarray  # gauge at the end
    lost: np.ndarray  # water lost, as likely
    lost_most: np.ndarray


@dataclass(frozen=True, slots=True, repr=False)
class PressureTestVerdict(ShortRepr):
    """The answer to one hold, with the numbers behind it."""

    kind: PressureTestKind
    answer: PressureTestOutcome
    number: int  # which hold of a series
    place: str
    seconds: float
    gauge_start: Pascal
    gauge_end: Pascal
    warming: Kelvin  # of the tube
    expected: Pascal  # gauge with nothing lost
    stop_below: Pascal  # below it no sound line stands, trapped air dissolving apart
    leak_below: Pascal  # nor with all of it dissolved
    begun: bool  # False: a watch that has not stood equal on two dawns yet
    lost: float  # m3, as likely
    lost_most: float  # m3
    limit: float  # m3


@dataclass(frozen=True, slots=True)
class PressureTestStep:
    """One cell of the test's table. Gauges are good for a start within half a step of `start`."""

    start: Kelvin  # tube, when it was shut in
    warming: Kelvin  # of the tube since
    again_below: Pascal  # pump up and hold again
    leak_below: Pascal  # a leak, whatever air there was


@dataclass(frozen=True, slots=True)
class WatchStep:
    """One cell of the watch's table. `again_below` and `stop_below` are good for a start within 10 degF of
    the plan's."""

    tube: Kelvin  # warmer than at the start by so much
    vessel: Kelvin
    expected: Pascal
    again_below: Pascal  # air going into the water, or a leak: pump up again
    stop_below: Pascal  # a leak, whatever air was left when the watch began


@dataclass(frozen=True, slots=True, repr=False)
class WorkingPressureTest(ShortRepr):
    """The test by gauge: water pumped up to working pressure, shut in, read for a quarter of an hour."""

    gauge: Pascal
    temperature: Kelvin  # of the tube, for the slopes below
    seconds: tuple[float, ...]  # when to read
    volume: float  # m3 of water in the line
    air_most: float  # m3 at 1 atm: as much may be trapped
    per_volume: tuple[float, float]  # Pa/m3, first millilitre lost: no air, most air
    per_kelvin: tuple[float, float]  # Pa/K, warming by 1 degF: no air, most air
    leak_limit: CubicMetrePerSecond
    sees: CubicMetrePerSecond  # the least leak that shows, tube as warm as at the start
    steps: tuple[PressureTestStep, ...]  # by 10 degF of start and 2 degF of warming
    steps_metric: tuple[PressureTestStep, ...]  # by 5 K and 1 K
    errors: GaugeReadingErrors

    @property
    def tells_leaks(self) -> bool:
        """Whether any number is a leak for certain: on the mains all trapped air may dissolve."""
        return any(step.leak_below > 0.0 for step in (*self.steps, *self.steps_metric))


@dataclass(frozen=True, slots=True)
class FrostHours:
    """Hours of the climate file's year in which a full line would freeze. No date stated: None."""

    below: Kelvin
    first: datetime.date | None  # first test: from now on the line is full
    soon: datetime.date | None  # the finish coat at the earliest
    late: datetime.date | None  # and at the latest, the cure before paint counted in
    hours_soon: int | None  # from `first` to `soon`
    hours_late: int | None  # from `first` to `late`
    months: tuple[int, ...]  # January to December


@dataclass(frozen=True, slots=True, repr=False)
class LowPressureWatch(ShortRepr):
    """The watch: low pressure on a cushion of gas behind a bladder, read daily until the plaster is on."""

    gauge: Pascal
    temperature: Kelvin  # of tube and vessel at the start
    gas: float  # m3 of gas in the vessel at `gauge`
    air_most: float  # m3 at 1 atm: so much may still be trapped when it starts
    per_kelvin: tuple[float, float]  # Pa/K over 10 degF: vessel as warm as the tube, vessel unchanged
    per_volume: float  # Pa/m3, over `draw`
    draw: float  # m3, drawn into a cup to try the vessel
    draw_fall: Pascal  # so much the gauge must fall then
    draw_room: Pascal  # give or take
    limit: float  # m3 lost before it is called
    sees: float  # m3: the least loss that shows with tube and vessel as warm as at the start
    leak_below: Pascal  # before it began, as warm as at the start: a leak, whatever air was trapped
    steps: tuple[WatchStep, ...]  # by 10 degF
    steps_metric: tuple[WatchStep, ...]  # by 5 K
    gauge_most: Pascal  # at the warmest step
    errors: GaugeReadingErrors

    @property
    def same(self) -> WatchStep:
        """Tube and vessel as warm as at the start."""
        return min(self.steps, key=lambda step: abs(step.tube) + abs(step.vessel))


@dataclass(frozen=True, slots=True, repr=False)
class PressureTestPlan(ShortRepr):
    """Test and watch of one line; no watch where nothing is plastered."""

    test: WorkingPressureTest
    watch: LowPressureWatch | None
    frost: FrostHours | None  # None without a watch or a climate file
    allowed: bool = True  # the weakest of tube and joints stands the pressure of the test
