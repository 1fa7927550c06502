"""What happened on site: lines of the append-only site log, and which of them stand."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

STRIKE = "strike"  # the field of a line that strikes another out


@dataclass(frozen=True, slots=True)
class SiteEntry:
    """One thing somebody wrote down. `value` is as written; `amount` the same in SI, where the field is a
    quantity. `mark` is what it is about: a mark's name, a zone, or "" for the whole line."""

    when: datetime.datetime
    field: str
    value: str | float | bool
    mark: str = ""
    who: str = ""
    revision: str = ""
    photo: str = ""
    amount: float | None = None


class Struck(NamedTuple):
    """A line that no longer counts, and the line that strikes it out."""

    entry: SiteEntry
    by: SiteEntry


class CurrentLog(NamedTuple):
    """A log with its strikes carried out: lines that count, lines struck out, strikes that meet no line."""

    kept: tuple[SiteEntry, ...]
    struck: tuple[Struck, ...]
    idle: tuple[SiteEntry, ...]


def apply_strikes(entries: Iterable[SiteEntry]) -> CurrentLog:
    """Which lines of a log count. A strike meets every line of its mark whose time, field and value it names,
    wherever the two stand in the log, since joined logs keep no order; a strike can itself be struck out."""
    entries = tuple(entries)
    # One that names another is the longer of the two, so that what strikes a strike is known before it.
    strikes = sorted((e for e in entries if e.field == STRIKE), key=lambda e: -len(_plain(_told(e))))
    live: dict[object, SiteEntry] = {}
    for strike in strikes:
        if _named(strike) not in live:
            live.setdefault((strike.mark, struck_line(strike.value)), strike)
    struck = tuple(Struck(entry, live[_named(entry)]) for entry in entries if _named(entry) in live)
    gone = {strike.entry for strike in struck}
    kept = tuple(e for e in entries if e.field != STRIKE and e not in gone)
    met = {strike.by for strike in struck}
    return CurrentLog(kept, struck, tuple(e for e in entries if e in live.values() and e not in met))


def _named(entry: SiteEntry) -> object:
    """What a strike of this line would name."""
    return entry.mark, (entry.when, _plain(f"{entry.field} {_told(entry)}"))


def struck_line(value: object) -> tuple[datetime.datetime, str] | None:
    """(time, "field value") of the line a strike names; None where the text begins with no time.

    A time with an offset is told in UTC, as those of a log are.
    """
    words = str(value).split()
    for count in (2, 1):  # "2027-03-01 08:15" and "2027-03-01T08:15"
        try:
            when = datetime.datetime.fromisoformat(" ".join(words[:count]))
            when = when if when.tzinfo is None else when.astimezone(datetime.UTC)
        except (ValueError, OverflowError):
            continue
        rest = _plain(" ".join(words[count:]))
        return (when, rest) if rest else None
    return None


def strike_of(entry: SiteEntry) -> str:
    """The value of a line that strikes this one out."""
    whole = not entry.when.second and not entry.when.microsecond
    return f"{entry.when.isoformat(' ', 'minutes' if whole else 'auto')} {entry.field} {_told(entry)}"


def _told(entry: SiteEntry) -> str:
    if isinstance(entry.value, bool):
        return str(entry.value).lower()
    return f"{entry.value:g}" if isinstance(entry.value, float) else entry.value


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()
