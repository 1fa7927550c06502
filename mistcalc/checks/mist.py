"""The one judgement of the mist on an afternoon: run it or not, in a word, and what to find out first."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from mistcalc.checks.cooling import LITTLE_FELT, fan_cools
from mistcalc.model.project import Control
from mistcalc.model.results import BAND, Air, ColdLies, Cooling, Finding, MistAdvice, MistVerdict
from mistcalc.units import parse

WORTH_KNOWING = 0.9  # of the range's width: what narrows it less is not worth a climb; judgement
WIDE = 0.5  # K (1 degF) of range at the seats: a narrower one needs no finding out; judgement
MOSTLY = 0.5  # of the hours: an afternoon that the control mostly sits out; judgement
STILL = 0.5  # of `Layers.still`: from here on cold air's own weight moves it more than the wind; judgement
# K, the cooling trade claims promise: common practice, no source
CLAIMS = (parse("20 degF", "temperature_difference"), parse("40 degF", "temperature_difference"))
REASONS = ("damp", "blown", "small", "coarse")
_SIGNS = {
    "wet-likely": "wet_floor",
    "damp-likely": "damp_floor",
    "faces-wet": "dewy",
    "mist-carried-out": "carried",
    "seats-humid": "damp",
}
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
    finding_by_code = {finding.code: finding for finding in findings if finding.where == where}
    low, _, high = cooled.band("seats", BAND)
    width = high - low
    telling = tuple(
        value.name for value in cooled.worth if value.left <= WORTH_KNOWING * width and width >= WIDE
    )
    outcome = next((word for needed, word in _OUTCOMES if needed <= finding_by_code.keys()), "dry")
    call, stopped = _call(finding_by_code), _stopped(air, control)
    if stopped > MOSTLY and call not in ("off", "no_water"):
        call, outcome = "stopped", "stopped"
    floor = (
        "wet" if "wet-likely" in finding_by_code else "damp" if "damp-likely" in finding_by_code else "dry"
    )
    return MistVerdict(
        cooled.patio, cooled.afternoon, call, outcome, telling, stopped,
        advice="wet" if call == "run" and floor == "wet" else call, floor=floor,  # type: ignore[arg-type]
        signs=tuple(sign for code, sign in _SIGNS.items() if code in finding_by_code),
        glasses=_glasses(finding_by_code.values()),
        little=_why_little(finding_by_code), claims=CLAIMS if high < CLAIMS[0] else None, lies=_lies(cooled),
        fan_wanted=_fan_wanted(cooled), instead="fan" if fan_cools(cooled) else "shade",
        past_measured=past.required if (past := finding_by_code.get("past-measured")) else None,
    )  # fmt: skip


def _glasses(findings: Iterable[Finding]) -> tuple[str, ...]:
    glasses = (f.value("glasses", ()) for f in findings)
    return next((tuple(map(str, seats)) for seats in glasses if isinstance(seats, tuple) and seats), ())


def _why_little(finding_by_code: dict[str, Finding]) -> tuple[str, ...] | None:
    little = finding_by_code.get("little-cooling") or finding_by_code.get("little-felt")
    if little is None:
        return None
    reasons = tuple(name for name in REASONS if little.value(name))
    return (*reasons, "felt") if little.code == "little-felt" else reasons


def _lies(cooled: Cooling) -> ColdLies | None:
    layers = cooled.layers
    if layers is None or np.median(layers.still) < STILL:
        return None
    return ColdLies(*(float(np.median(v)) for v in (layers.floor, cooled.drop["seats"], layers.standing)))


def _fan_wanted(cooled: Cooling) -> bool:
    """Whether the plan has no fan, and one with the mist would clearly do more, as SET judges it."""
    if cooled.feel is None or cooled.feel.fan_supposed is None:
        return False
    mist, both = (cooled.feel.band(column, (0.5,)) for column in ("mist", "both"))
    return mist is not None and both is not None and mist[0] - both[0] >= LITTLE_FELT


def _stopped(air: Air | None, control: Control | None) -> float:
    """Share of the afternoon's hours in which the control keeps the mist off for damp or wind."""
    if air is None or control is None:
        return 0.0
    damp, windy = air.relative_humidity > control.humidity_stop, control.too_windy(air.wind, air.mast_wind)
    return float((damp | windy | control.from_barred_side(air.direction)).mean())


def _call(finding_by_code: dict[str, Finding]) -> MistAdvice:
    """Run it; little comes of it; cooler, yet hardly felt in damp air; a fan does more; leave it off."""
    if "no-water" in finding_by_code:
        return "no_water"
    if "air-saturated" in finding_by_code:
        return "off"
    little = finding_by_code.get("little-cooling") or finding_by_code.get("little-felt")
    if little is None:
        return "run"
    if little.value("fan_more"):
        return "fan"
    return "damp" if little.code == "little-felt" else "little"
