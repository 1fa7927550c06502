"""A typical year, as a ratio to 1,000 plumes in the same run, and the memory it takes."""

from __future__ import annotations

import resource

import pytest

from mistcalc import design, files
from mistcalc.model.results import year_band
from tests.benchmarks.test_afternoon_speed import spray
from tests.benchmarks.timing import best

pytestmark = pytest.mark.benchmark

CONDITION = 0.018  # of 1,000 plumes: five plumes, the places' air and what is felt at every seat
SHADE = 20  # of 1,000 plumes: choosing the draws and all other hours of use


def test_a_year_costs_little_more_than_the_hours_it_runs():
    project = files.parse_project(files.example_text("courtyard"), "courtyard")
    weather = files.read_climate("el-paso")
    design.hottest(weather, project.place)
    told = []

    def year():
        design.season_year.cache_clear()
        told.append(design.season_of(project, weather)[0])

    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    whole, thousand = best(year, 2), best(spray(1000), 7)
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    conditions = year_band(told[0].runs)[2] * len(told[0].runs)
    print(
        f"\n{conditions:.0f} conditions of a year {whole:.2f} s, 1,000 plumes {thousand * 1e3:.0f} ms: ",
        end="",
    )
    print(f"x{whole / thousand:.0f}, {1e3 * whole / conditions:.2f} ms each; memory grew by {grown:.0f} MB")
    assert whole <= (CONDITION * conditions + SHADE) * thousand
    assert grown <= 200
