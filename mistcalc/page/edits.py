"""Every control of the page is one of these edits: `apply_edit(project, edit) -> Project`, nothing else.

Pure functions on nouns. Positions are absolute, so an edit that arrives twice changes nothing more. What is
drawn on the plan is in `plan_edits`.
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass, replace

from mistcalc.model.practice import ROW_DEPTHS, TWO_ROWS
from mistcalc.model.project import Patio, Project
from mistcalc.model.results import BuildOption, Finding, Fix
from mistcalc.model.second_rows import second_row, tried_rows, with_row_feeds
from mistcalc.page import plan_edits
from mistcalc.page.first_answers import air_guessed, height_guessed
from mistcalc.page.nouns_by_name import Path, named, put, swapped
from mistcalc.page.plan_edit_nouns import MoveThing, PlanEdit
from mistcalc.units import System, on_grid


@dataclass(frozen=True, slots=True)
class SetValue:
    """Set one value. `path` walks field names; inside a tuple of named nouns it gives the name. said: as it
    was typed, so that the file has it in that unit."""

    path: Path
    value: object
    said: str = ""


Edit = SetValue | PlanEdit
TAPED = ("along", "back", "length")  # fields of an edit that a tape shows


def apply_edit(project: Project, edit: Edit) -> Project:
    """The project after one edit. Raises InputError, naming the place, where the edit makes no sense."""
    if isinstance(edit, SetValue):
        return with_row_feeds(put(project, edit.path, edit.value))
    patio = named(project.patios, edit.patio, "patio")
    changed = plan_edits.apply_to_patio(patio, edit, project.house_names, project.units)
    return with_row_feeds(replace(project, patios=swapped(project.patios, changed)))


def rounded_to_tape(project: Project, edit: Edit) -> Edit:
    """The edit with every length a hand or a sum has made put where a tape shows it."""
    if isinstance(edit, SetValue):
        return edit
    grid = named(project.patios, edit.patio, "patio").marks.grid
    lengths = {f.name: getattr(edit, f.name) for f in dataclasses.fields(edit) if f.name in TAPED}
    read = {
        name: on_grid(length, project.units, grid)
        for name, length in lengths.items()
        if length is not None and math.isfinite(length)
    }
    return replace(edit, **read)  # type: ignore[arg-type]


def fix_of(finding: Finding) -> Fix | None:
    """The move that a finding asks for; None where there is none."""
    values = dict(finding.fix)
    return Fix(values["move"], values["toward"], values["by"], ()) if values else None  # type: ignore[arg-type]


def accepted(patio: Patio, finding: Finding) -> MoveThing | None:
    """What a finding offers to do, as an edit; None where it is for a person to do."""
    fix = fix_of(finding)
    return None if fix is None else fix_edit(patio, fix)


def joints_proposed(patio: Patio) -> SetValue | None:
    """Control joints proposed with the marks, where a plastered ceiling has none stated; else None."""
    stated = patio.plaster.joints == "propose" or any(run.joints for run in patio.runs)
    if stated or not patio.plaster.plastered:
        return None
    return SetValue(("patios", patio.name, "plaster", "joints"), "propose")


def climate_named(project: Project, name: str, elevation: float) -> list[Edit]:
    """The climate by its name. Our guess of an afternoon would stand over its own, and goes; with it our
    guess of a height, for the station's. elevation: the station's."""
    edits: list[Edit] = [SetValue(("place", "climate"), name)]
    if air_guessed(project.place):
        edits.append(SetValue(("place", "afternoons"), ()))
        if height_guessed(project.place):
            edits.append(SetValue(("place", "elevation"), elevation))
    return edits


def other_units(system: System) -> System:
    return "metric" if system == "us" else "us"


def in_other_units(project: Project) -> list[Edit]:
    """The same house told in the other units: what is assumed stays the usual of those it was assumed in."""
    usual = project.defaults or project.units
    other = other_units(project.units)
    return [SetValue(("units",), other), SetValue(("defaults",), None if usual == other else usual)]


def way_taken(project: Project, patio: str, way: BuildOption) -> list[Edit]:
    """What makes the project one of its other ways. patio: whose pitch and distance the way tells; where they
    differ from its own, every patio has the new ones, as `mistcalc.options` tried them."""
    told, plumbing = named(project.patios, patio, "patio"), project.plumbing
    lid: list[tuple[Path, object]] = []
    if way.pitch != told.marks.pitch:
        lid.append((("marks", "pitch"), way.pitch))
    if way.setback != told.line_behind_edge:
        lid.append((("line_behind_edge",), way.setback))
    edits: list[Edit] = [
        SetValue(("patios", one.name, *path), value) for one in project.patios for path, value in lid
    ]
    if way.second != second_row(project, told):
        every = tried_rows(project.patios, TWO_ROWS[project.units], ROW_DEPTHS)
        houses = (replace(project, patios=patios) for patios in every)
        rows = next(one for one in houses if second_row(one, named(one.patios, patio, "patio")) == way.second)
        for one in rows.patios:
            for run in one.runs:
                edits.append(SetValue(("patios", one.name, "runs", run.name, "second_row"), run.second_row))
    own = plumbing.nozzle
    if (way.nozzle, way.rated_flow, way.rated_at) != (own.label, own.flow, own.at):
        # The drops stated were those of the nozzle that goes.
        other = {"label": way.nozzle, "flow": way.rated_flow, "at": way.rated_at}
        other |= {"drop_median": None, "drop_sauter": None}
        edits += [SetValue(("plumbing", "nozzle", key), value) for key, value in other.items()]
    if plumbing.pump is not None and way.set_pressure != plumbing.pump.set_pressure:
        edits.append(SetValue(("plumbing", "pump", "set_pressure"), way.set_pressure))
    return edits


def fix_edit(patio: Patio, fix: Fix) -> MoveThing | None:
    """The smallest fix as an edit; None where it moves something other than an obstacle of this patio."""
    thing = next((o for o in patio.obstacles if o.name == fix.move), None)
    if thing is None:
        return None
    along = {"along+": fix.by, "along-": -fix.by}.get(fix.toward, 0.0)
    back = {"house": fix.by, "back": fix.by, "edge": -fix.by}.get(fix.toward, 0.0)
    return MoveThing(patio.name, "obstacles", thing.name, thing.run, thing.along + along, thing.back + back)
