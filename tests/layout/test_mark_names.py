"""One name, one hole: over the whole house, whatever runs and fixed marks are called."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import pytest

from mistcalc import design, files
from mistcalc.errors import InputErrors
from mistcalc.layout import lay
from mistcalc.layout.mark_names import prefixes
from mistcalc.model.earlier_set import EarlierMark
from mistcalc.model.project import FixedMark, MarkPlumbing, Patio, Project
from tests import builders
from tests.layout.lids import FT, IN, patio, run

HOUSE = """\
format = 1
name = "Two fixed marks"
[place]
elevation = "10 m"
climate = "el-paso"
[[patio]]
name = "p"
depth = "9 ft"
[[patio.run]]
name = "A"
length = "20 ft"
then = "inside corner"
fixed = [ { name = "F", along = "5 ft" } ]
[[patio.run]]
name = "B"
length = "20 ft"
fixed = [ { name = "G", along = "5 ft" } ]
"""


def house(*patios: Patio) -> Project:
    return replace(builders.project(), patios=patios)


def names(project: Project) -> list[str]:
    return [mark.name for layout, _ in design.lay_all(project) for mark in layout.marks]


def test_runs_that_end_in_a_figure() -> None:
    """Run A's eleventh mark and run A1's first were both called A11."""
    lid = patio((run("A", 480, ("wall", "corner"), "inside"), run("A1", 480, ("corner", "wall"))))
    told = names(house(lid))
    assert len(told) == len(set(told)) > 36
    assert {"A1", "A11", "A1-1"} <= set(told)


def test_runs_on_two_patios() -> None:
    first, second = patio((run("A", 480),)), replace(patio((run("A1", 480),)), name="back")
    told = names(house(first, second))
    assert len(told) == len(set(told)) > 30 and {"A11", "A1-1"} <= set(told)


def test_a_stated_name_is_kept_and_a_generated_one_steps_aside() -> None:
    fixed = (FixedMark("A1", 10 * FT),)
    one = run("A", 240, ("wall", "corner"), "inside")
    two = run("B", 240, ("corner", "wall"), fixed=fixed)
    for project in (
        house(patio((one, two))),
        house(patio((run("A", 240),)), patio((run("B", 240, fixed=fixed),))),
    ):
        marks = [mark for layout, _ in design.lay_all(project) for mark in layout.marks]
        assert [m.run for m in marks if m.name == "A1"] == ["B"]
        assert max(Counter(m.name for m in marks).values()) == 1
        assert next(m for m in marks if m.run == "A").name == "A2"


def test_flow_goes_to_the_mark_of_that_name() -> None:
    """A nozzle of its own at the fixed mark A1 of run B was given to run A's first mark too."""
    base = builders.project()
    one, two = run("A", 144), run("B", 144, fixed=(FixedMark("A1", 6 * FT),))
    feed = base.plumbing.pieces[0]
    plumbing = replace(
        base.plumbing,
        pieces=(feed, replace(feed, start="A end", end="B start", rise=0.0)),
        zones=(),
        marks=(MarkPlumbing("A1", replace(base.plumbing.nozzle, flow=3 * base.plumbing.nozzle.flow)),),
    )
    project = replace(base, patios=(patio((one,)), replace(patio((two,)), name="back")), plumbing=plumbing)
    layouts = tuple(layout for layout, _ in design.lay_all(project))
    solved, _ = design.solve_line(plumbing, layouts)
    flows = {mark.name: mark.flow for mark in solved.marks}
    assert len(flows) == sum(len(layout.marks) for layout in layouts)
    others = [flow for name, flow in flows.items() if name != "A1"]
    assert 2.9 * max(others) < 3 * min(others) < 1.1 * flows["A1"]


def test_prefixes_never_meet() -> None:
    """Any run names: no two prefixes with any numbers after them give one name."""
    draw = random.Random(4)
    for _ in range(400):
        runs = {"".join(draw.choice("A1-0") for _ in range(draw.randint(1, 4))) for _ in range(6)}
        told = [
            f"{prefix}{n}" for prefix in prefixes(runs).values() for n in (1, 2, 10, 11, 100, 101, 110, 111)
        ]
        assert len(told) == len(set(told)), runs
    assert prefixes(("A", "B", "North", "B2")) == {"A": "A", "B": "B", "North": "North", "B2": "B2-"}


def test_names_alike_on_two_runs_are_refused_where_they_stand() -> None:
    files.parse_project(HOUSE)
    with pytest.raises(InputErrors) as caught:
        files.parse_project(HOUSE.replace('"G"', '"F"'))
    (mistake,) = caught.value.mistakes
    assert (mistake.code, mistake.where) == ("name-twice", "patio[p].run[B].fixed[F]")
    assert mistake.values["first"] == 13


def test_names_of_marks_kept_are_their_own_runs() -> None:
    """Laid again round drilled marks, A11 belongs to run A though there is a run A1."""
    lid = patio((run("A", 480, ("wall", "corner"), "inside"), run("A1", 480, ("corner", "wall"))))
    before = lay(lid)
    earlier = tuple(EarlierMark(m.name, m.run, m.along) for m in before.marks)
    drilled = tuple(FixedMark(m.name, m.along, True) for m in before.marks if m.name == "A11")
    lid = replace(lid, runs=(replace(lid.runs[0], fixed=drilled), lid.runs[1]))
    after = lay(lid, earlier)
    assert [(m.name, m.run) for m in after.marks] == [(m.name, m.run) for m in before.marks]
    assert [round(m.along / IN, 3) for m in after.marks] == [round(m.along / IN, 3) for m in before.marks]
