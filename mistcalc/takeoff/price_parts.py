"""The materials list at the prices a project states: whole packs, cents half up, three totals."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

from mistcalc.model.parts import REACHED, ROUGH_IN, price_name
from mistcalc.model.project import PartPrice, Prices, Tube
from mistcalc.model.results import CostTotal, FirstCost, Part, PricedPart

CENT = Decimal("0.01")
FINE = Decimal("0.0001")  # of the price of one: pieces may cost less than a cent
BINARY_DIGITS = 9  # decimals of a price kept from SI: what lies beyond is left over from conversion
AS_LARGE = 1e-6  # m: tube is of a size


def first_cost(parts: Sequence[Part], prices: Prices, tube: Tube) -> FirstCost:
    """Every part as it is bought. tube: the line's, which `prices.tube` is the price of."""
    rows = open_packs([_unopened(part, prices, tube) for part in parts])
    now, later = ([row for row in rows if row.rough_in is wanted] for wanted in (True, False))
    return FirstCost(prices.currency, tuple(rows), _sum(now), _sum(later), _sum(rows))


def _unopened(part: Part, prices: Prices, tube: Tube) -> PricedPart:
    """A part with its pack and its price, before any is bought."""
    row = _row_for(part, prices.parts)
    pack = (row.pack if row is not None else None) or 1
    return PricedPart(part, _at_rough_in(part), pack, 0, _price(part, row, prices, tube), None)


def open_packs(rows: Sequence[PricedPart]) -> tuple[PricedPart, ...]:
    """The rows with the packs to buy for their quantities, and what those come to; a row takes first what
    packs of the same kind, bought for an earlier one, have left."""
    spare: dict[tuple[object, ...], float] = {}
    opened = []
    for row in rows:
        detail = dict(row.part.detail)
        name = price_name(row.part.name, detail.get("fitting"))
        kind = (name, row.pack, row.price, detail.get("outside"), detail.get("nozzle"))
        needed = max(row.part.quantity - spare.get(kind, 0.0), 0.0)
        buy = math.ceil(needed / row.pack - 1e-9)
        spare[kind] = spare.get(kind, 0.0) + buy * row.pack - row.part.quantity
        total = None if row.price is None else (buy * row.price).quantize(CENT, ROUND_HALF_UP)
        opened.append(replace(row, buy=buy, total=total))
    return tuple(opened)


def _row_for(part: Part, stated: Sequence[PartPrice]) -> PartPrice | None:
    """The price stated for a part: of its own size of tube, else of any."""
    detail = dict(part.detail)
    name, outside = price_name(part.name, detail.get("fitting")), detail.get("outside")
    rows = [row for row in stated if row.name == name]
    sized = (row for row in rows if row.outside is not None and _as_large(row.outside, outside))
    return next(sized, next((row for row in rows if row.outside is None), None))


def _as_large(stated: float, outside: object) -> bool:
    return isinstance(outside, float) and abs(stated - outside) < AS_LARGE


def _price(part: Part, row: PartPrice | None, prices: Prices, tube: Tube) -> Decimal | None:
    """Of a pack: its own price, else that of the line's tube by its length or of any nozzle."""
    if row is not None and row.price is not None:
        return _decimal(row.price)
    pack = (row.pack if row is not None else None) or 1
    detail = dict(part.detail)
    is_line_tube = all(detail.get(name) == getattr(tube, name) for name in ("material", "outside", "wall"))
    if part.name in ("tube", "coil") and prices.tube is not None and is_line_tube:
        return _decimal(prices.tube * float(str(detail["stick"])) * pack)
    if price_name(part.name) == "nozzle" and prices.nozzle is not None:
        return _decimal(prices.nozzle * pack)
    return None


def _decimal(price: float) -> Decimal:
    """A price as people write it: 4.20 a foot comes back from SI as 4.2 to the last binary digit."""
    fine = Decimal(str(round(price, BINARY_DIGITS))).quantize(FINE, ROUND_HALF_UP)
    cents = fine.quantize(CENT, ROUND_HALF_UP)
    return cents if cents == fine else fine


def _at_rough_in(part: Part) -> bool:
    return part.name in ROUGH_IN and dict(part.detail).get("fitting") not in REACHED


def _sum(rows: Iterable[PricedPart]) -> CostTotal:
    totals = [row.total for row in rows]
    known = [total for total in totals if total is not None]
    return CostTotal(sum(known, Decimal("0.00")), len(known), len(totals) - len(known))
