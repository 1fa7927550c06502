"""Edits are pure: they give a new project, change only what they name, and refuse what makes no sense."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import pytest

from mistcalc import files
from mistcalc.errors import InputError
from mistcalc.model.project import Datum, FixedMark, Run
from mistcalc.model.results import Fix
from mistcalc.page.edits import (
    Edit,
    SetValue,
    apply_edit,
    fix_edit,
    in_other_units,
    joints_proposed,
    rounded_to_tape,
)
from mistcalc.page.nouns_by_name import get
from mistcalc.page.open_project import edited
from mistcalc.page.plan_edits import MoveMark, MoveThing, UnfixMark, thing_range
from mistcalc.units import parse
from tests.builders import FT, IN, patio, project
from tests.random_projects import project_text

FIRST = files.new_project_text("invented", ["30 ft"], "10 ft", [], None, "en", files.FirstAnswers())


def run_of(changed) -> Run:
    return changed.patios[0].runs[0]


def test_put_changes_one_value_and_nothing_else():
    before = project()
    after = apply_edit(before, SetValue(("patios", "porch", "marks", "pitch"), 18 * IN))
    assert get(after, ("patios", "porch", "marks", "pitch")) == 18 * IN
    back = apply_edit(after, SetValue(("patios", "porch", "marks", "pitch"), patio().marks.pitch))
    assert back == before == project()


def test_put_reaches_into_the_line_and_can_clear_a_value():
    after = apply_edit(project(), SetValue(("plumbing", "nozzle", "opens_at"), None))
    assert after.plumbing.nozzle.opens_at is None
    assert after.patios == project().patios


@pytest.mark.parametrize(
    "path", [("patios", "cellar", "height"), ("plumbing", "tub"), ("patios", "porch", "__class__")]
)
def test_put_refuses_a_place_that_is_not_there(path):
    with pytest.raises(InputError) as refused:
        apply_edit(project(), SetValue(path, 1.0))
    assert refused.value.code == "edit-unknown-place"


def test_a_moved_mark_is_fixed_and_a_second_move_replaces_the_first():
    once = apply_edit(project(), MoveMark("porch", "A", "A2", 61 * IN))
    assert run_of(once).fixed == (FixedMark("A2", 61 * IN),)
    twice = apply_edit(once, MoveMark("porch", "A", "A2", 62 * IN))
    assert run_of(twice).fixed == (FixedMark("A2", 62 * IN),)


def test_the_same_move_twice_is_the_same_as_once():
    edit = MoveMark("porch", "A", "A2", 61 * IN)
    once = apply_edit(project(), edit)
    assert apply_edit(once, edit) == once


def test_a_freed_mark_is_laid_with_the_rest_again():
    moved = apply_edit(project(), MoveMark("porch", "A", "A2", 61 * IN))
    assert apply_edit(moved, UnfixMark("porch", "A", "A2")) == project()


def test_a_drilled_mark_is_neither_moved_nor_freed():
    run = replace(patio().runs[0], fixed=(FixedMark("A2", 60 * IN, drilled=True),))
    drilled = replace(project(), patios=(replace(patio(), runs=(run,)),))
    with pytest.raises(InputError) as refused:
        apply_edit(drilled, MoveMark("porch", "A", "A2", 61 * IN))
    assert refused.value.code == "edit-drilled"
    assert apply_edit(drilled, UnfixMark("porch", "A", "A2")) == drilled


@pytest.mark.parametrize("along", [-1 * IN, 12 * FT + IN, float("nan"), float("inf"), True, "3 ft", None])
def test_a_mark_off_the_run_is_refused_never_clamped(along):
    with pytest.raises(InputError) as refused:
        apply_edit(project(), MoveMark("porch", "A", "A2", along))
    assert refused.value.code == "edit-off-the-lid"


def test_an_obstacle_moves_along_and_keeps_its_back():
    after = apply_edit(project(), MoveThing("porch", "obstacles", "L1", "A", 72 * IN))
    light = after.patios[0].obstacles[0]
    assert (light.along, light.back) == (72 * IN, 30 * IN)
    with pytest.raises(InputError):
        apply_edit(project(), MoveThing("porch", "obstacles", "L1", "A", 72 * IN, 11 * FT))


def test_the_smallest_fix_moves_the_obstacle_as_it_says():
    def fixed(toward: Literal["house", "along-"]) -> Edit:
        edit = fix_edit(patio(), Fix("L1", toward, 12 * IN, ("A2",)))
        assert edit is not None
        return rounded_to_tape(project(), edit)

    def to(along: str, back: str) -> Edit:
        return MoveThing("porch", "obstacles", "L1", "A", parse(along, "length"), parse(back, "length"))

    assert fixed("house") == to("60 in", "42 in")
    assert fixed("along-") == to("48 in", "30 in")
    assert fix_edit(patio(), Fix("J1", "house", 12 * IN, ())) is None


def test_a_hand_puts_things_where_a_tape_shows_them():
    edit = rounded_to_tape(project(), MoveMark("porch", "A", "A2", 61.27 * IN))
    assert edit == MoveMark("porch", "A", "A2", parse("61-1/4 in", "length"))


def test_past_an_inside_corner_the_lid_goes_on_by_its_depth():
    """A lid round a court: run A 12 ft from its start, run B 9 ft measured from its far end."""
    a = replace(patio().runs[0], ends_at="corner", corner="inside")
    b = Run("B", 9 * FT, "corner", "wall", None, Datum("end", "face of south wall"), a.framing)
    court = replace(patio(), runs=(a, b))
    assert thing_range(court, a) == pytest.approx((0.0, 22 * FT))
    assert thing_range(court, b) == pytest.approx((0.0, 19 * FT))


def test_joints_are_proposed_where_plaster_has_none():
    bare = replace(patio(), runs=tuple(replace(run, joints=()) for run in patio().runs))
    edit = joints_proposed(bare)
    assert edit is not None and joints_proposed(patio()) is None  # whose joints are stated
    after = apply_edit(replace(project(), patios=(bare,)), edit).patios[0]
    assert after.plaster.joints == "propose" and joints_proposed(after) is None
    wood = replace(bare, plaster=replace(bare.plaster, system="wood"))
    assert joints_proposed(wood) is None


@pytest.mark.parametrize(
    ("path", "value", "keeps"),
    [
        (("patios", "patio", "plaster", "system"), "wood", "thickness"),
        (("plumbing", "water", "static"), 5e5, "residual"),
        (("patios", "patio", "runs", "A", "framing", "spacing"), 0.6096, "first"),
    ],
)
def test_what_nobody_stated_is_not_stated_by_changing_what_it_hangs_on(path, value, keeps):
    """A plaster's usual thickness, a main's running pressure, the first joist: assumed before, and after."""
    before = files.parse_project(FIRST)
    after = edited(FIRST, [SetValue(path, value)])
    project = files.parse_project(after)
    assert get(project, path) == value
    fresh = set(before.assumed) - set(project.assumed)
    assert not [one for one in fresh if one.endswith(f".{keeps}")], after
    assert [one for one in project.assumed if one.endswith(f".{keeps}")]


def test_what_an_edit_sets_itself_is_stated_though_it_was_assumed():
    """A way to build keeps the nozzle's name that was assumed, though the flow beside it is another's."""
    label = files.parse_project(FIRST).plumbing.nozzle.label
    edits = [
        SetValue(("plumbing", "nozzle", key), value)
        for key, value in (("label", label), ("flow", 2e-6), ("at", 69e5))
    ]
    nozzle = files.parse_project(edited(FIRST, edits)).plumbing.nozzle
    assert (nozzle.label, nozzle.flow, nozzle.at) == (label, 2e-6, 69e5)


@pytest.mark.parametrize("seed", range(30))
def test_told_in_other_units_a_house_is_the_same_and_what_was_assumed_still_is(seed):
    """It stated sixty values nobody had, where joists lie among them, and kept them on the way back."""
    text = project_text(seed)
    before = files.parse_project(text)
    told = edited(text, in_other_units(before))
    after = files.parse_project(told)
    assert after.units != before.units
    assert replace(after, units=before.units, defaults=before.defaults) == before  # what is assumed, too
    again = files.parse_project(edited(told, in_other_units(after)))
    assert replace(again, defaults=before.defaults) == before
