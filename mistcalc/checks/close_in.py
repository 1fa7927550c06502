"""Judgements on the calendar: tube closed over untested, coats too soon, one trade in two places."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from mistcalc.checks.shared import PRACTICE, heard
from mistcalc.model.close_in import FINISH, PAINT, SCRATCH
from mistcalc.model.results import Calendar, CalendarStep, Finding

# What must be done, and what may begin only then: hold points (`hold`) and steps by their names.
ORDER = (
    ("tube", "open"), ("open", "paper"), ("open", "lath"), ("open", SCRATCH), ("lath", SCRATCH),
    ("brown", FINISH), (PAINT, "hand_over"),
)  # fmt: skip
CODE = "IBC 2018, table 2512.6"
# (first, next, days of the calendar from the one's last day to the other's first, source)
LEAST_DAYS = (
    (SCRATCH, "brown coat", 2, CODE), ("brown coat", FINISH, 7, CODE), (SCRATCH, FINISH, 7, CODE),
    (FINISH, PAINT, 28, PRACTICE),
)  # fmt: skip


def calendar_findings(calendar: Calendar) -> tuple[Finding, ...]:
    """For the builder: what of the calendar cannot or should not be."""
    findings = [*_day_off(calendar), *_order(calendar), *_coats(calendar), *_twice(calendar)]
    return heard(findings, "builder")


def _day_off(calendar: Calendar) -> Iterator[Finding]:
    if not calendar.works_then:
        values = (("day", calendar.scratch_coat.isoformat()),)
        yield Finding("scratch-on-day-off", "warn", "dates", source="project", values=values)


def _named(calendar: Calendar, name: str) -> CalendarStep | None:
    return calendar.hold(name) or calendar.step(name)


def _order(calendar: Calendar) -> Iterator[Finding]:
    for first, then in ORDER:
        done, begun = _named(calendar, first), _named(calendar, then)
        if done and begun and begun.first <= done.last and begun.days:
            values = (("first", done.name), ("then", begun.name))
            yield Finding("close-in-order", "warn", "dates", source=PRACTICE, values=values)


def _coats(calendar: Calendar) -> Iterator[Finding]:
    """Each coat held to what it lies on, and the watch to the days that the coats take."""
    for first, then, least, source in LEAST_DAYS:
        done, begun = calendar.step(first), calendar.step(then)
        if done is None or begun is None or not done.days or not begun.days:
            continue
        if (apart := (begun.first - done.last).days) < least:
            watched = (("watched", "yes"),) if then == FINISH and first != PAINT else ()
            yield Finding("coat-early", "warn", "dates", "days", apart, least, "", source,
                          (("first", first), ("then", then), *watched))  # fmt: skip


def _twice(calendar: Calendar) -> Iterator[Finding]:
    """Steps of one trade that share a day."""
    shared: dict[str, dict[str, None]] = {}
    for one, other in combinations(calendar.steps, 2):  # in order of time
        if one.trade == other.trade and one.days and other.days and other.first <= one.last:
            shared.setdefault(one.trade, {}).update(dict.fromkeys((one.name, other.name)))
    for trade, names in shared.items():
        values = (("trade", trade), ("steps", tuple(names)))
        yield Finding("trade-twice", "note", "dates", source="project", values=values)
