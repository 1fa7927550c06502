"""Sheets of test and watch, read back from their PDF: the two texts apart, the numbers those of the plan."""

import io
import json
from functools import cache

import pytest
from pypdf import PdfReader

from mistcalc import design, files
from mistcalc.drawing import pdf
from mistcalc.report.exports.results_json import plan_json
from mistcalc.report.sheet_set import build

pytestmark = pytest.mark.thorough
PSI = 6894.757293168


@cache
def job(name):
    project = files.parse_project(files.example_text(name))
    place = project.place.climate
    weather = files.read_climate(files.climate_path(place, None)) if place else None
    return design.run(project, weather)


@cache
def pages(name, units="us"):
    told = {}
    for sheet in build(job(name), units, "en"):
        text = PdfReader(io.BytesIO(pdf.write((sheet,), "job"))).pages[0].extract_text()
        told[sheet.title] = told.get(sheet.title, "") + " ".join(text.split())
    return told


def test_test_and_watch_have_a_sheet_each_and_their_own_words():
    test, watch = pages("courtyard")["Test by gauge"], pages("courtyard")["Watch"]
    assert "Test with water, never with air or gas" in test and "no watch vessel" in test
    assert "Take it off before any test" in watch and "bladder" in watch
    assert "bladder" not in test and "or gas" not in watch
    for told in (test, watch):
        assert "the sun" in told and "Local code" in told
    assert "Before a night of frost" in watch


def test_numbers_on_the_sheets_are_those_of_the_plan():
    plan = job("courtyard").hold
    test, watch = pages("courtyard")["Test by gauge"], pages("courtyard")["Watch"]
    for step in plan.test.steps:
        assert f"{5 * round(step.again_below / PSI / 5):,} / {5 * round(step.leak_below / PSI / 5):,}" in test
    for step in plan.watch.steps:
        assert f"{step.stop_below / PSI:.1f}" in watch
    assert f"fall {plan.watch.draw_fall / PSI:.1f} psi" in watch


def test_a_line_without_plaster_has_no_watch():
    assert "Test by gauge" in pages("terraza", "metric") and "Watch" not in pages("terraza", "metric")
    test = pages("terraza", "metric")["Test by gauge"]
    assert "Plastic tube stretches" in test
    assert "Start the watch" not in test and "leave the line open to the mains" in test
    # At 4.5 bar all trapped air may dissolve, so no number is a leak for certain, and no jet passes the skin.
    assert "HOLD AGAIN BELOW" in test and "LEAK BELOW" not in test and "second number" not in test
    assert "the number there" in test and "through skin" not in test


@pytest.mark.parametrize("name", ["courtyard", "terraza"])
def test_the_plan_in_json(name):
    told = json.loads(plan_json(job(name)))["hold"]
    plan = job(name).hold
    assert told["test"]["gauge_Pa"] == pytest.approx(plan.test.gauge)
    assert len(told["test"]["steps"]) == len(plan.test.steps)
    assert (told["watch"] is None) == (plan.watch is None)
    if plan.frost is not None:
        # the day of the first test, when the line is first full (demo's calendar)
        assert told["frost"]["from"] == "2027-02-26" and len(told["frost"]["hours_by_month"]) == 12
