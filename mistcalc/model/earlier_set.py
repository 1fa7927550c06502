"""A set of sheets written before: what a new revision holds on to."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal

from mistcalc.model.project import ObstacleKind
from mistcalc.model.quantities import Metre
from mistcalc.model.reprs import ShortRepr

ThingKind = Literal["run", "member", "joint"] | ObstacleKind


@dataclass(frozen=True, slots=True)
class SetRevision:
    """One set of sheets of a job, as its title block has it."""

    letter: str
    code: str = ""
    date: datetime.date | None = None
    status: str = ""


@dataclass(frozen=True, slots=True)
class EarlierMark:
    """A mark where an earlier set had it."""

    name: str
    run: str
    along: Metre
    patio: str = ""
    back: Metre | None = None
    drilled: bool = False


@dataclass(frozen=True, slots=True)
class LidThing:
    """Something a mark keeps clear of, as a set has it. Members have no name; of a run `along` is its length,
    `back` how far its line lies behind the open edge."""

    kind: ThingKind
    patio: str
    run: str
    name: str
    along: Metre
    back: Metre | None = None


@dataclass(frozen=True, slots=True, repr=False)
class EarlierSet(ShortRepr):
    project: str
    revisions: tuple[SetRevision, ...]  # oldest first; the last is this set
    marks: tuple[EarlierMark, ...]
    retired: tuple[str, ...] = ()  # names of marks there are no more
    things: tuple[LidThing, ...] | None = None  # None: an older plan.json, which does not tell them

    @property
    def revision(self) -> SetRevision:
        return self.revisions[-1]

    @property
    def names(self) -> tuple[str, ...]:
        """Every name a mark of this job ever had."""
        return (*(mark.name for mark in self.marks), *self.retired)


LETTERS = "ABCDEFGHJKLMNPRTUVWY"  # of revisions: I, O, Q, S, X and Z are not used (ASME Y14.35)


def next_letter(before: str) -> str:
    """The revision letter after another: A, B ... Y, AA, AB ...; after what is no such letter, that with "-2"
    behind it, then "-3"."""
    if before and all(letter in LETTERS for letter in before):
        rest, last = before[:-1], LETTERS.index(before[-1])
        if last + 1 < len(LETTERS):
            return rest + LETTERS[last + 1]
        return (next_letter(rest) if rest else "A") + "A"
    stem, _, number = before.rpartition("-")
    return f"{stem}-{int(number) + 1}" if stem and number.isdecimal() else f"{before}-2"
