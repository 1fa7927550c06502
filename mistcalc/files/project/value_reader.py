"""One value of a project file, as its schema wants it, to SI. The other way: `value_writer`."""

from __future__ import annotations

import datetime
from typing import Any

from mistcalc import units, words
from mistcalc.errors import InputError
from mistcalc.files.project.key_specs import ValueSpec
from mistcalc.files.project.synonyms import WORDS, closest_known_word

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_FULL = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
LONGEST_NAME, LONGEST_TEXT = 60, 200
_LONGEST = {"name": LONGEST_NAME, "spot": LONGEST_NAME + 40}  # "<run> at 12 ft" holds a whole name
YEARS = (2000, 2100)  # of any date: weeks are counted from it, which a calendar must hold


def range_of(leaf: ValueSpec) -> tuple[float, float]:
    """The lowest and the highest value allowed, in SI; infinite where there is no end."""
    low = plain_value(leaf, leaf.low) if leaf.low else -float("inf")
    return low, plain_value(leaf, leaf.high) if leaf.high else float("inf")


def default_of(leaf: ValueSpec, system: units.System) -> Any:
    """The schema's default in SI. Reading it cannot fail: a test reads them all."""
    assert leaf.default is not None
    text = leaf.default[system == "metric"]
    if leaf.kind == "text":
        return text
    return (
        tuple(plain_value(leaf, part) for part in text.split())
        if leaf.many == "pair"
        else plain_value(leaf, text)
    )


def plain_value(leaf: ValueSpec, text: str) -> Any:
    """SI value of what the schema itself writes."""
    if leaf.kind == "flag":
        return text == "true"
    if leaf.kind in ("number", "whole"):
        return float(text)
    return read_value(leaf, text)


def read_value(leaf: ValueSpec, value: Any) -> Any:
    """SI value of one leaf. Raises InputError without a place."""
    kind = leaf.kind
    if kind in ("text", "name", "spot", "choice"):
        return _text(leaf, value)
    if kind == "flag":
        if not isinstance(value, bool):
            raise InputError("flag-wanted", text=brief(value))
        return value
    if kind == "whole":
        if not isinstance(value, int) or isinstance(value, bool):
            raise InputError("whole-wanted", text=brief(value))
        return value
    if kind == "number":
        return _number(value)
    if kind == "date":
        if not isinstance(value, datetime.date) or isinstance(value, datetime.datetime):
            raise InputError("date-wanted", text=brief(value))
        if not YEARS[0] <= value.year <= YEARS[1]:
            raise InputError("date-far", text=str(value), low=str(YEARS[0]), high=str(YEARS[1]))
        return value
    if kind == "month":
        return _month(value)
    if kind == "changes":
        return _changes(value)
    if kind == "counts":
        return _counts(leaf, value)
    if kind == "clock" and isinstance(value, datetime.time):
        value = value.isoformat("minutes")
    return units.parse(value, kind)


def _text(leaf: ValueSpec, value: Any) -> str:
    if not isinstance(value, str):
        raise InputError("text-wanted", text=brief(value))
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
        choices = choices_of(leaf)
        if value not in choices:
            raise InputError(
                "choice-unknown",
                text=value,
                nearest=closest_known_word(value, choices, WORDS),
                choices=choices,
            )
    return value


def choices_of(leaf: ValueSpec) -> tuple[str, ...]:
    """What may be chosen; a language may be each one there are words for."""
    return leaf.choices or words.languages()


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise InputError("number-wanted", text=brief(value))
    if not abs(value) < 10**15:  # nan compares false
        raise InputError("number-not-finite", text=brief(value))
    return float(value)


def _month(value: Any) -> int:
    said = value.strip().casefold().rstrip(".") if isinstance(value, str) else ""
    found = [number for number, name in enumerate(_FULL, 1) if len(said) >= 3 and name.startswith(said)]
    if not found:
        raise InputError("month-wanted", text=brief(value))
    return found[0]


def _counts(leaf: ValueSpec, value: Any) -> tuple[tuple[str, int], ...]:
    if not isinstance(value, dict):
        raise InputError("counts-wanted", text=brief(value))
    for name, count in value.items():
        if name not in leaf.choices:
            nearest = closest_known_word(name, leaf.choices, WORDS)
            raise InputError("fitting-unknown", text=name, nearest=nearest, choices=leaf.choices)
        if not isinstance(count, int) or isinstance(count, bool) or not 0 <= count <= 1000:
            raise InputError("count-wanted", text=brief(count), name=name)
    return tuple(value.items())


def _changes(value: Any) -> tuple[tuple[str, Any], ...]:
    """Key paths and plain values; whether those lead anywhere is seen when the changed file is read."""
    if not isinstance(value, dict) or not value:
        raise InputError("changes-wanted", text=brief(value))
    for path, one in value.items():
        if not path.strip() or not isinstance(one, str | int | float):
            raise InputError("changes-wanted", text=f'"{brief(path)}" = {brief(one)}')
    return tuple(value.items())


def brief(value: Any) -> str:
    """What the file says, short enough for one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (dict, list)):
        return "{ ... }" if isinstance(value, dict) else "[ ... ]"
    if isinstance(value, int) and abs(value) > 10**30:
        return "a very long number"
    return str(value)[:60]
