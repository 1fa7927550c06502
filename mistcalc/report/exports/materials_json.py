"""Materials and what they cost, as plain values with the unit in the key."""

from __future__ import annotations

from decimal import Decimal

from mistcalc.model.results import CostTotal, CutPlan, FirstCost, PricedPart

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
        "name": row.part.name,
        "quantity": row.part.quantity,
        "detail": detail,
        "rough_in": row.rough_in,
        "pack": row.pack,
        "packs": row.buy,
        "price": _amount(row.price),
        "total": _amount(row.total),
    }


def _amount(amount: Decimal | None) -> float | None:
    return None if amount is None else float(amount)


def cut_tree(plan: CutPlan) -> dict[str, object]:
    """One of the `cut_plans` of plan.json."""
    tube = plan.tube
    return {
        "material": tube.material,
        "outside_m": tube.outside,
        "wall_m": tube.wall,
        "stick_m": tube.stick,
        "kerf_m": tube.kerf,
        "take_up_m": tube.take_up,
        "least": plan.least,
        "left_over": plan.left,
        "sticks": [
            {
                "pieces": [
                    {
                        "piece": piece.name, "length_m": piece.length, "part": piece.part, "of": piece.parts,
                        "on_site": piece.fitted,
                    }
                    for piece in stick.pieces
                ],
                "left_m": stick.left,
            }
            for stick in plan.sticks
        ],
        "couplings": [
            {
                "piece": joint.piece, "run": joint.run or None, "along_m": joint.along,
                "hidden": bool(joint.hidden),
            }
            for joint in plan.joints
        ],
    }  # fmt: skip
