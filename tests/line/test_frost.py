"""Frost on a full line: hours of the climate file counted by hand, from the day the line is first filled."""

from __future__ import annotations

import datetime
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import design, files
from mistcalc.files import parse_project
from mistcalc.model.project import Dates
from tests.report import jobs

COLD = 270.0  # K


@pytest.mark.parametrize(
    "coat", [datetime.date(2027, 3, 8), datetime.date(2028, 1, 12), datetime.date(2027, 12, 20)]
)
@pytest.mark.parametrize("before", [0, 1, 9, 10, 12, 40])
def test_a_frost_counts_from_the_day_of_the_first_test(coat, before):
    """One frozen hour, so many days before the scratch coat: told while the line is full, and only then."""
    project = parse_project(jobs.text_of(jobs.patio("porch", "9 ft", jobs.run("A", "12 ft"))))
    project = replace(project, dates=Dates(coat))
    solved, _ = design.solve_line(project.plumbing, tuple(layout for layout, _ in design.lay_all(project)))
    calendar, _ = design.dates(project)
    tested = calendar.step("first test").first
    night = coat - datetime.timedelta(days=before)
    hour = 24 * (datetime.date(2027, night.month, night.day) - datetime.date(2027, 1, 1)).days + 5
    weather = files.read_climate(files.climate_path("tucson", None))
    warm = np.full_like(weather.temperature, 290.0)
    warm[hour] = COLD
    weather = replace(weather, temperature=warm, key=f"a frozen hour, {hour}")
    plan, findings = design.project_pressure_test_plan(project, solved, weather)
    assert plan.frost.first == tested < coat
    full = night >= tested
    assert plan.frost.hours_soon == plan.frost.hours_late == int(full)
    assert ("hold-frost" in {finding.code for finding in findings}) is full
