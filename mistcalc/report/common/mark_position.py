"""Where a mark is, said by what is next to it; and whether the holes miss the wood."""

from __future__ import annotations

from mistcalc.model.results import Layout, Mark
from mistcalc.report.common.locale_text import Locale


def next_to(mark: Mark, locale: Locale) -> str:
    """What the tape passes beside a mark: "4 in past joist"; empty where nothing is near."""
    if not mark.near:
        return ""
    side = "past" if mark.near_offset >= 0 else "before"
    return locale.label(f"near.{side}", thing=mark.near, by=abs(mark.near_offset))


def wood_missed(layout: Layout, locale: Locale) -> str:
    """Whether the holes miss the wood, as far as the project says where it is."""
    holes = layout.holes
    key = {"missed": "clear", "partly": "clear_part", "unstated": "no_members"}[holes.wood]
    counts = {"clear": holes.clear, "unknown": holes.unknown, "of": len(layout.marks)}
    return locale.label(f"summary.{key}", **counts)
