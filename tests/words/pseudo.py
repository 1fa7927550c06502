"""A language made from English by giving every letter an accent, and a reader that finds letters without one.

What a door shows in that language and is still plain English was made in code and not in `words`, or lost its
language on the way. It is written to a folder as any language is: a folder is all that a language needs.
"""

from __future__ import annotations

import itertools
import json
import re
import string
import tomllib
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import tomlkit

import mistcalc
from tests import hostile

CODE = "xx"
ENGLISH = Path(mistcalc.__file__).parent / "words" / "en"
# Signs that the font of the sheets has, each about as wide as its letter.
ACCENTED = str.maketrans(string.ascii_letters, "áƀçďéƒġĥíĵķĺɱñóþʠŕśťúʋŵẋýžÁƁÇĎÉƑĠĤÍĴĶĹƜÑÓÞƢŔŚŤÚƲŴẊÝŽ")
KEPT = re.compile(
    r"(\{\{|\}\}|\{[^{}]*\}|%(?:\(\w+\))?[rs](?!\w))"
)  # braces, and places in Python's own words
WORD = re.compile(r"[A-Za-z]+(?:['’-][A-Za-z]+)*")

# Why a word may be the same in every language; a single letter always may (units, marks).
SAME: dict[str, str] = {
    **dict.fromkeys(
        ("in", "ft", "sq", "mi", "psi", "gpm", "gph", "gal", "mph", "hp", "oz", "lb"), "a US unit"
    ),
    **dict.fromkeys(("mm", "bar", "mL", "mg", "kg", "kW", "kWh", "um", "min", "Pa"), "a metric unit"),
    **dict.fromkeys(("NEMA", "IEC"), "the name of a standard's body"),
    **dict.fromkeys(("BP", "TK", "LP"), "letters on the line diagram, which its legend explains"),
    "mistcalc": "the program's name",
    **dict.fromkeys(("calendar", "ics"), "the name of a file that calendar programs open"),
}


def mask(template: str) -> str:
    """A template with its letters accented; of what stands in braces only the words of a plural are."""
    return "".join(_masked(part) for part in KEPT.split(template))


def _masked(part: str) -> str:
    if not KEPT.fullmatch(part):
        return part.translate(ACCENTED)
    name, plural, words = part.partition(":plural ")
    return name + plural + words.translate(ACCENTED)


def write_language(folder: Path) -> None:
    """The accented language in `folder`/xx, English beside it."""
    for language, change in (("en", str), (CODE, mask)):
        (folder / language).mkdir(parents=True)
        for path in ENGLISH.glob("*.toml"):
            table = _changed(tomllib.loads(path.read_text("utf-8")), change)
            (folder / language / path.name).write_text("\n".join(_toml(table, ())), "utf-8")


def _changed(table: dict[str, Any], change: Callable[[str], str]) -> dict[str, Any]:
    return {
        key: _changed(value, change) if isinstance(value, dict) else change(value)
        for key, value in table.items()
    }


def _toml(table: dict[str, Any], path: tuple[str, ...]) -> Iterator[str]:
    """Lines of TOML: a text of JSON is a text of TOML."""
    yield f"[{'.'.join(json.dumps(name) for name in path)}]" if path else ""
    for key, value in table.items():
        if isinstance(value, str):
            yield f"{json.dumps(key)} = {json.dumps(value, ensure_ascii=False)}"
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _toml(value, (*path, key))


def project_text(text: str) -> str:
    """A project in that language, without a plain letter in any text that a person may write."""
    data = tomllib.loads(text)
    data["language"] = CODE
    hostile.spoil(data, (f"{letter}{number}" for number in itertools.count() for letter in "ΔΘΛΞΠΣΦΨΩ"))
    return tomlkit.dumps(data)


def english(text: str, besides: Iterable[str] = ()) -> list[str]:
    """Words of two plain letters or more in a text, but for SAME and `besides`, words or whole phrases."""
    same = {*SAME, *besides}
    for phrase in (phrase for phrase in same if " " in phrase):
        text = text.replace(phrase, "")
    return [word for word in WORD.findall(text) if len(word) > 1 and word not in same]
