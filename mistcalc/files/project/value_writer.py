"""One value as it is written in a project file."""

from __future__ import annotations

import json
import re
import tomllib
from typing import Any

from mistcalc import units
from mistcalc.files.project.key_specs import ONE_FOR_ALL, TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.value_reader import MONTHS, default_of

_LONG_DECIMAL = re.compile(r"\.[0-9]{4}")
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def toml_value(leaf: ValueSpec, value: Any, system: units.System, old: str | None = None) -> str:
    """TOML for one SI value. `old` is what stood there: its units are kept."""
    before = _texts(old)
    if leaf.many in ONE_FOR_ALL and len(set(value)) == 1 and not isinstance(before, list):
        return _one(leaf, value[0], system, before)
    if leaf.many:
        likes = before if isinstance(before, list) else []
        parts = [_one(leaf, part, system, _at(likes, n)) for n, part in enumerate(value)]
        return f"[{', '.join(parts)}]"
    return _one(leaf, value, system, before)


def element(table: TableSpec, tree: dict[str, Any], system: units.System) -> str:
    """An inline table holding all of `tree` that says anything: { name = "B3", along = "6 ft" }."""
    return "{ " + ", ".join(f"{key(name)} = {text}" for name, text in pairs(table, tree, system)) + " }"


def pairs(table: TableSpec, tree: dict[str, Any], system: units.System) -> list[tuple[str, str]]:
    """Keys and TOML of a tree, tables within it inline. What is None or an empty list is left out."""
    written: list[tuple[str, str]] = []
    for name, entry in table.keys.items():
        value = tree[name]
        if value is None or value == [] or value == ():
            continue
        if isinstance(entry, ValueSpec) and _goes_without_saying(entry, value, system):
            continue
        if isinstance(entry, ValueSpec):
            written.append((name, toml_value(entry, value, system)))
        elif isinstance(entry, TableListSpec):
            written.append((name, f"[{', '.join(element(entry.table, item, system) for item in value)}]"))
        else:
            written.append((name, element(entry, value, system)))
    return written


def key(name: str) -> str:
    return name if _BARE.fullmatch(name) else quoted(name)


def quoted(text: str) -> str:
    """A basic string. JSON's escapes are TOML's, but for DEL, which JSON leaves as it is."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _one(leaf: ValueSpec, value: Any, system: units.System, like: Any = None) -> str:
    if leaf.kind in ("text", "name", "spot", "choice"):
        return quoted(value)
    if leaf.kind == "flag":
        return "true" if value else "false"
    if leaf.kind == "month":
        return quoted(MONTHS[value - 1])
    if leaf.kind == "changes":
        pairs_text = (
            f"{key(path)} = {quoted(one) if isinstance(one, str) else _bare_value(one)}"
            for path, one in value
        )
        return "{ " + ", ".join(pairs_text) + " }"
    if leaf.kind == "counts":
        return "{ " + ", ".join(f"{key(name)} = {count}" for name, count in value) + " }" if value else "{}"
    if leaf.kind in ("whole", "number", "date"):
        return str(value)
    return quoted(_spelled(value, leaf.kind, system, like if isinstance(like, str) else None))


def _bare_value(value: bool | int | float) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _spelled(value: float, kind: str, system: units.System, like: str | None) -> str:
    """In the units that stood there, or the file's; in the other system's where that is much shorter (3 m/s
    in a US file, rather than 6.710808876163207 mph)."""
    text = units.spell(value, kind, system, like)
    if not _LONG_DECIMAL.search(text):
        return text
    others = [units.spell(value, kind, other) for other in ("us", "metric")]
    return min((text, *others), key=len)


def _goes_without_saying(leaf: ValueSpec, value: Any, system: units.System) -> bool:
    """A default that no sheet lists."""
    return (
        leaf.default is not None and not leaf.listed and not leaf.many and value == default_of(leaf, system)
    )


def _texts(old: str | None) -> Any:
    """What an old literal says, to take its units from."""
    return tomllib.loads(f"x = {old}")["x"] if old is not None else None


def _at(texts: list[Any], number: int) -> Any:
    """The old element, else the last one: a list keeps one way of writing."""
    return texts[min(number, len(texts) - 1)] if texts else None
