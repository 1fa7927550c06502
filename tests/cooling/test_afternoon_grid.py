"""An afternoon hour by hour: as hour by hour alone, and never more than air and index allow."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from mistcalc import design, files, outdoor_air
from mistcalc.cooling.hours_and_winds import DRAWS, afternoon_grid
from mistcalc.cooling.patio_geometry import SEATED
from mistcalc.design import afternoon_hours
from mistcalc.design.afternoon_hours import CLOCK, afternoon_airs
from mistcalc.model.results.hours_and_winds import WAYS_TO_COOL, AfternoonGrid
from mistcalc.physics import comfort

WINDS = (0.0, 0.9, 2.2)


@cache
def scene(example: str = "courtyard"):
    project = files.parse_project(files.example_text(example))
    name = project.place.climate
    weather = None if name is None else files.read_climate(files.climate_path(name, None), name)
    laid = tuple(layout for layout, _ in design.lay_all(project))
    solved, _ = design.solve_line(project.plumbing, laid, design.hottest(weather, project.place))
    return project, weather, laid[0], solved


@cache
def grid(clock: tuple[int, ...] = (16, 19), winds: tuple[float, ...] = WINDS) -> AfternoonGrid:
    project, weather, laid, solved = scene()
    airs = outdoor_air.through_the_day(weather, project.place, "hot", clock, 2026)
    found = afternoon_grid(
        project.patios[0], laid, solved, project.plumbing, airs, clock, winds, None, project.place.bearing
    )
    assert found is not None
    return found


def test_hours_of_the_clock_are_those_of_the_days_of_that_afternoon():
    """Station hours end on the hour in standard time: 4 pm on the wall in July is the file's 15 to 16."""
    project, weather, _, _ = scene()
    (hot, *_), clock = afternoon_airs(weather, project.place, "hot")
    assert clock == CLOCK
    days = np.unique(outdoor_air.selected(weather, outdoor_air.HourSelection())["hot"] // 24)
    assert hot.temperature.tolist() == weather.temperature[days * 24 + CLOCK[0] - 1].tolist()
    winter = outdoor_air.through_the_day(
        weather, replace(project.place, daylight_saving="none"), "hot", (15,), 2026
    )[0]
    assert winter.temperature.tolist() == weather.temperature[days * 24 + 15].tolist()


@pytest.mark.thorough
def test_a_patio_turned_from_the_first_has_its_own_wind_and_sun():
    project, weather, laid, solved = scene()
    patio, place = project.patios[0], project.place

    def drawn(turned: float, bearing: float) -> AfternoonGrid:
        found = afternoon_hours.afternoon_grid(
            replace(patio, turned=turned), laid, solved, project.plumbing,
            replace(place, bearing=place.bearing + bearing), weather, "hot", (0.9,), 1.0,
        )  # fmt: skip
        assert found is not None
        return found

    second, alone = drawn(1.0, 0.0), drawn(0.0, 1.0)
    for name in ("toward", "seat_bands", "mist", "sun", "sun_seats"):
        assert getattr(second, name).tolist() == getattr(alone, name).tolist(), name
    off = second.toward - (place.bearing + 1.0 - 1.0 + np.pi)  # a wind felt in the place: within 22.5 degrees
    assert np.abs((off + np.pi) % (2 * np.pi) - np.pi).max() <= np.pi / 8 + 1e-12


@pytest.mark.thorough
def test_all_hours_together_answer_as_each_alone():
    """One balance for all of them shares nothing but the arithmetic."""
    whole, alone = grid(), grid((19,), (0.9,))
    for name in ("seat_bands", "felt", "cooler", "drop", "mist", "both"):
        together, single = getattr(whole, name)[1, 1], getattr(alone, name)[0, 0]
        assert together == pytest.approx(single, abs=1e-6), name
    assert whole.cuts[0].mist[1, 1] == pytest.approx(alone.cuts[0].mist[0, 0], abs=1e-6)


def test_the_picture_is_the_middle_of_the_range_told_at_the_seats():
    """Within 0.2 K, a cell of the map being up to a third of a meter off its seat, in calm and in light air;
    in more wind a plume may pass right over a seat, whose range has the mean of those that do and do not."""
    found = grid()
    cells = [(np.abs(found.y - y).argmin(), np.abs(found.x - x).argmin()) for x, y in found.seats]
    shown = np.mean([found.mist[:, :2, row, column] for row, column in cells], axis=0)
    assert shown == pytest.approx(found.cooler[:, :2, WAYS_TO_COOL.index("mist"), 1], abs=0.2)


def test_nothing_is_cooler_than_its_wet_bulb_and_ranges_stand_in_order():
    found = grid()
    assert (found.drop[..., 2] <= found.depression[..., 1] + 1e-9).all()
    for bands in (found.seat_bands, found.felt, found.cooler, found.drop):
        assert (np.diff(bands, axis=-1) >= 0).all()
    assert (found.wet_bulb < found.air).all() and (found.air[0] > found.air[1])


def test_more_wind_carries_more_of_the_cold_away():
    found = grid()
    both = WAYS_TO_COOL.index("both")
    assert (np.diff(found.drop[..., 1], axis=1) < 0).all()
    assert (np.diff(found.cooler[:, :, both, 1], axis=1) < 0).all()
    assert found.mist[:, :, found.inside].min() >= -1e-9


def test_what_the_map_says_at_a_fan_is_the_index_of_its_air():
    """SET of the shade less SET before the fan, worked out apart from the grid, at its middle draw."""
    found = grid((16,), (0.9,))
    t, wet = float(found.air[0]), float(found.wet_bulb[0])
    assert wet < t and len(found.speeds) == 2 and DRAWS >= 20
    still, moved = (
        float(comfort.standard_effective_temperature(t, t, speed, 0.12, 1.0, 0.5, 88e3))
        for speed in (0.1, found.speeds[1])
    )
    assert 0.3 * (still - moved) < found.fan[0, 0, 1] < 1.5 * (still - moved)


def test_the_plan_and_the_cut_show_the_same_air_at_the_seat():
    found = grid()
    cut = found.cuts[0]
    x, y = found.seats[cut.seat]
    column, row = int(np.abs(found.x - x).argmin()), int(np.abs(found.y - y).argmin())
    level, place = int(np.abs(cut.up - SEATED).argmin()), int(np.abs(cut.along - cut.seat_along).argmin())
    assert found.mist[:, :, row, column] == pytest.approx(cut.mist[:, :, level, place], abs=0.5)
    assert cut.wall and 0 < cut.line_along < cut.seat_along < cut.along[-1]


@pytest.mark.thorough
def test_the_sun_of_an_hour_lies_on_the_open_side_it_comes_from_and_sets():
    project, weather, laid, solved = scene()
    airs, clock = afternoon_airs(weather, project.place, "hot")
    found = afternoon_grid(
        project.patios[0], laid, solved, project.plumbing, airs, clock, (0.9,), np.pi, project.place.bearing
    )
    assert found is not None
    lit = (found.sun > 0.5).sum(axis=(1, 2))
    assert lit[2] > lit[0] and lit[-1] == 0 and found.sun_toward[-1] is None
    blows_to = project.place.bearing - found.toward + np.pi  # a south wind, as far as neighbors turn it
    assert (np.abs((blows_to - np.pi + np.pi) % (2 * np.pi) - np.pi) < 0.5).all()


def test_an_afternoon_typed_in_has_one_hour_and_no_water_no_answer():
    project, weather, laid, solved = scene("terraza")
    airs, clock = afternoon_airs(weather, project.place, "hot")
    assert clock == (None,)
    patio = project.patios[0]
    dry = replace(solved, marks=tuple(replace(mark, flow=0.0) for mark in solved.marks))
    arguments = (project.plumbing, airs, clock, (0.9,))
    assert afternoon_grid(patio, laid, dry, *arguments) is None
    wet = afternoon_grid(patio, laid, solved, *arguments)
    assert wet is not None and wet.sun_toward == (None,)
