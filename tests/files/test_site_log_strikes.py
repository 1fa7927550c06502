"""A line typed wrongly is struck out by another: the log only grows, the wrong reading counts no more."""

import json

import pytest

from mistcalc import design, files, words
from mistcalc.errors import InputErrors
from mistcalc.model.site_log import apply_strikes, strike_of


def log(*rows):
    return files.parse_site_log(
        "\n".join(json.dumps({"when": f"2027-03-01T{w}", "field": f, "value": v, **k}) for w, f, v, k in rows)
    )


WRONG = ("08:15", "test gauge", "95 psi", {})
RIGHT = ("08:15", "test gauge", "995 psi", {})


def strike(value, **keys):
    return ("09:00", "strike", value, keys)


@pytest.mark.parametrize(
    "value",
    [
        "2027-03-01T08:15 test gauge 95 psi",
        "2027-03-01 08:15 test gauge 95 psi",
        "2027-03-01T08:15:00  Test  gauge 95 PSI",
    ],
)
def test_the_line_named_counts_no_more_and_the_right_one_does(value):
    found = apply_strikes(log(WRONG, RIGHT, strike(value, who="P")))
    assert [e.value for e in found.kept] == ["995 psi"]
    assert [(s.entry.value, s.by.who) for s in found.struck] == [("95 psi", "P")]
    assert found.idle == ()


def test_order_does_not_matter_since_logs_are_joined():
    assert [
        e.value for e in apply_strikes(log(strike("2027-03-01T08:15 test gauge 95 psi"), WRONG)).kept
    ] == []


@pytest.mark.parametrize(
    "value",
    [
        "2027-03-01T08:15 test gauge 96 psi",
        "2027-03-01T08:16 test gauge 95 psi",
        "2027-03-01 test gauge 95 psi",
    ],
)
def test_a_strike_that_meets_nothing_is_told_and_takes_nothing_away(value):
    found = apply_strikes(log(WRONG, strike(value)))
    assert len(found.kept) == 1 and found.struck == () and len(found.idle) == 1
    (said,) = map(words.say, design.struck_out(log(WRONG, strike(value))))
    assert value in said


def test_only_of_the_same_part_of_the_line():
    here, there = (("08:15", "test gauge", "95 psi", {"mark": zone}) for zone in ("north", "south"))
    found = apply_strikes(log(here, there, strike("2027-03-01T08:15 test gauge 95 psi", mark="south")))
    assert [e.mark for e in found.kept] == ["north"]


@pytest.mark.parametrize("value", [True, 17, "15'-0\""])
def test_any_line_can_be_struck_by_the_text_we_write_for_it(value):
    (entry,) = log(("10:00", "drilled", value, {}))
    found = apply_strikes((entry, *log(strike(strike_of(entry)))))
    assert found.kept == () and len(found.struck) == 1


def test_a_strike_can_be_struck():
    wrong_strike = strike("2027-03-01T08:15 test gauge 995 psi")
    again = ("09:05", "strike", "2027-03-01T09:00 strike 2027-03-01T08:15 test gauge 995 psi", {})
    assert apply_strikes(log(RIGHT, wrong_strike)).kept == ()
    for rows in ((RIGHT, wrong_strike, again), (again, wrong_strike, RIGHT)):
        found = apply_strikes(log(*rows))
        assert [e.value for e in found.kept] == ["995 psi"] and found.idle == ()


def test_times_with_offsets_are_the_same_time():
    wrong, by = files.parse_site_log(
        '{"when": "2027-03-01T08:15-07:00", "field": "test gauge", "value": "95 psi"}\n'
        '{"when": "2027-03-01T16:00Z", "field": "strike", '
        '"value": "2027-03-01T08:15-07:00 test gauge 95 psi"}'
    )
    assert apply_strikes((wrong, by)).kept == ()


@pytest.mark.parametrize("value", ["test gauge 95 psi", "2027-03-01T08:15", "", 5, True])
def test_a_strike_that_names_no_line_is_refused(value):
    with pytest.raises(InputErrors) as caught:
        log(WRONG, strike(value))
    (mistake,) = caught.value.mistakes
    assert mistake.line == 2 and "names no line" in words.say(caught.value)


def test_what_was_struck_is_judged_no_more_and_is_shown():
    project = files.parse_project(files.example_text("courtyard"))
    line, _ = design.solve_line(project.plumbing, tuple(design.lay(patio)[0] for patio in project.patios))
    plan, _ = design.project_pressure_test_plan(project, line, None)
    rows = [("08:00", "test start", "1000 psi", {}), ("08:00", "test tube", "70 degF", {})]
    rows += [("08:15", "test tube", "70 degF", {}), RIGHT, ("08:16", "test gauge", "95 psi", {})]

    def answers(entries):
        return [
            f.code
            for f in design.judge_pressure_tests(project.plumbing, line, project.place, plan, entries)[1]
        ]

    assert answers(log(*rows)) == ["hold-test-leak"]
    mended = log(*rows, strike("2027-03-01T08:16 test gauge 95 psi", who="P"))
    assert answers(mended) == ["hold-test-holds"]
    (struck,) = design.struck_out(mended)
    assert (
        struck.code == "site-struck" and "test gauge 95 psi" in words.say(struck) and "P" in words.say(struck)
    )
