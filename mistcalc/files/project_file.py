"""Read a project file: text to one Project, or every mistake in it at once."""

from __future__ import annotations

from pathlib import Path

from mistcalc.errors import InputError, InputErrors
from mistcalc.files.consistency import compare
from mistcalc.files.defaults import settle
from mistcalc.files.lone import as_lists, number_places
from mistcalc.files.nouns import project_of
from mistcalc.files.text import decode, parse_toml, read_bytes
from mistcalc.files.upgrade import upgrade
from mistcalc.files.walk import MOST_MISTAKES, Walk
from mistcalc.model.project import Project


def read_project(path: Path | str) -> Project:
    """The project in a file. Raises InputErrors with all mistakes, in the order they stand in the file."""
    return parse_project(read_bytes(path), Path(path).name)


def parse_project(text: str | bytes, source: str = "project") -> Project:
    """The project in a text, as it was typed, uploaded or piped. `source` names it in mistakes.

    Raises InputErrors. A file that is no text, or breaks TOML, has that one mistake; else all are found.
    """
    data, places = parse_toml(decode(text, source), source)
    data = upgrade(data, places, source)
    lone = number_places(places)
    walk = Walk(as_lists(data), places, lone)
    values = walk.run()
    settle(walk, values)
    compare(walk, values)
    if walk.mistakes:
        last = len(places.text)
        ordered = sorted(walk.mistakes, key=lambda mistake: mistake.line or last)
        if len(ordered) == MOST_MISTAKES:
            ordered.append(InputError("more-mistakes", told=MOST_MISTAKES))
        raise InputErrors(source, tuple(ordered))
    return project_of(values, tuple(walk.assumed))
