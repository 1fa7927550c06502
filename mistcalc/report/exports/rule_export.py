"""A rule found for the control, for other programs."""

from __future__ import annotations

from math import isfinite

from mistcalc.model.project import Control
from mistcalc.model.results import FoundRule, RuleScore
from mistcalc.report.exports.keyed_fields import told
from mistcalc.report.exports.range_points import percentiles


def rule_tree(found: FoundRule) -> dict[str, object]:
    chosen, held = found.chosen_on, found.held_out
    return {
        "control": _control(found.control),
        "most_water_m3": found.most_water if isfinite(found.most_water) else None,
        "water_an_hour_m3": found.an_hour,
        "bearable_utci_K": found.bearable,
        "found": _score(found.found),
        "as_stated": _score(found.stated),
        "best_possible_h": percentiles(found.best),
        "chosen_on": {"draws": chosen[0], "mean_gained_h": chosen[1]},
        "held_out": {"draws": held[0], "mean_gained_h": held[1]},
        "timings": [
            {
                **told(timing, "least_run_s least_rest_s"),
                "starts": percentiles(timing.starts),
                **_score(timing.score),
                "chosen": timing.chosen,
            }
            for timing in found.timings
        ],
        "parts": [
            {
                "part": part.name,
                "control": _control(part.control),
                "gained_h": percentiles(part.gained),
                "added_h": percentiles(part.added),
                "kept": part.kept,
            }
            for part in found.parts
        ],
    }


def _control(control: Control | None) -> dict[str, object] | None:
    if control is None:
        return None
    stops = "wind_stop_m_s wind_measured_at not_from humidity_stop"
    return told(control, f"on_above_K off_below_K hours_h months {stops} least_run_s least_rest_s")


def _score(score: RuleScore) -> dict[str, object]:
    return {"run_h": percentiles(score.runs), "gained_h": percentiles(score.gained)}
