"""The tree of `[tariff]` as nouns, and back."""

from __future__ import annotations

from typing import Any

from mistcalc.model.project import Adder, Tariff, Tariffs, Tier

Tree = dict[str, Any]
HOUSEHOLD = ("household_water", "household_power")
SERVICES = ("water", "sewer", "power")
_NOTHING = {"fixed": 0.0, "minimum": 0.0, "includes": 0.0, "tax": 0.0}  # as good as left out


def tariffs_from_tree(tree: Tree | None) -> Tariffs | None:
    if tree is None:
        return None
    services = {key: _tariff(tree[key]) for key in SERVICES}
    water, sewer, power = services.values()
    return Tariffs(tree["household_water"], tree["household_power"], water, sewer, power)


def _tariff(tree: Tree | None) -> Tariff | None:
    if tree is None:
        return None
    values = {key: value for key, value in tree.items() if value is not None}
    tiers = tuple(Tier(**tier) for tier in values.pop("tier"))
    return Tariff(tiers, adders=tuple(Adder(**adder) for adder in values.pop("adder")), **values)


def tariffs_to_tree(tariffs: Tariffs | None) -> Tree | None:
    if tariffs is None:
        return None
    services = {key: _tariff_tree(getattr(tariffs, key), key) for key in SERVICES}
    return {**{key: getattr(tariffs, key) for key in HOUSEHOLD}, **services}


def _tariff_tree(tariff: Tariff | None, service: str) -> Tree | None:
    if tariff is None:
        return None
    held = {key: getattr(tariff, key) for key in _NOTHING}
    stated = {key: None if value == _NOTHING[key] else value for key, value in held.items()}
    winter = tariff.winter if tariff.by == "winter average" else None  # else nothing reads it
    sewer = {"by": tariff.by, "winter": winter} if service == "sewer" else {}
    rows = {
        "tier": [{key: getattr(tier, key) for key in ("up_to", "price", "months")} for tier in tariff.tiers],
        "adder": [{key: getattr(add, key) for key in ("price", "months", "hours")} for add in tariff.adders],
    }
    return {**stated, **rows, **sewer}
