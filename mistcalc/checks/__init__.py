"""Judgements: nouns in, Findings out. Every threshold of the program lives in this package."""

from mistcalc.checks.callback import callback_findings, callback_left_out, callback_visit
from mistcalc.checks.cautions import cautions
from mistcalc.checks.heat import tube_heat
from mistcalc.checks.hold import (
    LEAK_LIMIT,
    WATCH_LIMIT,
    WatchState,
    hold_findings,
    hold_verdict,
    limit_of,
    may_test,
    plan_findings,
)
from mistcalc.checks.lid import holes_verdict, lid_findings
from mistcalc.checks.line import hole_findings, line_findings, line_verdict
from mistcalc.checks.measured import day_findings, sensors, wet_signs
from mistcalc.checks.mist import mist_verdict
from mistcalc.checks.patio import (
    breeze_findings,
    cooling_findings,
    drop_findings,
    side_findings,
    zone_findings,
)
from mistcalc.checks.site_log import struck_findings
from mistcalc.checks.wetness import all_wetness, picture_findings, wetness

__all__ = [
    "LEAK_LIMIT",
    "WATCH_LIMIT",
    "WatchState",
    "all_wetness",
    "breeze_findings",
    "callback_findings",
    "callback_left_out",
    "callback_visit",
    "cautions",
    "cooling_findings",
    "day_findings",
    "drop_findings",
    "hold_findings",
    "hold_verdict",
    "hole_findings",
    "holes_verdict",
    "lid_findings",
    "limit_of",
    "line_findings",
    "line_verdict",
    "may_test",
    "mist_verdict",
    "picture_findings",
    "plan_findings",
    "sensors",
    "side_findings",
    "struck_findings",
    "tube_heat",
    "wet_signs",
    "wetness",
    "zone_findings",
]
