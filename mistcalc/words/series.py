"""Many things by name in one sentence, those numbered on by their first and last: L1 to L9, L12."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

BY_NAME = ("names", "moves", "near", "places", "tapes")  # how values of a template are told here
FEW = 3  # fewer in a row are named one by one


class Tellers(NamedTuple):
    """How a language tells a name, a number of a kind, the first and last of a row, and a tape pulled the
    other way from its datum."""

    text: Callable[[object], str]
    number: Callable[[float, str], str]
    series: str
    other_way: str


def by_name(how: str, value: Any, tell: Tellers) -> list[str]:
    """names: the names. moves: (names, length). near: (name, names). places: (name, places on its tape).
    tapes: places on a tape; none reads below nothing, so past its datum it is pulled the other way."""
    if how == "names":
        return in_series([tell.text(name) for name in value], tell.series)
    if how == "moves":
        return [f"{', '.join(by_name('names', of, tell))} {tell.number(by, 'length')}" for of, by in value]
    if how == "near":
        return [f"{tell.text(name)}: {', '.join(by_name('names', of, tell))}" for name, of in value]
    if how == "tapes":
        told = [tell.number(place, "tape") for place in value]
        return [tell.other_way.replace("{0}", one[1:]) if one[:1] == "-" else one for one in told]
    return [f"{tell.text(name)} {', '.join(by_name('tapes', of, tell))}" for name, of in value]


def in_series(names: Sequence[str], series: str) -> list[str]:
    """Names that differ by one in the number at their end as one, where they are more than a few."""
    rows: list[list[str]] = []
    for name in names:
        if rows and _next(rows[-1][-1], name):
            rows[-1].append(name)
        else:
            rows.append([name])
    return list(_told(rows, series))


def _told(rows: Sequence[Sequence[str]], series: str) -> Iterator[str]:
    for row in rows:
        yield from row if len(row) < FEW else [series.replace("{0}", row[0]).replace("{1}", row[-1])]


def _next(before: str, name: str) -> bool:
    one, other = (re.fullmatch(r"(.*?)([1-9]\d{0,8})", text) for text in (before, name))
    return bool(one and other and one[1] == other[1] and int(one[2]) + 1 == int(other[2]))
