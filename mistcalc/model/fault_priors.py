"""What a call-back is judged by before anything is read: what readings miss by, which causes are likely."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, get_args

from mistcalc.model.quantities import CubicMetrePerSecond, Pascal, Share
from mistcalc.model.reprs import ShortRepr
from mistcalc.units import parse

Cause = Literal[  # a new one goes last: the draws of each hang on its place
    "sound",  # nothing wrong
    "plugged",  # some nozzles shut or half shut
    "worn",  # all nozzles pass more than new ones
    "part-worn",  # some do
    "leak",
    "feed",  # wrong bore in the feed
    "inlet",  # filter clogged, or too little pressure before the pump
    "regulator",  # set, or stuck, too low or too high
    "drain",  # drain valve open
    "scaled",  # all nozzles pass less than new ones: mineral that hard water leaves in them
    "pump",  # worn: it passes less than the nozzles take, with enough pressure before it
]
CAUSES: tuple[Cause, ...] = get_args(Cause)

MOST_PLUGGED = 8  # nozzles that are tried plugged at once
_ML_A_MINUTE = parse("1 mL/min", "flow")
SURE = 2.0  # standard deviations: nineteen sound lines of twenty lie within


@dataclass(frozen=True, slots=True)
class ReadingErrors:
    """One standard deviation of what a reading misses by. Judgement, except where a source is named.

    line_scale, inlet_scale: full scale of the gauges at hand, on line and port and before the pump. None: the
    smallest usual one that suits.
    """

    line_scale: Pascal | None = None
    inlet_scale: Pascal | None = None
    gauge: Share = 0.01  # of full scale; ASME B40.100 grade B allows 2 % in the middle of the scale
    meter: Share = 0.015  # of the flow; AWWA C700 allows 1.5 % at normal flows
    meter_least: CubicMetrePerSecond = 5 * _ML_A_MINUTE  # a second or two by the watch
    cup: Share = 0.02  # of the flow: a minute by the watch into a measuring cup
    cup_least: CubicMetrePerSecond = _ML_A_MINUTE
    creep: CubicMetrePerSecond = 20 * _ML_A_MINUTE  # about where a small house meter starts to turn
    weak_seen: Share = 0.95  # of shut nozzles are noticed,
    weak_seen_part: Share = 0.6  # of half shut ones,
    weak_imagined: Share = 0.01  # and of sound ones are taken for weak
    # chances of seeing water nowhere, at the drain's outlet, or elsewhere
    wet_leak: tuple[Share, Share, Share] = (0.55, 0.02, 0.43)  # most leaks behind plaster take days to show
    wet_drain: tuple[Share, Share, Share] = (0.25, 0.70, 0.05)
    wet_else: tuple[Share, Share, Share] = (0.97, 0.01, 0.02)


@dataclass(frozen=True, slots=True, repr=False)
class FaultPriors(ShortRepr):
    """What is thought likely before any reading: it makes the table. Judgement; editable.

    Ranges are of uniform draws (`leak` and `mains_loss` of their logarithm). The `spread`s are the standard
    deviation of the logarithm of a sound line's mean nozzle coefficient, bore, pump flow and supply pressure.
    """

    odds: tuple[float, ...] = (1.0,) * len(CAUSES)  # of each of CAUSES
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
    scaled: tuple[Share, Share] = (0.08, 0.50)  # less flow, in the middle of all nozzles;
    scaled_uneven: Share = 0.3  # of it, by which the least and the most closed ones stray from that
    worn_pump: tuple[Share, Share] = (0.30, 0.95)  # of what sound nozzles take, a worn one passes
    spread: tuple[float, float, float, float] = (0.06, 0.02, 0.08, 0.10)  # nobody wrote a sheet
    spread_sheet: tuple[float, float, float, float] = (0.02, 0.01, 0.03, 0.03)
    between_nozzles: float = 0.03
    # Nobody measures how uneven a batch is: standard deviation of the logarithm of `between_nozzles` itself.
    # ASABE EP405 (from memory) calls drip emitters up to 5 % excellent, to 7 % average.
    between_batches: float = 0.4


@dataclass(frozen=True, slots=True, repr=False)
class DiagnosisAssumptions(ShortRepr):
    """What a call-back is judged by: the gauges at hand, and what is thought likely before any reading."""

    errors: ReadingErrors = field(default_factory=ReadingErrors)
    judgement: FaultPriors = field(default_factory=FaultPriors)
