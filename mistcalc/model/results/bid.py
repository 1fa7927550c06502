"""Alternates of a job side by side: what each needs and costs."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.model.quantities import CubicMetrePerSecond, Metre, Pascal, Watt
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.first_cost import FirstCost


@dataclass(frozen=True, slots=True, repr=False)
class BidColumn(ShortRepr):
    """One of them. name "": the job as its file states it. changes: key path, what stands there instead."""

    name: str
    changes: tuple[tuple[str, str], ...]
    marks: int
    stops: int  # holes that must not be drilled as they lie
    spacing: tuple[Metre, Metre] | None  # least and greatest from mark to mark; None: no two marks
    nozzle_flow: CubicMetrePerSecond  # of all that run together
    pump_flow: CubicMetrePerSecond | None  # None: on the mains
    working: Pascal
    motor: Watt | None
    far_gauge: Pascal
    tube: Metre
    cost: FirstCost
    verdict: str  # on line and pump, a word of `LineVerdict`
