"""What the framer bores and blocks, as plain values with the unit in the key."""

from __future__ import annotations

from mistcalc.model.results import Blocking, Carpentry
from mistcalc.report.exports.keyed_fields import told


def carpentry_tree(work: Carpentry) -> dict[str, object]:
    """The `carpentry` block of plan.json (docs/plan-json.md)."""
    bored = "patio run alongs_m back_m hole_m up_m depth_m"
    bored_back = "patio run row along_m backs_m hole_m up_m depth_m"
    return {
        "bores": [told(one, bored) for one in work.bores],
        "bores_back": [told(one, bored_back) for one in work.bores_back],
        "blocking": [_block(one) for one in work.blocking if not one.asks],
        "asks": [_block(one) for one in work.blocking if one.asks],
        "unstated": work.unstated,
    }


def _block(one: Blocking) -> dict[str, object]:
    return told(one, "patio run why alongs_m back_m name")
