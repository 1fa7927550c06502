"""Test and watch for plan.json."""

from __future__ import annotations

from mistcalc.model.results import Design, FrostHours, LowPressureWatch, WorkingPressureTest
from mistcalc.report.exports.keyed_fields import told


def pressure_test_tree(design: Design) -> dict[str, object] | None:
    """The block `hold`; null where the design carries no plan of the holds."""
    plan = design.hold
    if plan is None:
        return None
    return {
        "test": _test(plan.test),
        "watch": _watch(plan.watch) if plan.watch is not None else None,
        "frost": _frost(plan.frost) if plan.frost is not None else None,
    }


def _test(test: WorkingPressureTest) -> dict[str, object]:
    keys = "gauge_Pa temperature_K seconds=read_at_s volume_m3 air_most=trapped_air_most_m3"
    limits = (
        "per_volume=per_volume_lost_Pa_m3 per_kelvin=per_warming_Pa_K leak_limit_m3_s sees=leak_seen_m3_s"
    )
    step = "start_K warming_K again_below=again_below_gauge_Pa leak_below=leak_below_gauge_Pa"
    return told(test, f"{keys} {limits}") | {"steps": [told(one, step) for one in test.steps]}


def _watch(watch: LowPressureWatch) -> dict[str, object]:
    slopes = "gauge_Pa temperature_K gas=gas_m3 per_kelvin=per_warming_Pa_K per_volume=per_volume_lost_Pa_m3"
    draw = "draw_m3 draw_fall_Pa draw_room_Pa limit=loss_limit_m3 sees=loss_seen_m3"
    gauges = "gauge_most=warmest_gauge_Pa leak_below=leak_below_gauge_Pa"
    step = (
        "tube=tube_warming_K vessel=vessel_warming_K expected=expected_gauge_Pa"
        " again_below=again_below_gauge_Pa stop_below=stop_below_gauge_Pa"
    )
    return told(watch, f"{slopes} {draw} {gauges}") | {"steps": [told(one, step) for one in watch.steps]}


def _frost(frost: FrostHours) -> dict[str, object]:
    dates = {"from": frost.first, "soonest_end": frost.soon, "latest_end": frost.late}
    return {
        "below_K": frost.below,
        **{name: date.isoformat() if date is not None else None for name, date in dates.items()},
        "hours_to_soonest_end": frost.hours_soon,
        "hours_to_latest_end": frost.hours_late,
        "hours_by_month": list(frost.months),
    }
