"""What a builder on a ladder reads off the sheets: the hole, the panels, the things in the way of joists."""

from __future__ import annotations

from functools import cache

from mistcalc.drawing.sheet import Sheet, Text
from mistcalc.model.results import Design
from mistcalc.report import sheets

from .jobs import patio, run, solved

HEAD = """format = 1
name = "House of one corner"
about = "Invented for tests."
units = "us"
place = { elevation = "300 ft", climate = "el-paso" }
pump = { set_pressure = "1000 psi" }
"""


@cache
def house(*parts: str, depth: str = "12 ft", marks: str = "") -> tuple[Design, tuple[Sheet, ...]]:
    design = solved(HEAD + patio("yard", depth, *parts, marks=marks))
    return design, sheets.build(design, "us", "en")


def words(sheet: Sheet) -> str:
    return " ".join(item.text for item in sheet.simple() if isinstance(item, Text))


def test_one_hole_for_all_runs_on_plan_stub_section_and_check_sheet() -> None:
    """The long run asked for one bit and the short one for another, and the plan named neither in SET OUT."""
    design, paper = house(run("A", "31 ft", then="inside corner"), run("B", "18 ft"))
    needed = [one.hole for one in design.line.duty.tube.runs]
    assert needed[0] > needed[1] + 0.002  # a bit's step apart
    for sheet in paper[:2]:
        assert "Drill every hole 1 in." in words(sheet)
    told = " ".join(words(sheet) for sheet in paper)
    assert told.count("in its 1 in hole.") == 2 and "bit or wider" not in told


def test_a_hole_stated_too_small_is_drilled_as_the_stub_that_moves_most_needs() -> None:
    _, paper = house(run("A", "31 ft", then="inside corner"), run("B", "18 ft"), marks='hole = "5/8 in"')
    told = " ".join(words(sheet) for sheet in paper)
    assert "Drill every hole 1 in." in told and told.count("in its 1 in hole.") == 2
    assert "5/8 in hole" not in told
