"""Data of a project file against the schema: SI values out, every mistake and every assumption noted.

The result is a tree of plain dicts and lists shaped like the file, each leaf an SI value, None where the
file and the schema are silent. A leaf that could not be read is None too: its mistake is noted, and
whoever looks further simply finds nothing there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator
from dataclasses import replace
from typing import Any

from mistcalc import units
from mistcalc.errors import InputError
from mistcalc.files.project.key_specs import ONE_FOR_ALL, TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.schema import ROOT
from mistcalc.files.project.synonyms import KEYS, SLOPING, closest_known_word
from mistcalc.files.project.value_reader import (
    LONGEST_NAME,
    choices_of,
    default_of,
    plain_value,
    range_of,
    read_value,
)
from mistcalc.files.text.toml_positions import Path, TomlPositions

FAR = 20.0  # m: an end of a range farther than this is told in whole feet
MOST_MISTAKES = 100  # a file with more was not written by hand
_EXAMPLES = {
    "flag": "true",
    "whole": "1",
    "date": "2027-03-08",
    "counts": "{ elbow = 2 }",
    "changes": '{ "patio.marks.pitch" = "30 in" }',
}


class SchemaReader:
    """One reading of one file. `mistakes` and `assumed` grow in the order of the schema."""

    def __init__(self, data: dict[str, Any], places: TomlPositions, lone: Collection[Path] = ()) -> None:
        self.data = data
        self.places = places
        self.lone = lone  # lists whose only element stands as a table: it goes by no number
        self.mistakes: list[InputError] = []
        self.assumed: list[str] = []
        self.system: units.System = "metric" if data.get("units") == "metric" else "us"
        usual = data.get("defaults")
        self.defaults: units.System = usual if usual in ("us", "metric") else self.system
        self.misspelt: set[Path] = set()  # keys that an unknown one was probably meant to be
        self.listed: set[Path] = set()  # tables whose keys have been told
        self.names: dict[Path, str] = {}  # list element -> its shown name

    def run(self) -> dict[str, Any]:
        return self._table(ROOT, self.data, ())

    # -------------------------------------------------------------- notes

    def wrong(self, code: str, path: Path, **values: Any) -> None:
        """Note a mistake at a key path. A key that stands there misspelt is not called missing as well."""
        if code == "missing" and path in self.misspelt:
            return
        if len(self.mistakes) >= MOST_MISTAKES:
            return
        clean = {name: units.printable(value) for name, value in values.items()}
        self.mistakes.append(InputError(code, self.shown(path), self.places.line(path), **clean))

    def assume(self, path: Path) -> None:
        self.assumed.append(self.shown(path))

    def no_assumption(self, path: Path) -> None:
        """What was assumed has no meaning in this file after all."""
        shown = self.shown(path)
        self.assumed = [key_path for key_path in self.assumed if key_path != shown]

    def shown(self, path: Path) -> str:
        """patio[court].run[A].length; an element without a readable name goes by its number."""
        text = ""
        for depth, piece in enumerate(path):
            if isinstance(piece, int):
                if path[:depth] in self.lone:
                    continue
                text += f"[{self.names.get(path[: depth + 1], str(piece + 1))}]"
            else:
                text += f".{_cut(piece)}" if text else _cut(piece)
        return units.printable(text)

    def states(self, path: Path) -> bool:
        """Whether the file says anything at a key path, right or wrong."""
        return path in self.places.items or path in self.places.blocks

    # -------------------------------------------------------------- tables

    def _table(self, table: TableSpec, data: dict[str, Any], path: Path) -> dict[str, Any]:
        for key in data:
            if key not in table.keys and len(self.mistakes) < MOST_MISTAKES:
                self._unknown(key, table, path)
        values = {key: self._entry(entry, data, (*path, key)) for key, entry in table.keys.items()}
        for key in table.together:
            leaf = table.keys[key]
            if (
                key not in data
                and any(other in data for other in table.together)
                and isinstance(leaf, ValueSpec)
            ):
                self.wrong("missing", (*path, key), key=key, instead=f"{key} = {self.example(leaf)}")
        return values

    def _entry(self, entry: ValueSpec | TableSpec | TableListSpec, data: dict[str, Any], path: Path) -> Any:
        value = data.get(str(path[-1]))
        if isinstance(entry, ValueSpec):
            return self._leaf(entry, value, path)
        if isinstance(entry, TableListSpec):
            return self._many(entry, value, path)
        if value is None:
            return None if entry.optional else self._table(entry, {}, path)
        if isinstance(value, list):
            self.wrong("one-not-many", path, key=path[-1], instead=f"[{_header(path)}]")
            return None
        if not isinstance(value, dict):
            self.wrong("table-wanted", path, key=path[-1], instead=f"[{_header(path)}]")
            return None
        return self._table(entry, value, path)

    def _many(self, many: TableListSpec, value: Any, path: Path) -> list[dict[str, Any]]:
        header = f"[[{_header(path)}]]"
        if value is None or value == []:
            if many.required:
                self.wrong("missing-table", path, key=path[-1], instead=header)
            return []
        if isinstance(value, dict):
            self.wrong("many-not-one", path, key=path[-1], instead=header)
            return []
        if not isinstance(value, list) or not all(isinstance(element, dict) for element in value):
            self.wrong("list-of-tables-wanted", path, key=path[-1], instead=header)
            return []
        if len(value) > many.most:
            self.wrong("too-many", path, key=path[-1], count=len(value), most=many.most)
            return []
        seen: dict[str, int] = {}
        for number, element in enumerate(value):
            name = element.get(many.by) if many.by else None
            if isinstance(name, str) and name.strip():
                self.names[*path, number] = name[:LONGEST_NAME]
                if name in seen:
                    first = self.places.line((*path, seen[name]))
                    self.wrong("name-twice", (*path, number), name=name, first=first)
                seen.setdefault(name, number)
        return [self._table(many.table, element, (*path, number)) for number, element in enumerate(value)]

    def _unknown(self, key: str, table: TableSpec, path: Path) -> None:
        if key in SLOPING and path[:1] == ("patio",) and _header(path) in ("patio", "patio.run"):
            self.wrong("lid-is-level", (*path, key), key=key)
            return
        near = closest_known_word(key, table.keys, KEYS)
        self.misspelt |= {(*path, near)} if near else set()
        homes = [] if near else [_header(home) for home in _homes(key, ROOT)]
        here = f"{_header(path)}."  # a table inside this one is likelier meant than one elsewhere
        home = next((inner for inner in homes if inner.startswith(here)), next(iter(homes), ""))
        known = () if path in self.listed else tuple(table.keys)  # once for each table
        self.listed.add(path)
        top = bool(path) and not near and not home and key in ROOT.keys
        self.wrong("key-unknown", (*path, key), key=_cut(key), nearest=near, home=home, top=top, known=known)

    # -------------------------------------------------------------- leaves

    def _leaf(self, leaf: ValueSpec, value: Any, path: Path) -> Any:
        if value is None:
            if leaf.required:
                self.wrong("missing", path, key=path[-1], instead=f"{path[-1]} = {self.example(leaf)}")
            if leaf.default is None:
                return None
            if leaf.listed:
                self.assume(path)
            return default_of(leaf, self.defaults)
        if leaf.many:
            return self._several(leaf, value, path)
        return self._one(leaf, value, path)

    def example(self, leaf: ValueSpec) -> str:
        """How a value of this kind is written in the file."""
        if leaf.many == "list" and leaf.kind in ("choice", "date"):
            return f"[{self.example(replace(leaf, many=''))}]"
        if leaf.kind == "choice":
            return f'"{choices_of(leaf)[0]}"'
        if leaf.kind == "number":
            return self._usual(leaf)[0]
        if leaf.kind in _EXAMPLES:
            return _EXAMPLES[leaf.kind]
        if leaf.kind in ("text", "name", "spot"):
            return '["A", "B"]' if leaf.many else '"..."'
        if leaf.kind == "month":
            return '["May", "Sep"]'
        us, metric = self._usual(leaf)
        single = f'"{metric if self.system == "metric" else us}"'
        return {"pair": f"[{single}, {single}]", "list": f"[{single}]"}.get(leaf.many, single)

    def _usual(self, leaf: ValueSpec) -> tuple[str, str]:
        """What people write for this key, US and metric."""
        stated = leaf.default if leaf.many != "pair" else None
        return stated or leaf.like or units.examples(leaf.kind)

    def _instead(self, leaf: ValueSpec, code: str, text: Any) -> dict[str, str]:
        """What to write instead of a value of no use, US and metric: a bare number with its likely unit.

        Where it can be meant in one system only (98 of an afternoon is degF) both are that one."""
        usual = self._usual(leaf)
        instead = dict(zip(("us", "metric"), usual, strict=True))
        if code == "unit-missing" and leaf.kind in units.KINDS:
            ends = range_of(leaf)
            systems: tuple[units.System, ...] = ("us", "metric")
            texts = {
                system: units.with_likely_unit(str(text), leaf.kind, system, plain_value(leaf, like), *ends)
                for system, like in zip(systems, usual, strict=True)
            }
            likely = [value for value in texts.values() if value]  # of one system alone: the other would lie
            instead |= {system: value or likely[0] for system, value in texts.items()} if likely else {}
        return instead

    def _several(self, leaf: ValueSpec, value: Any, path: Path) -> tuple[Any, ...] | None:
        same = ONE_FOR_ALL.get(leaf.many, 0)
        listed = value if isinstance(value, list) else [value] * same or None
        wanted = (1, leaf.most) if leaf.many == "list" else (same or 2, same or 2)
        if listed is None or len(listed) < wanted[0]:
            instead = f"{path[-1]} = {self.example(leaf)}"
            if listed and wanted[0] > 1:
                self.wrong(
                    "list-short", path, key=path[-1], count=len(listed), wanted=wanted[0], instead=instead
                )
            else:
                self.wrong("list-wanted", path, key=path[-1], instead=instead)
            return None
        if len(listed) > wanted[1]:
            self.wrong("too-many", path, key=path[-1], count=len(listed), most=wanted[1])
            return None
        if not isinstance(value, list):
            single = self._one(leaf, value, path)
            return None if single is None else (single,) * same
        read = [self._one(leaf, element, (*path, number)) for number, element in enumerate(listed)]
        return None if None in read else tuple(read)

    def _one(self, leaf: ValueSpec, value: Any, path: Path) -> Any:
        try:
            read = read_value(leaf, value)
        except InputError as mistake:
            values = mistake.placeless
            if "us" in values:
                values |= self._instead(leaf, mistake.code, values["text"])
            else:
                values["example"] = self.example(leaf)
            self.wrong(mistake.code, path, **{"key": _key_of(path), **values})
            return None
        if leaf.low is not None or leaf.high is not None:
            return self._in_range(leaf, read, value, path)
        return read

    def _in_range(self, leaf: ValueSpec, read: float, value: Any, path: Path) -> float | None:
        low, high = range_of(leaf)
        if low <= read <= high and not (leaf.positive and read <= 0):
            return read
        ends = {"low": self._end(leaf, low, math.ceil), "high": self._end(leaf, high, math.floor)}
        code = "not-above-zero" if leaf.positive and read <= 0 else "out-of-range"
        self.wrong(code, path, key=_key_of(path), text=str(value), **ends)
        return None

    def _end(self, leaf: ValueSpec, value: float, inward: Callable[[float], int]) -> str:
        """An end of a range; far ones in whole feet, on the side that is allowed."""
        if leaf.kind == "length" and self.system == "us" and FAR < abs(value) < float("inf"):
            return f"{units.grouped(str(inward(units.from_si(value, 'ft', 'length'))), 'us')} ft"
        if leaf.kind in units.KINDS or leaf.kind == "slope":
            return units.show(value, leaf.kind, self.system)
        return f"{value:g}"


def _cut(key: str) -> str:
    """A key as it stands in a place: nobody reads sixty signs of one."""
    return key if len(key) <= LONGEST_NAME else f"{key[: LONGEST_NAME - 3]}..."


def _key_of(path: Path) -> str:
    """The key as it is written, also of a value in its list."""
    return next(part for part in reversed(path) if isinstance(part, str))


def _header(path: Path) -> str:
    return ".".join(piece for piece in path if isinstance(piece, str))


def _homes(key: str, entry: ValueSpec | TableSpec | TableListSpec, path: Path = ()) -> Iterator[Path]:
    """Tables in which a key is at home."""
    table = entry.table if isinstance(entry, TableListSpec) else entry
    if isinstance(table, TableSpec):
        if key in table.keys and path:
            yield path
        for name, inner in table.keys.items():
            yield from _homes(key, inner, (*path, name))
