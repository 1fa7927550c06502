"""A call-back: what somebody read on a line that runs, and which cause it speaks for."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal

from mistcalc.model.project import CubicMetrePerSecond, Pascal, Share

Cause = Literal["sound", "plugged", "worn", "part-worn", "leak", "feed", "inlet", "regulator", "drain"]
ReadingName = Literal["weak", "wet", "gauge", "meter", "inlet", "near", "far", "port", "creep"]
Wet = Literal["nowhere", "drain", "elsewhere"]

CAUSES: tuple[Cause, ...] = (
    "sound",  # nothing wrong
    "plugged",  # some nozzles shut or half shut
    "worn",  # all nozzles pass more than new ones
    "part-worn",  # some do
    "leak",
    "feed",  # wrong bore in the feed
    "inlet",  # filter clogged, or too little pressure before the pump
    "regulator",  # set, or stuck, too low or too high
    "drain",  # drain valve open
)
# The easiest to take first: of two that tell as much, the easier is asked for.
READINGS: tuple[ReadingName, ...] = (
    "weak",
    "wet",
    "gauge",
    "meter",
    "inlet",
    "near",
    "far",
    "port",
    "creep",
)


@dataclass(frozen=True, slots=True)
class Readings:
    """What was read with one zone running; None where nobody looked. Every one of them is optional.

    gauge: at the pump's outlet, or at the start of a line on the mains. inlet: before the pump, or before
    the filter of a line on the mains. port: at the far end. near, far: one nozzle into a cup, the nozzle
    that stands under the most and the least pressure. creep: pump off, line on mains pressure below the
    nozzles' opening pressure, drain capped; what the meter still passes. weak: marks whose mist is clearly
    less than their neighbours' (() where all are alike). wet: where water is seen that should not be.
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
    zone: str = ""  # "": the largest


@dataclass(frozen=True, slots=True)
class Sheet:
    """What the gauges said on the day the line was handed over, all sound: it narrows what a sound line may
    be. Gauge and meter are wanted; the others are taken where they are there. near, far: the same two nozzles
    into a cup as in `Readings`; a later cup is then compared with the nozzle's own."""

    gauge: Pascal
    meter: CubicMetrePerSecond
    inlet: Pascal | None = None
    near: CubicMetrePerSecond | None = None
    far: CubicMetrePerSecond | None = None


@dataclass(frozen=True, slots=True)
class CallBack:
    """One visit: when the last reading was taken, all of them, and the commissioning sheet there was."""

    when: datetime.datetime
    readings: Readings
    sheet: Sheet | None


@dataclass(frozen=True, slots=True)
class ReadingErrors:
    """One standard deviation of what a reading misses by. Judgement, except where a source is named."""

    gauge: Share = 0.01  # of full scale; ASME B40.100 grade B allows 2 % in the middle of the scale
    meter: Share = 0.015  # of the flow; AWWA C700 allows 1.5 % at normal flows
    meter_least: CubicMetrePerSecond = 5e-6 / 60  # 5 mL/min: a second or two by the watch
    cup: Share = 0.02  # of the flow: a minute by the watch into a measuring cup
    cup_least: CubicMetrePerSecond = 1e-6 / 60  # 1 mL/min
    creep: CubicMetrePerSecond = 20e-6 / 60  # 20 mL/min, about where a small house meter starts to turn
    weak_seen: Share = 0.95  # of shut nozzles are noticed,
    weak_seen_part: Share = 0.6  # of half shut ones,
    weak_imagined: Share = 0.01  # and of sound ones are taken for weak
    # chances of seeing water nowhere, at the drain's outlet, or elsewhere
    wet_leak: tuple[Share, Share, Share] = (0.55, 0.02, 0.43)  # most leaks behind plaster take days to show
    wet_drain: tuple[Share, Share, Share] = (0.25, 0.70, 0.05)
    wet_else: tuple[Share, Share, Share] = (0.97, 0.01, 0.02)


@dataclass(frozen=True, slots=True)
class Judgement:
    """What is thought likely before any reading: it makes the table. Judgement; editable.

    Ranges are of uniform draws (`leak` and `mains_loss` of their logarithm). The `spread`s are the standard
    deviation of the logarithm of a sound line's mean nozzle coefficient, bore, pump flow and supply pressure.
    """

    odds: tuple[float, ...] = (1.0,) * len(CAUSES)  # of each of CAUSES
    plugged_most: int = 8
    plugged_shut: Share = 0.7  # of plugged nozzles are shut,
    plugged_left: tuple[Share, Share] = (0.2, 0.7)  # the others pass so much
    worn: tuple[float, float] = (0.05, 0.40)  # more flow
    part_worn: tuple[Share, Share] = (0.1, 0.5)  # of all nozzles,
    part_worn_by: tuple[float, float] = (0.10, 0.60)
    leak: tuple[float, float] = (0.01, 0.20)  # of design flow
    feed: tuple[Share, Share] = (0.45, 0.75)  # of the stated bore
    starved: tuple[Share, Share] = (0.30, 0.95)  # of its flow a starved pump passes,
    starved_inlet: tuple[Pascal, Pascal] = (0.0, 1.2e5)  # with so much before it
    mains_loss: tuple[float, float] = (5.0, 200.0)  # times the main's own, on a line without a pump
    regulator_low: tuple[float, float] = (-0.36, -0.06)
    regulator_high: tuple[float, float] = (0.04, 0.22)
    drain: tuple[float, float] = (0.15, 1.50)  # of design flow
    spread: tuple[float, float, float, float] = (0.06, 0.02, 0.08, 0.10)  # nobody wrote a sheet
    spread_sheet: tuple[float, float, float, float] = (0.02, 0.01, 0.03, 0.03)
    between_nozzles: float = 0.03
    # Nobody measures how uneven a batch is: standard deviation of the logarithm of `between_nozzles` itself.
    # ASABE EP405 (from memory) calls drip emitters up to 5 % excellent, to 7 % average.
    between_batches: float = 0.4


@dataclass(frozen=True, slots=True)
class CauseShare:
    """How likely one cause is, and how large if it is that one.

    `extent` is (low, middle, high), 5, 50 and 95 % of what the readings leave open. It counts nozzles for
    "plugged", is the flow over a new nozzle's for "worn" and "part-worn" (of the worn ones), the leak or
    drain in m3/s, the feed's bore in m, the share of its flow a pump still passes (or how many times its
    usual loss the main makes), and the supply's pressure over the stated one for "regulator". () for "sound".
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


@dataclass(frozen=True, slots=True)
class NextReading:
    name: ReadingName
    bits: float  # expected fall in the entropy of the nine causes
    at: str = ""


@dataclass(frozen=True, slots=True)
class IsolationStep:
    """Shut one section off and read the creep again: what stops with it was in there or beyond."""

    section: str  # a run, or a piece by its two ends
    at: tuple[str, ...]  # where to close it: one end, or both where water comes round a ring
    share: Share  # of the line's joints that are shut off with it


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """Nine causes, likeliest first, and the smallest set of them that holds 90 %."""

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
    draws: int  # a cause

    @property
    def apart(self) -> bool:
        """One cause holds 90 % by itself."""
        return len(self.likely) == 1
