"""A set that replaces another: clouds round what moved and nothing else, both revisions, the slip to sign."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from mistcalc import design
from mistcalc.design.revision import change_since
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import LineSegment, Polyline, Sheet, Text
from mistcalc.model.earlier_set import EarlierMark, EarlierSet, SetRevision
from mistcalc.model.project import FixedMark, Project
from mistcalc.model.results import Design, things_of
from mistcalc.report import sheet_set
from mistcalc.report.common.change_text import things_told
from mistcalc.report.common.locale_text import Locale
from tests import builders

from .jobs import patio, run, solved

US = Locale("us", "en")
HEAD = """format = 1
name = "Two sets"
about = "Invented for tests."
place = { elevation = "300 ft", climate = "el-paso" }
pump = { set_pressure = "1000 psi" }
"""
CENTRES = [15.25 + 16 * n for n in range(22)]


def text(centres: list[float], length: str = "31 ft") -> str:
    listed = ", ".join(f'"{centre} in"' for centre in centres)
    framed = f"{{ centres = [{listed}] }}"
    return HEAD + patio(
        "yard", "12 ft", run("A", length, framing=framed, then="inside corner"), run("B", "18 ft")
    )


def set_of(job: Design) -> EarlierSet:
    marks = [m for layout in job.layouts for m in layout.marks]
    pairs = zip(job.project.patios, job.layouts, strict=True)
    things = tuple(thing for one, laid in pairs for thing in things_of(one, laid))
    kept = tuple(EarlierMark(m.name, m.run, m.along, m.patio, m.back, m.drilled) for m in marks)
    return EarlierSet(job.project.name, (SetRevision("A", job.code, None, "for rough-in"),), kept, (), things)


def drilled_at(project: Project, name: str, along: float) -> Project:
    (yard,) = project.patios
    first = replace(yard.runs[0], fixed=(FixedMark(name, along, True),))
    return replace(project, patios=(replace(yard, runs=(first, *yard.runs[1:])),))


@cache
def revised(length: str = "31 ft") -> tuple[Design, tuple[Sheet, ...]]:
    """A joist found where A5 was to be, A9 drilled 1-1/2 in off."""
    first = solved(text(CENTRES))
    place = {m.name: m.along for m in first.layouts[0].marks}
    near = min(CENTRES, key=lambda c: abs(c * builders.IN - place["A5"]))
    centres = [place["A5"] / builders.IN if c == near else c for c in CENTRES]
    before = set_of(first)
    job = solved(text(centres, length))
    project = design.revised(drilled_at(job.project, "A9", place["A9"] + 1.5 * builders.IN), before)
    layouts = tuple(laid for laid, _ in design.lay_all(project, before))
    line, _ = design.solve_line(project.plumbing, layouts)
    job = replace(
        job,
        project=project,
        layouts=layouts,
        line=line,
        change=change_since(before, project, layouts),
        code="B2B 2B2",
    )
    return job, sheet_set.build(job, "us", "en")


def words(sheet: Sheet) -> str:
    return " ".join(item.text for item in sheet.primitives() if isinstance(item, Text))


def clouds(sheet: Sheet) -> list[Box]:
    """Closed lines of many short pieces on the layer of notes: nothing else is drawn so there."""
    drawn = [item for item in sheet.items if isinstance(item, Polyline) and item.view is not None]
    return [item.box() for item in drawn if item.layer == "NOTE" and len(item.points) > 40]


def named(sheet: Sheet) -> dict[str, Box]:
    return {
        item.text: item.box() for item in sheet.items if isinstance(item, Text) and item.layer == "MARK-NAME"
    }


def test_two_marks_moved_for_a_joist_and_a_hole() -> None:
    job, _ = revised()
    assert job.change is not None and [one.name for one in job.change.marks] == ["A5", "A9"]


def test_a_cloud_holds_the_names_of_what_moved_and_no_other() -> None:
    _, paper = revised()
    plan = paper[0]
    names = named(plan)
    inside = {name for name, box in names.items() if any(cloud.holds(box) for cloud in clouds(plan))}
    touched = {name for name, box in names.items() if any(cloud.meets(box) for cloud in clouds(plan))}
    assert inside == touched == {"A5", "A9"}


def test_each_cloud_has_the_letter_in_a_triangle_and_no_number_lies_across_one() -> None:
    _, paper = revised()
    plan = paper[0]
    letters = [i for i in plan.items if isinstance(i, Text) and i.view is not None and i.text == "B"]
    assert len(letters) >= 2
    for cloud in clouds(plan):
        for item in (i for i in plan.primitives() if isinstance(i, Text) and i.view is not None):
            box = item.box()
            assert cloud.holds(box) or not cloud.grown(-0.3).meets(box), item.text


def test_a_joist_as_found_has_the_old_figure_beneath_it() -> None:
    job, paper = revised()
    assert job.change is not None
    (joist,) = (thing for thing in job.change.things if thing.kind == "member")
    assert joist.was is not None and joist.now is not None
    told = words(paper[0])
    assert f"joist as found {US.tape(joist.now)} A had {US.tape(joist.was)}" in told


def test_both_revisions_stand_on_every_sheet_with_a_strip() -> None:
    job, paper = revised()
    assert job.change is not None
    told = words(paper[0])
    assert "REPLACES A" in told and f"Code {job.change.before.code} is old paper." in told
    for sheet in paper:
        if "Checked" in words(sheet):  # a right strip
            rows = [i.text for i in sheet.items if isinstance(i, Text) and i.text in ("A", "B")]
            assert {"A", "B"} <= set(rows), sheet.title


def test_the_slip_says_was_is_now_and_why_and_has_lines_to_sign() -> None:
    job, paper = revised()
    (slip,) = (sheet for sheet in paper if sheet.title == "Change slip")
    told = words(slip)
    assert job.change is not None
    assert f"2 of {job.change.of} marks moved. The other {job.change.of - 2} stand" in told
    struck = [i.box() for i in slip.items if isinstance(i, LineSegment) and i.pen.width == 0.35]
    for one in job.change.marks:
        assert one.was is not None and one.now is not None
        (was,) = (
            i
            for i in slip.items
            if isinstance(i, Text) and i.text == US.tape(one.was) and i.height == 3.5 and not i.bold
        )
        assert any(line.grown(0.1).meets(was.box()) for line in struck)
        assert US.tape(one.now) in told
    assert "Leave A9: drilled." in told and "Strike A5 out" in told and "Joist found at" in told
    assert "Builder" in told and "Installer" in told and job.change.before.code in told


def test_marks_gone_and_new_are_on_the_slip() -> None:
    job, paper = revised("27 ft")
    assert job.change is not None
    gone = [one.name for one in job.change.marks if one.now is None]
    told = " ".join(words(sheet) for sheet in paper if sheet.title == "Change slip")
    assert gone and f"{gone[0]}" in told and "no hole there" in told and "gone" in told


def test_a_set_laid_afresh_has_no_slip_no_cloud_and_one_revision() -> None:
    paper = sheet_set.build(solved(text(CENTRES)), "us", "en")
    assert not [sheet for sheet in paper if sheet.title == "Change slip"]
    assert not clouds(paper[0]) and "REPLACES" not in words(paper[0])


@pytest.mark.thorough
@pytest.mark.parametrize("count", [1, 60])
def test_a_slip_of_many_marks_goes_on_and_is_signed_once(count: int) -> None:
    job, _ = revised()
    assert job.change is not None
    many = tuple(replace(job.change.marks[0], name=f"A{n}") for n in range(count))
    job = replace(job, change=replace(job.change, marks=many))
    slips = [sheet for sheet in sheet_set.build(job, "us", "en") if sheet.title == "Change slip"]
    told = [words(sheet) for sheet in slips]
    assert sum("READ AND PASSED ON" in one for one in told) == 1 and "READ AND PASSED ON" in told[-1]
    seen = [
        i.text for sheet in slips for i in sheet.items if isinstance(i, Text) and i.height == 3.5 and i.bold
    ]
    assert [name for name in seen if name.startswith("A") and name[1:].isdecimal()] == [
        one.name for one in many
    ]


@pytest.mark.parametrize("shift", [-1.25, 0.75, 4.0])
@pytest.mark.parametrize("alone", [0, 1, 2])
def test_joists_that_lie_off_alike_are_told_together(shift, alone):
    """22 lines of one step pushed what else was found off the slip. Those off by less are told
    by themselves."""
    first = solved(text(CENTRES))
    found = [c + shift / 2 if n < alone else c + shift for n, c in enumerate(CENTRES)]
    later = solved(text(found))
    told = things_told(change_since(set_of(first), later.project, later.layouts), US)
    step, way = US.number(abs(shift) * builders.IN, "length"), "nearer" if shift < 0 else "farther from"
    (together,) = [line for line in told if "each" in line]
    assert f"Joists of run A: {len(CENTRES) - alone}, each {step} {way}" in together
    assert sum(line.startswith("Joist of run A:") for line in told) == alone
