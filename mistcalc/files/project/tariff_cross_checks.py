"""Tiers of a tariff that cannot be billed by, and what a house uses where the file does not say."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from mistcalc import units
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.project.value_reader import MONTHS
from mistcalc.files.text.toml_positions import Path

# 300 gal a day and household: EPA WaterSense, read on utilities' pages; of its 30 % outdoors nothing is taken
# off. 877 kWh a month: mean of homes in the United States in 2019 (EIA, Today in Energy, 15 December 2020).
HOUSEHOLD = {
    "household_water": (("water", "sewer"), "9000 gal", "volume"),
    "household_power": (("power",), "877 kWh", "energy"),
}
PRICE_OF = {"water": "water", "power": "electricity"}  # tariff: the price that stands for it


def fill_household_use(walk: SchemaReader, tariff: dict[str, Any] | None) -> None:
    """What the house itself uses hangs on a tariff being there: nothing else reads it."""
    if tariff is None:
        return
    for key, (services, text, kind) in HOUSEHOLD.items():
        if any(tariff[name] for name in services) and not walk.states(("tariff", key)):
            tariff[key] = (units.parse(text, kind),) * 12
            walk.assume(("tariff", key))


def compare_tariffs(walk: SchemaReader, values: dict[str, Any]) -> None:
    """Note tiers out of order, without end or without price, and a price told twice."""
    tariffs, prices = values["tariff"], values["prices"]
    for name in ("water", "sewer", "power") if tariffs else ():
        tariff = tariffs[name]
        if not tariff:
            continue
        price = PRICE_OF.get(name)
        if price and prices and prices[price] is not None:
            walk.wrong("tariff-and-price", ("prices", price), key=price, tariff=f"[tariff.{name}]")
        told: set[tuple[str, int]] = set()
        for month in range(1, 13):
            _month(walk, tariff["tier"], ("tariff", name, "tier"), month, told)
        if tariff.get("by") == "use" and walk.states(("tariff", name, "winter")):
            walk.wrong("winter-unread", ("tariff", name, "winter"))
        if tariff["includes"] and not tariff["minimum"]:
            walk.wrong("tariff-includes", ("tariff", name, "includes"))


def _month(
    walk: SchemaReader, tiers: list[dict[str, Any]], path: Path, month: int, told: set[tuple[str, int]]
) -> None:
    """The tiers of one month; each mistake once a year."""
    held = [(n, tier) for n, tier in enumerate(tiers) if in_months(tier["months"], month)]
    if not tiers or any(walk.states((*path, n, "up_to")) and tier["up_to"] is None for n, tier in held):
        return  # told already
    kind = "energy" if path[1] == "power" else "volume"

    def wrong(code: str, n: int, **more: Any) -> None:
        if (code, n) not in told:
            told.add((code, n))
            walk.wrong(code, (*path, n), month=MONTHS[month - 1], **more)

    if not held:
        wrong("tier-none", 0)
        return
    for (_, before), (n, tier) in pairwise(held):
        if before["up_to"] is None:
            wrong("tier-after-last", n)
        elif tier["up_to"] is not None and tier["up_to"] <= before["up_to"]:
            ends = (units.show(end, kind, walk.system) for end in (tier["up_to"], before["up_to"]))
            wrong("tier-order", n, **dict(zip(("text", "before"), ends, strict=True)))
    last, tier = held[-1]
    if tier["up_to"] is not None and not any(one["up_to"] is None for _, one in held):
        wrong("tier-no-last", last, text=units.show(tier["up_to"], kind, walk.system))


def in_months(months: tuple[int, int] | None, month: int) -> bool:
    """Whether a month, from 1, lies from the first to the last; they may go over the new year."""
    return months is None or (month - months[0]) % 12 <= (months[1] - months[0]) % 12
