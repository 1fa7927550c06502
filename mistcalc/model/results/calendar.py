"""The close-in on the calendar."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import NamedTuple

from mistcalc.model.reprs import ShortRepr


class CalendarDay(NamedTuple):
    """A working day and how many working days it lies after the scratch coat; negative before it."""

    date: datetime.date
    to_scratch: int


@dataclass(frozen=True, slots=True)
class CalendarStep:
    """One piece of work, from its first to its last day. hold: the hold point it is, else ""."""

    name: str
    trade: str
    days: int  # working days
    first: datetime.date
    last: datetime.date
    hold: str = ""


@dataclass(frozen=True, slots=True, repr=False)
class Calendar(ShortRepr):
    """The close-in, counted back from the scratch coat.

    dated: the project states that day; else it is taken as a Monday and only the counts mean anything.
    days: every working day of the weeks from the first step to the finish coat. steps: in order of time.
    """

    dated: bool
    scratch_coat: datetime.date
    works_then: bool  # the scratch coat falls on a working day
    days: tuple[CalendarDay, ...]
    steps: tuple[CalendarStep, ...]

    def step(self, name: str) -> CalendarStep | None:
        return next((step for step in self.steps if step.name == name), None)

    def hold(self, name: str) -> CalendarStep | None:
        return next((step for step in self.steps if step.hold == name), None)
