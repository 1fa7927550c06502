"""Holes as the site log has them, beside the plan: joined in any order, and what is said of them."""

from __future__ import annotations

import dataclasses
import datetime
import json
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc import design, units, words
from mistcalc.errors import InputErrors
from mistcalc.files import append_site_log, parse_site_log, read_site_log
from mistcalc.files.site_log import site_line
from mistcalc.model.site_log import SiteEntry
from tests import builders

JOB = builders.design()
MARKS = tuple(mark.name for layout in JOB.layouts for mark in layout.marks)
ALONG = {mark.name: mark.along for layout in JOB.layouts for mark in layout.marks}
CLEAR = JOB.project.patios[0].marks.clear_of_members
BACK = JOB.layouts[0].marks[0].back


def tape(metres: float) -> str:
    return units.tape(metres, "us")


def line(field: str, value: object, mark: str = "A2", minute: int = 0, **more: str) -> str:
    when = f"2027-03-01T08:{minute:02d}:00"
    return json.dumps({"when": when, "field": field, "value": value, "mark": mark, **more})


def judged(*lines: str, job=JOB):
    return design.judge_holes(job, parse_site_log("\n".join(lines)))


def said(*lines: str, job=JOB) -> str:
    return "\n".join(words.say(finding) for finding in judged(*lines, job=job)[1])


def hole(*lines: str, mark: str = "A2"):
    return next(hole for hole in judged(*lines)[0] if hole.name == mark)


# ------------------------------------------------------------------ what is said


def test_a_log_without_holes_says_nothing_of_them():
    assert judged(line("test start", "900 psi", "")) == ((), ())


def test_drilled_measured_and_left():
    told = said(line("mark drilled", tape(ALONG["A2"])), line("mark measured", tape(ALONG["A3"]), "A3", 1))
    assert f"2 of {len(MARKS)} marks are drilled, 1 of them measured." in told
    assert "Drilled and not measured: A2." in told
    assert "Still to drill: A1 and A4." in told


@pytest.mark.parametrize("eighths", range(-4, 5))
def test_a_quarter_inch_along_is_held(eighths):
    """Within 1/4 in along, from the rule on the sheets: typed here, in eighths of an inch."""
    told = said(line("mark measured", tape(ALONG["A2"] + eighths * 0.0254 / 8)))
    assert ("A2 was found at" in told) == (abs(eighths) > 2)


@pytest.mark.parametrize("eighths", range(-90, 91, 6))
def test_a_hole_off_its_place_is_told_to_miss_the_wood_or_to_be_stopped(eighths):
    """One or the other, where the framing is known: nobody is sent up to look at what is worked out."""
    lines = (line("mark measured", tape(ALONG["A2"] + eighths * 0.0254 / 8)),)
    told, there = said(*lines), hole(*lines)
    if abs(eighths) > 2:
        misses = there.wood_clear >= CLEAR - 1e-9
        assert ("Its edge misses the framing by" in told) is misses
        assert ("STOP at A2" in told) is not misses
        assert ("the hole is in the joist" in told) is (there.wood_clear < 0)
        assert "See that the hole" not in told and "the rest is laid round it" in told


def test_no_hole_is_told_to_miss_joists_that_nobody_stated():
    """One that is upon them is stopped all the same: somebody has to look."""
    project = dataclasses.replace(JOB.project, assumed=("patio[porch].run[A].framing.first",))
    assert project.runs_on_assumed_joists("porch") == ("A",) and not JOB.project.runs_on_assumed_joists(
        "porch"
    )
    guessed = dataclasses.replace(JOB, project=project)
    stops = 0
    for eighths in range(-90, 91, 6):
        lines = (line("mark measured", tape(ALONG["A2"] + eighths * 0.0254 / 8)),)
        told, stated = said(*lines, job=guessed), said(*lines)
        assert "misses the framing" not in told
        assert ("See that the hole misses the joists" in told) is ("misses the framing" in stated)
        assert ("STOP at A2" in told) is ("STOP at A2" in stated)
        stops += "STOP at A2" in told
    assert stops


@pytest.mark.parametrize("eighths", range(-3, 4))
def test_an_eighth_across_is_held(eighths):
    told = said(
        line("mark back", tape(BACK + eighths * 0.0254 / 8)), line("mark measured", tape(ALONG["A2"]))
    )
    assert ("behind the edge" in told) == (abs(eighths) > 1)


def test_the_last_in_time_counts_wherever_it_stands():
    late, early = line("mark measured", "3 ft", minute=9), line("mark measured", "4 ft", minute=2)
    assert hole(late, early) == hole(early, late)
    assert hole(late, early).along == pytest.approx(3 * 0.3048)


def test_what_could_not_be_drilled_is_told_until_it_is():
    cannot = line("mark cannot", "joist in the way", minute=3)
    assert "A2 could not be drilled: joist in the way." in said(cannot)
    assert "Still to drill: A1, A3 and A4." in said(cannot)
    assert "could not be" not in said(cannot, line("mark drilled", "4 ft", minute=4))
    assert "could not" in said(cannot, line("mark drilled", "4 ft", minute=2))


@pytest.mark.parametrize(
    ("why", "do"),
    [
        ("joist in the way", "Cut no joist. Measure where it lies, put that in the project"),
        ("pipe or wire in the way", "Have whoever put it there move what is in the way, or put in the"),
    ],
)
def test_a_place_that_could_not_be_drilled_is_put_in_the_project_before_the_next_set(why, do):
    """To move what is in the way was said of joists too, and nothing of the next set, which has it there."""
    told = said(line("mark cannot", why))
    assert do in told and "until then A2 stays" in told
    assert ("Cut no joist" in told) == (why == "joist in the way")


def test_a_strike_takes_back_what_was_tapped():
    drilled = line("mark drilled", "4 ft")
    strike = line("strike", "2027-03-01T08:00:00 mark drilled 4 ft", minute=1)
    for lines in ((drilled, strike), (strike, drilled)):
        assert judged(*lines) == ((), ())


def test_a_hole_of_an_earlier_plan_stays_where_it_was_drilled():
    moved = units.parse("4 in", "length")
    old = ALONG["A2"] - moved
    told = said(
        line("mark drilled", tape(old), revision="OLD 234"), line("mark measured", tape(old), minute=1)
    )
    assert f"A2 was drilled at {tape(old)}; this plan has it at {tape(ALONG['A2'])}." in told
    assert "from its place" not in told  # it is where it was set out
    assert f"drilled from sheets OLD 234; this plan is {JOB.code}" in told


@pytest.mark.parametrize(("sixteenths", "told"), [(1, False), (-1, False), (2, True), (-3, True)])
def test_a_plan_has_moved_by_more_than_a_tape_is_read_to(sixteenths, told):
    drilled = line("mark drilled", f"{(ALONG['A2'] / 0.0254) + sixteenths / 16} in")
    assert ("this plan has it at" in said(drilled)) == told


def test_a_hole_measured_too_near_a_joist_stops():
    """A2 lies 3-1/4 in before the middle of a 1-1/2 in joist, holes are 1 in, 3/4 in clear is asked for:
    from middle to middle 3/4 + 1/2 + 3/4 = 2 in is the least, 1-1/4 in past its place."""
    held, near, inside = (
        line("mark measured", tape(ALONG["A2"] + inches * 0.0254)) for inches in (1.25, 1.375, 3)
    )
    assert "STOP" not in said(held)
    assert "to the joist is 5/8 in, 3/4 in wanted" in said(near)
    assert "the hole is in the joist" in said(inside)
    assert hole(inside).wood_clear == pytest.approx(-0.0254)


def test_marks_the_plan_does_not_have_and_notes():
    told = said(
        line("mark drilled", "30 ft", "Z9"), line("mark note", "pipe <b>above</b>", photo="31", minute=1)
    )
    assert "a mark Z9, which this plan does not have. It has a hole at 30'-0\"." in told
    assert 'Noted at A2: "pipe <b>above</b>" Photo 31.' in told


def test_a_hole_the_project_file_calls_drilled_is_drilled():
    (layout,) = JOB.layouts
    marks = tuple(dataclasses.replace(mark, drilled=mark.name == "A1") for mark in layout.marks)
    job = dataclasses.replace(JOB, layouts=(dataclasses.replace(layout, marks=marks),))
    assert "Still to drill: A3 and A4." in said(line("mark drilled", tape(ALONG["A2"])), job=job)


# ------------------------------------------------------------------ joined without loss or doubling

WHENS = st.integers(0, 50).map(
    lambda n: datetime.datetime(2027, 3, 1, 8) + datetime.timedelta(milliseconds=n)
)
LENGTHS = st.integers(0, 2000).map(lambda eighths: tape(eighths * 0.0254 / 8))
ACTIONS = st.one_of(
    st.tuples(st.sampled_from(["mark drilled", "mark measured", "mark back"]), LENGTHS),
    st.tuples(st.just("mark cannot"), st.sampled_from(["out of reach", "joist in the way"])),
    st.tuples(st.just("mark note"), st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20)),
)


@st.composite
def logs(draw) -> tuple[SiteEntry, ...]:
    entries = []
    for when, (field, value), mark in draw(
        st.lists(st.tuples(WHENS, ACTIONS, st.sampled_from((*MARKS, "Z9"))), min_size=1, max_size=25)
    ):
        entry = json.dumps({"when": when.isoformat(), "field": field, "value": value, "mark": mark})
        entries.append(entry)
        if draw(st.integers(0, 4)) == 0:
            later = (when + datetime.timedelta(seconds=1)).isoformat()
            told = f"{when.isoformat()} {field} {value}"
            entries.append(json.dumps({"when": later, "field": "strike", "value": told, "mark": mark}))
    return parse_site_log("\n".join(entries))


@pytest.mark.thorough
@settings(max_examples=60, deadline=None)
@given(logs(), st.randoms(use_true_random=False))
def test_several_phones_files_join_in_any_order_and_any_number_of_times(tmp_path_factory, entries, chance):
    """What is said, and the set of lines kept, are the same whoever's file comes first or twice."""
    folder = tmp_path_factory.mktemp("log")
    once = folder / "once.site.jsonl"
    append_site_log(once, entries)
    for number in range(3):
        log = folder / f"{number}.site.jsonl"
        for part in parts(entries, chance):
            append_site_log(log, part)
        kept = read_site_log(log)
        assert sorted(map(site_line, kept)) == sorted({site_line(entry) for entry in entries})
        assert design.judge_holes(JOB, kept) == design.judge_holes(JOB, read_site_log(once))


def parts(entries: tuple[SiteEntry, ...], chance: random.Random) -> list[list[SiteEntry]]:
    """All the entries, shuffled and cut into files, some of them given twice."""
    shuffled = chance.sample(entries, len(entries))
    size = chance.randint(1, len(entries))
    cut = [shuffled[n : n + size] for n in range(0, len(shuffled), size)]
    again = [chance.choice(cut) for _ in range(chance.randint(0, 2))]
    return [*cut, *again]


# ------------------------------------------------------------------ what a phone sends

HEAD = '{"project": "Porch", "code": "7KM 4Q2", "lines": %d}'


def refused(text: str, project: str = "Porch") -> str:
    with pytest.raises(InputErrors) as caught:
        parse_site_log(text, "sent.jsonl", project)
    assert len(caught.value.mistakes) == 1
    return words.say(caught.value)


def test_a_whole_file_of_the_project_is_taken_and_two_behind_one_another():
    first, second = line("mark drilled", "4 ft"), line("mark drilled", "6 ft", "A3", 1)
    assert len(parse_site_log("\n".join([HEAD % 1, first]), project="Porch")) == 1
    both = "\n".join([HEAD % 1, first, "", HEAD % 1, second])
    assert len(parse_site_log(both, project="Porch")) == 2
    assert parse_site_log(both.replace("\n", "\r\n"), project="Porch") == parse_site_log(both)


def test_another_projects_file_is_refused():
    text = "\n".join([HEAD % 1, line("mark drilled", "4 ft")])
    assert 'of the project "Porch"; this project is "Barn"' in refused(text, "Barn")


def test_a_file_cut_short_is_refused_wherever_it_was_cut():
    whole = "\n".join([HEAD % 3, *(line("mark drilled", "4 ft", minute=n) for n in range(3))]) + "\n"
    after_head = range(whole.index("\n") + 1, len(whole) - 1)
    assert all("breaks off" in refused(whole[:end]) for end in after_head)
    assert "3 lines were sent and 2 are here" in refused("\n".join(whole.splitlines()[:3]))


@pytest.mark.parametrize(
    "head",
    [
        '{"project": 5, "lines": 1}',
        '{"lines": 1}',
        '{"project": "Porch", "lines": "1"}',
        '{"project": "Porch", "lines": true}',
    ],
)
def test_a_head_that_is_none_is_refused(head):
    assert "says no project" in refused(head)


def test_a_line_about_no_mark_is_refused():
    assert "names no mark" in refused(line("mark drilled", "4 ft", ""))
    assert "must lie between" in refused(line("mark measured", "-4 ft"))
    assert "no unit" in refused(line("mark drilled", "48"))
    assert 'no field "mark driled"' in refused(line("mark driled", "4 ft"))


DAMAGE = (
    "NaN", "1e999", "null", "[]", "{}", '"\\ud800"', '""', '"-3 in"', f'"{"9" * 40} in"',
    '"\u0663 in"', '"\U0001f529"',
    '"9999-12-31T23:59:59+00:00"', '"2027-02-30T00:00"', '"strike"', '"test start"',
    '"mark back"', "true", "1" * 30,
)  # fmt: skip


def damaged(chance: random.Random) -> str:
    """What a phone sent, with one thing done to it by hand or on the way."""
    head = {"project": JOB.project.name, "code": JOB.code, "lines": len(MARKS) + 1}
    sent = [line("mark drilled", tape(ALONG[name]), name, n) for n, name in enumerate(MARKS)]
    lines = [json.dumps(head), *sent, line("mark note", "wire", "A1", 30, photo="41")]
    at = chance.randrange(len(lines))
    what = chance.choice(("cut", "sign", "lost", "twice", "order", "key", "value", "value"))
    if what == "cut":
        whole = "\n".join(lines)
        return whole[: chance.randrange(len(whole))]
    if what == "sign":
        n = chance.randrange(len(lines[at]))
        sign = chr(chance.choice((0, 7, 34, 92, 0x2028, 0x202E, 0x1F527, chance.randrange(32, 0x2FFF))))
        lines[at] = lines[at][:n] + sign + lines[at][n + chance.randrange(2) :]
    elif what == "lost":
        del lines[at]
    elif what == "twice":
        lines.insert(at, lines[chance.randrange(len(lines))])
    elif what == "order":
        chance.shuffle(lines)
    else:
        told = json.loads(lines[at])
        key = chance.choice(list(told))
        if what == "key":
            told["of"] = told.pop(key)
        else:
            told[key] = "HERE"
        lines[at] = json.dumps(told).replace('"HERE"', chance.choice(DAMAGE))
    return "\n".join(lines)


def test_whatever_is_done_to_a_phones_file_it_is_refused_in_words_or_read_whole():
    """Five hundred files: each one a sentence with its line, or holes that are told alike in any order."""
    refused = 0
    for seed in range(500):
        chance = random.Random(seed)
        text = damaged(chance)
        try:
            entries = parse_site_log(text, "phone.txt", JOB.project.name)
        except InputErrors as mistakes:
            refused += 1
            for language in ("en", "es"):
                assert "phone.txt" in words.say(mistakes, "us", language), seed
            continue
        assert parse_site_log("\n".join(map(site_line, entries))) == entries, seed
        found = design.judge_holes(JOB, entries)
        shuffled = [*entries, *entries]
        chance.shuffle(shuffled)
        assert design.judge_holes(JOB, tuple(shuffled)) == found, seed
        assert all(words.say(finding) for finding in found[1]), seed
    assert 100 < refused < 450  # both ends are tried
