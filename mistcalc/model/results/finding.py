"""A judgement and the numbers behind it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Level = Literal["danger", "caution", "fail", "warn", "note"]
# For whom a finding is. trades: whoever comes for one thing, as a plasterer or an electrician does.
Audience = Literal["builder", "installer", "owner", "trades"]
# What it is about: the design; a caution; an answer to what was read on site; holes as they were drilled; a
# measuring day; the year; the sun at the seats.
Topic = Literal["design", "caution", "site", "built", "day", "season", "sun"]
# The work before which a caution is told in short. again: on every further sheet of that work too; keep: to
# an owner, of what is his own to do; measure: to whoever sits through a measuring day.
Work = Literal["drill", "line", "call", "test", "watch", "valves", "sit", "again", "keep", "measure"]

# As they are shown: what can hurt somebody stands first. danger: death or serious injury, caution: minor or
# moderate injury, if it is ignored. These are the meanings of ANSI Z535.4, as makers of labels quote it; its
# third word, "warning", would read like our own "warn", so the graver word takes its place. fail, warn and
# note judge a design and hurt nobody.
LEVELS: tuple[Level, ...] = ("danger", "caution", "fail", "warn", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One judgement with the numbers behind it. No sentence: `words` makes it at the door.

    `where` is a path such as "court/L2". `provided` and `required` are in `unit` (SI).
    `values` and `fix` hold what the sentence needs, as (name, value) pairs of plain values.
    `audience`: whose sheets tell it; empty: the screen alone.
    """

    code: str
    level: Level
    where: str
    quantity: str = ""
    provided: float | None = None
    required: float | None = None
    unit: str = ""
    source: str = ""
    values: tuple[tuple[str, object], ...] = ()
    fix: tuple[tuple[str, object], ...] = ()
    audience: tuple[Audience, ...] = ()
    topic: Topic = "design"
    work: tuple[Work, ...] = ()
    alike: tuple[object, ...] = ()  # findings of one code that have this in common may be told as one

    @property
    def rank(self) -> int:
        """Place of its level: 0 is shown first."""
        return LEVELS.index(self.level)

    def value(self, name: str, default: object = None) -> object:
        return dict(self.values).get(name, default)
