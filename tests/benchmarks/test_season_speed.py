"""A typical year, as a ratio to 1,000 plumes in the same run, and the memory it takes."""

from __future__ import annotations

import resource
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import design, files, season
from mistcalc.checks import SEASON_LIMITS
from mistcalc.design.year import season_under, solved_year
from mistcalc.model.results import year_band
from tests.benchmarks.test_afternoon_speed import spray
from tests.benchmarks.timing import best

pytestmark = pytest.mark.benchmark

CONDITION = 0.013  # of 1,000 plumes: five plumes, the places' air and what is felt at every seat
SLIDER, RULE = 1.0, 3.0  # of 1,000 plumes
SHADE = 20  # of 1,000 plumes: choosing the draws and all other hours of use


def test_a_year_costs_little_more_than_the_hours_it_runs():
    project = files.parse_project(files.example_text("courtyard"), "courtyard")
    weather = files.read_climate("el-paso")
    design.hottest(weather, project.place)
    told = []

    def year():
        design.season_year.cache_clear()
        solved_year.cache_clear()
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


def test_moving_a_set_point_and_finding_a_rule_solve_nothing():
    """A year whose warm hours are solved once: a slider is a mask and a sum, a rule a table of counts."""
    project = files.parse_project(files.example_text("courtyard"), "courtyard")
    weather = files.read_climate("el-paso")
    grid = season.rule_grid("us", "patio")
    layouts = tuple(laid for laid, _ in design.lay_all(project))
    solved, _ = design.solve_line(project.plumbing, layouts, design.hottest(weather, project.place))
    nouns = (project.place, project.patios, project.plumbing, grid.lowest(project.control), layouts, solved)

    def solve():
        solved_year.cache_clear()
        return solved_year(*nouns, weather)

    year = solve()
    conditions = sum(felt.depression.size - np.isnan(felt.depression).sum() for felt in year.patios)
    thousand = best(spray(1000), 7)
    hotter = replace(project.control, on_above=project.control.on_above + 2.0)
    spent = {
        "solving": best(solve, 2),
        "a set point": best(lambda: season_under(year, hotter), 7),
        "the rule": best(lambda: season.find_rule(year, grid, project.control, SEASON_LIMITS, None), 5),
    }
    told = ", ".join(f"{what} x{seconds / thousand:.2f}" for what, seconds in spent.items())
    print(f"\n{conditions} conditions; of 1,000 plumes ({thousand * 1e3:.0f} ms): {told}")
    assert spent["solving"] <= (CONDITION * conditions + SHADE) * thousand
    assert spent["a set point"] <= SLIDER * thousand
    assert spent["the rule"] <= RULE * thousand
