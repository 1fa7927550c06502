"""What a builder on a ladder reads off the sheets: the hole, the panels, the things in the way of joists."""

from __future__ import annotations

import random
from functools import cache
from itertools import pairwise

import pytest

from mistcalc import files
from mistcalc.drawing.sheet import LineSegment, Sheet, Text
from mistcalc.model.results import Design
from mistcalc.report import sheet_set
from mistcalc.report.common.findings_by_reader import numbered
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import next_to
from mistcalc.words import say

from .jobs import DEMOS, job, patio, run, solved, thing

pytestmark = pytest.mark.thorough

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
    return design, sheet_set.build(design, "us", "en")


def words(sheet: Sheet) -> str:
    return " ".join(item.text for item in sheet.primitives() if isinstance(item, Text))


def flat(text: str) -> str:
    return " ".join(text.split())


def test_one_hole_for_all_runs_on_plan_stub_section_and_check_sheet() -> None:
    """The long run asked for one bit and the short one for another, and the plan named neither in SET OUT."""
    design, paper = house(run("A", "31 ft", then="inside corner"), run("B", "18 ft"))
    needed = [one.hole for one in design.line.duty.tube.runs]
    assert needed[0] > needed[1] + 0.002  # a bit's step apart
    for sheet in paper[:2]:
        assert "Drill every hole 1 in." in words(sheet)
    told = " ".join(words(sheet) for sheet in paper)
    assert told.count("; its hole is 1 in.") == 2 and "bit or wider" not in told


def test_a_hole_stated_too_small_is_drilled_as_the_stub_that_moves_most_needs() -> None:
    _, paper = house(run("A", "31 ft", then="inside corner"), run("B", "18 ft"), marks='hole = "5/8 in"')
    told = " ".join(words(sheet) for sheet in paper)
    assert "Drill every hole 1 in." in told and told.count("; its hole is 1 in.") == 2
    assert "5/8 in hole" not in told


def panels_house() -> tuple[Design, tuple[Sheet, ...]]:
    """Run A in three panels of 127, 128 and 117 sq ft; B's last takes in the square of the corner."""
    a, b = ('joints = [{ name = "J1", along = "10 ft 7-1/4 in" }, { name = "J2", along = "21 ft 3-1/4 in" }]',
            'joints = [{ name = "J3", along = "9 ft 3-1/4 in" }]')  # fmt: skip
    return house(run("A", "31 ft", then="inside corner") + a + "\n", run("B", "18 ft") + b + "\n")


def test_a_panel_too_large_names_the_joists_a_joint_could_go_on_and_the_corner_square() -> None:
    """It said "Add a joint", and the builder had to look for a joist that would do."""
    design, paper = panels_house()
    found = {f.value("panel"): f for f in design.findings if f.code == "panel-large"}
    joists = {(m.run, m.along) for m in design.layouts[0].lid.members}
    assert set(found) == {"A panel 1", "A panel 2", "A panel 3", "B panel 1", "B panel 2"}
    depth, square_foot = 12 * 0.3048, 0.3048**2
    for finding in found.values():
        at = finding.value("joints")
        assert finding.value("no_joist") == (not at)
        if not at:  # half of a panel under 9 ft 7 in is over 2-1/2 times as long as wide, or nearly
            assert finding.value("end") - finding.value("start") < 10 * 0.3048
            continue
        assert all((finding.value("run"), one) in joists for one in at)
        cuts = (finding.value("start"), *at, finding.value("end"))
        assert all((b - a) * depth <= 100 * square_foot for a, b in pairwise(cuts))  # ASTM C1063
    said = words(paper[0])
    assert "Add a joint, on the joist at 5'-3 1/4\"." in flat(said)
    assert found["B panel 2"].value("square") and not found["A panel 3"].value("square")
    assert flat(said).count("Corner square included.") == 1


def test_every_number_of_a_finding_stands_in_the_drawing_too() -> None:
    design, paper = panels_house()
    numbers = [one.number for one in numbered(design, "yard") if one.look]
    signs = [item.text for item in paper[0].primitives() if isinstance(item, Text) and item.layer == "WARN"]
    assert len(numbers) >= 6
    assert not [n for n in numbers if signs.count(str(n)) < 2]  # once in the drawing, once by its words


@pytest.mark.parametrize("along", ["8 ft", "15 ft 7 in", "23 ft"])
def test_the_number_of_a_stretch_without_marks_stands_at_it(along: str) -> None:
    """A fan's sweep over the line: the list named the stretch by a number that was nowhere on the plan."""
    fan = thing("F1", "fan", "A", along, "2 ft", '["60 in", "60 in"]') + "\n"
    design, paper = house(run("A", "31 ft"), fan)
    (stretch,) = [one for one in numbered(design, "yard") if one.finding.code == "blocked-stretch"]
    signs = [item.text for item in paper[0].primitives() if isinstance(item, Text) and item.layer == "WARN"]
    assert stretch.number and signs.count(str(stretch.number)) == 2
    assert not {one.number for one in numbered(design, "yard") if one.look}.difference(map(int, signs))


@pytest.mark.parametrize("seed", range(6))
def test_what_a_list_of_joists_leaves_open_has_its_number_on_the_plan(seed: int) -> None:
    """Lists of joists across or along the line with a stretch missing, or one of its ends."""
    dice = random.Random(seed)
    lies = dice.choice(["across", "along"])
    centres = [15.25 + 16 * n for n in range(23 if lies == "across" else 8)]
    first, count = dice.randrange(len(centres) - 3), dice.choice([3, len(centres)])
    kept = [c for n, c in enumerate(centres) if not first <= n < first + count]
    told = ", ".join(f'"{c} in"' for c in (kept if len(kept) > 2 else centres[:3]))
    framing = f'{{ lies = "{lies}", centres = [{told}] }}'
    design, paper = house(run("A", "31 ft", framing))
    asked = [one for one in numbered(design, "yard") if one.finding.code in ("bay-wide", "framing-part")]
    assert asked
    signs = [item.text for item in paper[0].primitives() if isinstance(item, Text) and item.layer == "WARN"]
    assert not [one.finding.code for one in asked if signs.count(str(one.number)) < 2]


def light(along: str, kind: str = "light") -> str:
    return thing("L1", kind, "A", along, "5 ft", '["6 in", "6 in"]') + "\n"


@pytest.mark.parametrize(
    ("along", "joist", "to"),
    [  # joists 1-1/2 in wide with centers at 15-1/4 in and every 16 in on; a 6 in light is 3-3/4 in off one
        (95.0, 95.25, 91.5),
        (96.0, 95.25, 99.0),
        (99.0, None, None),
        (91.5, None, None),
        (98.75, 95.25, 99.0),
    ],
)
def test_a_light_on_a_joist_is_told_with_the_least_move_along_the_tape(along, joist, to) -> None:
    inch = 0.0254
    design, _ = house(run("A", "31 ft"), light(f"{along} in"))
    found = [f for f in design.findings if f.code == "thing-on-joist"]
    if joist is None:
        assert not found
        return
    (finding,) = found
    assert finding.value("joist") == pytest.approx(joist * inch)
    fix = dict(finding.fix)
    sign = 1 if fix["toward"] == "along+" else -1
    assert along * inch + sign * fix["by"] == pytest.approx(to * inch) == fix["to"]


def test_a_light_in_the_corner_square_is_moved_within_it() -> None:
    """On a joist at 42'-7 1/4" of a run of 38'-0" that goes on round an inside corner: it was told to
    move 5 ft back, to the end of the run."""
    text = files.example_text("courtyard").replace('"42 ft 3-1/2 in"', '"42 ft 7-1/4 in"')
    (finding,) = (f for f in solved(text).findings if f.code == "thing-on-joist")
    assert finding.value("name") == "L5"
    assert 0 < dict(finding.fix)["by"] < 8 * 0.0254  # half a light, half a joist, a step


def test_a_fan_hangs_from_framing_and_a_bay_too_narrow_is_the_framers() -> None:
    design, _ = house(run("A", "31 ft"), thing("F1", "heater", "A", "95 in", "5 ft", '["6 in", "6 in"]'))
    assert not [f for f in design.findings if f.code == "thing-on-joist"]
    design, _ = house(run("A", "31 ft"), thing("V1", "vent", "A", "95 in", "5 ft", '["15 in", "6 in"]'))
    (finding,) = (f for f in design.findings if f.code == "thing-on-joist")
    assert not finding.fix and finding.value("no_fix")
    assert "ask the framer, cut no joist" in say(finding)


def test_a_move_toward_the_house_says_that_it_stays_on_the_joist() -> None:
    """It was told to move 6 in toward the house, along the joist it stood on."""
    design, _ = house(
        run("A", "31 ft"), thing("L1", "light", "A", "95-1/4 in", "3 ft", '["6 in", "6 in"]', "3 ft")
    )
    (near,) = (f for f in design.findings if f.code == "clearance-judgement")
    assert dict(near.fix)["toward"] == "house"
    assert say(near).endswith("First move it off the joist.")


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("name", DEMOS)
def test_no_row_of_the_check_sheet_is_cut(name: str, units) -> None:
    """ "of what the pum..." says nothing. Words that end in a space and an ellipsis are blanks to fill in."""
    told = [
        item.text for sheet in sheet_set.build(job(name), units, "en") if sheet.title.startswith("Line")
        for item in sheet.primitives() if isinstance(item, Text)
    ]  # fmt: skip
    assert not [text for text in told if text.endswith(("…", "...")) and not text.endswith(" …")]


def test_a_long_tape_between_two_open_ends_is_checked_from_the_far_one() -> None:
    """It said "from the open end too", and the datum was an open end."""
    design, _ = house(run("A", "31 ft", starts_at="open", ends_at="open"))
    (finding,) = (f for f in design.findings if f.code == "check-other-end")
    assert "from the far open end too" in say(finding)


def test_a_joist_out_of_reach_is_not_measured_from() -> None:
    """It said "9 ft 8-3/4 in past joist"."""
    listed = '{ lies = "across", width = "1-1/2 in", centres = ["2 ft", "4 ft"] }'
    design, _ = house(run("A", "20 ft", listed))
    us, marks = Locale("us", "en"), design.layouts[0].marks
    told = {mark.name: (abs(mark.near_offset), next_to(mark, us)) for mark in marks}
    assert any(off > 0.61 for off, _ in told.values()) and any(off < 0.61 for off, _ in told.values())
    assert all((words == "") == (off > 0.6096) for off, words in told.values())


def test_a_mark_in_a_tight_corner_keeps_its_run_in_its_name() -> None:
    """A12 stood as "12" beside B7."""
    _, paper = house(
        run("A", "24 ft", starts_at="open", then="outside corner"), run("B", "16 ft"), depth="10 ft"
    )
    names = [
        item.text for item in paper[0].primitives() if isinstance(item, Text) and item.layer == "MARK-NAME"
    ]
    assert "A12" in names and "B7" in names and not [name for name in names if name.isdigit()]


def test_set_out_stands_before_what_asks_for_no_look() -> None:
    """Notes on how a row was started pushed the steps of setting out to another sheet."""
    _, paper = panels_house()
    said = words(paper[0])
    assert "SET OUT" in said and "Hook the tape there" in said
    if "not started mid-bay" in said:
        assert said.index("Hook the tape there") < said.index("not started mid-bay")
    assert "SIGNS" not in said or "not started mid-bay" in said


def test_the_word_beside_the_pump_keeps_clear_of_the_leader_of_its_gauge() -> None:
    """ "backflow" ran into the line from the pump's inlet up to its gauge."""
    _, paper = house(run("A", "31 ft"))
    (sheet,) = (one for one in paper if one.title == "Line diagram")
    items = list(sheet.primitives())
    (word,) = (item.box() for item in items if isinstance(item, Text) and item.text == "backflow")
    upright = [
        item for item in items if isinstance(item, LineSegment) and abs(item.start[0] - item.end[0]) < 1e-6
    ]
    at_height = [
        i.start[0]
        for i in upright
        if min(i.start[1], i.end[1]) < word.top and max(i.start[1], i.end[1]) > word.bottom
    ]
    assert at_height and not [x for x in at_height if word.left - 0.5 < x < word.right + 0.5]


@pytest.mark.parametrize("long", ["14 ft", "26 ft", "60 ft"])
def test_a_ceiling_deeper_than_the_paper_says_where_it_is_cut(long: str) -> None:
    """In lines where it has no room in one: a cut without words reads as the house wall."""
    made = solved(HEAD + '[paper]\nsheet = "letter"\n' + patio("porch", "90 ft", run("A", long)))
    paper = [sheet for sheet in sheet_set.build(made, "us", "en") if sheet.number == "R-1"]
    assert "behind the open edge: the ceiling is 90 ft deep" in flat(words(paper[0]))
