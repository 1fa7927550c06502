"""Judgements: nouns in, Findings out. Every threshold of the program lives in this package."""

from mistcalc.checks.callback import callback_findings
from mistcalc.checks.cautions import cautions
from mistcalc.checks.lid import lid_findings
from mistcalc.checks.line import hole_findings, line_findings
from mistcalc.checks.patio import cooling_findings
from mistcalc.checks.pump import pump_checks
from mistcalc.checks.wetness import wetness

__all__ = [
    "callback_findings",
    "cautions",
    "cooling_findings",
    "hole_findings",
    "lid_findings",
    "line_findings",
    "pump_checks",
    "wetness",
]
