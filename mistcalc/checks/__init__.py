"""Judgements: nouns in, Findings out. Every threshold of the program lives in this package."""

from mistcalc.checks.as_built import JOIST_THERE, as_built_findings, struck_findings, undrilled_findings
from mistcalc.checks.call_back import (
    diagnosis_findings,
    ignored_reading_findings,
    one_cause_fits,
    seen_findings,
    service_visit_findings,
)
from mistcalc.checks.carpentry import carpentry_findings, coupling_findings
from mistcalc.checks.cautions import all_cautions
from mistcalc.checks.climate import climate_findings
from mistcalc.checks.close_in import calendar_findings
from mistcalc.checks.cooling import (
    cooling_findings,
    drop_findings,
    side_findings,
    unmeasured_findings,
    wind_limit_findings,
    zone_cooling_findings,
)
from mistcalc.checks.joints import proposed_joint_findings
from mistcalc.checks.lid import holes_verdict, lid_findings
from mistcalc.checks.line import hole_findings, line_findings, line_verdict
from mistcalc.checks.measuring_day import day_findings, sensors, wet_signs
from mistcalc.checks.mist import mist_verdict
from mistcalc.checks.options import of_air, of_plan_and_line, telling
from mistcalc.checks.pressure_test import (
    LEAK_LIMIT,
    WATCH_LIMIT,
    WatchState,
    judge_pressure_hold,
    limit_of,
    may_test,
    pressure_test_findings,
    pressure_test_plan_findings,
)
from mistcalc.checks.season import SEASON_LIMITS, season_findings, tariff_findings
from mistcalc.checks.sun import in_sun, sun_findings, with_spells
from mistcalc.checks.tube import tube_rating_temperature
from mistcalc.checks.wetness import all_wetness, classify_wetness, picture_findings
