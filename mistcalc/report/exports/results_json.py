"""plan.json for other programs: SI with the unit in the key, and no NaN (docs/plan-json.md).

Nothing here computes: every number is in the Design.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from typing import Any

from mistcalc.model.results import (
    COMFORT_COLUMNS,
    FATES,
    PLACES,
    Air,
    Comfort,
    ComfortIndexName,
    Cooling,
    Design,
    Finding,
    FoundRule,
    OptionLadder,
    Season,
    WindClass,
)
from mistcalc.report.exports.hydraulics_json import hydraulics_tree, pressure_test_tree
from mistcalc.report.exports.keyed_fields import percentiles, told
from mistcalc.report.exports.materials_json import carpentry_tree, cut_tree, materials_tree
from mistcalc.report.exports.options_export import options_tree
from mistcalc.report.exports.patio_map_export import felt_sun, pictures_tree, sun_tree
from mistcalc.report.exports.revision_json import revision_trees
from mistcalc.report.exports.season_export import rule_tree, season_tree

SCHEMA = 1
SIGNIFICANT = 10  # digits of a JSON number: far finer than any tape, stable between machines
NOTHING = 1e-15  # in SI: what lies nearer to zero is what sums leave over, other on every machine


# ------------------------------------------------------------------ JSON


def plan_json(design: Design) -> str:
    """The whole result as JSON text, schema 1. A value that is not a number is null, with a finding."""
    missing: list[str] = []
    tree = {name: _plain(value, name, missing) for name, value in _tree(design).items()}
    lost = [_judgement(Finding("no-value", "note", where)) for where in missing]
    tree["findings"] = [*tree["findings"], *lost]
    return json.dumps(tree, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def findings_json(design: Design) -> str:
    """What was found, cautions included, as JSON text: the `findings` of plan.json alone."""
    missing: list[str] = []
    findings = _plain([_judgement(finding) for finding in design.findings], "findings", missing)
    return (
        json.dumps({"schema": SCHEMA, "findings": findings}, indent=1, ensure_ascii=False, allow_nan=False)
        + "\n"
    )


def season_json(season: Season, findings: Iterable[Finding], project: str) -> str:
    """A typical year as JSON text: the `season` of plan.json, with what was found of it."""
    judged = [_judgement(finding) for finding in findings]
    tree = {"schema": SCHEMA, "project": project, "season": season_tree(season), "findings": judged}
    return json.dumps(_plain(tree, "season", []), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def rule_json(found: FoundRule, project: str) -> str:
    """A rule found for the control as JSON text."""
    tree = {"schema": SCHEMA, "project": project, "rule": rule_tree(found)}
    return json.dumps(_plain(tree, "rule", []), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def options_json(ladder: OptionLadder, project: str) -> str:
    """Ways to build the line as JSON text."""
    tree = {"schema": SCHEMA, "project": project, "options": options_tree(ladder)}
    return json.dumps(_plain(tree, "options", []), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _tree(design: Design) -> dict[str, object]:
    project = design.project
    cooled = [_cooling(design, c) for c in design.cooling]
    return {
        "schema": SCHEMA,
        "project": project.name,
        **({"mirrored_from": project.mirrored_from} if project.mirrored_from else {}),
        "revision": project.revision.letter,
        "code": design.code,
        **revision_trees(design),
        "assumed": list(project.assumed),
        "air": {
            "source": design.air_source,
            "afternoons": {air.name: _air(air) for air in design.afternoons},
        },
        "marks": _marks(design),
        "hydraulics": hydraulics_tree(design),
        "hold": pressure_test_tree(design),
        "materials": None if design.first_cost is None else materials_tree(design.first_cost),
        "cut_plans": [cut_tree(plan) for plan in design.cut_plans],
        "carpentry": carpentry_tree(design.carpentry, sorted(design.project.rows_on_assumed_joists)),
        "cooling": cooled[0] if cooled else None,
        "cooling_all": cooled,
        "pictures": pictures_tree(design),
        "sun": sun_tree(design),
        "season": None if design.season is None else season_tree(design.season),
        "findings": [_judgement(finding) for finding in design.findings],
    }


def _air(air: Air) -> dict[str, object]:
    return {
        "dry_bulb_K": air.middle("temperature"),
        "humidity_ratio": air.middle("ratio"),
        "air_pressure_absolute_Pa": air.middle("air_pressure"),
        "wet_bulb_K": air.middle("wet_bulb"),
        "wind_m_s": air.middle("wind"),
        "mast_wind_m_s": None if air.mast_wind is None else air.middle("mast_wind"),
        "calm_share": float((air.wind == 0).mean()),
        "hours_used": air.hours_used,
        "one_hour_in": air.rare,
    }


def _marks(design: Design) -> list[dict[str, object]]:
    flows = {(mark.patio, mark.name): mark for mark in design.line.marks}
    rows = []
    for mark in (mark for layout in design.layouts for mark in layout.marks):
        solved = flows.get((mark.patio, mark.name))
        rows.append(
            {
                **told(mark, "name patio run along_m along_finished_m back_m level_m height_m"),
                "x_m": mark.point[0],
                "y_m": mark.point[1],
                **told(mark, "stub_min_m stub_nominal_m stub_max_m locked drilled member_clear_m why"),
                "flow_m3_s": solved.flow if solved else None,
                "pressure_gauge_Pa": solved.pressure_gauge if solved else None,
            }
        )
    return rows


def _cooling(design: Design, cooled: Cooling) -> dict[str, object]:
    names = [seat.name for seat in design.layout_of(cooled.patio).lid.seats]
    return {
        "patio": cooled.patio,
        "afternoon": cooled.afternoon,
        "mist": design.verdict_of(cooled.patio, cooled.afternoon).call,
        "depression_K": cooled.most()[1],
        "depression_range_K": _points(cooled.most()),
        "drop_K": {place: _points(cooled.band(place)) for place in PLACES},
        "winds": [_wind(wind) for wind in cooled.winds],
        "with_fans_drop_K": None
        if cooled.with_fans is None
        else {place: _points(cooled.fans(place)) for place in PLACES},
        "mixed_drop_K": _points(cooled.all_mixed()),
        "layers": None
        if cooled.layers is None
        else {
            "still": cooled.layers.band("still")[1],
            "floor_drop_K": _points(cooled.layers.band("floor")),
            "standing_drop_K": _points(cooled.layers.band("standing")),
        },
        "feel": _feel(cooled.feel, names) if cooled.feel else None,
        "water_shares": {fate: float(cooled.fates[fate].mean()) for fate in FATES},
        "drivers": [told(driver, "name share") for driver in cooled.drivers],
        "worth_knowing": [told(known, "name left=range_left_K") for known in cooled.worth],
    }


def _wind(wind_class: WindClass) -> dict[str, object]:
    return told(wind_class, "name share side=wind_from_rad") | {"seats_drop_K": _points(wind_class.band)}


def _points(band: tuple[float, ...] | None) -> dict[str, float] | None:
    return None if band is None else percentiles(band)


def _feel(felt: Comfort, names: list[str]) -> dict[str, object]:
    indices: tuple[tuple[str, ComfortIndexName], ...] = (
        ("set_K", "effective"), ("utci_K", "utci"), ("heat_index_K", "heat_index"),
    )  # fmt: skip
    tree: dict[str, object] = {}
    for key, index in indices:
        bands = {column: felt.band(column, index=index) for column in COMFORT_COLUMNS}
        tree[key] = {c: _points(b) for c, b in bands.items() if b} or None
    tree["at_seats"] = [
        {"name": names[seat] if names else None, "set_K": _bands(felt, seat)}
        for seat in range(len(felt.at_seats.get("shade", ())))
    ]
    tree["answered"] = {key.removesuffix("_K"): felt.answered(index) for key, index in indices}
    tree["sun"] = felt_sun(felt)
    return {**tree, "fan_speed_m_s": felt.fan_speed, "fan_supposed_m_s": felt.fan_supposed}


def _bands(felt: Comfort, seat: int) -> dict[str, object]:
    bands = {column: felt.seat_band(seat, column) for column in COMFORT_COLUMNS}
    return {column: _points(band) for column, band in bands.items() if band}


def _judgement(finding: Finding) -> dict[str, object]:
    return {
        **told(finding, "code level audience where quantity provided required unit source"),
        "values": dict(finding.values),
        "fix": _fix(dict(finding.fix)),
    }


def _fix(fix: dict[str, object]) -> dict[str, object]:
    """A move as its own direction: {"move": "L2", "back_m": 0.381}; anything else as it stands."""
    by, toward = fix.get("by"), fix.get("toward")
    moves = {
        "house": ("back_m", 1),
        "back": ("back_m", 1),
        "edge": ("back_m", -1),
        "along+": ("along_m", 1),
        "along-": ("along_m", -1),
    }
    if not isinstance(by, (int, float)) or toward not in moves:
        return fix
    key, sign = moves[str(toward)]
    return {"move": fix.get("move"), key: sign * by}


def _plain(value: Any, where: str, missing: list[str]) -> Any:
    """Plain JSON values, arrays' scalars included. What is not finite becomes null and is remembered."""
    if isinstance(value, dict):
        return {str(k): _plain(v, f"{where}/{k}", missing) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(v, f"{where}/{i}", missing) for i, v in enumerate(value)]
    if value is None or isinstance(value, (str, bool, int)):
        return value
    if hasattr(value, "item"):  # a numpy scalar
        return _plain(value.item(), where, missing)
    if isinstance(value, float):
        if abs(value) < NOTHING:
            return 0.0
        if math.isfinite(value):
            return float(f"{value:.{SIGNIFICANT}g}")
        missing.append(where)
        return None
    return str(value)
