"""A ladder of ways to build a line, for other programs."""

from __future__ import annotations

from mistcalc.model.results import BuildOption, OptionLadder, Wishes
from mistcalc.report.exports.range_points import percentiles


def options_tree(ladder: OptionLadder) -> dict[str, object]:
    return {
        "patio": ladder.patio,
        "afternoon": ladder.afternoon,
        "asked": _wishes(ladder.wishes),
        "least": _wishes(ladder.least),
        "tried": ladder.tried,
        "broken": dict(ladder.broken),
        "as_stated": _option(ladder.stated),
        "rungs": [_option(option) for option in ladder.rungs],
        "steps_K": [
            percentiles(above.cooler_than(below))
            for below, above in zip(ladder.rungs[:-1], ladder.rungs[1:], strict=True)
        ],
    }


def _wishes(wishes: Wishes) -> dict[str, object]:
    return {"water_m3_s": wishes.water, "motor_W": wishes.motor, "floor_share": wishes.floor}


def _option(option: BuildOption) -> dict[str, object]:
    return {
        "as_stated": option.as_stated,
        "pitch_m": option.pitch,
        "nozzle": option.nozzle,
        "nozzle_flow_m3_s": option.rated_flow,
        "nozzle_at_gauge_Pa": option.rated_at,
        "supply_gauge_Pa": option.pressure,
        "marks": option.marks,
        "water_m3_s": option.water,
        "motor_W": option.motor,
        "seats_drop_K": percentiles(option.band()),
        "floor_share": option.landing,
        "breaks": list(option.breaks),
    }
