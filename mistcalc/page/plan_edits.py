"""What a hand does on the plan of a patio, as edits: marks, things and seats moved, added, removed, a run
pulled longer, joists put where they were found.

Pure functions on nouns. Positions are absolute, and what is added or removed goes by its name or place, so an
edit that arrives twice changes nothing more. What makes no sense is refused, never clamped.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from mistcalc import design
from mistcalc.errors import InputError
from mistcalc.model.project import FixedMark, HouseNames, Patio, Run, Screen, Seat
from mistcalc.model.results import Member, RunLine
from mistcalc.model.run_extents import (
    as_one,
    lid_along,
    lid_from_start,
)
from mistcalc.page.edit_limits import FINE, checked
from mistcalc.page.new_things import new_thing, things_of
from mistcalc.page.nouns_by_name import named, swapped
from mistcalc.page.plan_edit_nouns import (
    AddJoist,
    AddScreen,
    AddThing,
    MoveJoint,
    MoveJoist,
    MoveMark,
    MoveThing,
    PlanEdit,
    RemoveJoist,
    RemoveThing,
    ResizeScreen,
    ResizeThing,
    SetRunLength,
    Things,
    UnfixMark,
)
from mistcalc.page.screen_edits import add_screen, move_screen, resize_screen
from mistcalc.units import System, on_grid, parse, with_points

LONGEST = 300.0  # m: runs of a patio together, as in its file


def apply_to_patio(patio: Patio, edit: PlanEdit, house: HouseNames, units: System) -> Patio:
    """The patio after one edit. Raises InputError, naming the place, where it makes no sense."""
    if isinstance(edit, RemoveThing):
        return _with(patio, edit.of, (t for t in getattr(patio, edit.of) if t.name != edit.name))
    if isinstance(edit, ResizeThing):
        return _resize(patio, edit, units)
    if isinstance(edit, ResizeScreen):
        return resize_screen(patio, edit, units)
    run = named(patio.runs, edit.run, f"patio[{patio.name}].run")
    if isinstance(edit, MoveThing):
        return _move_thing(patio, run, edit, units)
    if isinstance(edit, AddThing):
        return _add_thing(patio, run, edit, units)
    if isinstance(edit, AddScreen):
        return add_screen(patio, run, edit, units)
    if isinstance(edit, SetRunLength):
        return _set_length(patio, run, edit.length, units)
    if isinstance(edit, MoveMark):
        run = _move_mark(patio, run, edit, house)
    elif isinstance(edit, UnfixMark):
        run = _unfixed(run, edit.name)
    elif isinstance(edit, MoveJoint):
        joint = named(run.joints, edit.name, f"patio[{patio.name}].run[{run.name}].joints")
        along = checked(edit.along, *thing_range(patio, run), f"patio[{patio.name}].{edit.name}.along")
        run = replace(run, joints=swapped(run.joints, replace(joint, along=along)))
    else:
        run = _joists(patio, run, edit, house, units)
    return replace(patio, runs=swapped(patio.runs, run))


# ------------------------------------------------------------------ marks


def mark_range(row: RunLine) -> tuple[float, float]:
    """Lowest and highest `along` of a hole [m] in a row as laid out: where there is tube, and where the tape,
    hooked on the datum, reads."""
    low, high = sorted(map(row.along, row.tube))
    return max(low, 0.0), high


def _move_mark(patio: Patio, run: Run, edit: MoveMark, house: HouseNames) -> Run:
    """A mark of either row of the run goes by its name; a row it was not laid in has it from now on."""
    where = f"patio[{patio.name}].run[{run.name}].fixed[{edit.name}]"
    layout = design.lay(patio, house=house)[0]
    laid_in = {mark.name: mark.run for mark in layout.marks}.get(edit.name)
    row = next((row for row in run.rows if row.name == laid_in), run)
    line = next(line for line in layout.lid.rows if line.name == row.name)
    along = checked(edit.along, *mark_range(line), f"{where}.along")
    old = next((mark for mark in row.fixed if mark.name == edit.name), None)
    if old is not None and old.drilled:
        raise InputError("edit-drilled", where, name=edit.name)
    if old is None and edit.name in house.marks:
        raise InputError("edit-name-taken", where, name=edit.name)
    for other in (mark for mark in row.fixed if mark is not old):
        if next(as_one((along, other.along), patio.marks.grid), None):
            raise InputError(
                "edit-fixed-as-one", f"{where}.along", name=edit.name, other=other.name, along=other.along,
                grid=patio.marks.grid,
            )  # fmt: skip
    if old is None:
        return _with_fixed(run, row, (*row.fixed, FixedMark(edit.name, along)))
    return _with_fixed(run, row, swapped(row.fixed, replace(old, along=along)))


def _unfixed(run: Run, name: str) -> Run:
    for row in run.rows:
        run = _with_fixed(run, row, tuple(mark for mark in row.fixed if mark.name != name or mark.drilled))
    return run


def _with_fixed(run: Run, row: Run, fixed: tuple[FixedMark, ...]) -> Run:
    """The run with those marks fixed in one of its rows."""
    if run.second_row is not None and row.name == run.second_row.name:
        return replace(run, second_row=replace(run.second_row, fixed=fixed))
    return replace(run, fixed=fixed)


# ------------------------------------------------------------------ things and seats


def thing_range(patio: Patio, run: Run) -> tuple[float, float]:
    """Lowest and highest `along` on this run [m]: past an inside corner the lid goes on by its own depth."""
    return lid_along(patio, patio.runs.index(run))


def _placed(patio: Patio, run: Run, thing: Any, edit: MoveThing | AddThing) -> Any:
    where = f"patio[{patio.name}].{edit.name}"
    along = checked(edit.along, *thing_range(patio, run), f"{where}.along")
    depth = max(patio.depths_over(patio.runs.index(run)))
    wanted = thing.back if edit.back is None else edit.back
    return replace(thing, run=run.name, along=along, back=checked(wanted, 0.0, depth, f"{where}.back"))


def _move_thing(patio: Patio, run: Run, edit: MoveThing, units: System) -> Patio:
    things = getattr(patio, edit.of)
    thing = named(things, edit.name, f"patio[{patio.name}].{edit.of}")
    if isinstance(thing, Screen):
        placed = move_screen(patio, run, thing, edit, units)
    else:
        placed = _placed(patio, run, thing, edit)
    return _with(patio, edit.of, swapped(things, placed))


def _resize(patio: Patio, edit: ResizeThing, units: System) -> Patio:
    thing = named(patio.obstacles, edit.name, f"patio[{patio.name}].obstacles")
    along, back = (on_grid(parse(with_points(text), "length"), units, patio.marks.grid) for text in edit.size)
    return _with(patio, "obstacles", swapped(patio.obstacles, replace(thing, size=(along, back))))


def _add_thing(patio: Patio, run: Run, edit: AddThing, units: System) -> Patio:
    thing = new_thing(edit.kind, edit.name, units)
    of: Things = "seats" if isinstance(thing, Seat) else "obstacles"
    things = getattr(patio, of)
    if any(other.name == edit.name for other in things):
        return patio
    return _with(patio, of, (*things, _placed(patio, run, thing, edit)))


def _with(patio: Patio, of: Things, things: Iterable[Any]) -> Patio:
    return replace(patio, **{of: tuple(things)})  # type: ignore[arg-type]


# ------------------------------------------------------------------ length of a run


def run_lengths(patio: Patio, run: Run) -> tuple[float, float]:
    """Least and greatest length [m] a run can be given: all that is on it, and on the run that goes with it
    in a ring, must stay on the lid."""
    rest = LONGEST - sum(other.length for other in patio.runs)
    low, high = _shortest(patio, run), run.length + rest
    other = _across(patio, run)
    if other is not None:
        low, high = max(low, run.length - other.length + _shortest(patio, other)), run.length + rest / 2
    return min(low, run.length), max(high, run.length)


def _shortest(patio: Patio, run: Run) -> float:
    n = patio.runs.index(run)
    reach = lid_from_start(patio, n)
    past = max(reach[1] - run.length, 0.0) if run.datum.end == "start" else -reach[0]
    things = [thing.along for thing in things_of(patio) if thing.run == run.name]
    screens = [end for s in patio.screens if s.run == run.name for end in (s.start, s.end) if end is not None]
    taped = [*(joint.along for joint in run.joints), *(mark.along for row in run.rows for mark in row.fixed)]
    return max(patio.marks.closest, max((*things, *screens, *taped), default=0.0) - past)


def _across(patio: Patio, run: Run) -> Run | None:
    """The run of a ring that must be as much longer as this one: the longest that is walked the other way."""
    if not patio.is_ring:
        return None
    heading, headings = 0, []
    for one in patio.runs:
        headings.append(heading)
        heading = (heading + {"outside": 1, "inside": -1}.get(one.corner or "", 0)) % 4
    wanted = (headings[patio.runs.index(run)] + 2) % 4
    opposite = [one for one, way in zip(patio.runs, headings, strict=True) if way == wanted]
    return max(opposite, key=lambda one: one.length, default=None)


def _set_length(patio: Patio, run: Run, length: float, units: System) -> Patio:
    where = f"patio[{patio.name}].run[{run.name}].length"
    length = checked(length, *run_lengths(patio, run), where)
    runs = swapped(patio.runs, replace(run, length=length))
    other = _across(patio, run)
    if other is not None:
        grown = on_grid(other.length + (length - run.length), units, patio.marks.grid)
        runs = swapped(runs, replace(other, length=grown))
    return replace(patio, runs=runs)


# ------------------------------------------------------------------ joists as found


def joist_centres(run: Run, members: Sequence[Member]) -> tuple[float, ...]:
    """Where the tape meets each joist that lies across the run [m]; none where they lie along it. members: of
    the lid, laid out."""
    return tuple(m.along for m in members if m.run == run.name and m.along is not None)


def joist_range(patio: Patio, run: Run, centres: Sequence[float], number: int) -> tuple[float, float]:
    """Lowest and highest `along` of one joist [m]: on the lid, and not into the next one."""
    low, high = thing_range(patio, run)
    if number > 1:
        low = centres[number - 2] + run.framing.width
    if number < len(centres):
        high = centres[number] - run.framing.width
    return low, high


def _joists(
    patio: Patio, run: Run, edit: MoveJoist | AddJoist | RemoveJoist, house: HouseNames, units: System
) -> Run:
    where = f"patio[{patio.name}].run[{run.name}].framing.centres"
    centres = list(joist_centres(run, design.lay(patio, house=house)[0].lid.members))
    unseen = [c for c in run.framing.centres if not any(abs(c - one) < 1e-9 for one in centres)]
    there = next((c for c in centres if abs(c - edit.along) < patio.marks.grid / 2), None)
    if isinstance(edit, MoveJoist):
        if not 1 <= edit.number <= len(centres):
            raise InputError("edit-unknown-place", f"{where}[{edit.number}]")
        limits = joist_range(patio, run, centres, edit.number)
        centres[edit.number - 1] = checked(edit.along, *limits, f"{where}[{edit.number}]")
    elif isinstance(edit, AddJoist):
        if there is not None or any(abs(c - edit.along) < patio.marks.grid / 2 for c in unseen):
            return run  # unseen: past where this run's own members lie
        centres.append(checked(edit.along, *thing_range(patio, run), where))
    else:
        if there is None:
            return run
        if len(centres) == 1:
            raise InputError("edit-last-joist", where)
        centres.remove(there)
    fine = FINE[units]  # regular ones were sums
    found = tuple(sorted((*(on_grid(c, units, fine) for c in centres), *unseen)))
    return replace(run, framing=replace(run.framing, centres=found, spacing=None, first=None))
