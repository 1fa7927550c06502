"""The solved line, all it asks of pump, tube and water, its test and its watch: plain values with the unit in
the key."""

from __future__ import annotations

from mistcalc.model.results import (
    Design,
    FrostHours,
    Line,
    LineNode,
    LineSizing,
    LineTube,
    LowPressureWatch,
    WorkingPressureTest,
    ZoneFlow,
)
from mistcalc.report.exports.keyed_fields import told

WATER_POINT = "flow_m3_s reject_m3_s point_gauge=gauge_Pa filter_loss_Pa feed_loss_Pa"
FILLING = (
    "flow_m3_s time_s pressure_time_s low_point drain_volume_m3 left_volume_m3 drain_low standing_Pa"
    " dribbling feed_low=feed_low_point feed_left=feed_left_volume_m3"
)
DRAINED = "zone=name low_point drains low=drain_low drained=drain_volume_m3 left=left_volume_m3"
WATER = "hardness langelier ryznar solids_kg_m3 solids_from dust_kg_s orifice_m orifice_from drop_far_m"
USE = (
    "hours=hours_a_day days=days_a_season an_hour=hour_m3 a_day=day_m3 a_season=season_m3"
    " dust_hour_kg dust_day_kg dust_season_kg"
)
TUBE = (
    "material tube_pressure_rating=tube_gauge_Pa joint_pressure_rating=joint_gauge_Pa rated_by wave_speed_m_s"
    " surge_Pa surge_at slow_closing_s trapped_slope=trapped_Pa_K trapped_hot=trapped_hot_gauge_Pa"
    " trapped_warming_K coldest_K growth_1_K"
)
RUN = "patio run length_m held anchor_m clip_count=clips clip_gap_m far_mark movement_m hole_m"
ZONE = (
    "name marks flow_m3_s supply_gauge_Pa far_mark far_gauge_Pa least_flow_m3_s most_flow_m3_s runs_with"
    " flow_spread uniformity_cu uniformity_du christiansen_loss_Pa solver_loss_Pa"
)


def hydraulics_tree(design: Design) -> dict[str, object]:
    """The `hydraulics_tree` block of plan.json (docs/plan-json.md)."""
    line, check = design.line, "item verdict has needs unit most"
    return {
        "converged": True,  # a line that does not close is an error, and then there is no plan
        **told(line, "iterations flow_residual=residual_m3_s supply_gauge_Pa total_flow_m3_s"),
        "largest_zones": line.duty.largest_zones,
        **told(line, "far_mark far_gauge_Pa flow_spread uniformity_cu uniformity_du"),
        "zones": [_zone(zone) for zone in line.zones],
        "sets": [told(zone_set, "zones opened flow_m3_s supply_gauge_Pa") for zone_set in line.sets],
        "nodes": [_node(node) for node in line.nodes],
        "tubes": [_tube_of(tube, line) for tube in line.tubes],
        **_duty(line.duty),
        "pump_check": [told(item, check) for item in design.line_verdict.items],
        "use": told(design.use, USE),
    }


def _node(node: LineNode) -> dict[str, object]:
    x, y = node.point or (None, None)
    return told(node, "name elevation_m") | {"x_m": x, "y_m": y} | told(node, "pressure_gauge_Pa")


def _tube_of(tube: LineTube, line: Line) -> dict[str, object]:
    return {
        "from": tube.start,
        "to": tube.end,
        "run": tube.run or None,
        **told(tube, "length_m bore_m flow_m3_s speed_m_s loss_Pa minor_k valves=valve_of shut"),
        "water_K": tube.temperature if tube.temperature is not None else line.water.temperature,
        "check_opens_gauge_Pa": tube.opens_at if tube.one_way else None,
    }


def _zone(zone: ZoneFlow) -> dict[str, object]:
    return told(zone, ZONE) | told(zone.piping, "valves behind leaks_with")


def _duty(duty: LineSizing) -> dict[str, object]:
    filling = duty.filling
    return {
        **told(duty, "christiansen_loss_Pa solver_loss_Pa fastest_m_s fastest_at"),
        **told(duty, "feed_length_m feed_friction_Pa feed_fittings_Pa inlet_gauge_Pa"),
        "pump": _pump(duty),
        "water_point": told(duty.point, WATER_POINT),
        "tube": _tube(duty),
        "filling": told(filling, FILLING) | {"zones": [told(zone, DRAINED) for zone in filling.zones]},
        "water": told(duty.water, WATER),
    }


def _pump(duty: LineSizing) -> dict[str, object] | None:
    if duty.used_share is None:
        return None
    low, high = duty.relief_range or (None, None)
    return {
        **told(duty, "pick_flow=flow_m3_s from_nameplate required_flow_m3_s used_share"),
        "smallest_zone": " + ".join(duty.smallest_zones),
        **told(duty, "smallest_zones smallest_share pick_motor=motor_W pick_volts=volts_V"),
        **told(duty, "shaft_power=shaft_W electric_power=electric_W full_load_amps=full_load_A"),
        **told(duty, "circuit_amps=circuit_A breaker_amps=breaker_A breaker_most_amps=breaker_most_A"),
        "relief_least_gauge_Pa": low,
        "relief_most_gauge_Pa": high,
        **told(duty.point, "pass_warming_K bypass_warming_K"),
    }


def _tube(duty: LineSizing) -> dict[str, object]:
    rating = "tube_rating=rating_gauge_Pa tube_rating_temperature=rating_at_K fill_volume=volume_m3"
    runs = [told(run, RUN) for run in duty.tube.runs]
    return told(duty, rating) | told(duty.tube, TUBE) | {"runs": runs}


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
