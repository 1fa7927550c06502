"""The parts of a job and what they cost to buy, at the project's own prices; its alternates side by side."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from mistcalc.model.quantities import CubicMetrePerSecond, Metre, Pascal, Watt
from mistcalc.model.reprs import ShortRepr


@dataclass(frozen=True, slots=True)
class Part:
    """One row of the materials list."""

    name: str  # of `model.parts`, and key into words
    quantity: float
    unit: str  # "" for pieces, else SI
    detail: tuple[tuple[str, object], ...] = ()


@dataclass(frozen=True, slots=True, repr=False)
class PricedPart(ShortRepr):
    """A row of the materials list as it is bought: whole packs of `pack` pieces."""

    part: Part
    rough_in: bool  # it goes in before the ceiling is closed; else it may be bought later
    pack: int
    buy: int  # packs; 0 where earlier rows' packs hold enough
    price: Decimal | None  # of a pack; None: no price is stated
    total: Decimal | None


@dataclass(frozen=True, slots=True)
class CostTotal:
    """Sum of the rows that have a price. unpriced: how many rows it leaves out."""

    total: Decimal
    priced: int
    unpriced: int


@dataclass(frozen=True, slots=True, repr=False)
class FirstCost(ShortRepr):
    """Materials alone: no labor, tax or delivery. `complete` is `rough_in` and `later` together."""

    currency: str
    parts: tuple[PricedPart, ...]
    rough_in: CostTotal  # what goes in before the ceiling is closed, and nothing else
    later: CostTotal  # what is still to be bought once that is in
    complete: CostTotal


@dataclass(frozen=True, slots=True, repr=False)
class BidColumn(ShortRepr):
    """An alternate. name "": the job as its file states it. changes: key path, what stands there instead."""

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
