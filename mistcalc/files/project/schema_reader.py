"""Data of a project file against the schema: SI values out, every mistake and every assumption noted.

The result is a tree of plain dicts and lists shaped like the file, each leaf an SI value, None where the
file and the schema are silent. A leaf that could not be read is None too: its mistake is noted, and
whoever looks further simply finds nothing there.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Collection, Iterator
from typing import Any

from mistcalc import units, words
from mistcalc.errors import InputError
from mistcalc.files.project.schema import ROOT, TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.synonyms import KEYS, SLOPING, WORDS, closest_known_word
from mistcalc.files.text.toml_positions import Path, TomlPositions

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_FULL = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
LONGEST_NAME, LONGEST_TEXT = 60, 200
_LONGEST = {"name": LONGEST_NAME, "spot": LONGEST_NAME + 40}  # "<run> at 12 ft" holds a whole name
YEARS = (2000, 2100)  # of any date: weeks are counted from it, which a calendar must hold
FAR = 20.0  # m: an end of a range farther than this is told in whole feet
MOST_MISTAKES = 100  # a file with more was not written by hand
_EXAMPLES = {"flag": "true", "whole": "1", "date": "2027-03-08", "counts": "{ elbow = 2 }"}


class SchemaReader:
    """One reading of one file. `mistakes` and `assumed` grow in the order of the schema."""

    def __init__(self, data: dict[str, Any], places: TomlPositions, lone: Collection[Path] = ()) -> None:
        self.data = data
        self.places = places
        self.lone = lone  # lists whose only element stands as a table: it goes by no number
        self.mistakes: list[InputError] = []
        self.assumed: list[str] = []
        self.system: units.System = "metric" if data.get("units") == "metric" else "us"
        asked = data.get("language")
        self.language = asked if asked in words.languages() else "en"
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
        home = "" if near else next((_header(home) for home in _homes(key, ROOT)), "")
        known = () if path in self.listed else tuple(table.keys)  # once for each table
        self.listed.add(path)
        self.wrong("key-unknown", (*path, key), key=_cut(key), nearest=near, home=home, known=known)

    # -------------------------------------------------------------- leaves

    def _leaf(self, leaf: ValueSpec, value: Any, path: Path) -> Any:
        if value is None:
            if leaf.required:
                self.wrong("missing", path, key=path[-1], instead=f"{path[-1]} = {self.example(leaf)}")
            if leaf.default is None:
                return None
            if leaf.listed:
                self.assume(path)
            return default_of(leaf, self.system, self.language)
        if leaf.many:
            return self._several(leaf, value, path)
        return self._one(leaf, value, path)

    def example(self, leaf: ValueSpec) -> str:
        """How a value of this kind is written in the file."""
        if leaf.kind == "choice":
            return f'"{_choices(leaf)[0]}"'
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
            low, high = (_plain(leaf, end) if end else far for end, far in _ends(leaf))
            systems: tuple[units.System, ...] = ("us", "metric")
            texts = {
                system: units.with_likely_unit(str(text), leaf.kind, system, _plain(leaf, value), low, high)
                for system, value in zip(systems, usual, strict=True)
            }
            likely = [value for value in texts.values() if value]  # of one system alone: the other would lie
            instead |= {system: value or likely[0] for system, value in texts.items()} if likely else {}
        return instead

    def _several(self, leaf: ValueSpec, value: Any, path: Path) -> tuple[Any, ...] | None:
        listed = value if isinstance(value, list) else [value, value] if leaf.many == "size" else None
        wanted = {"pair": (2, 2), "size": (2, 2), "list": (1, leaf.most)}[leaf.many]
        if listed is None or len(listed) < wanted[0]:
            self.wrong("list-wanted", path, key=path[-1], instead=f"{path[-1]} = {self.example(leaf)}")
            return None
        if len(listed) > wanted[1]:
            self.wrong("too-many", path, key=path[-1], count=len(listed), most=wanted[1])
            return None
        if not isinstance(value, list):
            single = self._one(leaf, value, path)
            return None if single is None else (single, single)
        read = [self._one(leaf, element, (*path, number)) for number, element in enumerate(listed)]
        return None if None in read else tuple(read)

    def _one(self, leaf: ValueSpec, value: Any, path: Path) -> Any:
        try:
            read = _read(leaf, value)
        except InputError as mistake:
            values = {name: v for name, v in mistake.values.items() if name not in ("where", "line")}
            if "us" in values:
                values |= self._instead(leaf, mistake.code, values["text"])
            else:
                values["example"] = self.example(leaf)
            self.wrong(mistake.code, path, **{"key": path[-1], **values})
            return None
        if leaf.low is not None or leaf.high is not None:
            return self._in_range(leaf, read, value, path)
        return read

    def _in_range(self, leaf: ValueSpec, read: float, value: Any, path: Path) -> float | None:
        low, high = (_plain(leaf, end) if end else far for end, far in _ends(leaf))
        if low <= read <= high and not (leaf.positive and read <= 0):
            return read
        ends = {"low": self._end(leaf, low, math.ceil), "high": self._end(leaf, high, math.floor)}
        code = "not-above-zero" if leaf.positive and read <= 0 else "out-of-range"
        self.wrong(code, path, key=path[-1], text=str(value), **ends)
        return None

    def _end(self, leaf: ValueSpec, value: float, inward: Callable[[float], int]) -> str:
        """An end of a range; far ones in whole feet, on the side that is allowed."""
        if leaf.kind == "length" and self.system == "us" and FAR < abs(value) < float("inf"):
            return f"{units.grouped(str(inward(value / 0.3048)), 'us')} ft"
        if leaf.kind in units.KINDS or leaf.kind == "slope":
            return units.show(value, leaf.kind, self.system)
        return f"{value:g}"


def _ends(leaf: ValueSpec) -> tuple[tuple[str | None, float], tuple[str | None, float]]:
    """The ends of a leaf's range, each with what stands for one that is not there."""
    return (leaf.low, -float("inf")), (leaf.high, float("inf"))


def default_of(leaf: ValueSpec, system: units.System, language: str = "en") -> Any:
    """The schema's default in SI, text in a language. Reading it cannot fail: a test reads them all."""
    assert leaf.default is not None
    text = leaf.default[system == "metric"]
    if leaf.kind == "text":
        return words.word(text, language)
    return tuple(_plain(leaf, part) for part in text.split()) if leaf.many == "pair" else _plain(leaf, text)


def _plain(leaf: ValueSpec, text: str) -> Any:
    if leaf.kind == "flag":
        return text == "true"
    if leaf.kind == "number":
        return float(text)
    return _read(leaf, text)


def _read(leaf: ValueSpec, value: Any) -> Any:
    """SI value of one leaf. Raises InputError without a place."""
    kind = leaf.kind
    if kind in ("text", "name", "spot", "choice"):
        return _text(leaf, value)
    if kind == "flag":
        if not isinstance(value, bool):
            raise InputError("flag-wanted", text=_brief(value))
        return value
    if kind == "whole":
        if not isinstance(value, int) or isinstance(value, bool):
            raise InputError("whole-wanted", text=_brief(value))
        return value
    if kind == "number":
        return _number(value)
    if kind == "date":
        if not isinstance(value, datetime.date) or isinstance(value, datetime.datetime):
            raise InputError("date-wanted", text=_brief(value))
        if not YEARS[0] <= value.year <= YEARS[1]:
            raise InputError("date-far", text=str(value), low=str(YEARS[0]), high=str(YEARS[1]))
        return value
    if kind == "month":
        return _month(value)
    if kind == "counts":
        return _counts(leaf, value)
    if kind == "clock" and isinstance(value, datetime.time):
        value = value.isoformat("minutes")
    return units.parse(value, kind)


def _text(leaf: ValueSpec, value: Any) -> str:
    if not isinstance(value, str):
        raise InputError("text-wanted", text=_brief(value))
    most, named = _LONGEST.get(leaf.kind, LONGEST_TEXT), leaf.kind in _LONGEST
    if len(value) > most:
        raise InputError("text-too-long", text=value[:20] + "...", most=most)
    if not value.isprintable():
        raise InputError("text-unprintable", text=value)
    if named and value != value.strip():
        raise InputError("name-spaced", text=value)
    if named and not value:
        raise InputError("name-empty", text=value)
    if leaf.kind == "choice":
        choices = _choices(leaf)
        if value not in choices:
            raise InputError(
                "choice-unknown",
                text=value,
                nearest=closest_known_word(value, choices, WORDS),
                choices=choices,
            )
    return value


def _choices(leaf: ValueSpec) -> tuple[str, ...]:
    """What may be chosen; a language may be each one there are words for."""
    return leaf.choices or words.languages()


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise InputError("number-wanted", text=_brief(value))
    if not abs(value) < 10**15:  # nan compares false
        raise InputError("number-not-finite", text=_brief(value))
    return float(value)


def _month(value: Any) -> int:
    word = value.strip().casefold().rstrip(".") if isinstance(value, str) else ""
    months = [number for number, name in enumerate(_FULL, 1) if len(word) >= 3 and name.startswith(word)]
    if not months:
        raise InputError("month-wanted", text=_brief(value))
    return months[0]


def _counts(leaf: ValueSpec, value: Any) -> tuple[tuple[str, int], ...]:
    if not isinstance(value, dict):
        raise InputError("counts-wanted", text=_brief(value))
    for name, count in value.items():
        if name not in leaf.choices:
            nearest = closest_known_word(name, leaf.choices, WORDS)
            raise InputError("fitting-unknown", text=name, nearest=nearest, choices=leaf.choices)
        if not isinstance(count, int) or isinstance(count, bool) or not 0 <= count <= 1000:
            raise InputError("count-wanted", text=_brief(count), name=name)
    return tuple(value.items())


def _brief(value: Any) -> str:
    """What the file says, short enough for one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (dict, list)):
        return "{ ... }" if isinstance(value, dict) else "[ ... ]"
    if isinstance(value, int) and abs(value) > 10**30:
        return "a very long number"
    return str(value)[:60]


def _cut(key: str) -> str:
    """A key as it stands in a place: nobody reads sixty signs of one."""
    return key if len(key) <= LONGEST_NAME else f"{key[: LONGEST_NAME - 3]}..."


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
