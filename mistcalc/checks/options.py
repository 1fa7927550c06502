"""Whether one way to build a line keeps the hard rules, and what the owner asked."""

from __future__ import annotations

from collections.abc import Iterable

from mistcalc.model.results import BuildOption, Finding, Wishes

LEEWAY = 1e-9  # of a limit: rounding


def broken_wishes(
    option: BuildOption, wishes: Wishes, of_lid: Iterable[Finding], of_line: Iterable[Finding]
) -> tuple[str, ...]:
    """Which of BREAKS it breaks. of_lid, of_line: what was found of it; only what fails counts."""
    over = {
        "lid": any(finding.level == "fail" for finding in of_lid),
        "line": any(finding.level == "fail" for finding in of_line),
        "water": _over(option.water, wishes.water),
        "motor": _over(option.motor, wishes.motor),
        "floor": _over(option.landing, wishes.floor),
    }
    return tuple(name for name, broken in over.items() if broken)


def _over(value: float | None, limit: float | None) -> bool:
    return value is not None and limit is not None and value > limit * (1 + LEEWAY)
