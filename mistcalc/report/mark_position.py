"""Where a mark is, said by what is next to it."""

from __future__ import annotations

from mistcalc import words
from mistcalc.model.results import Mark
from mistcalc.units import System

WITHIN_REACH = 0.6096  # m, 2 ft: a bay as wide as they are usually built; judgement


def next_to(mark: Mark, language: str = "en", units: System = "us") -> str:
    """What the tape passes beside a mark: "4 in past joist"; empty where nothing is near."""
    if not mark.near or abs(mark.near_offset) > WITHIN_REACH:
        return ""
    side = "past" if mark.near_offset >= 0 else "before"
    return words.label(f"near.{side}", units, language, thing=mark.near, by=abs(mark.near_offset))
