"""What the parts of a job cost to buy, at the project's own prices."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.part import Part


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
