"""What the sun adds to an afternoon and to a job, as ratios in one run."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mistcalc import cooling, design, files
from tests.benchmarks.test_afternoon_speed import spray
from tests.benchmarks.timing import best

pytestmark = pytest.mark.benchmark


def test_the_sun_hardly_adds_to_three_afternoons_and_a_year_of_it_costs_a_plume_or_two():
    """A porch whose seats have the sun in most hours of its afternoons: at most a fifth more, and the year's
    paths, plans and shades at most half of 1,000 plumes."""
    project = files.parse_project(files.example_text("bayou"), "bayou")
    weather = files.read_climate("houston")
    ((laid, _),) = design.lay_all(project)
    line, _ = design.solve_line(project.plumbing, (laid,), design.hottest(weather, project.place))
    airs = design.outdoor_conditions(weather, project.place)
    dark = tuple(replace(air, beam=None, key=f"{air.key} dark") for air in airs)
    patio, place = project.patios[0], project.place

    def afternoons(of):
        return cooling.afternoon_cooling(patio, laid, line, project.plumbing, of, place.bearing)

    def year():
        design.sun_on_patio.cache_clear()
        design.sun_on_patio(patio, laid, place, project.control, weather)

    assert afternoons(airs)[0].feel.lit.max() > 0.5
    sunny, shaded = best(lambda: afternoons(airs), 7), best(lambda: afternoons(dark), 7)
    thousand, paths = best(spray(1000), 7), best(year, 7)
    print(f"\nthree afternoons {shaded * 1e3:.0f} ms, with the sun {sunny * 1e3:.0f}; ", end="")
    print(f"its year {paths * 1e3:.0f} ms, 1,000 plumes {thousand * 1e3:.0f}")
    assert sunny <= 1.2 * shaded
    assert paths <= 0.5 * thousand
