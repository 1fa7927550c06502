"""A list of tables of which a file may write the only one as a table: [line.drain] for [[line.drain]].

Reader and `rewrite` see lists alone; what stood there as a table is remembered by its path.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from mistcalc.files.project.key_specs import TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.schema import ROOT
from mistcalc.files.text.toml_positions import Path, TomlPositions


def wrap_single_tables(data: dict[str, Any]) -> dict[str, Any]:
    """The data with every lone table in a list of one."""
    for path in SINGLE_TABLES:
        *above, last = path
        home: Any = data
        for key in above:
            home = home.get(key) if isinstance(home, dict) else None
        if isinstance(home, dict) and isinstance(home.get(last), dict):
            home[last] = [home[last]]
    return data


def number_single_tables(places: TomlPositions) -> set[Path]:
    """Give the places of lone tables the paths they have in a list of one; returns what was written so."""
    lone_paths: set[Path] = set()
    for path in SINGLE_TABLES:
        inside = [p for kind in (places.items, places.blocks) for p in kind if p[: len(path)] == path]
        if not inside or any(len(p) > len(path) and isinstance(p[len(path)], int) for p in inside):
            continue
        if path in places.items and places.text[places.items[path].value[0]] != "{":
            continue  # an empty list, or no table at all
        lone_paths.add(path)
        places.items = {_numbered(p, path): item for p, item in places.items.items()}
        places.blocks = {_numbered(p, path): block for p, block in places.blocks.items()}
    return lone_paths


def _numbered(path: Path, lone: Path) -> Path:
    return (*lone, 0, *path[len(lone) :]) if path[: len(lone)] == lone else path


def _lone(table: TableSpec, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    for name, entry in table.keys.items():
        if isinstance(entry, TableListSpec) and entry.lone:
            yield (*path, name)
        elif not isinstance(entry, (ValueSpec, TableListSpec)):
            yield from _lone(entry, (*path, name))


SINGLE_TABLES = tuple(_lone(ROOT))
