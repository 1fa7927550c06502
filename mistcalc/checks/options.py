"""Whether one way to build a line keeps the hard rules, and what the owner asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from mistcalc.model.results import BesideIt, BuildOption, Finding, Wishes

LEEWAY = 1e-9  # of a limit: rounding
FELT = 0.2  # K: what a screen changes by less, in the middle, nobody feels; judgement
IN_SUN = 0.01  # of the people seated; judgement


def of_plan_and_line(
    option: BuildOption, wishes: Wishes, of_lid: Iterable[Finding], of_line: Iterable[Finding]
) -> BuildOption:
    """With what it breaks of BREAKS before its air is known. of_lid, of_line: what was found of it; only
    what fails counts."""
    over = {
        "lid": any(finding.level == "fail" for finding in of_lid),
        "line": any(finding.level == "fail" for finding in of_line),
        "water": _over(option.water, wishes.water),
        "motor": _over(option.motor, wishes.motor),
        "cost": option.cost is not None and _over(float(option.cost.total), wishes.cost),
    }
    return replace(option, breaks=tuple(name for name, broken in over.items() if broken))


def of_air(option: BuildOption, wishes: Wishes) -> BuildOption:
    """With the floor among what it breaks, where its air leaves more there than asked."""
    return (
        replace(option, breaks=(*option.breaks, "floor")) if _over(option.landing, wishes.floor) else option
    )


def telling(beside: BesideIt) -> BesideIt:
    """With what it changes by as much as people notice."""
    sun, middles = beside.sunny, {"felt": beside.felt, "mist": beside.mist}
    noticed = [name for name, band in middles.items() if band is not None and abs(band[1]) >= FELT]
    if sun is not None and sun[0] - sun[1] > IN_SUN:
        noticed.insert(0, "sun")
    return replace(beside, tells=tuple(noticed))


def _over(value: float | None, limit: float | None) -> bool:
    return value is not None and limit is not None and value > limit * (1 + LEEWAY)
