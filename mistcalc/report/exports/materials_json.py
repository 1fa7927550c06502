"""Materials, what they cost, and what the framer bores and blocks: plain values with the unit in the key."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from mistcalc.model.results import Blocking, Carpentry, CostTotal, CutPlan, FirstCost, PricedPart
from mistcalc.report.exports.keyed_fields import told

# What is told of a part -> its unit, at the end of its key in the file; anything else is a word or a name.
UNITS = {
    **dict.fromkeys(("outside", "wall", "stick", "total", "size", "large", "small", "below"), "m"),
    **dict.fromkeys(("pressure", "low", "high", "scale"), "Pa"),
    **dict.fromkeys(("full_load", "circuit", "breaker"), "A"),
    "flow": "m3_s", "motor": "W", "volts": "V",
}  # fmt: skip


def materials_tree(cost: FirstCost) -> dict[str, object]:
    """The `materials` block of plan.json (docs/plan-json.md)."""
    totals = {name: _total(getattr(cost, name)) for name in ("rough_in", "later", "complete")}
    return {"currency": cost.currency, **totals, "parts": [_part(row) for row in cost.parts]}


def _total(total: CostTotal) -> dict[str, object]:
    return {"total": float(total.total), "priced": total.priced, "unpriced": total.unpriced}


def _part(row: PricedPart) -> dict[str, object]:
    detail = {f"{name}_{UNITS[name]}" if name in UNITS else name: value for name, value in row.part.detail}
    return {
        **told(row.part, "name quantity"),
        "detail": detail,
        **told(row, "rough_in pack buy=packs"),
        "price": _amount(row.price),
        "total": _amount(row.total),
    }


def _amount(amount: Decimal | None) -> float | None:
    return None if amount is None else float(amount)


def cut_tree(plan: CutPlan) -> dict[str, object]:
    """One of the `cut_plans` of plan.json."""
    piece = "name=piece length_m part parts=of fitted=on_site"
    return {
        **told(plan.tube, "material outside_m wall_m stick_m kerf_m take_up_m"),
        **told(plan, "least left=left_over"),
        "sticks": [
            {"pieces": [told(one, piece) for one in stick.pieces], "left_m": stick.left}
            for stick in plan.sticks
        ],
        "couplings": [
            told(joint, "piece run along_m") | {"run": joint.run or None, "hidden": bool(joint.hidden)}
            for joint in plan.joints
        ],
    }


def carpentry_tree(work: Carpentry, assumed: Sequence[str]) -> dict[str, object]:
    """The `carpentry` block of plan.json (docs/plan-json.md). assumed: rows under joists nobody measured."""
    bored = "patio run alongs_m back_m hole_m up_m depth_m"
    bored_back = "patio run row along_m backs_m hole_m up_m depth_m"
    return {
        "bores": [told(one, bored) for one in work.bores],
        "bores_back": [told(one, bored_back) for one in work.bores_back],
        "blocking": [_block(one) for one in work.blocking if not one.asks],
        "asks": [_block(one) for one in work.blocking if one.asks],
        "unstated": work.unstated,
        "assumed": assumed,
    }


def _block(one: Blocking) -> dict[str, object]:
    return told(one, "patio run why alongs_m back_m name")
