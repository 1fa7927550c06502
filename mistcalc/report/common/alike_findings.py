"""Findings that say the same of many things, told as one that names each: 27 lights are no 27 sentences."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from mistcalc.model.results import Finding

MANY = 3  # fewer are told one by one


def alike(findings: Iterable[Finding]) -> tuple[tuple[Finding, ...], ...]:
    """The findings by what they say, each group at the place of its first; fewer than MANY stand alone."""
    groups: dict[object, list[Finding]] = {}
    for n, finding in enumerate(findings):
        same = (finding.code, finding.level, finding.value("patio"), finding.alike)
        groups.setdefault(same if finding.alike else n, []).append(finding)
    return tuple(
        group for of in groups.values() for group in ([tuple(of)] if len(of) >= MANY else [(f,) for f in of])
    )


def told_together(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings with those that are alike as one, at the place of the first of them."""
    return tuple(map(as_one, alike(findings)))


def as_one(findings: Sequence[Finding]) -> Finding:
    """What alike findings have in common, and of each its name, the marks or the joist it is near, how far it
    goes or where to."""
    if len(findings) == 1:
        return findings[0]
    first, patio = findings[0], str(findings[0].value("patio", ""))
    told: list[dict[str, Any]] = []
    for finding in findings:
        name = finding.where[len(patio) + 1 :]
        told.append({"name": name, **dict(finding.values), **dict(finding.fix)})
    moves: dict[float, list[str]] = {}
    for each in told:
        if "by" in each and "to" not in each:
            moves.setdefault(each["by"], []).append(each["name"])
    values = {
        **dict(first.values),
        "names": tuple(each["name"] for each in told),
        "count": len(told),
        "marks": tuple(dict.fromkeys(mark for each in told for mark in each.get("marks", ()))),
        "moves": tuple((tuple(names), by) for by, names in moves.items()),
        "near": tuple((each["name"], each["marks"]) for each in told if "marks" in each),
        "places": tuple((each["name"], (each["joist"], each["to"])) for each in told if "to" in each),
        "joists": tuple((each["name"], (each["joist"],)) for each in told if each.get("no_fix")),
        "still": tuple(each["name"] for each in told if each.get("still_on_joist")),
    }
    least = min((f.provided for f in findings if f.provided is not None), default=None)
    code = f"{first.code}-many"
    return replace(first, code=code, where=patio, provided=least, values=tuple(values.items()))


def names_told(finding: Finding) -> tuple[str, ...]:
    """The things that a finding told of many is about, by name."""
    names = finding.value("names", ())
    return tuple(map(str, names)) if isinstance(names, tuple) else ()
