"""The one judgement of the mist on an afternoon: run it or not, in a word, and what to find out first."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from mistcalc.model.results import BAND, Cooling, Finding, MistVerdict

WORTH_KNOWING = 0.9  # of the range's width: what narrows it less is not worth a climb; judgement
# What was found does to the one word: the first row whose codes were all found.
_OUTCOMES = (
    ({"no-water"}, "no-water"),
    ({"air-saturated"}, "no-gain"),
    ({"little-cooling", "wet-likely"}, "little-wet"),
    ({"little-felt", "wet-likely"}, "little-wet"),
    ({"little-cooling"}, "little"),
    ({"little-felt"}, "little"),
    ({"wet-likely"}, "wet"),
    ({"mist-carried-out"}, "carried"),
    ({"seats-humid"}, "clammy"),
    ({"damp-likely"}, "damp"),
    ({"faces-wet"}, "glasses"),
)


def mist_verdict(cooled: Cooling, findings: Iterable[Finding]) -> MistVerdict:
    """From what was found about this patio on this afternoon; findings about others are passed over."""
    where = f"{cooled.patio}/{cooled.afternoon}"
    found = {finding.code: finding for finding in findings if finding.where == where}
    low, _, high = cooled.band("seats", BAND)
    telling = tuple(one.name for one in cooled.worth if one.left <= WORTH_KNOWING * (high - low))
    outcome = next((word for needed, word in _OUTCOMES if needed <= found.keys()), "dry")
    return MistVerdict(cooled.patio, cooled.afternoon, _call(found), outcome, telling)


def _call(found: dict[str, Finding]) -> Literal["run", "little", "damp", "fan", "off", "no_water"]:
    """Run it; little comes of it; cooler, yet hardly felt in damp air; a fan does more; leave it off."""
    if "no-water" in found:
        return "no_water"
    if "air-saturated" in found:
        return "off"
    little = found.get("little-cooling") or found.get("little-felt")
    if little is None:
        return "run"
    if little.value("fan_more"):
        return "fan"
    return "damp" if little.code == "little-felt" else "little"
