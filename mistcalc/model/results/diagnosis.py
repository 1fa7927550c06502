"""A call-back: what somebody read on a line that runs, and which cause it speaks for."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal, get_args

from mistcalc.model.fault_priors import SURE, Cause
from mistcalc.model.quantities import CubicMetrePerSecond, Pascal, Share
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.site_readings import ReadingName

Wet = Literal["nowhere", "drain", "elsewhere"]
Cycles = Literal["steady", "running", "idle"]  # the pump goes on and off: not, while it mists, or all shut
Drips = Literal["none", "few", "all"]  # nozzles that go on dripping after shut-off
# What is seen or heard, told by one of these words.
SEEN: dict[str, tuple[str, ...]] = {
    "wet": get_args(Wet),
    "cycles": get_args(Cycles),
    "drips": get_args(Drips),
}


@dataclass(frozen=True, slots=True)
class Readings:
    """What was read with one zone running; None where nobody looked. Every one of them is optional.

    gauge: at the pump's outlet, or at the start of a line on the mains. inlet: before the pump, or before
    the filter of a line on the mains. port: at the far end. near, far: one nozzle into a cup, the nozzle
    that stands under the most and the least pressure. creep: pump off, line on mains pressure below the
    nozzles' opening pressure, drain capped; what the meter still passes. weak: marks whose mist is clearly
    less than their neighbours' (() where all are alike). wet: where water is seen that should not be.
    cycles, drips: told by themselves, for none of the causes says how often they go with it.
    """

    gauge: Pascal | None = None
    meter: CubicMetrePerSecond | None = None
    inlet: Pascal | None = None
    near: CubicMetrePerSecond | None = None
    far: CubicMetrePerSecond | None = None
    port: Pascal | None = None
    creep: CubicMetrePerSecond | None = None
    weak: tuple[str, ...] | None = None
    wet: Wet | None = None
    cycles: Cycles | None = None
    drips: Drips | None = None
    zone: str = ""  # "": the largest


@dataclass(frozen=True, slots=True)
class CommissioningReadings:
    """What the gauges said on the day the line was handed over, all sound: it narrows what a sound line may
    be. Gauge and meter are wanted; the others are taken where they are there. near, far: the same two nozzles
    into a cup as in `Readings`; a later cup is then compared with the nozzle's own."""

    gauge: Pascal
    meter: CubicMetrePerSecond
    inlet: Pascal | None = None
    near: CubicMetrePerSecond | None = None
    far: CubicMetrePerSecond | None = None


@dataclass(frozen=True, slots=True)
class ServiceVisit:
    """One visit: when the last reading was taken, all of them, and the commissioning sheet there was."""

    when: datetime.datetime
    readings: Readings
    sheet: CommissioningReadings | None


@dataclass(frozen=True, slots=True)
class CauseShare:
    """How likely one cause is, and how large if it is that one.

    `extent` is (low, middle, high), 5, 50 and 95 % of what the readings leave open. It counts nozzles for
    "plugged", is the flow over a new nozzle's for "worn", "scaled" and "part-worn" (of the worn ones), the
    leak or drain in m3/s, the feed's bore in m, for "inlet" the share of its flow a pump still passes (or how
    many times its usual loss the main makes), for "pump" the share of what the nozzles take, and for
    "regulator" the supply's pressure over the stated one. () for "sound".
    """

    cause: Cause
    share: Share
    extent: tuple[float, float, float] | tuple[()]


@dataclass(frozen=True, slots=True)
class ExpectedReading:
    """What a sound line shows, and where to look for it. unit: "Pa" or "m3/s"."""

    name: ReadingName
    value: float
    deviation: float  # one standard deviation, spread of sound lines and error of the reading together
    unit: str
    at: str  # a mark or a node; "" where the name says it
    full_scale: float  # of the gauge; inf where there is none
    held: Pascal | None = None  # pressure at which the creep is read

    @property
    def sound(self) -> tuple[float, float]:
        """Between what nineteen sound lines of twenty show."""
        off = SURE * self.deviation
        return max(0.0, self.value - off), max(0.0, self.value + off)


@dataclass(frozen=True, slots=True)
class NextReading:
    name: ReadingName
    bits: float  # expected fall in the entropy of the causes
    at: str = ""


@dataclass(frozen=True, slots=True)
class IsolationStep:
    """Shut a part of the line off and read the creep again: what stops with it was in there."""

    valves: tuple[str, ...]  # pieces whose valve to shut: one, or two where water comes round a ring
    share: Share  # of the line's joints that are shut off with it


@dataclass(frozen=True, slots=True, repr=False)
class Diagnosis(ShortRepr):
    """All causes, likeliest first, and the smallest set of them that holds 90 %."""

    causes: tuple[CauseShare, ...]
    likely: tuple[Cause, ...]
    entropy: float  # bits left
    next: NextReading | None  # None: nothing that can be read tells 0.1 bit more
    taken: tuple[ReadingName, ...]
    cannot: tuple[
        ReadingName, ...
    ]  # what cannot be read on this line: no port was left, no check in the nozzles
    weak: tuple[str, ...]  # marks seen weak: where to look for plugs
    isolation: tuple[IsolationStep, ...]
    misfit: float  # deviations a reading by which the nearest of all draws is missed (root mean square)

    @property
    def apart(self) -> bool:
        """One cause holds 90 % by itself."""
        return len(self.likely) == 1
