"""Test and watch for plan.json."""

from __future__ import annotations

from mistcalc.model.results import Design, FrostHours, LowPressureWatch, WorkingPressureTest


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
    return {
        "gauge_Pa": test.gauge,
        "temperature_K": test.temperature,
        "read_at_s": list(test.seconds),
        "volume_m3": test.volume,
        "trapped_air_most_m3": test.air_most,
        "per_volume_lost_Pa_m3": list(test.per_volume),
        "per_warming_Pa_K": list(test.per_kelvin),
        "leak_limit_m3_s": test.leak_limit,
        "leak_seen_m3_s": test.sees,
        "steps": [
            {
                "start_K": step.start,
                "warming_K": step.warming,
                "again_below_gauge_Pa": step.again_below,
                "leak_below_gauge_Pa": step.leak_below,
            }
            for step in test.steps
        ],
    }


def _watch(watch: LowPressureWatch) -> dict[str, object]:
    return {
        "gauge_Pa": watch.gauge,
        "temperature_K": watch.temperature,
        "gas_m3": watch.gas,
        "per_warming_Pa_K": list(watch.per_kelvin),
        "per_volume_lost_Pa_m3": watch.per_volume,
        "draw_m3": watch.draw,
        "draw_fall_Pa": watch.draw_fall,
        "draw_room_Pa": watch.draw_room,
        "loss_limit_m3": watch.limit,
        "loss_seen_m3": watch.sees,
        "warmest_gauge_Pa": watch.gauge_most,
        "leak_below_gauge_Pa": watch.leak_below,
        "steps": [
            {
                "tube_warming_K": step.tube,
                "vessel_warming_K": step.vessel,
                "expected_gauge_Pa": step.expected,
                "again_below_gauge_Pa": step.again_below,
                "stop_below_gauge_Pa": step.stop_below,
            }
            for step in watch.steps
        ],
    }


def _frost(frost: FrostHours) -> dict[str, object]:
    dates = {"from": frost.first, "soonest_end": frost.soon, "latest_end": frost.late}
    return {
        "below_K": frost.below,
        **{name: date.isoformat() if date is not None else None for name, date in dates.items()},
        "hours_to_soonest_end": frost.hours_soon,
        "hours_to_latest_end": frost.hours_late,
        "hours_by_month": list(frost.months),
    }
