"""A typical year, as a ratio to 1,000 plumes in the same run, and the memory it takes."""

from __future__ import annotations

import resource
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import cooling, design, files, outdoor_air, season
from mistcalc.checks import SEASON_LIMITS
from mistcalc.cooling import hours_of_use, unknowns
from mistcalc.cooling.balance import solve_balance
from mistcalc.cooling.case import case_of, spray_of
from mistcalc.cooling.hour_sampling import hours_of
from mistcalc.cooling.place_air import PlaceAir
from mistcalc.design.year import season_under, solved_year
from mistcalc.model.results import year_band
from tests.benchmarks.test_afternoon_speed import spray
from tests.benchmarks.timing import best

pytestmark = pytest.mark.benchmark

CONDITION = (
    0.0075  # of 1,000 plumes, all in: three looks, the seats' air, what is felt; shade; choosing draws
)
SLIDER, RULE = 1.0, 3.0  # of 1,000 plumes
SLIDER_S = 0.05  # told, not asserted
FEW = {"run": (9, 26), "warm": (3, 55)}  # hours -> draws, how many times 1,000 plumes


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
    whole, thousand = best(year, 3), best(spray(1000), 7)
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    conditions = year_band(told[0].runs)[2] * len(told[0].runs)
    print(
        f"\n{conditions:.0f} conditions of a year {whole:.2f} s, 1,000 plumes {thousand * 1e3:.0f} ms: ",
        end="",
    )
    print(f"x{whole / thousand:.0f}, {1e3 * whole / conditions:.2f} ms each; memory grew by {grown:.0f} MB")
    assert whole <= CONDITION * conditions * thousand
    assert grown <= 200


@pytest.mark.parametrize("which", FEW)
def test_few_draws_of_a_year_are_quick(monkeypatch, which):
    """The hours the mist runs in nine draws, and every warm hour of use in three: what a screen could wait
    for."""
    draws, most = FEW[which]
    monkeypatch.setattr(hours_of_use, "DRAWS", draws)
    project = files.parse_project(files.example_text("courtyard"), "courtyard")
    weather = files.read_climate("el-paso")
    layouts = tuple(laid for laid, _ in design.lay_all(project))
    solved, _ = design.solve_line(project.plumbing, layouts, design.hottest(weather, project.place))
    warm = season.rule_grid("us", "patio").lowest(project.control)
    control = warm if which == "warm" else project.control
    asked = (project.place, project.patios, project.plumbing, control, layouts, solved, weather)

    def year():
        solved_year.cache_clear()
        return solved_year(*asked)

    whole, thousand = best(year, 4), best(spray(1000), 9)
    told = f"{which} hours x {draws} draws {whole:.2f} s, 1,000 plumes {thousand * 1e3:.0f} ms"
    print(f"\n{told}: x{whole / thousand:.1f} (at most {most})")
    assert whole <= most * thousand


@pytest.mark.parametrize("name", ["courtyard", "bayou"])
def test_a_year_solved_cheaply_is_the_year(name):
    """Seats against a fixed point followed to its end; 10, 50 and 90 % of the chosen draws' mean cooling in
    other hours than those they were chosen by, against those of all 200."""
    project = files.parse_project(files.example_text(name), name)
    weather = files.read_climate(project.place.climate)
    year = outdoor_air.year(weather, project.place)
    layouts = tuple(laid for laid, _ in design.lay_all(project))
    line, _ = design.solve_line(project.plumbing, layouts, design.hottest(weather, project.place))
    patio, layout, bearing = project.patios[0], layouts[0], project.place.bearing
    used = season.timetable(project.control, outdoor_air.on_daylight_time("us", 2026)).used
    hours = np.flatnonzero(used & season.thermostat(project.control, year.temperature))
    house = tuple(zip(project.patios, layouts, strict=True))
    chosen = cooling.spread_draws(house, line, project.plumbing, year, hours, bearing)
    some, spray = hours_of(year, hours[:: len(hours) // 40]), spray_of(patio, layout, line)

    def seats(u, passes=hours_of_use.PASSES):
        heading = bearing + patio.turned
        case = case_of(patio, layout, spray, project.plumbing, (some,), heading, u)
        return PlaceAir(case, solve_balance(case, passes)).seats()[0]

    told = seats(chosen)
    off = np.abs(told - seats(chosen, 10))
    everything = np.vstack([seats(unknowns.draws().some(few)) for few in np.arange(200).reshape(5, 40)])
    bands = [np.quantile(drops.mean(axis=1), (0.1, 0.5, 0.9)) for drops in (told, everything)]
    apart = np.abs(bands[0] - bands[1])
    print(
        f"\n{name}, {told.size} seats: 19 in 20 within {np.quantile(off, 0.95):.1e} K, all {off.max():.3f}; ",
        end="",
    )
    print(f"{len(told)} draws' tallies from 200's by {', '.join(f'{kelvin:.2f}' for kelvin in apart)} K")
    assert np.quantile(off, 0.95) <= 0.01
    assert apart.max() <= 0.3


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
    print(f"a set point {1e3 * spent['a set point']:.0f} ms (aim {1e3 * SLIDER_S:.0f} ms)")
    assert spent["solving"] <= CONDITION * conditions * thousand
    assert spent["a set point"] <= SLIDER * thousand
    assert spent["the rule"] <= RULE * thousand
