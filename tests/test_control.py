"""What else a control is set to: where its wind is measured, sides, rest times, days and water of a day."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mistcalc import design, files, report, season
from mistcalc.checks import SEASON_LIMITS, mist_verdict
from mistcalc.model.project import Control, side_of
from mistcalc.model.results import HourlyUse, year_band
from mistcalc.season.holds import timed
from tests import builders
from tests.test_design import demo, planned
from tests.test_season import NOT_AHEAD, made_up

CONTROL = Control(304.0, 302.0, 0.55, 4.5, (14.0, 20.0), (5, 9))
CALM, WARM = np.zeros((1, 8760)), np.ones(8760, dtype=bool)


def run(control: Control, **air: object) -> season.ControlYear:
    table = season.timetable(control, NOT_AHEAD, 3)  # the year begins on a Thursday
    given = {"humidity": CALM, "wind": CALM, **air}
    return season.control_year(control, table, WARM, **given)


@pytest.mark.parametrize(
    ("degrees", "side"),
    [(0, 0), (22, 0), (23, 1), (45, 1), (180, 4), (270, 6), (315, 7), (337, 7), (338, 0), (360, 0)],
)
def test_sides_are_eighths_of_the_compass(degrees, side):
    assert side_of(np.array([np.radians(degrees)])) == [side]


def test_the_wind_stop_is_measured_where_it_says():
    """8 m/s at the mast, 2 m/s in the yard, in every hour of use."""
    air = {"wind": CALM + 2.0, "mast_wind": np.full(8760, 8.0)}
    assert run(CONTROL, **air).runs.sum() == 918
    at_mast = replace(CONTROL, wind_measured_at="mast")
    assert run(at_mast, **air).runs.sum() == 0 and run(at_mast, **air).kept_off["windy"].sum() == 918
    assert run(at_mast, wind=CALM + 9.0).runs.sum() == 918  # no mast is known


def test_an_afternoon_is_stopped_by_the_same_wind():
    control = replace(builders.project().control, wind_stop=4.5, wind_measured_at="mast")
    hours = {"relative_humidity": np.full(3, 0.2), "wind": np.full(3, 2.0), "hours_used": 3}
    air = replace(builders.air(), **hours, mast_wind=np.array([8.0, 8.0, 3.0]))
    assert mist_verdict(builders.cooling(), (), air, control).stopped == pytest.approx(2 / 3)
    patio = replace(control, wind_measured_at="patio")
    assert mist_verdict(builders.cooling(), (), air, patio).stopped == 0.0
    west = replace(patio, not_from=("W",))
    blown = replace(air, direction=np.radians([270.0, 90.0, np.nan]))
    assert mist_verdict(builders.cooling(), (), blown, west).stopped == pytest.approx(1 / 3)


def test_a_barred_side_keeps_it_off_and_a_calm_comes_from_none():
    direction = np.radians(np.arange(8760) % 360.0)
    direction[::2] = np.nan
    year = run(replace(CONTROL, not_from=("W", "NW")), direction=direction)
    barred = (direction >= np.radians(247.5)) & (direction < np.radians(337.5))
    assert not np.any(year.runs[0] & barred)
    assert np.array_equal(year.kept_off["side"][0], barred & season.timetable(CONTROL, NOT_AHEAD).used)


def test_days_of_the_week_are_those_of_the_year_named():
    """2026 begins on a Thursday: May 1 is a Friday."""
    year = run(replace(CONTROL, days=("Fri",)))
    days = np.flatnonzero(year.runs[0].reshape(365, 24).any(axis=1))
    assert days[0] == 120 and set(np.diff(days)) == {7}
    assert year.kept_off["day"].sum() == 918 - 6 * len(days)


@pytest.mark.parametrize(("most", "hours"), [(2.0, 2), (1.9, 1), (0.9, 0), (100.0, 6)])
def test_a_days_water_reaches_so_many_whole_hours(most, hours):
    year = run(replace(CONTROL, most_a_day=most), an_hour=1.0)
    assert set(year.runs[0].reshape(365, 24)[120:273].sum(axis=1)) == {hours}
    assert year.kept_off["water"].sum() == 153 * (6 - hours)


@given(
    st.lists(st.tuples(st.booleans(), st.booleans()), min_size=1, max_size=60),
    st.integers(0, 4),
    st.integers(0, 4),
)
def test_least_run_and_rest_against_a_walk_hour_by_hour(hours, run_hours, rest_hours):
    """wanted, stopped in stretches of ten hours in use and two out of use."""
    control = replace(CONTROL, least_run=3600.0 * run_hours, least_rest=3600.0 * rest_hours)
    used = np.arange(len(hours)) % 12 < 10
    stopped = np.array([stop for _, stop in hours])
    wanted = np.array([want for want, _ in hours]) & ~stopped & used
    told = timed(control, used, wanted[None], stopped[None])[0]
    on, since, expected = False, 99, []
    for n in range(len(hours)):
        if not used[n]:
            on, since = False, 99
            expected.append(False)
            continue
        goes = (wanted[n] and (on or since >= rest_hours)) or (on and since < run_hours and not stopped[n])
        since = since + 1 if goes == on else 1
        on = goes
        expected.append(goes)
    assert told.tolist() == expected


def test_every_hour_of_use_still_has_one_reason():
    dice = np.random.default_rng(4)
    control = replace(
        CONTROL, not_from=("N", "E"), days=("Mon", "Tue", "Sat"), least_run=7200.0, least_rest=7200.0,
        most_a_day=1.0,
    )  # fmt: skip
    table = season.timetable(control, NOT_AHEAD, 3)
    year = season.control_year(
        control, table, dice.random(8760) < 0.6, dice.random((4, 8760)), 9 * dice.random((4, 8760)),
        None, 6.28 * dice.random(8760), 1.0,
    )  # fmt: skip
    reasons = np.stack([year.runs, *year.kept_off.values()]).astype(int)
    assert np.array_equal(reasons.sum(axis=0), np.broadcast_to(table.used, (4, 8760)))
    assert all(held.any() for held in year.kept_off.values())


def test_days_without_an_hour_are_counted_by_their_weekday():
    control = replace(CONTROL, days=("Tue", "Thu", "Sat"))
    table = season.timetable(control, NOT_AHEAD, 3)
    year = run(control)
    felt = made_up(year.runs[:, table.used])
    even = np.full(8760, 300.0)
    told = season.tally(table, year, (felt,), SEASON_LIMITS, "x", even, HourlyUse(1.0, None, None))
    counts = [sum((day + 3) % 7 == weekday for day in range(120, 273)) for weekday in range(7)]
    wanted = [count if weekday not in (1, 3, 5) else 0 for weekday, count in enumerate(counts)]
    assert told.shut_days[0].tolist() == wanted


@pytest.mark.thorough
def test_restrictions_are_told_with_what_they_leave_undone():
    project, weather = demo("courtyard")
    control = replace(project.control, days=("Tue", "Thu", "Sat"), most_a_day=0.4)  # 106 gal: two hours
    restricted = replace(project, control=control)
    told, findings = design.season_of(restricted, weather)
    (finding,) = (f for f in findings if f.code == "season-restricted")
    assert finding.value("day") == pytest.approx(year_band(told.kept_off["day"])[1])
    assert told.longest_day.max() <= 2
    text = " ".join(report.season_sentences(told, findings, restricted, "us", "en").split())
    assert "Monday, Wednesday, Friday and Sunday" in text and "At most 106 gal a day" in text
    assert "allowed" not in text


def test_the_keys_read_and_write_back():
    text = files.example_text("courtyard").replace(
        "[control]\n",
        '[control]\nwind_measured_at = "mast"\nnot_from = ["W", "NW"]\nleast_run = "15 min"\n'
        'least_rest = "10 min"\ndays = ["Tue"]\nmost_a_day = "200 gal"\n',
    )
    project = files.parse_project(text)
    control = project.control
    assert (control.wind_measured_at, control.not_from, control.least_run) == ("mast", ("W", "NW"), 900.0)
    job = planned("courtyard")
    assert design.code_of_contents(replace(job, project=project)) != job.code
    back = files.rewrite(text, replace(project, control=replace(control, days=None, not_from=())))
    again = files.parse_project(back).control
    assert again == replace(control, days=None, not_from=())
