"""Nouns found and replaced by names on a path through a project. Pure; no noun is changed."""

from __future__ import annotations

import dataclasses
from dataclasses import replace
from typing import Any

from mistcalc.errors import InputError

Step = str | int
Path = tuple[Step, ...]


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
        return swapped(noun, child, str(step)) if isinstance(step, str) else _at(noun, step, child)
    return replace(noun, **{str(step): child})


def _child(noun: Any, step: Step) -> Any:
    if isinstance(noun, tuple):
        return noun[step] if isinstance(step, int) else named(noun, step, "")
    if not dataclasses.is_dataclass(noun) or step not in {f.name for f in dataclasses.fields(noun)}:
        raise InputError("edit-unknown-place", str(step))
    return getattr(noun, str(step))


def _at(nouns: tuple[Any, ...], index: int, noun: Any) -> tuple[Any, ...]:
    return (*nouns[:index], noun, *nouns[index + 1 :])


def named(nouns: tuple[Any, ...], name: str, where: str) -> Any:
    named_noun = next((noun for noun in nouns if noun.name == name), None)
    if named_noun is None:
        raise InputError("edit-unknown-place", f"{where}[{name}]")
    return named_noun


def swapped(nouns: tuple[Any, ...], noun: Any, name: str | None = None) -> tuple[Any, ...]:
    return tuple(noun if old.name == (name or noun.name) else old for old in nouns)
