"""What the framer bores and blocks, as plain values with the unit in the key."""

from __future__ import annotations

from mistcalc.model.results import Blocking, BoredBack, BoredRun, Carpentry


def carpentry_tree(work: Carpentry) -> dict[str, object]:
    """The `carpentry` block of plan.json (docs/plan-json.md)."""
    return {
        "bores": [_bored(one) for one in work.bores],
        "bores_back": [_bored_back(one) for one in work.bores_back],
        "blocking": [_block(one) for one in work.blocking if not one.asks],
        "asks": [_block(one) for one in work.blocking if one.asks],
        "unstated": list(work.unstated),
    }


def _bored(one: BoredRun) -> dict[str, object]:
    return {
        "patio": one.patio,
        "run": one.run,
        "alongs_m": list(one.alongs),
        "back_m": one.back,
        "hole_m": one.hole,
        "up_m": one.up,
        "depth_m": one.depth,
    }


def _bored_back(one: BoredBack) -> dict[str, object]:
    return {
        "patio": one.patio,
        "run": one.run,
        "row": one.row,
        "along_m": one.along,
        "backs_m": list(one.backs),
        "hole_m": one.hole,
        "up_m": one.up,
        "depth_m": one.depth,
    }


def _block(one: Blocking) -> dict[str, object]:
    return {
        "patio": one.patio,
        "run": one.run,
        "why": one.why,
        "alongs_m": list(one.alongs),
        "back_m": one.back,
        "name": one.name,
    }
