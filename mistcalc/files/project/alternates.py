"""A project's file with some of its keys changed, read as if it had said so itself: its alternates, a lot's
own keys."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Iterable
from typing import Any

from mistcalc.errors import InputError, InputErrors
from mistcalc.files.project.value_writer import key as written_key
from mistcalc.files.project.value_writer import quoted
from mistcalc.files.text.reading import decode, parse_toml
from mistcalc.model.project import Alternate, Project

_KEYS = re.compile(r"\.(?![^\[]*\])")  # points between keys, none of a name in brackets
Parse = Callable[[str], Project]
Change = tuple[str, str | int | float | bool]


def parse_alternates(
    text: str | bytes, source: str, alternates: tuple[Alternate, ...], parse: Parse
) -> tuple[Project, ...]:
    """The project each of them makes. Raises InputErrors with one mistake an alternate: of a path that leads
    nowhere, or the first that the changed file would have."""
    if not alternates:
        return ()
    data, places = parse_toml(decode(text, source), source)
    bare = {name: value for name, value in data.items() if name != "alternate"}
    found, mistakes = [], []
    for n, alternate in enumerate(alternates):
        where, line = f"alternate[{alternate.name}].change", places.line(("alternate", n))
        try:
            found.append(parse(changed_text(bare, alternate.change)))
        except InputError as lost:
            mistakes.append(InputError(lost.code, where, line, path=lost.values["path"]))
        except InputErrors as wrong:
            first = wrong.mistakes[0]
            at = f"{where}: {first.where}" if first.where.strip() else where
            mistakes.append(InputError(first.code, at, line, **first.placeless))
    if mistakes:
        raise InputErrors(source, tuple(mistakes))
    return tuple(found)


def changed_text(data: dict[str, Any], changes: Iterable[Change]) -> str:
    """A project's file, as TOML reads it, with other values at key paths, as a file again. Raises
    InputError("alternate-path") for the first path that leads nowhere."""
    changed = copy.deepcopy(data)
    for path, value in changes:
        if not _set(changed, _KEYS.split(path), value):
            raise InputError("alternate-path", path=path)
    return "\n".join(f"{written_key(name)} = {_toml(one)}" for name, one in changed.items())


def _set(home: dict[str, Any], keys: list[str], value: object) -> bool:
    """Put a value at a path: into every element of a list, or the one named in brackets. False: nowhere."""
    name, _, element = keys[0].partition("[")
    if len(keys) == 1:
        home[name] = value
        return not element
    inner = home.setdefault(name, {})
    tables = [
        one
        for one in (inner if isinstance(inner, list) else [inner])
        if isinstance(one, dict) and (not element or one.get("name") == element.rstrip("]"))
    ]
    reached = [_set(one, keys[1:], value) for one in tables]
    return bool(reached) and all(reached)


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{written_key(name)} = {_toml(one)}" for name, one in value.items()) + " }"
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return quoted(value) if isinstance(value, str) else str(value)
