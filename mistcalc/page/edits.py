"""Every control of the page is one of these edits: `apply_edit(project, edit) -> Project`, nothing else.

Pure functions on nouns. Positions are absolute, so an edit that arrives twice changes nothing more.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from mistcalc import design
from mistcalc.errors import InputError
from mistcalc.model.project import FixedMark, HouseNames, Obstacle, Patio, Project, Run
from mistcalc.model.results import Finding, Fix, RunLine
from mistcalc.model.run_extents import as_one, corners, from_datum, lid_along, tube_reach
from mistcalc.units import on_grid

Step = str | int
Path = tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class SetValue:
    """Set one value. `path` walks field names; inside a tuple of named nouns it gives the name."""

    path: Path
    value: object


@dataclass(frozen=True, slots=True)
class MoveMark:
    """Fix a mark at `along` [m from its run's datum]; from then on it stays there."""

    patio: str
    run: str
    name: str
    along: float


@dataclass(frozen=True, slots=True)
class UnfixMark:
    """Let a fixed mark be laid with the rest again. A drilled mark stays."""

    patio: str
    run: str
    name: str


@dataclass(frozen=True, slots=True)
class MoveObstacle:
    """Put an obstacle at `along` [m from its run's datum]; `back` [m from the open edge] may move too."""

    patio: str
    name: str
    along: float
    back: float | None = None


Edit = SetValue | MoveMark | UnfixMark | MoveObstacle


def apply_edit(project: Project, edit: Edit) -> Project:
    """The project after one edit. Raises InputError, naming the place, where the edit makes no sense."""
    if isinstance(edit, SetValue):
        return put(project, edit.path, edit.value)
    patio = _named(project.patios, edit.patio, "patio")
    if isinstance(edit, MoveObstacle):
        changed = _move_obstacle(patio, edit)
    else:
        run = _named(patio.runs, edit.run, f"patio[{patio.name}].run")
        if isinstance(edit, MoveMark):
            run = _move_mark(patio, run, edit, project.house_names)
        else:
            run = _free_mark(run, edit.name)
        changed = replace(patio, runs=_swap(patio.runs, run))
    return replace(project, patios=_swap(project.patios, changed))


def rounded_to_tape(project: Project, edit: Edit) -> Edit:
    """The edit with every length a hand or a sum has made put where a tape shows it."""
    if not isinstance(edit, MoveMark | MoveObstacle):
        return edit
    grid = _named(project.patios, edit.patio, "patio").marks.grid

    def read(length: float) -> float:
        return on_grid(length, project.units, grid) if math.isfinite(length) else length

    edit = replace(edit, along=read(edit.along))
    if isinstance(edit, MoveObstacle) and edit.back is not None:
        edit = replace(edit, back=read(edit.back))
    return edit


def fix_of(finding: Finding) -> Fix | None:
    """The move that a finding asks for; None where there is none."""
    values = dict(finding.fix)
    return Fix(values["move"], values["toward"], values["by"], ()) if values else None  # type: ignore[arg-type]


def fix_edit(patio: Patio, fix: Fix) -> MoveObstacle | None:
    """The smallest fix as an edit; None where it moves something other than an obstacle of this patio."""
    thing = next((o for o in patio.obstacles if o.name == fix.move), None)
    if thing is None:
        return None
    along = {"along+": fix.by, "along-": -fix.by}.get(fix.toward, 0.0)
    back = {"house": fix.by, "back": fix.by, "edge": -fix.by}.get(fix.toward, 0.0)
    return MoveObstacle(patio.name, thing.name, thing.along + along, thing.back + back)


def get(noun: Any, path: Path) -> Any:
    """The value at `path`, as `SetValue` would set it."""
    for step in path:
        noun = _child(noun, step)
    return noun


def put(noun: Any, path: Path, value: object) -> Any:
    """`noun` with the value at `path` replaced; every noun on the way is made anew, none is changed."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    child = put(_child(noun, step), rest, value)
    if isinstance(noun, tuple):
        return _swap(noun, child, str(step)) if isinstance(step, str) else _at(noun, step, child)
    return replace(noun, **{str(step): child})


def _child(noun: Any, step: Step) -> Any:
    if isinstance(noun, tuple):
        return noun[step] if isinstance(step, int) else _named(noun, step, "")
    if not dataclasses.is_dataclass(noun) or step not in {f.name for f in dataclasses.fields(noun)}:
        raise InputError("edit-unknown-place", str(step))
    return getattr(noun, str(step))


def _at(nouns: tuple[Any, ...], index: int, noun: Any) -> tuple[Any, ...]:
    return (*nouns[:index], noun, *nouns[index + 1 :])


def _named(nouns: tuple[Any, ...], name: str, where: str) -> Any:
    named_noun = next((noun for noun in nouns if noun.name == name), None)
    if named_noun is None:
        raise InputError("edit-unknown-place", f"{where}[{name}]")
    return named_noun


def _swap(nouns: tuple[Any, ...], noun: Any, name: str | None = None) -> tuple[Any, ...]:
    return tuple(noun if old.name == (name or noun.name) else old for old in nouns)


def _checked(value: float, low: float, high: float, where: str) -> float:
    """A position sent by a browser: a finite number on the lid, else refused (never clamped)."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise InputError("edit-off-the-lid", where, low=low, high=high)
    if not low - 1e-9 <= value <= high + 1e-9:
        raise InputError("edit-off-the-lid", where, low=low, high=high)
    return float(value)


def obstacle_range(patio: Patio, run: Run) -> tuple[float, float]:
    """Lowest and highest `along` on this run [m]: past an inside corner the lid goes on by its own depth."""
    return lid_along(patio, patio.runs.index(run))


def mark_range(patio: Patio, run: Run, lines: Sequence[RunLine]) -> tuple[float, float]:
    """Lowest and highest `along` of a hole [m]: where there is tube, as the runs round the corners lie, and
    the tape, hooked on the datum, reads. lines: of all runs of the patio, laid out."""
    n = patio.runs.index(run)
    backs = [line.back for line in lines]
    tube = tube_reach(run.length, corners(patio, n), (backs[n - 1], backs[(n + 1) % len(backs)]))
    low, high = from_datum(tube, run.length, run.datum.end)
    return max(low, 0.0), high


def _move_obstacle(patio: Patio, edit: MoveObstacle) -> Patio:
    thing: Obstacle = _named(patio.obstacles, edit.name, f"patio[{patio.name}].obstacle")
    run = _named(patio.runs, thing.run, f"patio[{patio.name}].run")
    where = f"patio[{patio.name}].obstacle[{thing.name}]"
    along = _checked(edit.along, *obstacle_range(patio, run), f"{where}.along")
    depth = patio.depth_over(patio.runs.index(run))
    back = thing.back if edit.back is None else _checked(edit.back, 0.0, depth, f"{where}.back")
    return replace(patio, obstacles=_swap(patio.obstacles, replace(thing, along=along, back=back)))


def _move_mark(patio: Patio, run: Run, edit: MoveMark, house: HouseNames) -> Run:
    where = f"patio[{patio.name}].run[{run.name}].fixed[{edit.name}]"
    lines = design.lay(patio, house=house)[0].lid.runs
    along = _checked(edit.along, *mark_range(patio, run, lines), f"{where}.along")
    old = next((mark for mark in run.fixed if mark.name == edit.name), None)
    if old is not None and old.drilled:
        raise InputError("edit-drilled", where, name=edit.name)
    if old is None and edit.name in house.marks:
        raise InputError("edit-name-taken", where, name=edit.name)
    others = [mark for mark in run.fixed if mark is not old]
    for other in others:
        if next(as_one((along, other.along), patio.marks.grid), None):
            raise InputError(
                "edit-fixed-as-one", f"{where}.along", name=edit.name, other=other.name, along=other.along,
                grid=patio.marks.grid,
            )  # fmt: skip
    if old is None:
        return replace(run, fixed=(*run.fixed, FixedMark(edit.name, along)))
    return replace(run, fixed=_swap(run.fixed, replace(old, along=along)))


def _free_mark(run: Run, name: str) -> Run:
    remaining = tuple(mark for mark in run.fixed if mark.name != name or mark.drilled)
    return replace(run, fixed=remaining)
