"""What water and power cost, as a utility bills them. Prices are in the project's currency."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from mistcalc.model.quantities import Share

MonthlyCharge = Annotated[float, "currency a month"]
UnitPrice = Annotated[float, "currency/m3 or currency/J"]
Amount = Annotated[float, "m3 or J"]  # in a month


@dataclass(frozen=True, slots=True)
class Tier:
    """A block of a month's use at one price. It begins where the one before it ends."""

    price: UnitPrice
    up_to: Amount | None = None  # None: all above
    months: tuple[int, int] | None = None  # first and last; None: all year


@dataclass(frozen=True, slots=True)
class Adder:
    """A price on every unit, whatever tier it falls in."""

    price: UnitPrice
    months: tuple[int, int] | None = None
    hours: tuple[float, float] | None = None  # of the day by the clock on the wall


@dataclass(frozen=True, slots=True)
class Tariff:
    tiers: tuple[Tier, ...]
    fixed: MonthlyCharge = 0.0
    minimum: MonthlyCharge = 0.0  # with `includes` what that much costs; without, the least that use costs
    includes: Amount = 0.0
    adders: tuple[Adder, ...] = ()
    tax: Share = 0.0  # on all of it
    # Of sewer: billed by each month's use of water, or all year by the mean of the months `winter`.
    by: Literal["use", "winter average"] = "use"
    winter: tuple[int, int] = (1, 3)


@dataclass(frozen=True, slots=True)
class Tariffs:
    """None: such a tariff is not stated."""

    household_water: tuple[float, ...] | None = None  # m3 the house itself uses in each of twelve months
    household_power: tuple[float, ...] | None = None  # J
    water: Tariff | None = None
    sewer: Tariff | None = None
    power: Tariff | None = None
