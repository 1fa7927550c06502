"""What the lid component is told, against the hand-made porch of tests/builders.py."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from mistcalc import design, files
from mistcalc.line import solve_line
from mistcalc.model.project import Obstacle
from mistcalc.model.results import Clash, HolesVerdict
from mistcalc.page.lid_data import component_data
from mistcalc.page.open_project import OpenProject
from mistcalc.page.plan_data import lid_in_plan
from mistcalc.page.views.lid import headline
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import wood_missed
from mistcalc.units import tape
from mistcalc.units.tape_table import tape_texts
from tests.bent_lids import ARC, BOW
from tests.builders import FT, IN, layout, patio, project
from tests.line import houses

US = Locale("us", "en")


def test_is_plain_data_a_browser_can_read():
    data = component_data(layout(), patio(), "A", US)
    assert json.loads(json.dumps(data, allow_nan=False))["run"] == "A"


def test_marks_lie_where_the_layout_has_them():
    data = component_data(layout(), patio(), "A", US)
    assert [(m["name"], round(m["along"] / IN, 6)) for m in data["marks"]] == [
        ("A1", 36), ("A2", 60), ("A3", 84), ("A4", 108),
    ]  # fmt: skip
    assert len(data["plan"]["marks"]) == 4


@pytest.mark.parametrize("text", [houses.RING, houses.BRANCHES, houses.TWO_PATIOS, houses.MIXED])
def test_tube_is_drawn_where_the_solved_line_has_it(text):
    """To the last mark of a dead end, to a drain, to a tee: in plan and on the strip."""
    plumbing, layouts = houses.laid(text)
    solved = solve_line(plumbing, layouts)
    shorter = 0
    for stated, laid in zip(files.parse_project(text).patios, layouts, strict=True):
        for row in laid.lid.rows:
            data = component_data(laid, stated, row.name, US, plumbing)
            first, last = solved.laid_tube(row)
            assert data["tube"][1] - data["tube"][0] == pytest.approx(math.dist(first, last), abs=1e-6)
            drawn = data["plan"]["tubes"][laid.lid.rows.index(row)]
            assert [*drawn[0], *drawn[1]] == pytest.approx([*first, *last], abs=1e-6)
            shorter += math.dist(first, last) < row.tube_length - 0.01
    assert shorter or text == houses.RING


def test_a_thing_too_near_is_numbered_and_its_reach_drawn():
    data = component_data(layout(), patio(), "A", US, signs=(("L1", 3),))
    light = next(thing for thing in data["things"] if thing["kind"] == "thing")
    assert light["warning"] == 3 == data["plan"]["things"][0]["warning"] and not light["stop"]
    # A light 24 in off the line with 36 in of clearance: half of 2 sqrt(36^2 - 24^2) = 26.83 in.
    assert light["reach"] == pytest.approx(26.8328 * IN, abs=0.0001 * IN)
    assert not any(mark["stop"] for mark in data["marks"])
    near = [clash.mark for clash in layout().clashes if clash.against == light["name"]]
    assert f"{light['name']}. Kind: light. Too near to {near[0]}" in light["label"]


def test_a_thing_called_by_its_kind_is_said_once():
    """Added on the page it was told as "Light, light."."""
    laid, porch = layout(), patio()
    alone = [tuple(replace(one, name="Light") for one in part.obstacles) for part in (laid.lid, porch)]
    laid = replace(laid, lid=replace(laid.lid, obstacles=alone[0]))
    things = component_data(laid, replace(porch, obstacles=alone[1]), "A", US)["things"]
    light = next(thing for thing in things if thing["kind"] == "thing")
    assert light["label"] == "Light."


def test_a_mark_on_wood_is_stopped():
    clashes = (Clash("member", True, "A3", "joist", 0.0, 0.75 * IN),)
    hard = replace(layout(), clashes=clashes, holes=HolesVerdict(stop=("A3",)))
    data = component_data(hard, patio(), "A", US)
    assert [m["name"] for m in data["marks"] if m["stop"]] == ["A3"]
    assert [m["label"] for m in data["marks"] if "STOP" in m["label"]] == ["Mark A3. STOP: do not drill."]
    assert [m["stop"] for m in data["plan"]["marks"]] == [False, False, True, False]
    assert data["things"][0]["kind"] == "thing" and data["things"][0]["warning"] == 0


def test_notes_speak_as_a_tape_does():
    notes = [mark["note"] for mark in component_data(layout(), patio(), "A", US)["marks"]]
    assert notes[1].startswith(
        "A2 is 3-1/4 in before joist center; 2'-0\" past A1; 2'-0\" before A3. Why here: "
    )
    metric = [
        mark["note"] for mark in component_data(layout(), patio(), "A", Locale("metric", "en"))["marks"]
    ]
    assert metric[1].startswith(
        "A2 is 83 mm before joist center; 610 mm past A1; 610 mm before A3. Why here: "
    )


@pytest.mark.parametrize(
    ("thing", "half"),
    [
        # The design's own example: a light 2 ft off with 3 ft of clearance blocks 54 in.
        (Obstacle("L", "light", "A", 0, 2.5 * FT, (6 * IN, 6 * IN), 3 * FT), 26.8328 * IN),
        # A fan: sweep 60 in and 24 in beyond the tips; 4 ft back, 3 ft 6 in off the line.
        (Obstacle("F", "fan", "A", 0, 4 * FT, (60 * IN, 60 * IN), 2 * FT), math.sqrt(54**2 - 42**2) * IN),
        # A post on the line, 5-1/2 in square: 3 in from its edge, each way.
        (Obstacle("P", "column", "A", 0, 0.5 * FT, (5.5 * IN, 5.5 * IN), 3 * IN), 5.75 * IN),
        (Obstacle("S", "door glass", "A", 0, 13 * FT, (12 * FT, 0), 2 * FT), 0.0),
    ],
)
def test_half_the_line_that_a_thing_keeps_free(thing, half):
    lid = replace(patio(), obstacles=(replace(thing, along=6 * FT),), line_behind_edge=0.5 * FT)
    (placed,) = design.lay(lid)[0].lid.obstacles
    assert placed.keeps_off == pytest.approx(half, abs=1e-4 * IN)


def test_what_the_strip_draws_is_what_the_marks_are_judged_by():
    """A mark of a thing's run clashes with it just where the stretch drawn for it goes over the mark."""
    project = files.parse_project(files.example_text("courtyard"), "courtyard")
    seen = 0
    for at in (-3, 0, 4, 9):
        things = tuple(replace(o, along=o.along + at * IN) for o in project.patios[0].obstacles)
        laid, _ = design.lay(replace(project.patios[0], obstacles=things))
        hit = {(clash.against, clash.mark) for clash in laid.clashes}
        for run in laid.lid.runs:
            told = component_data(laid, replace(project.patios[0], obstacles=things), run.name, US)["things"]
            for thing in (one for one in told if one["run"] == run.name):
                for mark in (m for m in laid.marks if m.run == run.name):
                    assert ((thing["name"], mark.name) in hit) == (
                        abs(mark.along - thing["along"]) < thing["reach"] - 1e-6
                    )
                    seen += (thing["name"], mark.name) in hit
    assert seen > 3


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("units", "grid"), [("us", IN / 8), ("us", IN / 3), ("metric", 0.005), ("metric", 0.0007)]
)
def test_the_tape_table_holds_what_the_tape_reads_at_every_step(units, grid):
    """Read as hands.js reads it; round an inside corner positions lie before the datum."""
    told = tape_texts(12.3, grid, units)

    def read(step: int) -> str:
        begin, number = told["stretches"][step // told["steps"]]
        return begin + told["endings"][number][step % told["steps"]]

    for step in range(math.floor(12.3 / grid) + 1):
        assert read(step) == tape(step * grid, units)
        behind = f"-{read(step)}" if read(step) != read(0) else read(0)
        assert behind == tape(-step * grid, units)
    if grid == IN / 8:
        assert len(json.dumps(told)) < 25_000  # a long run in a message of a few kilobytes


def test_a_handle_says_its_warning():
    """It was drawn as a numbered sign and not spoken."""
    things = {t["name"]: t for t in component_data(layout(), patio(), "A", US)["things"]}
    assert "Too near to A2" in things["L1"]["label"]
    stopped = replace(layout(), holes=HolesVerdict(stop=("A3",)))
    marks = {m["name"]: m["label"] for m in component_data(stopped, patio(), "A", US)["marks"]}
    assert "do not drill" in marks["A3"] and "drill" not in marks["A1"]


def test_project_text_stays_text():
    """Names go out as data; nothing here or in the script makes markup of them."""
    named = replace(patio(), obstacles=(replace(patio().obstacles[0], name="<img src=x>"),))
    lid = layout().lid
    placed = replace(lid, obstacles=(replace(lid.obstacles[0], name="<img src=x>"),))
    data = component_data(replace(layout(), lid=placed), named, "A", US)
    assert data["things"][0]["name"] == "<img src=x>"


@pytest.mark.parametrize(
    ("listed", "page_says", "paper_says"),
    [
        (9, "Every hole misses the joists.", "Every hole misses the framing, by"),
        (4, "At 2 of 4 marks", "At 2 of 4 marks it is not"),
        (0, "", "No framing stated"),
    ],
)
def test_holes_are_said_to_miss_wood_where_it_is_known(listed: int, page_says: str, paper_says: str) -> None:
    """Marks at 3, 5, 7 and 9 ft; joists every 16 in from 15-1/4 in: the first four end at 63-1/4 in."""
    centres = tuple((15.25 + 16 * n) * IN for n in range(listed))
    porch = patio()
    framing = replace(porch.runs[0].framing, spacing=None, first=None, centres=centres)
    porch = replace(porch, runs=(replace(porch.runs[0], framing=framing, joints=()),))
    laid, _ = design.lay(porch)
    opened = OpenProject("none", "", replace(project(), patios=(porch,)))
    told = headline(opened, laid)
    assert page_says in told and ("miss" in told) == bool(page_says)
    assert paper_says in wood_missed(laid, Locale("us", "en"), assumed=())


@pytest.mark.parametrize("stated", [False, True])
def test_no_hole_is_said_to_miss_joists_nobody_has_found(stated: bool) -> None:
    """A patio typed in as lengths has our joists, 16 in apart: a builder drilled by them as by his own."""
    text = files.example_text("bayou")
    framing = [line for line in text.splitlines() if line.startswith("framing")]
    assert framing
    for line in () if stated else framing:
        text = text.replace(line, "")
    job = files.parse_project(text)
    laid, _ = design.lay(job.patios[0])
    opened = OpenProject("none", "", job)
    told = wood_missed(laid, Locale("us", "en"), job.runs_on_assumed_joists(laid.patio))
    for said in (headline(opened, laid), told):
        assert ("before drilling" in said) is not stated
        assert ("Every hole misses" in said) is stated


def test_a_size_between_two_marks_of_the_tape_is_shown_as_it_is():
    """The tape is read to 1/8 in: 10-5/16 in showed as 10 1/4, which is not what the file has."""
    light, *rest = patio().obstacles
    for inches, shown in ((10.3125, "10-5/16 in"), (10.25, "0'-10 1/4\"")):
        odd = replace(light, size=(inches * IN, inches * IN))
        told = component_data(layout(), replace(patio(), obstacles=(odd, *rest)), "A", US)["things"]
        assert next(thing for thing in told if thing["name"] == light.name)["size"][0] == shown


def test_of_which_run_the_joists_are_assumed_is_said():
    """A builder who had stated run A was told as before that joists are assumed."""
    lines = files.example_text("courtyard").splitlines(keepends=True)
    last = max(n for n, line in enumerate(lines) if line.startswith("framing"))
    job = files.parse_project("".join(lines[:last] + lines[last + 1 :]))
    laid, _ = design.lay(job.patios[0])
    *stated, assumed = (run.name for run in job.patios[0].runs)
    assert stated and job.rows_on_assumed_joists == {assumed}
    assert f"Joists along {assumed} are assumed" in headline(OpenProject("none", "", job), laid)


def _from_outline(point, loops):
    """How far from the nearest side of the lid."""
    gaps = []
    for loop in loops:
        for (xa, ya), (xb, yb) in zip(loop, (*loop[1:], loop[0]), strict=True):
            dx, dy = xb - xa, yb - ya
            size = dx * dx + dy * dy or 1.0
            share = min(max(((point[0] - xa) * dx + (point[1] - ya) * dy) / size, 0.0), 1.0)
            gaps.append(math.hypot(point[0] - xa - share * dx, point[1] - ya - share * dy))
    return min(gaps)


FROM_THE_END = BOW.replace('bend = "15 deg"', 'bend = "15 deg"\ndatum = { end = "end" }')


@pytest.mark.parametrize("text", [BOW, ARC, FROM_THE_END])
def test_strips_of_a_lid_that_bends_are_its_lid_and_meet_on_the_lines_that_halve_the_bends(text):
    """Corner by corner on the outline, their areas (by the shoelace) together the lid's."""
    read = files.parse_project(text)
    (lid,), ((laid, _),) = read.patios, design.lay_all(read)
    plan, whole, ends = lid_in_plan(laid, lid, US), 0.0, []
    for run in plan["runs"]:
        corners = [
            tuple(run["datum"][i] + s * run["tape"][i] + back * run["house"][i] for i in (0, 1))
            for s, back in run["strip"]
        ]
        assert max(_from_outline(corner, laid.lid.loops) for corner in corners) < 1e-6
        pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
        whole += abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2
        ends.append((corners[0], corners[3], corners[1], corners[2]))
    twice = sum(lid.depth**2 for run in lid.runs if run.corner == "inside")  # its square, counted by both
    assert whole - twice == pytest.approx(laid.lid.area, rel=1e-9)
    for n, run in enumerate(lid.runs[:-1]):
        if run.bends:
            assert [*ends[n][2], *ends[n][3]] == pytest.approx([*ends[n + 1][0], *ends[n + 1][1]], abs=1e-9)
