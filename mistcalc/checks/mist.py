"""The one judgement of the mist on an afternoon: run it or not, in a word, and what to find out first."""

from __future__ import annotations

from collections.abc import Iterable

from mistcalc.model.project import Control
from mistcalc.model.results import BAND, Air, Call, Cooling, Finding, MistVerdict

WORTH_KNOWING = 0.9  # of the range's width: what narrows it less is not worth a climb; judgement
WIDE = 0.5  # K (1 degF) of range at the seats: a narrower one needs no finding out; judgement
MOSTLY = 0.5  # of the hours: an afternoon that the control mostly sits out; judgement
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


def mist_verdict(
    cooled: Cooling, findings: Iterable[Finding], air: Air | None = None, control: Control | None = None
) -> MistVerdict:
    """From what was found about this patio on this afternoon, and from what the control does in its hours;
    findings about others are passed over."""
    where = f"{cooled.patio}/{cooled.afternoon}"
    found = {finding.code: finding for finding in findings if finding.where == where}
    low, _, high = cooled.band("seats", BAND)
    width = high - low
    telling = tuple(one.name for one in cooled.worth if one.left <= WORTH_KNOWING * width and width >= WIDE)
    outcome = next((word for needed, word in _OUTCOMES if needed <= found.keys()), "dry")
    call, stopped = _call(found), _stopped(air, control)
    if stopped > MOSTLY and call not in ("off", "no_water"):
        call, outcome = "stopped", "stopped"
    return MistVerdict(cooled.patio, cooled.afternoon, call, outcome, telling, stopped)


def _stopped(air: Air | None, control: Control | None) -> float:
    """Share of the afternoon's hours in which the control keeps the mist off for damp or wind."""
    if air is None or control is None:
        return 0.0
    damp, windy = air.relative_humidity > control.humidity_stop, air.wind > control.wind_stop
    return float((damp | windy).mean())


def _call(found: dict[str, Finding]) -> Call:
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
