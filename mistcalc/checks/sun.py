"""Judgments on the sun at the seats: when a seat counts as in the sun, and what keeps it off."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from mistcalc.checks.shared import DERIVED, heard
from mistcalc.model.project import Patio
from mistcalc.model.results import Finding, PatioSun, ShadeScreen, SunPath, SunSpell

IN_SUN = 0.5  # of the body: from there on a seat counts as in the sun; judgment
BRIEF = 1 / 3  # h: a shorter spell is not told; judgment
PAST = 0.3  # m: how far a shade goes on past the last ray, for a chair moved a little; judgment
MOST_OF = 0.9  # of an edge: a shade nearly as long goes along all of it
MOST_WIDER = 2.5  # m: a lid wider by more is another house, and only the shade is told; judgment


def with_spells(sun: PatioSun) -> PatioSun:
    """The sun under one lid with the spells for which each seat is in it."""
    return replace(sun, spells=tuple(_spells(sun)))


def in_sun(lit: np.ndarray) -> np.ndarray:
    """Whether a body of which such a share is lit sits in the sun."""
    return lit >= IN_SUN


def _spells(sun: PatioSun) -> list[SunSpell]:
    found = []
    for seat, month in np.ndindex(sun.lit.shape[:2]):
        held = sun.used[month] & in_sun(sun.lit[seat, month])
        turns = np.flatnonzero(np.diff(held.astype(int), prepend=0, append=0))
        for first, after in zip(turns[::2], turns[1::2], strict=True):
            start = float(sun.clock[first])
            end = start + float(after - first) * SunPath.STEP
            if end - start > BRIEF:
                found.append(SunSpell(seat, month, start, end))
    return found


def sun_findings(patio: Patio, sun: PatioSun, seats: tuple[str, ...]) -> tuple[Finding, ...]:
    """When the sun is on which seats in the month that has most of it, and what would keep it off. seats:
    their names, in order."""
    worst = [spell for spell in sun.spells if spell.month == sun.month] or list(sun.spells)
    if not worst:
        return ()
    month = worst[0].month
    told = [spell for spell in worst if spell.month == month]
    first, last = min(spell.start for spell in told), max(spell.end for spell in told)
    named = tuple(seats[n] for n in sorted({spell.seat for spell in told})) if seats else ()
    values = (
        ("patio", patio.name), ("start", first), ("end", last), ("month", f"month-{month + 1}"),
        ("named", named),
    )  # fmt: skip
    sunny = Finding("seats-in-sun", "note", patio.name, "", last - first, None, "h", DERIVED, values)
    shades = (_shade(patio, screen, len(sun.screens) > 1) for screen in sun.screens)
    return heard([sunny, *shades], "owner", topic="sun")


def _shade(patio: Patio, screen: ShadeScreen, one_of_several: bool) -> Finding:
    start, end = max(screen.start - PAST, 0.0), min(screen.end + PAST, screen.length)
    values: tuple[tuple[str, object], ...] = (
        ("patio", patio.name), ("run", screen.run), (f"on_{screen.where}", True),
        ("first", start), ("last", end),
        ("part", screen.where == "edge" and end - start < MOST_OF * screen.length),
        ("keeps", True), ("several", one_of_several),
    )  # fmt: skip
    if screen.wider <= MOST_WIDER:
        values = (*values, ("wider", screen.wider))
    return Finding(
        "sun-shade", "note", f"{patio.name}/{screen.run}", "", screen.drop, None, "m", DERIVED, values
    )
