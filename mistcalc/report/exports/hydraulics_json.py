"""The solved line and all it asks of pump, tube and water, as plain values with the unit in the key."""

from __future__ import annotations

from mistcalc.model.results import Design, Line, LineNode, LineSizing, LineTube, PumpCheck, WaterUse, ZoneFlow

# field of a noun -> its key in the file
WATER_POINT = {
    "flow": "flow_m3_s",
    "reject": "reject_m3_s",
    "point_gauge": "gauge_Pa",
    "filter_loss": "filter_loss_Pa",
    "feed_loss": "feed_loss_Pa",
}
FILLING = {
    "flow": "flow_m3_s",
    "time": "time_s",
    "pressure_time": "pressure_time_s",
    "low_point": "low_point",
    "drain_volume": "drain_volume_m3",
    "left_volume": "left_volume_m3",
    "drain_low": "drain_low",
    "standing": "standing_Pa",
    "dribbling": "dribbling",
    "feed_low": "feed_low_point",
    "feed_left": "feed_left_volume_m3",
}
WATER = {
    "hardness": "hardness",
    "langelier": "langelier",
    "ryznar": "ryznar",
    "solids": "solids_kg_m3",
    "solids_from": "solids_from",
    "dust": "dust_kg_s",
    "orifice": "orifice_m",
    "orifice_from": "orifice_from",
    "drop_far": "drop_far_m",
}
DRAINED = {
    "zone": "name",
    "low_point": "low_point",
    "drains": "drains",
    "low": "drain_low",
    "drained": "drain_volume_m3",
    "left": "left_volume_m3",
}


def hydraulics_tree(design: Design) -> dict[str, object]:
    """The `hydraulics_tree` block of plan.json (docs/plan-json.md)."""
    line = design.line
    return {
        "converged": True,  # a line that does not close is an error, and then there is no plan
        "iterations": line.iterations,
        "residual_m3_s": line.flow_residual,
        "supply_gauge_Pa": line.supply_gauge,
        "total_flow_m3_s": line.total_flow,
        "largest_zones": line.duty.largest_zones,
        "far_mark": line.far_mark,
        "far_gauge_Pa": line.far_gauge,
        "flow_spread": line.flow_spread,
        "uniformity_cu": line.uniformity_cu,
        "uniformity_du": line.uniformity_du,
        "zones": [_zone(zone) for zone in line.zones],
        "sets": [
            {
                "zones": zone_set.zones,
                "opened": zone_set.opened,
                "flow_m3_s": zone_set.flow,
                "supply_gauge_Pa": zone_set.supply_gauge,
            }
            for zone_set in line.sets
        ],
        "nodes": [_node(node) for node in line.nodes],
        "tubes": [_tube_of(tube, line) for tube in line.tubes],
        **_duty(line.duty),
        "pump_check": [_check(check) for check in design.line_verdict.items],
        "use": _use(design.use),
    }


def _node(node: LineNode) -> dict[str, object]:
    x, y = node.point or (None, None)
    return {
        "name": node.name,
        "elevation_m": node.elevation,
        "x_m": x,
        "y_m": y,
        "pressure_gauge_Pa": node.pressure_gauge,
    }


def _tube_of(tube: LineTube, line: Line) -> dict[str, object]:
    return {
        "from": tube.start,
        "to": tube.end,
        "run": tube.run or None,
        "length_m": tube.length,
        "bore_m": tube.bore,
        "flow_m3_s": tube.flow,
        "speed_m_s": tube.speed,
        "loss_Pa": tube.loss,
        "minor_k": tube.minor_k,
        "valve_of": tube.valves,
        "shut": tube.shut,
        "water_K": tube.temperature if tube.temperature is not None else line.water.temperature,
        "check_opens_gauge_Pa": tube.opens_at if tube.one_way else None,
    }


def _zone(zone: ZoneFlow) -> dict[str, object]:
    return {
        "name": zone.name,
        "marks": zone.marks,
        "flow_m3_s": zone.flow,
        "supply_gauge_Pa": zone.supply_gauge,
        "far_mark": zone.far_mark,
        "far_gauge_Pa": zone.far_gauge,
        "least_flow_m3_s": zone.least_flow,
        "most_flow_m3_s": zone.most_flow,
        "runs_with": zone.runs_with,
        "flow_spread": zone.flow_spread,
        "uniformity_cu": zone.uniformity_cu,
        "uniformity_du": zone.uniformity_du,
        "christiansen_loss_Pa": zone.christiansen_loss,
        "solver_loss_Pa": zone.solver_loss,
        "valves": zone.piping.valves,
        "behind": zone.piping.behind,
        "leaks_with": zone.piping.leaks_with,
    }


def _duty(duty: LineSizing) -> dict[str, object]:
    return {
        "christiansen_loss_Pa": duty.christiansen_loss,
        "solver_loss_Pa": duty.solver_loss,
        "fastest_m_s": duty.fastest,
        "fastest_at": duty.fastest_at,
        "feed_length_m": duty.feed_length,
        "feed_friction_Pa": duty.feed_friction,
        "feed_fittings_Pa": duty.feed_fittings,
        "inlet_gauge_Pa": duty.inlet_gauge,
        "pump": _pump(duty),
        "water_point": _told(duty.point, WATER_POINT),
        "tube": _tube(duty),
        "filling": _told(duty.filling, FILLING)
        | {"zones": [_told(zone, DRAINED) for zone in duty.filling.zones]},
        "water": _told(duty.water, WATER),
    }


def _pump(duty: LineSizing) -> dict[str, object] | None:
    if duty.used_share is None:
        return None
    low, high = duty.relief_range or (None, None)
    return {
        "flow_m3_s": duty.pick_flow,
        "from_nameplate": duty.from_nameplate,
        "required_flow_m3_s": duty.required_flow,
        "used_share": duty.used_share,
        "smallest_zone": " + ".join(duty.smallest_zones),
        "smallest_zones": duty.smallest_zones,
        "smallest_share": duty.smallest_share,
        "motor_W": duty.pick_motor,
        "volts_V": duty.pick_volts,
        "shaft_W": duty.shaft_power,
        "electric_W": duty.electric_power,
        "full_load_A": duty.full_load_amps,
        "circuit_A": duty.circuit_amps,
        "breaker_A": duty.breaker_amps,
        "breaker_most_A": duty.breaker_most_amps,
        "relief_least_gauge_Pa": low,
        "relief_most_gauge_Pa": high,
        "pass_warming_K": duty.point.pass_warming,
        "bypass_warming_K": duty.point.bypass_warming,
    }


def _tube(duty: LineSizing) -> dict[str, object]:
    tube_values = _told(
        duty.tube,
        {
            "material": "material",
            "tube_pressure_rating": "tube_gauge_Pa",
            "joint_pressure_rating": "joint_gauge_Pa",
            "rated_by": "rated_by",
            "wave_speed": "wave_speed_m_s",
            "surge": "surge_Pa",
            "surge_at": "surge_at",
            "slow_closing": "slow_closing_s",
            "trapped_slope": "trapped_Pa_K",
            "trapped_hot": "trapped_hot_gauge_Pa",
            "trapped_warming": "trapped_warming_K",
            "coldest": "coldest_K",
            "growth": "growth_1_K",
        },
    )
    names = {
        "patio": "patio",
        "run": "run",
        "length": "length_m",
        "held": "held",
        "anchor": "anchor_m",
        "clips": "clips",
        "clip_gap": "clip_gap_m",
        "far_mark": "far_mark",
        "movement": "movement_m",
        "hole": "hole_m",
    }
    return {
        "rating_gauge_Pa": duty.tube_rating,
        "rating_at_K": duty.tube_rating_temperature,
        "volume_m3": duty.fill_volume,
        **tube_values,
        "runs": [_told(run, names) for run in duty.tube.runs],
    }


def _told(noun: object, names: dict[str, str]) -> dict[str, object]:
    """Fields of a noun under the keys they have in the file."""
    return {key: getattr(noun, name) for name, key in names.items()}


def _check(check: PumpCheck) -> dict[str, object]:
    return _told(check, {name: name for name in ("item", "verdict", "has", "needs", "unit", "most")})


def _use(use: WaterUse) -> dict[str, object]:
    return _told(
        use,
        {
            "hours": "hours_a_day",
            "days": "days_a_season",
            "an_hour": "hour_m3",
            "a_day": "day_m3",
            "a_season": "season_m3",
            "dust_hour": "dust_hour_kg",
            "dust_day": "dust_day_kg",
            "dust_season": "dust_season_kg",
        },
    )
