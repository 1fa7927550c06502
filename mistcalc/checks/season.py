"""Judgements on a year: whether the control ever runs the mist, whether that does anybody any good; and on a
tariff: what is legal and yet mostly a slip of the pen.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from mistcalc.checks.cooling import CARRIED_OUT, DAMP, FAN_FELT, LITTLE_FELT, SATURATED
from mistcalc.checks.shared import DERIVED, JUDGEMENT, heard
from mistcalc.model.project import WEEKDAYS, Control, Tariff, Tariffs
from mistcalc.model.results import (
    KEPT_OFF,
    SERVICES,
    Air,
    Finding,
    PatioSeason,
    Season,
    SeasonLimits,
    quantiles,
    year_band,
)

# UTCI's own classes: no thermal stress to 26 degC, moderate heat stress to 32 (Bröde and others 2012,
# Int. J. Biometeorol. 56, 481-494, table 3; from memory).
COMFORTABLE, BEARABLE = 299.15, 305.15  # K
FEW_HOURS = 10.0  # h of a year that do good: fewer are no reason to have a line; judgement
FEW_OF_RUN = 0.1  # of the hours it runs; judgement
# What lands comes down on about a seventh of the floor (an eighth to a quarter on the demos' maps), so that
# there it is then as much as the air takes back; judgement.
WET_FLOOR = 0.15
EVENING = 17, 21  # from 5 to 9 pm; judgement

SUNSHINE = 120.0  # W/m2 of the beam (WMO-No. 8, sunshine duration; from memory)

SEASON_LIMITS = SeasonLimits(
    comfortable=COMFORTABLE, bearable=BEARABLE, little_felt=LITTLE_FELT, damp=DAMP, humid=SATURATED,
    carried=CARRIED_OUT, sunshine=SUNSHINE, wet_floor=WET_FLOOR, evening=EVENING,
)  # fmt: skip


def season_findings(season: Season, control: Control, year: Air) -> tuple[Finding, ...]:
    """What an owner should hear before the numbers of a year."""
    if season.runs.sum(axis=(1, 2)).max() == 0.0:
        return heard([_never_runs(season, control)], "owner", topic="season")
    findings = [_no_benefit(season, patio) for patio in season.patios if _does_little(season, patio)]
    found = [*findings, *_restricted(season, control), *_idle_stops(season, control, year)]
    return heard(found, "owner", topic="season")


def _never_runs(season: Season, control: Control) -> Finding:
    off = {why: year_band(season.kept_off[why])[1] for why in KEPT_OFF}
    off = {why: hours for why, hours in off.items() if hours or why in ("cool", "humid", "windy")}
    values = (("used", season.hours_used), ("unused", season.warm_unused), *off.items())
    return Finding(
        "season-never-runs",
        "warn",
        "control",
        "dry bulb",
        season.hottest,
        control.on_above,
        "K",
        "derived",
        values,
    )


def _does_little(season: Season, patio: PatioSeason) -> bool:
    good, runs = year_band(patio.outcomes["good"])[1], year_band(season.runs)[1]
    return good < max(FEW_HOURS, FEW_OF_RUN * runs)


def _no_benefit(season: Season, patio: PatioSeason) -> Finding:
    good, runs = year_band(patio.outcomes["good"])[1], year_band(season.runs)[1]
    why = max(
        (name for name in patio.outcomes if name != "good"), key=lambda name: patio.outcomes[name].sum()
    )
    fan, mist = (quantiles(patio.felt[name]) for name in ("fan", "mist"))
    more = (("fan", fan[::2]), ("mist", mist[::2])) if fan[1] > mist[1] + FAN_FELT else ()
    values = (("patio", patio.patio), ("runs", runs), (why, True), *more)
    return Finding(
        "season-no-benefit", "warn", patio.patio, "hours", good, FEW_HOURS, "h", "judgement", values
    )


def _restricted(season: Season, control: Control) -> list[Finding]:
    """What days and water as stated leave undone. Whether they are the provider's is not for us to say."""
    cut = {why: year_band(season.kept_off[why])[1] for why in ("day", "water")}
    shut = season.shut_weekdays()
    if (control.days is None and control.most_a_day is None) or not (any(cut.values()) or any(shut)):
        return []
    values = {
        "days": tuple(f"weekday-{day}" for day, count in zip(WEEKDAYS, shut, strict=True) if count >= 0.5),
        "shut": float(np.median(season.shut_days.sum(axis=1))),
        "day": cut["day"],
        "water": cut["water"],
        "most": control.most_a_day,
    }
    held = tuple((name, value) for name, value in values.items() if value)
    return [Finding("season-restricted", "note", "control", source=DERIVED, values=held)]


def _idle_stops(season: Season, control: Control, year: Air) -> list[Finding]:
    """Stops that hold in no hour of use: as good as not there. One that nothing reaches is meant so."""
    findings = []
    idle = season.kept_off["windy"].sum() == 0.0 and control.stops_by("wind") and year.mast_wind is not None
    if idle and control.wind_measured_at == "mast":
        stop = control.wind_stop
        findings.append(
            Finding("season-mast-stop-idle", "note", "control", "wind", None, stop, "m/s", DERIVED)
        )
    elif idle and year.mast_wind is not None and control.wind_stop > 0.0:
        blowing = year.mast_wind > 0.0
        at_mast = float(np.median(year.mast_wind[blowing] / year.wind[blowing])) if blowing.any() else 1.0
        values = (("mast", control.wind_stop * at_mast),)
        stop = control.wind_stop
        findings.append(
            Finding("season-wind-stop-idle", "note", "control", "wind", None, stop, "m/s", "derived", values)
        )
    if season.kept_off["humid"].sum() == 0.0 and control.stops_by("humidity"):
        stop = control.humidity_stop
        findings.append(
            Finding("season-humidity-stop-idle", "note", "control", "humidity", None, stop, "1", "derived")
        )
    return findings


def tariff_findings(tariffs: Tariffs | None) -> tuple[Finding, ...]:
    """Prices that fall as more is used: some utilities do bill power so, so it is no mistake."""
    stated = [(name, getattr(tariffs, name)) for name in SERVICES if tariffs and getattr(tariffs, name)]
    found = [finding for name, tariff in stated for finding in _falling(name, tariff)]
    return heard(found, "owner", topic="season")


def _falling(service: str, tariff: Tariff) -> Iterator[Finding]:
    """The first price that falls, of tiers that hold in the same months."""
    for before, tier in pairwise(tariff.tiers):
        if tier.price < before.price and tier.months == before.months:
            values = (("service", service),)
            yield Finding("tariff-falls", "note", "tariff", service, source=JUDGEMENT, values=values)
            return
