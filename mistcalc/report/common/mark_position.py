"""Where a mark is, said by what is next to it; and whether the holes miss the wood."""

from __future__ import annotations

from collections.abc import Sequence

from mistcalc.model.results import Layout, Mark
from mistcalc.report.common.locale_text import Locale


def next_to(mark: Mark, locale: Locale, center: bool = False) -> str:
    """What the tape passes beside a mark: "4 in past joist"; empty where nothing is near. center: said to be
    from the joist's center, where no head or legend has said so."""
    if not mark.near:
        return ""
    side = "past" if mark.near_offset >= 0 else "before"
    side += "_center" if center and mark.near == "member" else ""
    return locale.label(f"near.{side}", thing=mark.near, by=abs(mark.near_offset))


def wood_missed(layout: Layout, locale: Locale, assumed: Sequence[str], wider: float = 0.0) -> str:
    """Whether the holes miss the wood, as far as the project says where it is. assumed: runs whose joists lie
    where a default of ours has them (`Project.runs_on_assumed_joists`). wider: how much farther a hole as
    drilled reaches than one as stated; where it then meets wood its own finding alone speaks."""
    holes = layout.holes
    clear = None if holes.clear is None else holes.clear - wider
    if clear is not None and clear < 0.0 < wider:
        return ""
    key = {"missed": "clear", "partly": "clear_part", "unstated": "no_members"}[holes.wood]
    if assumed and key == "clear":
        key = "clear_assumed" if len(assumed) == len(layout.lid.runs) else "clear_assumed_runs"
    counts = {"runs": tuple(assumed), "clear": clear, "unknown": holes.unknown, "of": len(layout.marks)}
    return locale.label(f"summary.{key}", **counts)
