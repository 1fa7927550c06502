"""The close-in calendar against numpy's busday functions, and the orders it may be given.

Order, trades and days of the usual steps: common practice, no source. Least days between coats: International
Building Code 2018, table 2512.6 (48 h from first to second coat, 7 days from second to finish), as published.
"""

from __future__ import annotations

import datetime
import random
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import checks, design, words
from mistcalc.files import parse_project
from mistcalc.model.close_in import SCRATCH, USUAL, circle, planned_steps, without_idle
from mistcalc.model.project import Dates, DateStep
from mistcalc.model.results import Calendar
from mistcalc.schedule import WEEK, close_in_calendar
from tests import builders, random_projects

DAY = datetime.timedelta(days=1)
THREE = ("three-coat",)


def busdays(dates: Dates) -> dict:
    week = dates.work_days or WEEK[:5]
    off = [np.datetime64(day) for day in dates.days_off] if dates.scratch_coat else []
    return {"weekmask": "".join("01"[day in week] for day in WEEK), "holidays": off}


def random_dates(seed: int) -> Dates:
    pick = random.Random(seed)
    scratch = datetime.date(2027, 1, 1) + pick.randint(0, 700) * DAY
    off = tuple(scratch + pick.randint(-60, 60) * DAY for _ in range(pick.randint(0, 20)))
    week = tuple(pick.sample(WEEK, pick.randint(2, 7))) if pick.random() < 0.5 else None
    steps = tuple(DateStep(step.name, days=pick.randint(1, 9)) for step in pick.sample(USUAL, 4))
    return Dates(scratch, week, off, steps)


def at(calendar: Calendar, name: str) -> tuple[datetime.date, datetime.date]:
    step = calendar.step(name)
    assert step is not None, name
    return step.first, step.last


# 2026-03-16 is a Monday; the days are those of the table: 2, then 7, then 28 of paint's usual wait.
def test_coats_and_paint_stand_as_far_apart_as_the_code_and_practice_ask() -> None:
    calendar = close_in_calendar(Dates(datetime.date(2026, 3, 16)), THREE)
    firsts = [at(calendar, name)[0] for name in (SCRATCH, "brown coat", "finish coat", "paint")]
    assert firsts == [datetime.date(2026, *day) for day in ((3, 16), (3, 18), (3, 25), (4, 22))]


@pytest.mark.parametrize("seed", range(60))
def test_before_the_scratch_coat_every_day_is_counted_back_as_numpy_counts(seed: int) -> None:
    """The chain second test, lath, paper, first test, tube, wiring: each ends on the last working day before
    the next begins, and takes its working days."""
    dates = random_dates(seed)
    calendar, how = close_in_calendar(dates, THREE), busdays(dates)
    assert dates.scratch_coat is not None
    begun = np.datetime64(dates.scratch_coat)
    days = {step.name: step.days for step in planned_steps(dates, THREE)}
    for name in ("second test", "lath", "paper", "first test", "tube", "wiring"):
        last = np.busday_offset(begun - 1, 0, roll="backward", **how)
        first = np.busday_offset(last, 1 - days[name], **how)
        assert at(calendar, name) == (first.item(), last.item()), name
        begun = first


@pytest.mark.parametrize("seed", range(60))
def test_after_the_scratch_coat_coats_cure_by_the_calendar_and_come_on_working_days(seed: int) -> None:
    dates = random_dates(seed)
    calendar, how = close_in_calendar(dates, THREE), busdays(dates)
    days = {step.name: step.days for step in planned_steps(dates, THREE)}

    def next_one(after: str, wait: int, name: str) -> tuple[datetime.date, datetime.date]:
        first = np.busday_offset(np.datetime64(at(calendar, after)[1]) + wait, 0, roll="forward", **how)
        return first.item(), np.busday_offset(first, days[name] - 1, **how).item()

    assert at(calendar, "brown coat") == next_one(SCRATCH, 2, "brown coat")
    assert at(calendar, "third test") == next_one("brown coat", 2, "third test")
    both = next_one("brown coat", 7, "finish coat"), next_one("third test", 1, "finish coat")
    assert at(calendar, "finish coat") == max(both)
    assert at(calendar, "paint") == next_one("finish coat", 28, "paint")


@pytest.mark.parametrize("seed", range(60))
def test_columns_are_the_working_days_numpy_counts_from_the_scratch_coat(seed: int) -> None:
    dates = random_dates(seed)
    calendar, how = close_in_calendar(dates, THREE), busdays(dates)
    scratch = calendar.scratch_coat
    assert calendar.works_then == bool(np.is_busday(np.datetime64(scratch), **how))
    for day, count in calendar.days:
        if day == scratch:
            assert count == 0
            continue
        assert np.is_busday(np.datetime64(day), **how)
        ends = (day, scratch) if day < scratch else (scratch + DAY, day + DAY)
        assert count == np.busday_count(*ends, **how) * (-1 if day < scratch else 1)
    assert len({day.date for day in calendar.days}) == len(calendar.days)


SEEDS = [pytest.param(seed, marks=pytest.mark.thorough if seed >= 50 else ()) for seed in range(300)]


@pytest.mark.thorough
@pytest.mark.parametrize("seed", SEEDS)
def test_in_any_order_a_project_gives_every_step_waits_for_all_it_comes_after(seed: int) -> None:
    project = parse_project(random_projects.project_text(seed))
    systems = [patio.plaster.system for patio in project.patios]
    calendar, how = close_in_calendar(project.dates, systems), busdays(project.dates)
    steps = {step.name: step for step in without_idle(planned_steps(project.dates, systems))}
    assert {step.name for step in calendar.steps} == set(steps)
    assert at(calendar, SCRATCH)[0] == calendar.scratch_coat
    for name, step in steps.items():
        first, last = at(calendar, name)
        if name != SCRATCH:
            assert np.is_busday(np.datetime64(first), **how) or not step.days, name
        if step.days and name != SCRATCH:
            assert np.busday_count(first, last + DAY, **how) == step.days
        for after in step.after:
            gap = (first - at(calendar, after.name)[1]).days
            if name != SCRATCH or gap >= max(after.days, 1):
                assert gap >= max(after.days, 1 if step.days else 0), (name, after)


def test_a_step_of_ones_own_stands_where_it_is_put() -> None:
    own = DateStep("insulation", "insulator", 2, ("first test",))
    paper = DateStep("paper", after=("insulation",))
    calendar = close_in_calendar(Dates(datetime.date(2027, 3, 8), steps=(own, paper)), THREE)
    # By the calendar of 2027: paper on Monday 1 March, so insulation on Thursday and Friday before it.
    assert at(calendar, "insulation") == (datetime.date(2027, 2, 25), datetime.date(2027, 2, 26))
    assert at(calendar, "first test")[1] == datetime.date(2027, 2, 24)
    loose = DateStep("mesh over the vents", "lather", 3)  # after nothing: done by the day before the coat
    calendar = close_in_calendar(Dates(datetime.date(2027, 3, 8), steps=(loose,)), THREE)
    assert at(calendar, loose.name) == (datetime.date(2027, 3, 3), datetime.date(2027, 3, 5))


def test_what_only_the_finish_coat_waits_for_comes_as_late_as_that_lets_it() -> None:
    beads = DateStep("beads", "plasterer", 2)
    finish = DateStep("finish coat", after=("brown coat + 7 days", "third test", "beads"))
    calendar = close_in_calendar(Dates(datetime.date(2027, 3, 8), steps=(beads, finish)), THREE)
    assert at(calendar, "finish coat")[0] == datetime.date(2027, 3, 17)
    assert at(calendar, "beads") == (datetime.date(2027, 3, 15), datetime.date(2027, 3, 16))


def test_a_test_without_a_day_of_its_own_is_the_day_the_work_ends() -> None:
    dates = Dates(datetime.date(2027, 3, 8), steps=(DateStep("second test", days=0),))
    calendar = close_in_calendar(dates, THREE)
    held = calendar.hold("lath")
    assert held is not None and held.last == at(calendar, "lath")[1] == datetime.date(2027, 3, 5)


def test_in_one_coat_nothing_comes_between_base_and_finish_and_a_bare_ceiling_is_closed() -> None:
    monday = Dates(datetime.date(2027, 3, 8))
    calendar = close_in_calendar(monday, ("one-coat", "none"))
    assert calendar.step("brown coat") is None and calendar.hold("brown") is None
    assert at(calendar, "finish coat")[0] == datetime.date(2027, 3, 15)
    bare = close_in_calendar(monday, ("none",))
    assert [step.name for step in bare.steps] == [
        "framing", "wiring", "plumbing", "tube", "first test", SCRATCH, "paint", "nozzles",
    ]  # fmt: skip
    assert at(bare, "paint")[0] == datetime.date(2027, 3, 9)


def test_without_a_day_days_are_counted_and_without_steps_there_is_no_calendar() -> None:
    project = builders.project()
    stated = Dates(None, days_off=(datetime.date(2001, 1, 1),), steps=(DateStep("lath", days=2),))
    assert design.dates(replace(project, dates=Dates())) == (None, ())
    calendar, findings = design.dates(replace(project, dates=stated))
    assert calendar is not None and not calendar.dated and calendar.works_then and findings == ()
    assert calendar.scratch_coat.weekday() == 0


def test_a_circle_is_found_with_its_steps() -> None:
    assert circle(USUAL) == ()
    stated = (DateStep("wiring", after=("lath",)),)
    assert set(circle(planned_steps(Dates(steps=stated), THREE))) == {
        "wiring", "tube", "first test", "paper", "lath",
    }  # fmt: skip


# ------------------------------------------------------------------ judgements


def codes(*steps: DateStep, scratch: tuple[int, int, int] = (2027, 3, 8)) -> dict[str, list]:
    calendar = close_in_calendar(Dates(datetime.date(*scratch), steps=steps), THREE)
    told: dict[str, list] = {}
    for finding in checks.calendar_findings(calendar):
        assert words.say(finding) and finding.audience == ("builder",)
        told.setdefault(finding.code, []).append(finding)
    return told


def test_the_usual_order_is_sound_and_a_sunday_is_not() -> None:
    assert codes() == {}
    assert set(codes(scratch=(2027, 3, 7))) == {"scratch-on-day-off"}


def test_lath_over_a_line_that_was_not_tested_is_told() -> None:
    told = codes(DateStep("lath", after=("framing",)), DateStep("paper", after=("framing",)))
    pairs = [(f.value("first"), f.value("then")) for f in told["close-in-order"]]
    assert ("first test", "lath") in pairs or ("first test", "paper") in pairs


def test_coats_nearer_than_the_code_has_them_are_told_with_their_days() -> None:
    told = codes(
        DateStep("brown coat", after=("scratch coat",)),
        DateStep("finish coat", after=("brown coat + 5 days", "third test")),
    )
    brown, finish = told["coat-early"]
    assert (brown.provided, brown.required) == (1, 2)
    # Tuesday 9 March and five days: Sunday, so Monday 15 March, six days on.
    assert (finish.provided, finish.required, finish.value("watched")) == (6, 7, "yes")
    assert "watch" in words.say(finish) and "watch" not in words.say(brown)


def test_one_trade_in_two_places_is_told_once() -> None:
    twice = codes(DateStep("beads", "lather", 3), DateStep("vents", "lather", 2))["trade-twice"]
    assert [f.value("steps") for f in twice] == [("lath", "beads", "vents")]
