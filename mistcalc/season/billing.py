"""What a year of mist costs: the bills of the house with it less those without, by month and draw.

A bill is worked out as utilities print theirs, but not rounded: cents are a matter of whoever shows them.
"""

from __future__ import annotations

import numpy as np

from mistcalc.model.project import Prices, Tariff, Tariffs, Tier
from mistcalc.model.results import HourlyUse, SeasonMoney

MONTHS = np.arange(12)


def season_money(
    runs: np.ndarray, hourly: HourlyUse, prices: Prices, tariffs: Tariffs | None
) -> SeasonMoney | None:
    """None where neither a price nor a tariff is stated of anything the mist takes. runs: hours, [draw,
    month, hour of the day]."""
    known = tariffs or Tariffs()
    water = runs * hourly.water
    power = None if hourly.energy is None else runs * hourly.energy
    asked = {
        "water": (known.water or _flat(prices.water), known.household_water, water),
        "sewer": (known.sewer, known.household_water, water),
        "power": (known.power or _flat(prices.electricity), known.household_power, power),
    }
    parts = {
        name: added_cost(tariff, household, taken)
        for name, (tariff, household, taken) in asked.items()
        if tariff is not None and taken is not None
    }
    return SeasonMoney(prices.currency, parts) if parts else None


def added_cost(tariff: Tariff, household: tuple[float, ...] | None, taken: np.ndarray) -> np.ndarray:
    """What `taken` [draw, month, hour of the day] adds to the bills of a house that uses `household` in each
    month without it, [draw, month]."""
    own = np.zeros(12) if household is None else np.array(household)
    none = np.zeros((12, 24))
    return bills(tariff, own + taken.sum(axis=-1), taken) - bills(tariff, own, none)


def bills(tariff: Tariff, use: np.ndarray, timed: np.ndarray | None = None) -> np.ndarray:
    """Twelve months' bills, [..., month]. use: of each month. timed: what of it is known by the hour,
    [..., month, hour of the day]: what is added in some hours only comes on that alone."""
    billed = use
    if tariff.by == "winter average":
        winter = in_months(tariff.winter)
        billed = np.broadcast_to(use[..., winter].mean(axis=-1, keepdims=True), use.shape)
    charge = _tier_charges(tariff, billed)
    charge = charge + tariff.minimum if tariff.includes else np.maximum(charge, tariff.minimum)
    for adder in tariff.adders:
        counted = billed
        if adder.hours is not None:
            first, last = adder.hours
            clock = (np.arange(24) + 0.5 - first) % 24 < ((last - first) % 24 or 24)
            counted = np.zeros(12) if timed is None else timed[..., clock].sum(axis=-1)
        charge = charge + adder.price * np.where(in_months(adder.months), counted, 0.0)
    return (charge + tariff.fixed) * (1.0 + tariff.tax)


def tier_shares(tariff: Tariff, use: np.ndarray) -> list[tuple[Tier, np.ndarray]]:
    """How much of each month's use, beyond what the minimum includes, falls into each tier, [..., month]."""
    shares, reached = [], np.full(12, tariff.includes)
    for tier in tariff.tiers:
        held = in_months(tier.months)
        top = np.inf if tier.up_to is None else max(tier.up_to, tariff.includes)
        within = np.where(held, np.clip(use - reached, 0.0, top - np.minimum(reached, top)), 0.0)
        shares.append((tier, within))
        reached = np.where(held, np.maximum(reached, top), reached)
    return shares


def in_months(months: tuple[int, int] | None) -> np.ndarray:
    """Which of the twelve months lie from the first to the last (from 1), [month]."""
    if months is None:
        return np.ones(12, dtype=bool)
    return np.asarray((MONTHS + 1 - months[0]) % 12 <= (months[1] - months[0]) % 12)


def _tier_charges(tariff: Tariff, use: np.ndarray) -> np.ndarray:
    charge = np.zeros(use.shape)
    for tier, within in tier_shares(tariff, use):
        charge = charge + tier.price * within
    return charge


def _flat(price: float | None) -> Tariff | None:
    return None if price is None else Tariff((Tier(price),))
