"""The alternates of a house built the other way round: what each makes of the plan, mirrored, as keys."""

from __future__ import annotations

import dataclasses
import tomllib
from collections.abc import Iterator
from typing import Any

from mistcalc import units
from mistcalc.errors import InputError
from mistcalc.files.project.alternates import Change
from mistcalc.files.project.key_specs import TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.reader import alternate_projects
from mistcalc.files.project.schema import ROOT
from mistcalc.files.project.tree_conversion import Tree, project_to_tree
from mistcalc.files.project.value_writer import toml_value
from mistcalc.model.mirror_image import mirrored, sided_key
from mistcalc.model.project import Alternate, Project


def mirrored_alternates(plan: Project, text: str) -> tuple[Alternate, ...]:
    """The alternates of `plan`, which `text` states, for its mirror image. One that changes no key with a
    left and a right stays as it is written. Raises InputError ("mirror-alternate") where key paths cannot
    tell one."""
    if not any(map(sided_key, plan.alternates)):
        return plan.alternates
    there = project_to_tree(_image(plan))
    told = []
    for alternate, project in zip(plan.alternates, alternate_projects(plan, text), strict=True):
        if (text_of := sided_key(alternate)) is not None:
            try:
                change = tuple(_changes(ROOT, there, project_to_tree(_image(project)), "", plan.units))
            except LookupError:
                where = f"alternate[{alternate.name}].change"
                raise InputError("mirror-alternate", where, text=text_of) from None
            alternate = dataclasses.replace(alternate, change=change)
        told.append(alternate)
    return tuple(told)


def _image(project: Project) -> Project:
    return mirrored(dataclasses.replace(project, alternates=(), assumed=()))


def _changes(table: TableSpec, old: Tree, new: Tree, path: str, system: units.System) -> Iterator[Change]:
    """Keys that differ, by their paths. Raises LookupError where one cannot be told so."""
    for name, entry in table.keys.items():
        before, after, here = old[name], new[name], f"{path}{name}"
        if before == after:
            continue
        if isinstance(entry, ValueSpec):
            yield here, _value(entry, after, system)
        elif isinstance(entry, TableListSpec):
            if not entry.by or [one[entry.by] for one in before] != [one[entry.by] for one in after]:
                raise LookupError(here)
            for was, becomes in zip(before, after, strict=True):
                yield from _changes(entry.table, was, becomes, f"{here}[{was[entry.by]}].", system)
        elif before is None or after is None:
            raise LookupError(here)
        else:
            yield from _changes(entry, before, after, f"{here}.", system)


def _value(entry: ValueSpec, value: Any, system: units.System) -> str | int | float | bool:
    read = tomllib.loads(f"it = {toml_value(entry, value, system)}")["it"] if value is not None else None
    if not isinstance(read, str | int | float | bool):
        raise LookupError
    return read
