"""What a key of a project file may be said to be: one value, a table of keys, a list of tables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ONE_FOR_ALL = {"size": 2, "year": 12}  # kinds of `many` of which a file may state one value for so many


@dataclass(frozen=True, slots=True)
class ValueSpec:
    """One value. `default` is (US, metric) text; None: nothing; `required`: the file must say.
    A "spot" is where tube begins or ends.

    `many`: "list" of one or more, "pair" of exactly two, "size" one or two, "year" one or twelve (a single
    one counts for all).
    `low`, `high` are inclusive; `positive` leaves out zero. `listed`: an unstated default is an assumption.
    """

    kind: str  # a kind of `units`, or text, name, spot, choice, number, flag, date, month, counts
    default: tuple[str, str] | None = None
    required: bool = False
    low: str | None = None
    high: str | None = None
    positive: bool = False
    choices: tuple[str, ...] = ()
    many: Literal["", "list", "pair", "size", "year"] = ""
    listed: bool = True
    most: int = 1  # elements of a list
    like: tuple[str, str] | None = None  # what people write (US, metric), where there is no default to show


@dataclass(frozen=True, slots=True)
class TableSpec:
    keys: Keys
    optional: bool = False  # a table that may be left out as a whole: then there is no such thing
    together: tuple[str, ...] = ()  # keys that mean nothing apart: all stated, or none


@dataclass(frozen=True, slots=True)
class TableListSpec:
    """A list of tables. `by`: the key that names an element; without it elements go by their place. `lone`:
    where there is but one it may be written as a table."""

    table: TableSpec
    by: str = ""
    most: int = 500
    required: bool = False
    lone: bool = False


def length(
    us: str = "", metric: str = "", low: str = "0 m", high: str = "300 m", **rest: object
) -> ValueSpec:
    return quantity("length", us, metric, low, high, **rest)


def quantity(
    kind: str, us: str = "", metric: str = "", low: str = "", high: str = "", **rest: object
) -> ValueSpec:
    default = (us, metric or us) if us else None
    return ValueSpec(kind, default, low=low or None, high=high or None, **rest)  # type: ignore[arg-type]


def choice(*choices: str, default: str | tuple[str, str] = "", **rest: object) -> ValueSpec:
    pair = default if isinstance(default, tuple) else (default, default)
    return ValueSpec("choice", pair if pair[0] else None, choices=choices, **rest)  # type: ignore[arg-type]


def text(default: str | None = None) -> ValueSpec:
    return ValueSpec("text", None if default is None else (default, default), listed=False)


Keys = dict[str, ValueSpec | TableSpec | TableListSpec]
NAME, SPOT = ValueSpec("name", required=True), ValueSpec("spot", required=True)
