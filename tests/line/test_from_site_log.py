"""From lines of a log to answers, through the conductor: what a fitter types, and what he leaves out."""

import dataclasses
import datetime

import pytest

from mistcalc import design, files
from mistcalc.line import pressure_tests
from mistcalc.model.results import GaugeReading
from mistcalc.words import say
from tests.line.hold_lines import PSI, kelvin


@pytest.fixture(scope="module")
def job():
    project = files.parse_project(files.example_text("courtyard"))
    layouts = tuple(design.lay(patio)[0] for patio in project.patios)
    line, _ = design.solve_line(project.plumbing, layouts)
    plan, _ = design.project_pressure_test_plan(project, line, None)
    return project, line, plan


def log(*rows):
    """Entries from (minutes after eight, field, value)."""
    start = datetime.datetime(2027, 3, 1, 8, 0)
    return tuple(files.site_entry(start + datetime.timedelta(minutes=m), f, v) for m, f, v in rows)


def held(*rows, kind="test", at=0, last=15, tube=("70 degF", "70 degF")):
    return (
        (at, f"{kind} start", rows[0]),
        (at, f"{kind} tube", tube[0]),
        (at + last, f"{kind} gauge", rows[1]),
        (at + last, f"{kind} tube", tube[1]),
    )


def judged(job, *rows):
    project, line, plan = job
    return design.judge_pressure_tests(project.plumbing, line, project.place, plan, log(*rows))


def codes(job, *rows):
    return [finding.code for finding in judged(job, *rows)[1]]


@pytest.mark.parametrize(
    ("gauge", "tube", "code"),
    [
        ("1000 psi", "70 degF", "hold-test-holds"),
        ("1090 psi", "73 degF", "hold-test-temperature"),
        ("880 psi", "70 degF", "hold-test-again"),
        ("200 psi", "70 degF", "hold-test-leak"),
        ("1430 psi", "90 degF", "hold-test-unsure"),
    ],
)
def test_five_answers(job, gauge, tube, code):
    verdicts, findings = judged(job, *held("1000 psi", gauge, tube=("70 degF", tube)))
    assert [f.code for f in findings] == [code]
    assert verdicts[0].seconds == 900
    assert "{" not in say(findings[0]) and "NaN" not in say(findings[0])


def test_pumped_up_and_held_again(job):
    first = held("1000 psi", "800 psi")
    assert codes(job, *first, *held("1000 psi", "780 psi", at=25)) == ["hold-test-leak"]
    assert codes(job, *first, *held("1000 psi", "960 psi", at=25)) == ["hold-test-temperature"]
    verdicts, _ = judged(job, *first, *held("1000 psi", "780 psi", at=25))
    assert [v.number for v in verdicts] == [1, 2]
    # the next day it is a series of its own
    assert codes(job, *first, *held("1000 psi", "800 psi", at=1440)) == ["hold-test-again", "hold-test-again"]


def test_the_order_of_lines_does_not_matter(job):
    rows = (*held("1000 psi", "800 psi"), *held("1000 psi", "780 psi", at=25))
    assert judged(job, *rows) == judged(job, *rows[::-1])


WATCH = (
    (0, "watch start", "60 psi"), (0, "watch tube", "60 degF"), (0, "watch vessel", "60 degF"),
)  # fmt: skip


def read(day, gauge, tube="60 degF", vessel="60 degF"):
    at = day * 1440
    return ((at, "watch gauge", gauge), (at, "watch tube", tube), (at, "watch vessel", vessel))


def test_a_watch_is_judged_at_each_reading(job):
    verdicts, findings = judged(job, *WATCH, *read(1, "60 psi"), *read(2, "56 psi"), *read(3, "50 psi"))
    assert verdicts[0].answer == "holds" and verdicts[-1].answer == "leak"
    assert findings[0].code == "hold-watch-leak" and findings[0].level == "fail"
    assert codes(job, *WATCH, *read(1, "60 psi")) == ["hold-watch-holds"]
    warm = read(1, "65 psi", "85 degF", "80 degF")
    assert codes(job, *WATCH, *warm)[0] in ("hold-watch-temperature", "hold-watch-unsure")
    # a leak found once stays told, though a warm noon hides it
    assert "hold-watch-leak" in codes(
        job, *WATCH, *read(1, "60 psi"), *read(2, "50 psi"), *read(3, "60 psi", "90 degF", "90 degF")
    )


def restart(day):
    """Pumped up again a quarter of an hour after the dawn of a day."""
    return tuple((day * 24 * 60 + 15, what, value) for _, what, value in WATCH)


def test_a_watch_begins_after_two_equal_dawns_and_its_first_fall_is_pumped_up(job):
    # before two equal dawns a fall says pump up, whatever a tenth of the air would explain
    verdicts, findings = judged(job, *WATCH, *read(1, "53 psi"))
    assert [v.answer for v in verdicts] == ["again"] and not verdicts[0].begun
    assert findings[0].level == "warn" and "has not begun" in say(findings[0])
    assert "STOP" not in say(findings[0])
    # as far as no air could bring it, it leaks all the same
    assert codes(job, *WATCH, *read(1, "30 psi")) == ["hold-watch-leak"]
    # begun: a first fall is pumped up again, a second one stops
    first = (*WATCH, *read(1, "60 psi"), *read(2, "57.9 psi"))
    verdicts, findings = judged(job, *first)
    assert [v.answer for v in verdicts] == ["holds", "again"] and verdicts[1].begun
    assert "a second time" in say(findings[0])
    held = (*first, *restart(2), *read(3, "60 psi"))
    assert codes(job, *held) == ["hold-watch-holds"]
    verdicts, findings = judged(job, *first, *restart(2), *read(3, "57.9 psi"))
    assert verdicts[-1].answer == "leak" and "STOP PLASTER" in say(findings[0])
    # falls before it had begun do not count
    early = (*WATCH, *read(1, "56 psi"), *restart(1), *read(2, "60 psi"), *read(3, "57.9 psi"))
    assert [v.answer for v in judged(job, *early)[0]] == ["again", "holds", "again"]


def test_a_draw_measures_the_gas(job):
    project, line, _ = job
    # By Boyle alone: 10 mL out of 250 mL at sea level, 74.7 psi to 74.7 * 250 / 260.
    place = files.parse_project(files.example_text("bayou")).place
    draw = (
        (-30, "watch gauge", "60 psi"),
        (-30, "watch tube", "60 degF"),
        (-29, "watch draw", f"{74.7 * 250 / 260 - 14.7:.2f} psi"),
    )
    rows = log(*draw, *WATCH, *read(1, "60 psi"))
    (one,), gaps = pressure_tests(rows, project.plumbing, line, place.elevation)
    assert not gaps
    assert one.gas == pytest.approx(250e-6, rel=0.03)  # the tube's own give, and the gauge to 0.01 psi
    assert one.start == GaugeReading(
        pytest.approx(60 * PSI), pytest.approx(kelvin(60)), pytest.approx(kelvin(60))
    )


@pytest.mark.parametrize(
    ("rows", "missing"),
    [
        ((), None),
        (((0, "test gauge", "900 psi"),), "hold-start"),
        (((0, "test start", "900 psi"),), "hold-temperature"),
        (((0, "test start", "900 psi"), (0, "test tube", "70 degF")), "hold-gauge"),
        ((*held("1000 psi", "990 psi")[:3],), "hold-temperature"),
        ((*WATCH[:2], *read(1, "60 psi")), "hold-temperature"),
        (((-20, "watch draw", "50 psi"), *WATCH, *read(1, "60 psi")), "hold-before draw"),
        (
            ((-20, "watch gauge", "60 psi"), (-20, "watch tube", "60 degF"), (-19, "watch draw", "60 psi"),
             *WATCH, *read(1, "60 psi")),
            "hold-draw",
        ),
    ],
)  # fmt: skip
def test_what_a_log_leaves_out_is_said(job, rows, missing):
    _, findings = judged(job, *rows)
    told = [f.value("missing") for f in findings if f.code == "hold-gap"]
    assert told == ([missing] if missing else [])
    assert all(f.level != "fail" for f in findings)
    assert all("{" not in say(f) for f in findings)


def test_a_gauge_dated_before_its_start_is_not_silently_left_out(job):
    """Typed with yesterday's date it was written down, and in no answer."""
    rows = ((-90, "test gauge", "950 psi"), (-90, "test tube", "70 degF"), *held("1000 psi", "995 psi"))
    verdicts, findings = judged(job, *rows)
    early = [f for f in findings if f.code == "hold-early"]
    assert len(early) == 1 and early[0].level == "note" and "strike it out" in say(early[0])
    same, others = judged(job, *held("1000 psi", "995 psi"))
    assert [v.answer for v in verdicts] == [v.answer for v in same]
    assert [f for f in findings if f not in early] == list(others)


def test_a_fall_nobody_can_judge_is_to_be_looked_at(job):
    """Written with the tube's temperature alone it was told as a note, and as one without any."""
    fell = ((0, "watch start", "60 psi"), (0, "watch tube", "60 degF"), (1440, "watch gauge", "40 psi"))
    _, (told,) = judged(job, *fell)
    assert told.level == "warn"
    _, (begun,) = judged(job, (0, "test start", "900 psi"), (0, "test tube", "70 degF"))
    assert begun.level == "note"  # a hold that has only begun
    assert "on a watch none of the vessel" in say(told) and "nothing counts as passed" in say(told)


def test_a_cold_night_is_answered_too(job):
    cold = read(1, "52 psi", "24 degF", "24 degF")
    _, findings = judged(job, (0, "watch start", "60 psi"), (0, "watch tube", "120 degF"),
                         (0, "watch vessel", "120 degF"), *cold)  # fmt: skip
    assert len(findings) == 1 and "{" not in say(findings[0])


def test_a_line_that_holds_no_water_has_no_test(job):
    project, line, _ = job
    empty = dataclasses.replace(line, duty=dataclasses.replace(line.duty, fill_volume=0.0))
    assert design.project_pressure_test_plan(project, empty, None) == (None, ())
