"""The only place a sentence is made: codes and SI values in, a person's language and units out.

Sentences are templates in one folder of TOML files a language (how to write them is said at the head of
`en/general.toml`). A new language is one more folder of the same keys, and nothing else. This module
imports no noun, so that speaking costs nothing at start-up: it looks only at the fields of what it is given.
"""

from __future__ import annotations

import math
import re
import string
import tomllib
import unicodedata
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import TYPE_CHECKING, Any

from mistcalc.errors import FilesRefused, InputError, InputErrors, MistcalcError, RangeError
from mistcalc.units import System
from mistcalc.words.numbers import at_most_told, drop_told, figure, limit_side
from mistcalc.words.series import BY_NAME, Tellers, by_name

if TYPE_CHECKING:
    from mistcalc.model.results import Finding

APART = ("name", "patio", "where", "in_file")  # not among the values of the general form
LONGEST = 200  # characters of one value inside a sentence; a whole paragraph may be a label's value

_UNIT = re.compile(r"(?<= )[a-z]+")  # in a value with its unit: what may be a word of a language
_CONTROL = ("Cc", "Cf", "Cs", "Zl", "Zp")  # Unicode: control, format, half characters, line ends

# Which kind of quantity a bare SI unit is, where only a generic sentence is left.
_KIND_OF_UNIT = {
    "m": "length", "Pa": "pressure", "K": "temperature_difference", "m3/s": "flow", "m/s": "speed",
    "W": "power", "V": "voltage", "m2": "area", "m3": "volume", "1": "share",
}  # fmt: skip


def say(
    message: Finding | MistcalcError, units: System = "us", language: str = "en", in_file: bool = True
) -> str:
    """The sentence of a finding or an error; of one file or several a line a mistake, with its place; where
    none can be made of it, its code. in_file: its reader has the project file at hand."""
    if isinstance(message, InputErrors):
        at = [place(mistake, message.source, language) for mistake in message.mistakes]
        return "\n".join(f"{a}: {say(m, units, language)}" for a, m in zip(at, message.mistakes, strict=True))
    if isinstance(message, FilesRefused):
        told = [say(error, units, language) for error in message.refused]
        good = message.good and (label("place.good", units, language, files=message.good),)
        return "\n".join((*told, *good))
    section = "error" if isinstance(message, MistcalcError) else "finding"
    values = dict(message.values) if isinstance(message, MistcalcError) else _of_finding(message)
    code = message.code
    if isinstance(message, RangeError):
        code, values = _of_range(message, units, language)
    values = {"in_file": in_file} | {name: _short(value) for name, value in values.items()}
    if "us" in values and "metric" in values:  # what to write instead, said once where both are one
        key = "either-one" if values["us"] == values["metric"] else "either"
        values["either"] = label(f"place.{key}", units, language, us=values["us"], metric=values["metric"])
    entry = _sentences(language)[section].get(code)
    try:
        return _join(entry, values, units, language)
    except (LookupError, TypeError, ValueError, MistcalcError):
        return _generally(message.code, values, units, language)


def label(key: str, units: System = "us", language: str = "en", **values: object) -> str:
    """Words for a heading, a column, a button: `key` is its path in the language file ("summary.marks").

    Raises KeyError for a key that is not in the file; a test finds every key the code asks for.
    """
    section, _, name = key.partition(".")
    return _join(_sentences(language)[section][name], values, units, language)


def number(
    value: float | None, kind: str, units: System = "us", language: str = "en", like: float | None = None
) -> str:
    """A value as people read it: a kind of `units` or `numbers.ROUNDED`, or percent, a share in whole ones; a
    dash for None and what is not finite. like: a value beside it whose unit it takes."""
    if value is None or not math.isfinite(value):
        return _sentences(language)["number"]["none"]
    if kind == "percent":
        return _percent(value, language)
    return _UNIT.sub(lambda unit: word(unit[0], language, section="unit"), figure(value, kind, units, like))


def _percent(value: float, language: str) -> str:
    """Whole percent; what is nearly all or nearly nothing is not said to be."""
    whole = f"{value:.0%}".removesuffix("%")
    if whole == "100" and value < 1.0:
        return label("number.nearly_all", language=language)
    if whole == "0" and value > 0.0:
        return label("number.nearly_none", language=language)
    return f"{whole} %"


def span(low: float, high: float, units: System = "us", language: str = "en") -> str:
    """A range of temperature difference (K) in whole degrees: "4 to 8 °F", or "about 4 °F"."""
    first, last = (figure(end, "degrees", units) for end in (low, high))
    key = "number.about" if first == last else "number.span"
    return label(key, units, language, low=first, high=last)


def place(mistake: InputError, source: str, language: str = "en") -> str:
    """Where a mistake is: "courtyard.toml line 41, patio[court].run[A].length"."""
    key = "line" if mistake.line is not None else "file"
    where = f"{key}-where" if mistake.where else key
    return label(f"place.{where}", language=language, source=source, line=mistake.line, where=mistake.where)


def languages() -> tuple[str, ...]:
    """Codes of the languages there is a folder for."""
    return tuple(sorted(f.name for f in _folder().iterdir() if f.is_dir() and not f.name.startswith("_")))


def word(value: object, language: str = "en", units: System = "us", section: str = "word") -> str:
    """A value that is itself a word of the program ("copper"), in a language; other text as it is."""
    wording = _sentences(language)[section].get(str(value))
    wording = wording[units] if isinstance(wording, dict) else wording
    return wording if isinstance(wording, str) else _text(value, "us", language)


def spoken(section: str, code: str, language: str = "en") -> bool:
    """Whether a finding ("finding") or error ("error") code has a sentence of its own."""
    return code in _sentences(language)[section]


def is_label(key: str, language: str = "en") -> bool:
    """Whether there are words under a key."""
    section, _, name = key.partition(".")
    return name in _sentences(language).get(section, {})


# ------------------------------------------------------------------ inside


def _folder() -> Traversable:
    return resources.files("mistcalc.words")


@cache
def _sentences(language: str) -> Mapping[str, Any]:
    if language not in languages():
        raise InputError("language-unknown", "language", text=language, known=languages())
    templates: dict[str, Any] = {}
    for file in _folder().joinpath(language).iterdir():
        if file.name.endswith(".toml"):
            templates |= tomllib.loads(file.read_text("utf-8"))
    return templates


def _of_finding(finding: Finding) -> dict[str, object]:
    """All a template may name. `patio` is the first piece of the path, `name` the rest; a finding whose patio
    may have a slash in its name says the patio itself, among its values."""
    patio = str(finding.value("patio", finding.where.split("/", 1)[0]))
    values: dict[str, object] = {
        "where": finding.where,
        "name": finding.where.removeprefix(f"{patio}/"),
        "patio": patio,
        "quantity": finding.quantity,
        "provided": finding.provided,
        "required": finding.required,
        "source": finding.source,
    }
    return {**values, **dict(finding.values), **dict(finding.fix), "fix": finding.fix}


def _thing(kind: object, name: str, language: str) -> str:
    """A thing's kind and name; the name alone where it says the kind itself: no "heater Heater 1"."""
    said = word(kind, language)
    return name if re.search(rf"\b{re.escape(said)}\b", name, re.IGNORECASE) else f"{said} {name}"


def _short(value: object) -> object:
    """Text no longer than a sentence bears: names come from files that anyone may have written."""
    return f"{value[: LONGEST - 3]}..." if isinstance(value, str) and len(value) > LONGEST else value


def _of_range(error: RangeError, units: System, language: str) -> tuple[str, dict[str, object]]:
    """The range's numbers already as text, in the reader's units; a limit at infinity is not told."""
    unit = str(error.values["unit"])
    kind = "temperature" if unit == "K" else _KIND_OF_UNIT.get(unit, "")

    def told(name: str) -> str:
        value = float(str(error.values[name]))
        known = kind and math.isfinite(value)
        return number(value, kind, units, language) if known else f"{value:.6g} {unit}".strip()

    low, high = (math.isfinite(float(str(error.values[name]))) for name in ("low", "high"))
    code = "range" if low and high else "range-low" if low else "range-high"
    values = {name: told(name) for name in ("value", "low", "high")}
    return code, {"quantity": error.values["quantity"], **values}


def _join(entry: Any, values: Mapping[str, object], units: System, language: str) -> str:
    """A plain template, or a table: `say`, then each further sentence whose value is there and not empty."""
    if isinstance(entry, str):
        return _Words(units, language).filled(entry, values) if "{" in entry else entry
    if not isinstance(entry, dict):
        raise KeyError(entry)
    wanted = [text for name, text in entry.items() if name == "say" or values.get(name)]
    return " ".join(_Words(units, language).filled(text, values) for text in wanted)


def _generally(code: str, values: Mapping[str, object], units: System, language: str) -> str:
    def plain() -> Iterator[str]:
        for name, value in values.items():
            if isinstance(value, (str, int, float)) and value != "" and name not in APART:
                yield f"{name} {_text(value, units, language)}"

    where = _text(values.get("where") or values.get("path") or "", units, language)
    return label("error.unspoken", units, language, code=code, where=where, told=", ".join(plain()))


@cache
def _pieces(template: str) -> tuple[tuple[str, str | None, str], ...]:
    """Of a template: text, the name of the value after it and how that is told."""
    return tuple((text, name, how or "") for text, name, how, _ in string.Formatter().parse(template))


class _Words:
    """`{name:how}`: how is a kind of `number`, or word, Word, words, kind, list, date, tapes, zones, Zones,
    names, moves, places or `plural one|many`."""

    def __init__(self, units: System, language: str) -> None:
        self.units: System = units
        self.language = language

    def filled(self, template: str, values: Mapping[str, object]) -> str:
        return "".join(
            text if name is None else text + self.beside_limit(name, how, values)
            for text, name, how in _pieces(template)
        )

    def beside_limit(self, name: str, how: str, values: Mapping[str, Any]) -> str:
        """A value; where its limit would read the same, on which side of it: just under 80 %."""
        told, side = self.told(self.value(name, values), how), limit_side(name, values)
        if not side or how.startswith("plural ") or told != self.told(values["required"], how):
            return told
        return label(f"number.{side}", self.units, self.language, value=told)

    def value(self, name: str, values: Mapping[str, Any]) -> Any:
        if name == "degree":
            return _sentences(self.language)["number"]["degree"][self.units]
        if name == "thing" and name not in values:
            return _thing(values["kind"], str(values["name"]), self.language)
        return values[name]

    def told(self, value: Any, how: str) -> str:
        if not how:
            return _text(value, self.units, self.language)
        if how == "list":
            return _listed(value, self.units, self.language)
        if how in BY_NAME:
            told = by_name(how, value, _tellers(self.units, self.language))
            listed = how in ("names", "tapes")
            return _listed(tuple(told), self.units, self.language) if listed else "; ".join(told)
        if how == "tape" and value is not None:
            return by_name("tapes", (value,), _tellers(self.units, self.language))[0]
        if how in ("words", "spot"):
            items = value if isinstance(value, (tuple, list)) else (value,)
            tell = word if how == "words" else _spot
            return _listed(tuple(tell(item, self.language) for item in items), self.units, self.language)
        if how == "span":
            return span(value[0], value[1], self.units, self.language)
        if how in ("cooler", "at_most"):
            key, ends = (drop_told if how == "cooler" else at_most_told)(value, self.units)
            return label(f"number.{key}", self.units, self.language, **ends)
        if how == "date":
            return _date(str(value), self.units, self.language)
        if how in ("bare", "lower"):
            return str(int(value)) if how == "bare" else f"{value[:1].lower()}{value[1:]}"
        if how == "month":
            return label(f"paper_calendar.month_{int(value)}", self.units, self.language)
        if how in ("kind", "kinds"):
            return word(value, self.language, section="kind" if how == "kind" else "many")
        if how in ("word", "Word"):
            said = word(value, self.language, self.units)
            return said if how == "word" else said[:1].upper() + said[1:]
        if how in ("zones", "Zones"):
            key = f"number.zones_{'one' if len(value) == 1 else 'many'}"
            zones_text = label(key, self.units, self.language, zones=value)
            return zones_text if how == "zones" else zones_text[:1].upper() + zones_text[1:]
        if how.startswith("plural "):
            one, many = how.removeprefix("plural ").split("|")
            return one if value == 1 else many
        return number(value, how, self.units, self.language)


@cache
def _tellers(units: System, language: str) -> Tellers:
    return Tellers(
        lambda value: _text(value, units, language), lambda value, kind: number(value, kind, units, language),
        label("number.series", units, language, first="{0}", last="{1}"),
        label("number.other_way", units, language, tape="{0}"),
    )  # fmt: skip


def _text(value: object, units: System, language: str) -> str:
    """Plain text of a value; text from a file loses control signs, which could steer a terminal."""
    if isinstance(value, bool):
        return word(str(value).lower(), language)
    if isinstance(value, float):
        return f"{value:.4g}"
    if isinstance(value, (tuple, list, set, frozenset)):
        return _listed(value, units, language)
    if (text := str(value)).isprintable():
        return text
    return "".join(" " if unicodedata.category(sign) in _CONTROL else sign for sign in text)


def _spot(name: str, language: str) -> str:
    """A place in the line by the name a project file gives it, or the tube between two such places."""
    first, joined, last = name.partition(" to ")
    if joined:
        ends = _spot(first, language), _spot(last, language)
        return label("spot.piece", language=language, first=ends[0], last=ends[1])
    run, _, end = name.rpartition(" ")
    if run and end in ("start", "end"):
        return label(f"spot.{end}", language=language, run=run)
    for key in ("at", "panel"):
        run, _, where = name.rpartition(f" {key} ")
        if run:
            return label(f"spot.{key}", language=language, run=run, told=where)
    return (
        word(name, language, section="spot")
        if name in ("pump", "water point")
        else _text(name, "us", language)
    )


def _date(iso: str, units: System, language: str) -> str:
    """A day, 2027-03-08, as paper has it: 03/08/2027 in English with feet, 8 mar 2027 in Spanish."""
    parts = dict(zip(("year", "month", "day"), iso.split("-"), strict=True))
    return _join(_sentences(language)["number"]["date"][units], parts, units, language)


def _listed(value: object, units: System, language: str) -> str:
    """ "A7, A8 and A9"; a single value stays alone."""
    if not isinstance(value, (tuple, list, set, frozenset)):
        return _text(value, units, language)
    items = [_text(item, units, language) for item in value]
    if len(items) < 2:
        return "".join(items)
    return label("number.list", units, language, first=", ".join(items[:-1]), last=items[-1])
