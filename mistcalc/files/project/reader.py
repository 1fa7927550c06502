"""Read a project file: text to one Project, or every mistake in it at once."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

from mistcalc.errors import InputError, InputErrors
from mistcalc.files.project.alternates import Change, changed_text, parse_alternates
from mistcalc.files.project.cross_checks import check_across_keys
from mistcalc.files.project.dependent_defaults import fill_dependent_defaults
from mistcalc.files.project.schema import FORMAT
from mistcalc.files.project.schema_reader import MOST_MISTAKES, SchemaReader
from mistcalc.files.project.single_tables import number_single_tables, wrap_single_tables
from mistcalc.files.project.tree_conversion import project_from_tree
from mistcalc.files.text.reading import decode, parse_toml, read_bytes
from mistcalc.files.text.toml_positions import TomlPositions
from mistcalc.model.project import Project
from mistcalc.model.second_rows import with_row_feeds


def read_project(path: Path | str) -> Project:
    """The project in a file. Raises InputErrors with all mistakes, in the order they stand in the file."""
    return parse_project(read_bytes(path), Path(path).name)


@lru_cache(maxsize=64)
def parse_project(text: str | bytes, source: str = "project") -> Project:
    """The project in a text, as it was typed, uploaded or piped; remembered by its text. `source` names it in
    mistakes.

    Raises InputErrors. A file that is no text, or breaks TOML, has that one mistake; else all are found.
    """
    data, places = parse_toml(decode(text, source), source)
    _check_format(data, places, source)
    lone = number_single_tables(places)
    walk = SchemaReader(wrap_single_tables(data), places, lone)
    values = walk.run()
    fill_dependent_defaults(walk, values)
    check_across_keys(walk, values)
    if walk.mistakes:
        last = len(places.text)
        ordered = sorted(walk.mistakes, key=lambda mistake: mistake.line or last)
        if len(ordered) == MOST_MISTAKES:
            ordered.append(InputError("more-mistakes", told=MOST_MISTAKES))
        raise InputErrors(source, tuple(ordered))
    project = with_row_feeds(project_from_tree(values, tuple(walk.assumed)))
    parse_alternates(text, source, project.alternates, parse_project)
    return project


def _check_format(data: dict[str, Any], places: TomlPositions, source: str) -> None:
    """Raises InputErrors where the format is missing, unknown or newer than ours. There is none older."""
    stated, where, mistake = data.get("format"), "format", None
    line, instead = places.line((where,)), f"format = {FORMAT}"
    if stated is None:
        near = difflib.get_close_matches(where, [key for key in data if key != "form"], 1, cutoff=0.8)
        mistake = InputError("format-missing", where, 1, instead=instead, nearest="".join(near))
    elif not isinstance(stated, int) or isinstance(stated, bool) or stated < 1:
        mistake = InputError("format-unknown", where, line, text=str(stated)[:40], instead=instead)
    elif stated > FORMAT:
        mistake = InputError("format-newer", where, line, text=str(stated)[:40], known=FORMAT)
    if mistake:
        raise InputErrors(source, (mistake,))


def alternate_projects(project: Project, text: str | bytes) -> tuple[Project, ...]:
    """The project that each alternate of `text`, which states `project`, makes."""
    return parse_alternates(text, "project", project.alternates, parse_project)


def read_changed_project(path: Path | str, options: Sequence[str], changes: Sequence[Change]) -> Project:
    """The project in a file as its alternates of these names make it, and then these values at key paths. Its
    alternates themselves go. Raises InputErrors, of what is changed without a line."""
    raw, source = read_bytes(path), Path(path).name
    project = parse_project(raw, source)
    if not options and not changes:
        return project
    known = {alternate.name: alternate.change for alternate in project.alternates}
    lost = [name for name in options if name not in known]
    if lost:
        raise InputErrors(source, (InputError("option-unknown", text=lost[0], known=tuple(known)),))
    data, _ = parse_toml(decode(raw, source), source)
    bare = {name: value for name, value in data.items() if name != "alternate"}
    try:
        return parse_project(changed_text(bare, [*(c for o in options for c in known[o]), *changes]), source)
    except InputError as wrong:
        raise InputErrors(source, (wrong,)) from None
    except InputErrors as wrong:
        told = (InputError(mistake.code, mistake.where, **mistake.placeless) for mistake in wrong.mistakes)
        raise InputErrors(source, tuple(told)) from None
