"""What a hand does on the plan: each edit alone, by hand-worked numbers, and any of them on any house."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from mistcalc import design, files
from mistcalc.errors import InputError, InputErrors
from mistcalc.model.project import Obstacle, Patio, Project, Screen, Seat, SecondRow
from mistcalc.page.edits import Edit, apply_edit, rounded_to_tape
from mistcalc.page.new_things import KINDS, first_place, new_name
from mistcalc.page.plan_edits import (
    AddJoist,
    AddScreen,
    AddThing,
    MoveJoint,
    MoveJoist,
    MoveMark,
    MoveThing,
    RemoveJoist,
    RemoveThing,
    ResizeScreen,
    ResizeThing,
    SetRunLength,
    UnfixMark,
    joist_centres,
    joist_range,
    run_lengths,
    thing_range,
)
from mistcalc.page.screen_edits import open_sides, screen_place
from tests.builders import FT, IN
from tests.random_projects import project_text

SIDES = ("edge", "back", "start", "end")
COURT = files.parse_project(files.example_text("courtyard"), "courtyard")
RING = files.parse_project(
    files.new_project_text("Ring", ["20 ft", "14 ft", "20 ft", "14 ft"], "8 ft", ["inside"] * 4, "el-paso"),
    "ring",
)


def court(edit: Edit, project: Project = COURT) -> Patio:
    after = apply_edit(project, edit)
    assert apply_edit(after, edit) == after  # sent twice, it is the same as once
    return after.patios[0]


def thing(patio: Patio, name: str) -> Obstacle | Seat:
    return next(one for one in (*patio.obstacles, *patio.seats) if one.name == name)


def test_a_seat_goes_along_and_back_and_round_the_corner_to_another_run():
    moved = thing(court(MoveThing("court", "seats", "table", "B", 12 * FT, 5 * FT)), "table")
    assert (moved.run, moved.along, moved.back) == ("B", 12 * FT, 5 * FT)
    with pytest.raises(InputError) as refused:
        court(MoveThing("court", "seats", "table", "B", 12 * FT, 13 * FT + IN))
    assert refused.value.code == "edit-off-the-lid"


@pytest.mark.thorough
@pytest.mark.parametrize("kind", KINDS)
def test_what_is_added_stands_where_nothing_does_and_the_file_takes_it(kind):
    patio = COURT.patios[0]
    name = new_name(patio, kind, "Thing")
    along, back = first_place(patio, patio.runs[0], kind)
    assert along == pytest.approx((9.9375 + 16.604166667) / 2 * FT, abs=1e-6)  # Fan 1 to L2
    edit = rounded_to_tape(COURT, AddThing("court", kind, name, "A", along, back))
    after = apply_edit(COURT, edit)
    text = files.rewrite(files.example_text("courtyard"), after)
    assert replace(files.parse_project(text), assumed=()) == replace(after, assumed=())
    assert text.count("#") == files.example_text("courtyard").count("#")
    assert court(RemoveThing("court", "seats" if kind == "seat" else "obstacles", name), after) == patio


def test_new_names_go_on_where_the_old_ones_stop():
    patio = COURT.patios[0]
    names = {
        kind: new_name(patio, kind, f"{kind} word") for kind in ("light", "fan", "column", "heater", "seat")
    }
    assert names == {
        "light": "L8",
        "fan": "Fan 3",
        "column": "Post 2",
        "heater": "heater word",
        "seat": "seat word",
    }
    again = court(AddThing("court", "heater", "heater word", "A", 5 * FT, 6 * FT))
    assert new_name(again, "heater", "heater word") == "heater word 2"


def test_a_run_is_pulled_no_shorter_than_what_is_on_it():
    """L5 lies 42 ft 3-1/2 in along A, over the corner square of 13 ft; joint J7 is at 45 ft 3-1/4 in."""
    low, _ = run_lengths(COURT.patios[0], COURT.patios[0].runs[0])
    assert low == pytest.approx((45 * 12 + 3.25 - 13 * 12) * IN)
    assert court(SetRunLength("court", "A", 45 * FT)).runs[0].length == 45 * FT
    with pytest.raises(InputError) as refused:
        court(SetRunLength("court", "A", low - IN))
    assert refused.value.code == "edit-off-the-lid"
    assert files.rewrite(files.example_text("courtyard"), apply_edit(COURT, SetRunLength("court", "A", low)))


def test_a_ring_stays_closed():
    patio = court(SetRunLength(RING.patios[0].name, "B", 16 * FT), RING)
    assert [run.length for run in patio.runs] == pytest.approx([20 * FT, 16 * FT, 20 * FT, 16 * FT])


def test_a_joist_found_elsewhere_is_the_only_one_that_moves():
    before = joists(COURT.patios[0])
    assert before[2] == pytest.approx((15.25 + 32) * IN)
    found = joists(court(MoveJoist("court", "A", 3, 48.5 * IN)))
    assert found == pytest.approx((*before[:2], 48.5 * IN, *before[3:]))
    with pytest.raises(InputError):  # into the next one, 63-1/4 in
        court(MoveJoist("court", "A", 3, 62 * IN))
    gone = joists(court(RemoveJoist("court", "A", before[2])))
    assert gone == pytest.approx((*before[:2], *before[3:]))
    more = joists(court(AddJoist("court", "A", 55 * IN)))
    assert more == pytest.approx((*before[:3], 55 * IN, *before[3:]))


def joists(patio: Patio, run: str = "A") -> tuple[float, ...]:
    of = next(one for one in patio.runs if one.name == run)
    return joist_centres(of, design.lay(patio)[0].lid.members)


def test_a_screen_is_carried_along_and_away_from_its_side():
    """With the tape hooked where run A starts: 4 to 12 ft along, 1 ft out, to 9 to 17 ft, 2 ft out."""
    hedge = Screen("hedge", "A", 5 * FT, start=12 * FT, end=4 * FT, out=1 * FT)
    wall = Screen("wall", "B", 5 * FT)  # all along run B
    patio = replace(COURT.patios[0], screens=(hedge, wall))
    project = replace(COURT, patios=(patio,))
    place = screen_place(patio, patio.runs[0], hedge)
    assert place is not None and place[:3] == pytest.approx((4 * FT, -1 * FT, 4 * FT))
    assert place.reach == pytest.approx((0.0, 30 * FT))
    moved = court(MoveThing("court", "screens", "hedge", "A", 9 * FT, -2 * FT), project).screens[0]
    assert (moved.end, moved.start, moved.out) == pytest.approx((9 * FT, 17 * FT, 2 * FT))
    moved = court(MoveThing("court", "screens", "wall", "B", 3 * FT, -0.5 * FT), project).screens[1]
    assert (moved.start, moved.end) == (None, None) and moved.out == pytest.approx(0.5 * FT)
    for along, back in ((31 * FT, -1 * FT), (9 * FT, 1 * FT), (9 * FT, -9 * FT)):
        with pytest.raises(InputError):
            court(MoveThing("court", "screens", "hedge", "A", along, back), project)
    assert court(RemoveThing("court", "screens", "hedge"), project).screens == (wall,)


def test_a_screen_across_an_end_goes_out_of_it_and_a_new_one_stands_along_an_open_side():
    """Run A is 38 ft, its tape hooked at its start: an end screen 1 ft out of its start lies at -1 ft."""
    run = replace(COURT.patios[0].runs[0], starts_at="open")
    fence = Screen("fence", "A", 5 * FT, "start", out=1 * FT)
    patio = replace(COURT.patios[0], runs=(run, *COURT.patios[0].runs[1:]), screens=(fence,))
    project = replace(COURT, patios=(patio,))
    place = screen_place(patio, run, fence)
    assert (place.along, place.side) == pytest.approx((-1 * FT, 0.0)) and place.reach[1] == 0.0
    moved = court(MoveThing("court", "screens", "fence", "A", -2 * FT, 0.0), project).screens[0]
    assert moved.out == pytest.approx(2 * FT)
    with pytest.raises(InputError):  # under the lid
        court(MoveThing("court", "screens", "fence", "A", 1 * FT, 0.0), project)
    assert open_sides(patio, run) == ("edge", "start")
    added = court(AddScreen("court", "Hedge", "A", "edge"), project).screens[1]
    assert (added.side, added.start) == ("edge", None)
    assert (added.out, added.height) == pytest.approx((3 * FT, 6 * FT))
    with pytest.raises(InputError):  # a wall stands there
        court(AddScreen("court", "Hedge", "A", "back"), project)


def test_a_screen_is_as_high_as_thin_and_as_long_as_typed():
    """10 ft 0-1/32 in goes where a tape of eighths shows it; more than the 38 ft of the edge does not fit."""
    hedge = Screen("hedge", "A", 5 * FT, start=4 * FT, end=12 * FT)
    project = replace(COURT, patios=(replace(COURT.patios[0], screens=(hedge,)),))
    made = court(ResizeScreen("court", "hedge", ("7 ft", "40 %", "10 ft 0-1/32 in")), project).screens[0]
    assert (made.height, made.open, made.start) == pytest.approx((7 * FT, 0.4, 4 * FT))
    assert made.end == pytest.approx(14 * FT)
    made = court(ResizeScreen("court", "hedge", ("7 ft", "40 %", "")), project).screens[0]
    assert (made.start, made.end) == (None, None)
    with pytest.raises(InputError):
        court(ResizeScreen("court", "hedge", ("7 ft", "40 %", "39 ft")), project)


def test_a_mark_of_a_second_row_is_fixed_in_that_row():
    run = replace(COURT.patios[0].runs[0], second_row=SecondRow(6 * FT, "2A"))
    patio = replace(COURT.patios[0], runs=(run, *COURT.patios[0].runs[1:]))
    project = replace(COURT, patios=(patio,))
    (mark, *_) = design.lay(patio)[0].marks_of("2A")
    moved = court(MoveMark("court", "A", mark.name, mark.along + 1 * FT), project)
    assert moved.runs[0].fixed == run.fixed and moved.runs[0].second_row is not None
    (fixed,) = moved.runs[0].second_row.fixed
    assert (fixed.name, fixed.along) == (mark.name, pytest.approx(mark.along + 1 * FT))
    assert next(m for m in design.lay(moved)[0].marks_of("2A") if m.name == mark.name).along == fixed.along
    freed = court(UnfixMark("court", "A", mark.name), replace(project, patios=(moved,)))
    assert freed.runs[0].second_row == run.second_row


def test_a_joint_goes_where_the_plan_has_it_and_a_size_is_read_as_typed():
    assert court(MoveJoint("court", "A", "J2", 14 * FT)).runs[0].joints[1].along == 14 * FT
    fan = thing(court(ResizeThing("court", "Fan 1", ("5'-4\"", "64 in"))), "Fan 1")
    assert isinstance(fan, Obstacle) and fan.size == pytest.approx((64 * IN, 64 * IN))
    with pytest.raises(InputError):
        court(ResizeThing("court", "Fan 1", ("big", "64 in")))


# ------------------------------------------------------------------ any edit on any house


def any_edit(project: Project, pick: random.Random) -> Edit:
    """One that a hand could make, now and then beyond the limits."""
    patio = pick.choice(project.patios)
    run = pick.choice(patio.runs)
    n = patio.runs.index(run)
    low, high = thing_range(patio, run)
    along = pick.uniform(low - 0.2, high + 0.2)
    back = pick.uniform(0.0, 1.05 * patio.depth_over(n))
    kind = pick.choice(KINDS)
    of = pick.choice(["obstacles", "seats"])
    name = pick.choice([t.name for t in getattr(patio, of)] or ["none"])
    shortest, longest = run_lengths(patio, run)
    centres = joists_of(project, patio, run)
    number = pick.randint(1, len(centres) or 1)
    reach = joist_range(patio, run, centres, number) if centres else (0.0, 1.0)
    typed = (f"{pick.randint(0, 40)} in", f"{pick.randint(0, 400)} mm")
    long = pick.choice(("", f"{pick.randint(0, 400)} in"))
    screen = pick.choice([(s.name, s.run) for s in patio.screens] or [("none", run.name)])
    joint = pick.choice([(r.name, j.name) for r in patio.runs for j in r.joints] or [(run.name, "none")])
    return pick.choice(
        [
            MoveThing(patio.name, "screens", *screen, along, pick.choice((-0.5 * back, 1.5 * back))),
            AddScreen(patio.name, "Seto", run.name, pick.choice(SIDES)),
            ResizeScreen(patio.name, screen[0], (typed[0], f"{pick.randint(0, 99)} %", long)),
            MoveJoint(patio.name, *joint, along),
            ResizeThing(patio.name, pick.choice([o.name for o in patio.obstacles] or ["none"]), typed),
            AddThing(patio.name, kind, new_name(patio, kind, kind.title()), run.name, along, back),
            MoveThing(patio.name, of, name, run.name, along, back),
            RemoveThing(patio.name, of, name),
            SetRunLength(patio.name, run.name, pick.uniform(0.9 * shortest, min(longest, run.length + 2.0))),
            MoveJoist(patio.name, run.name, number, pick.uniform(reach[0] - 0.01, reach[1] + 0.01)),
            AddJoist(patio.name, run.name, along),
            RemoveJoist(patio.name, run.name, pick.choice(centres or (0.0,))),
        ]
    )


def joists_of(project: Project, patio: Patio, run) -> tuple[float, ...]:
    return joist_centres(run, design.lay(patio, house=project.house_names)[0].lid.members)


def commented(text: str) -> str:
    """With a remark behind every line of a table's head."""
    return "\n".join(
        f"{line}  # mine {n}" if line.startswith("[") else line for n, line in enumerate(text.split("\n"))
    )


@pytest.mark.parametrize(
    "seeds",
    [pytest.param(range(3), marks=pytest.mark.thorough), pytest.param(range(3, 120), marks=pytest.mark.long)],
    ids=["some", "many"],
)
def test_any_spell_of_edits_on_any_house_is_a_house_again(seeds):
    """Each edit is refused with its reason or written into the file, and remarks stay."""
    done = 0
    for seed in seeds:
        pick = random.Random(seed)
        text = commented(project_text(seed))
        project = files.parse_project(text)
        for _ in range(6):
            edit = rounded_to_tape(project, any_edit(project, pick))
            try:
                after = apply_edit(project, edit)
                written = files.rewrite(text, after)
            except InputError as refused:
                assert refused.code.startswith("edit-")
                continue
            except InputErrors as refused:  # a limit between keys that only the reader knows
                assert {mistake.code for mistake in refused.mistakes} <= READERS_OWN, (seed, edit)
                continue
            assert apply_edit(after, edit) == after
            project = files.parse_project(written)
            assert replace(project, assumed=()) == replace(after, assumed=()), (seed, edit)
            kept = {line for line in text.split("\n") if "# mine" in line}
            lost = [line for line in kept if line not in written]
            assert len(lost) <= isinstance(edit, RemoveThing), (seed, edit)
            text, done = written, done + 1
    assert done > 3 * len(seeds)


# A place on a tube or a mark's nozzle by its name, a lid past its limits: told as for a file typed by hand.
READERS_OWN = {"too-many-nozzles", "lid-too-long", "spot-off-run", "screen-outside"}
