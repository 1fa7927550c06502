"""A demo in which every text that a person may write is meant to be read as something else than text.

The schema says which keys those are, so a new key is hostile from its first day.
"""

from __future__ import annotations

import itertools
import tomllib
from collections.abc import Iterator
from typing import Any

import tomlkit

from mistcalc import files
from mistcalc.files.project.key_specs import TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.schema import ROOT
from mistcalc.model.close_in import USUAL

OUTSIDE = "outside.test"  # a name that is nobody's (RFC 6761)

# Each is read as more than text by one of the doors: Markdown, HTML and SVG, Streamlit's shortcodes, formulas
# of spreadsheets, codes of DXF text, PDF strings, paths, terminals, JSON, INI sections.
MEANT = (
    f"![i](http://{OUTSIDE}/p.png)",
    f"<img src=//{OUTSIDE}/q.png onerror=alert(1)>",
    "<script>document.title='read'</script>",
    f'=HYPERLINK("//{OUTSIDE}","x")',
    "=cmd|'/C calc'!A0",
    "+1+1", "-2+3", "@SUM(A1)",
    "$x^2$ $$y$$",
    ":material/home: :red[hot] :smile:",
    f"[x](http://{OUTSIDE}) **b** _i_ `c`",
    f"http://{OUTSIDE}/a www.{OUTSIDE}",
    f"me@{OUTSIDE} <https://{OUTSIDE}>",
    "{\\H9x;big}\\P^J%%u%%c\\U+00e9",
    "%<\\AcVar Date>% <>",
    f"]]></text><a href='//{OUTSIDE}'>",
    "&lt;b&gt; &amp;copy; &#x202e;",
    ") Tj ET /URI (x) <</S/URI>>",
    "../../etc/passwd",
    "[END] ; [PIPES]",
    "${HOME} $(id) `id` {0} {name}",
    "# head", "1. one", "> said", "- item", "| a | b |",
    "'; DROP TABLE marks; --",
    "\\u001b[31m %s %n",
    "end\" onload=\"alert(1)",
    "漢字😀 e\u0301",
)  # fmt: skip
# What must be the name of a sample or of a folder, or is no text.
KEPT = {("place", "climate"), ("revision", "keep"), ("format",)}
STEPS = {step.name for step in USUAL}  # days of the usual close-in: the program's own names


def project_text(example: str = "courtyard") -> str:
    """The demo as TOML. The same name is the same hostile name everywhere; lengths stay within the limits."""
    data = tomllib.loads(files.example_text(example))
    spoil(data, itertools.cycle(MEANT))
    return tomlkit.dumps(data)


def spoil(data: dict[str, Any], drawn: Iterator[str]) -> None:
    """Put one of `drawn`, with a number, in place of every text that a person may write in a project."""
    data.get("line", {}).pop("mark", None)  # names of marks follow those of runs
    _spoil_table(ROOT, data, (), _Names(drawn))


def texts(example: str = "courtyard") -> Iterator[str]:
    """Every text of the spoiled demo."""
    yield from texts_of(project_text(example))


def texts_of(project: str) -> Iterator[str]:
    """Every text that a person wrote in a project."""
    yield from _texts(ROOT, tomllib.loads(project), ())


class _Names:
    """A hostile text for each one there was, drawn in turn."""

    def __init__(self, drawn: Iterator[str]) -> None:
        self.given: dict[str, str] = {}
        self.drawn = drawn

    def of(self, text: str) -> str:
        if text not in self.given:
            meant = next(self.drawn)
            number = f" {len(self.given)}"
            self.given[text] = (meant + number)[-60:] if len(meant + number) > 60 else meant + number
        return self.given[text].strip()


def _spoil_table(table: TableSpec, data: dict[str, Any], path: tuple[str, ...], names: _Names) -> None:
    for key, entry in table.keys.items():
        here = (*path, key)
        if isinstance(entry, TableSpec):
            if isinstance(data.get(key), dict):
                _spoil_table(entry, data[key], here, names)
        elif isinstance(entry, TableListSpec):
            rows = data.get(key, [])
            for row in rows if isinstance(rows, list) else [rows]:
                _spoil_table(entry.table, row, here, names)
        elif entry.kind in ("text", "name", "spot") and here not in KEPT:
            if key in data:
                data[key] = _spoiled(entry, data[key], names)
            elif entry.kind == "text" and not entry.many and path:
                data[key] = names.of(f"{'.'.join(here)}")


def _spoiled(leaf: ValueSpec, value: Any, names: _Names) -> Any:
    if isinstance(value, list):
        return [_spoiled(leaf, one, names) for one in value]
    step, plus, days = value.partition(" + ")
    if step in STEPS:
        return value
    if plus and days.endswith(("day", "days")):
        return f"{names.of(step)} + {days}"
    if leaf.kind == "name" or (leaf.kind == "text" and not leaf.many):
        return names.of(value)
    first, joined, last = value.partition(" to ")
    if joined:
        return f"{_spoiled(leaf, first, names)} to {_spoiled(leaf, last, names)}"
    if value in ("pump", "water point"):
        return value
    run, blank, end = value.rpartition(" ")
    if blank and end in ("start", "end"):
        return f"{names.of(run)} {end}"
    run, at, place = value.rpartition(" at ")
    return f"{names.of(run)} at {place}" if at else names.of(value)


def _texts(table: TableSpec, data: dict[str, Any], path: tuple[str, ...]) -> Iterator[str]:
    for key, entry in table.keys.items():
        value = data.get(key)
        if isinstance(entry, TableSpec) and isinstance(value, dict):
            yield from _texts(entry, value, (*path, key))
        elif isinstance(entry, TableListSpec) and value:
            for row in value if isinstance(value, list) else [value]:
                yield from _texts(entry.table, row, (*path, key))
        elif (
            isinstance(entry, ValueSpec)
            and entry.kind in ("text", "name")
            and (*path, key) not in KEPT
            and value
        ):
            yield from [value] if isinstance(value, str) else value
