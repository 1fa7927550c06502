"""The whole chain on the shipped demos and on what can be done to them: numbers that must hold together."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from mistcalc import design, files
from mistcalc.model.project import Project, TypedAfternoon
from mistcalc.model.results import COMFORT_COLUMNS, PLACES, Weather
from mistcalc.report import ceiling_pictures, marks_html
from mistcalc.report.common.locale_text import Locale

DEMOS = ("courtyard", "bayou", "terraza")


@cache
def demo(name: str) -> tuple[Project, Weather | None]:
    project = files.parse_project(files.example_text(name), name)
    climate = project.place.climate
    return project, files.read_climate(files.climate_path(climate, None)) if climate else None


@cache
def planned(name: str):
    return design.run(*demo(name))


def typed(project: Project, celsius: float, humidity: float, wind: float) -> Project:
    afternoon = TypedAfternoon("hot", 273.15 + celsius, humidity, wind)
    return replace(project, place=replace(project.place, climate=None, afternoons=(afternoon,)))


@pytest.mark.thorough
@pytest.mark.parametrize("name", DEMOS)
def test_demo_plans_without_a_failing_finding(name):
    done = planned(name)
    assert not done.failed
    assert all(layout.marks for layout in done.layouts)
    assert {m.name for m in done.line.marks} == {m.name for layout in done.layouts for m in layout.marks}


@pytest.mark.thorough
@pytest.mark.parametrize("name", DEMOS)
def test_what_goes_on_site_needs_no_air_under_the_lid(name):
    """The marks on a phone, and the plan that a crew reads, are the same to the byte without it."""
    whole, crews = planned(name), design.run_without_air(*demo(name))
    assert crews.code == whole.code and not crews.cooling and whole.cooling
    for language in ("en", "es"):
        locale = Locale(whole.project.units, language)
        assert marks_html(crews, locale) == marks_html(whole, locale)
        for patio in whole.project.patios:
            drawn = [ceiling_pictures(job, patio.name, locale) for job in (crews, whole)]
            assert drawn[0] == drawn[1]


@pytest.mark.thorough
@pytest.mark.parametrize("name", DEMOS)
def test_water_that_leaves_the_pump_leaves_the_nozzles(name):
    line = planned(name).line
    assert sum(m.flow for m in line.marks) == pytest.approx(line.total_flow, rel=1e-6)


@pytest.mark.thorough
@pytest.mark.parametrize("name", DEMOS)
def test_never_more_than_the_wet_bulb_allows(name):
    done = planned(name)
    for cooled in done.cooling:
        for place in PLACES:
            assert cooled.relative_humidity[place].max() <= 1.0 + 1e-9
            assert np.all(cooled.drop[place] >= -1e-9)
            # draw by draw: each has its own hour and its own humidity, and so its own wet bulb
            assert np.all(cooled.drop[place] < cooled.depression + 1e-3)
        assert cooled.residual < 1e-4
        assert all(np.all(share >= 0) for share in cooled.fates.values())
        assert np.allclose(sum(cooled.fates.values()), 1.0, rtol=0, atol=1e-12)


@pytest.mark.thorough
@pytest.mark.parametrize("name", DEMOS)
def test_same_digits_twice(name):
    project, _ = demo(name)
    again = design.cooling.afternoon_cooling(
        project.patios[0],
        planned(name).layouts[0],
        planned(name).line,
        project.plumbing,
        planned(name).afternoons,
        project.place.bearing,
    )
    for one, two in zip(planned(name).cooling, again, strict=True):
        assert one.key == two.key
        for place in PLACES:
            assert np.array_equal(one.drop[place], two.drop[place])
    assert design.code_of_contents(planned(name)) == planned(name).code


def code(**changes) -> str:
    return design.code_of_contents(replace(planned("courtyard"), **changes))


def test_content_code_changes_with_what_the_sheets_show():
    project, _ = demo("courtyard")
    lower = replace(project, patios=(replace(project.patios[0], height=2.9),))
    assert code(project=lower) != code()


def test_content_code_changes_with_all_that_crews_work_by():
    """Two versions of the program that make other holes of one file must not give both sheets one code."""
    job = planned("courtyard")
    laid, wood, plan, hold = job.layouts[0], job.carpentry, job.cut_plans[0], job.hold
    mark, bored, block, stick = laid.marks[3], wood.bores[0], wood.blocking[0], plan.sticks[0]
    tube = job.line.duty.tube
    eighth = 0.0254 / 8
    marks = (*laid.marks[:3], replace(mark, along=mark.along + eighth), *laid.marks[4:])
    drilled = (*laid.marks[:3], replace(mark, drilled=True), *laid.marks[4:])
    stops = replace(laid.holes, stop=(mark.name,))
    holes = (replace(bored, alongs=(bored.alongs[0] + eighth, *bored.alongs[1:])), *wood.bores[1:])
    higher = (replace(bored, up=None), *wood.bores[1:])
    blocks = (replace(block, alongs=(block.alongs[0] + eighth,)), *wood.blocking[1:])
    piece = replace(stick.pieces[0], length=stick.pieces[0].length - 0.001)
    sawn = replace(plan, sticks=(replace(stick, pieces=(piece, *stick.pieces[1:])), *plan.sticks[1:]))
    held = replace(tube, runs=(replace(tube.runs[0], anchor=tube.runs[0].anchor + eighth), *tube.runs[1:]))
    leak = replace(hold.test.steps[0], leak_below=hold.test.steps[0].leak_below - 7e3)
    tested = replace(hold, test=replace(hold.test, steps=(leak, *hold.test.steps[1:])))
    codes = [
        code(),
        code(layouts=(replace(laid, marks=marks), *job.layouts[1:])),
        code(layouts=(replace(laid, marks=drilled), *job.layouts[1:])),
        code(layouts=(replace(laid, holes=stops), *job.layouts[1:])),
        code(carpentry=replace(wood, bores=holes)),
        code(carpentry=replace(wood, bores=higher)),
        code(carpentry=replace(wood, blocking=blocks)),
        code(cut_plans=(sawn, *job.cut_plans[1:])),
        code(line=replace(job.line, duty=replace(job.line.duty, tube=held))),
        code(hold=tested),
        code(hold=replace(hold, watch=None)),
    ]
    assert len(set(codes)) == len(codes)
    assert code(findings=(), cooling=(), parts=(), built=()) == code()  # words, and what was found on site


def test_content_code_knows_no_last_digit_of_a_sum():
    laid = planned("courtyard").layouts[0]
    marks = tuple(replace(mark, along=math.nextafter(mark.along, 99.0)) for mark in laid.marks)
    assert code(layouts=(replace(laid, marks=marks), *planned("courtyard").layouts[1:])) == code()


def test_content_code_stays_while_only_unread_keys_change():
    """Prices make no sheet, so the paper is not stale."""
    project, _ = demo("courtyard")
    dear = replace(project, prices=replace(project.prices, tube=9.0, currency="EUR"))
    assert code(project=dear) == code()
    for other in (
        replace(project, control=replace(project.control, on_above=300.0, off_below=299.0)),  # the year
        replace(project, place=replace(project.place, daylight_saving="none")),
        replace(project, control=replace(project.control, wind_stop=1.0)),  # on the owner's sheet
        replace(project, control=replace(project.control, hours=(9.0, 10.0))),  # water of a day
    ):
        assert code(project=other) != code()


@pytest.mark.thorough
def test_a_stronger_wind_never_helps_and_never_warms():
    project, _ = demo("courtyard")
    middles = []
    for wind in (0.0, 1.0, 3.0, 8.0, 20.0):
        cooled = design.run(typed(project, 38.0, 0.15, wind), None).cooling[0]
        assert min(cooled.drop[p].min() for p in PLACES) >= -1e-9
        middles.append(cooled.band("far_edge")[1])
    assert all(a >= b - 0.05 for a, b in pairwise(middles[1:]))
    assert middles[-1] < 0.5 * middles[1]


@pytest.mark.thorough
def test_saturated_air_takes_nothing():
    project, _ = demo("courtyard")
    done = design.run(typed(project, 30.0, 1.0, 1.0), None)
    assert done.cooling[0].band("seats")[1] < 0.5
    assert "air-saturated" in {f.code for f in done.findings}


@pytest.mark.parametrize(
    ("celsius", "humidity"), [(-40.0, 0.5), (0.0, 1.0), (60.0, 0.0), (60.0, 1.0), (38.0, 0.0)]
)
@pytest.mark.parametrize("wind", [0.0, 30.0])
@pytest.mark.thorough
def test_any_air_is_answered_without_nan(celsius, humidity, wind):
    project, _ = demo("terraza")
    done = design.run(typed(project, celsius, humidity, wind), None)
    for cooled in done.cooling:
        for place in PLACES:
            assert np.all(np.isfinite(cooled.drop[place]))
            assert all(math.isfinite(b) for b in cooled.band(place))
        felt = cooled.feel
        for name in ("effective", "utci", "heat_index"):
            # Outside an index's range all four columns are empty, and no range is ever told from the rest.
            told = [np.isfinite(column) for column in getattr(felt, name).values()]
            assert all(np.array_equal(one, told[0]) for one in told)
            bands = [felt.band(column, index=name) for column in COMFORT_COLUMNS]
            assert all(band is None or np.all(np.isfinite(band)) for band in bands)


def test_a_line_that_never_opens_is_a_finding():
    project, _ = demo("terraza")
    nozzle = replace(project.plumbing.nozzle, opens_at=50e5)
    shut = replace(project, plumbing=replace(project.plumbing, nozzle=nozzle))
    done = design.run(shut, None)
    assert done.failed
    assert done.cooling[0].water_flow == 0.0
    assert "no-water" in {f.code for f in done.findings}
