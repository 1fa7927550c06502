"""How hot the tube gets: what is stated, and what a hot afternoon in the sun makes of it."""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.checks.shared import JUDGEMENT
from mistcalc.model.project import Plumbing
from mistcalc.model.results import Finding

# K over the hottest afternoon's dry bulb: bare tube in full sun, or a soffit under a roof in it. Judgement.
SUN = 15.0
SOFFIT = 338.15  # K, 65 degC: a soffit behind plaster in July; judgement


def tube_rating_temperature(plumbing: Plumbing, hottest: float | None) -> float:
    """Temperature [K] at which the tube is rated. hottest: dry bulb of the job's hottest afternoon [K]; None:
    nobody knows, so what is stated stands.

    What is stated, unless a hot afternoon in the sun is hotter and no reason is given: then a soffit's.
    """
    stated = plumbing.tube_temperature
    if hottest is None or stated >= hottest + SUN or plumbing.tube_temperature_reason:
        return stated
    return max(SOFFIT, hottest + SUN)


def heat_findings(plumbing: Plumbing, hottest: float | None) -> Iterator[Finding]:
    """A tube said to stay cooler than a hot afternoon in the sun."""
    stated, reason = plumbing.tube_temperature, plumbing.tube_temperature_reason
    if hottest is None or stated >= hottest + SUN:
        return
    values = (
        ("hottest", hottest), ("sun", SUN), ("rated", tube_rating_temperature(plumbing, hottest)),
        ("reason", reason),
    )  # fmt: skip
    sizes = ("temperature", stated, hottest + SUN, "K", JUDGEMENT, values)
    if reason:
        yield Finding("tube-cool-for-reason", "warn", "line/tube", *sizes)
    else:
        yield Finding("tube-cool", "fail", "line/tube", *sizes)
