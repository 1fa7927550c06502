"""From where to where a thing may lie on a run: one rule, asked of the reader, the page and the lid."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from mistcalc import design, files
from mistcalc.checks import lid_findings
from mistcalc.errors import InputError, InputErrors
from mistcalc.layout import lay
from mistcalc.layout.run_frames import bands, tape_of
from mistcalc.model.project import FixedMark, Patio
from mistcalc.model.run_extents import as_one
from mistcalc.page.edits import apply_edit
from mistcalc.page.plan_edits import MoveMark, MoveThing, mark_range, thing_range
from tests import builders
from tests.layout.lids import FT, IN, joists, patio, run
from tests.layout.raw import broken_rules, inside

TURNS = tuple(itertools.product(("inside corner", "outside corner"), repeat=2))


def text(then: tuple[str, str], datum: str, thing: str = "") -> str:
    """A house of three runs of 20 ft, 9 ft deep; the middle one has its datum at `datum`."""
    runs = ""
    for name, after in zip("ABC", (*then, "end"), strict=True):
        hook = f'datum = {{ end = "{datum}" }}\n' if name == "B" else ""
        runs += f'[[patio.run]]\nname = "{name}"\nlength = "20 ft"\nthen = "{after}"\n{hook}'
    return (
        'format = 1\nname = "Three runs"\n[place]\nelevation = "10 m"\nclimate = "el-paso"\n'
        f'[[patio]]\nname = "p"\ndepth = "9 ft"\n{runs}{thing}'
    )


def lamp(along: float) -> str:
    return (
        '[[patio.obstacle]]\nname = "Lamp"\nkind = "light"\nrun = "B"\nback = "4 ft"\nsize = "6 in"\n'
        f'along = "{along / IN} in"\n'
    )


@pytest.mark.parametrize("datum", ["start", "end"])
@pytest.mark.parametrize("then", TURNS)
def test_reader_page_and_lid_agree(then: tuple[str, str], datum: str) -> None:
    """A lamp a hand to either side of each limit: all three take it, or none does."""
    project = files.parse_project(text(then, datum, lamp(10 * FT)))
    lid = project.patios[0]
    middle = lid.runs[1]
    band = bands(lid, tape_of(lid.marks))[1]
    stated = sorted((band.along(band.reach[0]), band.along(band.reach[1])))
    assert thing_range(lid, middle) == pytest.approx(stated)
    for limit, outward in zip(stated, (-1, 1), strict=True):
        for by, good in ((-1 * IN, True), (1 * IN, False)):
            along = limit + outward * by
            edit = MoveThing("p", "obstacles", "Lamp", middle.name, along)
            moved = replace(lid, obstacles=(replace(lid.obstacles[0], along=along),))
            assert inside(moved, moved.obstacles[0]) == good
            if good:
                files.parse_project(text(then, datum, lamp(along)))
                apply_edit(project, edit)
                continue
            with pytest.raises(InputErrors) as caught:
                files.parse_project(text(then, datum, lamp(along)))
            (mistake,) = caught.value.mistakes
            assert (mistake.code, mistake.where) == ("outside-lid", "patio[p].obstacle[Lamp].along")
            with pytest.raises(InputError):
                apply_edit(project, edit)


@pytest.mark.parametrize("datum", ["start", "end"])
@pytest.mark.parametrize("then", TURNS)
def test_a_hand_may_drag_a_mark_where_there_is_tube(then: tuple[str, str], datum: str) -> None:
    project = files.parse_project(text(then, datum))
    lid = project.patios[0]
    band = bands(lid, tape_of(lid.marks))[1]
    low, high = mark_range(design.lay(lid)[0].lid.runs[1])
    ends = sorted((band.along(band.tube[0]), band.along(band.tube[1])))
    assert (low, high) == (pytest.approx(max(0.0, ends[0])), pytest.approx(ends[1]))
    for along in (low, high):
        after = apply_edit(project, MoveMark("p", "B", "B3", along))
        (layout, _), *_ = design.lay_all(after)
        assert next(m for m in layout.marks if m.name == "B3").along == pytest.approx(along, abs=1 * IN / 8)
    with pytest.raises(InputError):
        apply_edit(project, MoveMark("p", "B", "B3", high + 1 * IN))


def test_a_neighbors_line_that_moved_off_a_joist_moves_the_end_of_a_run() -> None:
    """The strip ended where the next line was meant to lie; a mark dragged there lay off the tube."""
    lid = files.parse_project(text(("inside corner", "inside corner"), "start")).patios[0]
    along = replace(
        lid.runs[2].framing, lies="along", centres=(lid.line_behind_edge,), spacing=None, first=None
    )
    lid = replace(lid, runs=(*lid.runs[:2], replace(lid.runs[2], framing=along)))
    lines = design.lay(lid)[0].lid.runs
    assert lines[2].back > lid.line_behind_edge
    assert mark_range(lines[1])[1] == pytest.approx(lid.runs[1].length + lines[2].back)


# ------------------------------------------------------------------ two marks that are one


@pytest.mark.parametrize("apart", [0.0, 1 / 32, 0.12])
def test_two_fixed_marks_within_a_step_of_the_tape(apart: float) -> None:
    """They ended in a TypeError. The file and the page refuse them; the lid, asked all the same, says so."""
    fixed = f'fixed = [ {{ name = "F", along = "10 ft" }}, {{ name = "G", along = "{120 + apart} in" }} ]\n'
    whole = text(("inside corner", "inside corner"), "start")
    with pytest.raises(InputErrors) as caught:
        files.parse_project(whole.replace('name = "B"\n', f'name = "B"\n{fixed}'))
    (mistake,) = caught.value.mistakes
    assert (mistake.code, mistake.where) == ("fixed-as-one", "patio[p].run[B].fixed[G].along")
    project = apply_edit(files.parse_project(whole), MoveMark("p", "B", "F", 10 * FT))
    with pytest.raises(InputError) as refused:
        apply_edit(project, MoveMark("p", "B", "G", 10 * FT + apart * IN))
    assert refused.value.code == "edit-fixed-as-one"
    if apart > 1 / 16:  # nearer the next place of the tape: the lid has a place for each
        return
    lid = patio((run("A", 240, fixed=(FixedMark("F", 10 * FT), FixedMark("G", 10 * FT + apart * IN, True))),))
    found = {f.code: f for f in lid_findings(lid, lay(lid))}
    assert found["fixed-marks-as-one"].level == "fail"
    assert found["fixed-marks-as-one"].value("mark") == "F"  # the drilled one is there and stays


def test_one_step_apart_is_two_marks_and_a_finding() -> None:
    fixed = (FixedMark("F", 10 * FT), FixedMark("G", 10 * FT + IN / 8))
    for grid_off in (0.0, IN / 16):  # on the tape's lines, and half-way between them
        some = tuple(replace(mark, along=mark.along + grid_off) for mark in fixed)
        lid = patio((run("A", 240, fixed=some),))
        layout = lay(lid)
        assert {"F", "G"} <= {m.name for m in layout.marks}
        codes = [f.code for f in lid_findings(lid, layout)]
        assert "gap-too-close" in codes and "fixed-marks-as-one" not in codes


def test_as_one() -> None:
    assert list(as_one((3.0, 1.0, 2.9), 0.2)) == [(2, 0)]
    assert list(as_one((1.0, 1.0, 1.0), 0.1)) == [(0, 1), (1, 2)]
    assert list(as_one((1.0, 1.1), 0.1)) == list(as_one((), 0.1)) == []


def test_a_name_of_another_run_is_not_given_by_a_drag() -> None:
    project = files.parse_project(text(("inside corner", "inside corner"), "start"))
    project = apply_edit(project, MoveMark("p", "B", "B3", 10 * FT))
    with pytest.raises(InputError) as refused:
        apply_edit(project, MoveMark("p", "A", "B3", 10 * FT))
    assert refused.value.code == "edit-name-taken"


# ------------------------------------------------------------------ runs shorter than a tube's setback


def short_house(*lengths: float, corner: str = "outside") -> Patio:
    """Runs of these lengths in inches, each turning outside into the next; 6 ft deep."""
    last = len(lengths) - 1
    runs = [
        run(
            "ABC"[n], length, ("corner" if n else "wall", "corner" if n < last else "wall"),
            corner if n < last else None,  # type: ignore[arg-type]
        )
        for n, length in enumerate(lengths)
    ]  # fmt: skip
    return patio(tuple(runs), depth=72)


@pytest.mark.parametrize("lengths", [(240, 6), (240, 3), (240, 12, 240), (240, 10, 240), (240, 1, 240)])
def test_a_run_without_room_for_its_tube(lengths: tuple[float, ...]) -> None:
    """The line divided by its length of nothing. It has no tube, no mark, and a finding that says so."""
    lid = short_house(*lengths)
    project = replace(builders.project(), patios=(lid,))
    names = "ABC"[: len(lengths)]
    joins = [replace(builders.plumbing().pieces[0], start="pump", end="A start")]
    joins += [
        replace(joins[0], start=f"{a} end", end=f"{b} start", length=0.0, rise=None)
        for a, b in itertools.pairwise(names)
    ]
    plumbing = replace(builders.plumbing(), pieces=tuple(joins), zones=(), drains=())
    ((layout, found),) = design.lay_all(project)
    told = next(f for f in found if f.code == "run-no-tube")
    assert (told.where, told.level) == ("court/B", "warn")
    assert told.provided == pytest.approx(lengths[1] * IN)
    assert told.required == pytest.approx((12 if len(lengths) == 3 else 6) * IN)
    assert layout.empty_runs.count("B") == 1
    solved, _ = design.solve_line(plumbing, (layout,))
    assert len(solved.marks) == len(layout.marks)
    assert len(layout.marks) > 5 or "lid-crosses-itself" in {f.code for f in found}
    by_run = {run.name: run for run in layout.lid.runs}
    assert by_run["B"].tube_length == 0.0 and by_run["B"].tube[0] == by_run["B"].tube[1]


def test_an_inch_of_tube_is_tube() -> None:
    lid = short_house(240, 7)
    layout = lay(lid)
    assert layout.lid.runs[1].tube_length == pytest.approx(1 * IN)
    assert "run-no-tube" not in {f.code for f in lid_findings(lid, layout)}


# ------------------------------------------------------------------ joists in another run's square


@pytest.mark.parametrize("turn", ["inside", "outside"])
def test_joists_listed_in_a_covered_corner_square_are_wood(turn: str) -> None:
    """Run A covers the corner square; run B, no longer than the lid is deep, lists joists in it all the
    same. They were dropped, and marks ended in listed wood."""
    centres = tuple((8 + 16 * k) * IN for k in range(4))
    framing = replace(joists(8, 16), spacing=None, first=None, centres=centres)
    one = run("A", 240, ("wall", "corner"), turn, framing=joists(15.25, 16, covers_corner=True))  # type: ignore[arg-type]
    two = run("B", 72, ("corner", "wall"), framing=framing)
    lid = patio((one, two), depth=72)
    layout = lay(lid)
    assert sum(member.run == "B" for member in layout.lid.members) == 4
    on_wood = replace(lid, runs=(one, replace(two, fixed=(FixedMark("B1", centres[2]),))))
    assert ("B1", "B board") in {(mark, by) for _, mark, by in broken_rules_with_fixed(on_wood)}
    assert "mark-on-member" in {f.code for f in lid_findings(on_wood, lay(on_wood))}


def broken_rules_with_fixed(lid: Patio) -> list[tuple[str, str, str]]:
    layout = lay(lid)
    free = tuple(replace(m, locked=False, drilled=False) for m in layout.marks)
    return broken_rules(lid, replace(layout, marks=free))
