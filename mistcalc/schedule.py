"""Dates of the close-in: what comes before the scratch coat as late as it may, what follows as soon."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from mistcalc.model.close_in import FINISH, SCRATCH, After, Step, planned_steps, without_idle
from mistcalc.model.project import Dates
from mistcalc.model.results import Calendar, CalendarDay, CalendarStep

WEEK = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
A_MONDAY = datetime.date(2001, 1, 1)  # where no day is stated: a week has to begin somewhere
_DAY = datetime.timedelta(days=1)
Span = tuple[datetime.date, datetime.date]  # first and last day


class WorkDays:
    """Which days are worked, and counting along them."""

    def __init__(self, dates: Dates) -> None:
        self.week = {WEEK.index(day) for day in dates.work_days or WEEK[:5]}
        self.off = set(dates.days_off if dates.scratch_coat else ())

    def worked(self, day: datetime.date) -> bool:
        return day.weekday() in self.week and day not in self.off

    def rolled(self, day: datetime.date, way: int) -> datetime.date:
        """The day, or the next one worked, later (way 1) or earlier (way -1)."""
        while not self.worked(day):
            day += way * _DAY
        return day

    def moved(self, day: datetime.date, count: int) -> datetime.date:
        """So many working days later, or earlier for a negative count."""
        way = 1 if count > 0 else -1
        for _ in range(abs(count)):
            day = self.rolled(day + way * _DAY, way)
        return day


def close_in_calendar(dates: Dates, plaster_systems: Iterable[str]) -> Calendar:
    """Every step with its days. dates: as read without a mistake. plaster_systems: of all patios.

    A step that leads to the scratch coat is as late as it may be, one that follows from such a step as
    soon; any other as late as what waits for it lets it, or done by the day before the scratch coat."""
    work = WorkDays(dates)
    steps = {step.name: step for step in without_idle(planned_steps(dates, plaster_systems))}
    scratch = dates.scratch_coat or A_MONDAY
    spans = {SCRATCH: (scratch, work.moved(scratch, steps[SCRATCH].days - 1))}
    order = _in_order(steps)
    leading = _leading(SCRATCH, steps)
    for name in reversed(order):
        if name in leading:
            spans[name] = _as_late(steps[name], steps, spans, work)
    for name in order:
        before = [after for after in steps[name].after if after.name in spans]
        if name not in spans and before:
            spans[name] = _as_soon(steps[name], before, spans, work)
    for name in reversed(order):
        if name not in spans:
            spans[name] = _as_late(steps[name], steps, spans, work)
    dated = [CalendarStep(s.name, s.trade, s.days, *spans[s.name], s.hold) for s in steps.values()]
    dated.sort(key=lambda step: (step.first, step.last))
    last = spans.get(FINISH, spans[SCRATCH])[1]
    days = _days(min(first for first, _ in spans.values()), last, scratch, work)
    return Calendar(dates.scratch_coat is not None, scratch, work.worked(scratch), days, tuple(dated))


def _in_order(steps: dict[str, Step]) -> list[str]:
    """Names, each after all that it waits for; else as they are listed."""
    order: list[str] = []
    while len(order) < len(steps):
        free = (n for n, s in steps.items() if n not in order and all(a.name in order for a in s.after))
        order.append(next(free))
    return order


def _leading(name: str, steps: dict[str, Step]) -> set[str]:
    """All that must be done before a step."""
    names = {after.name for after in steps[name].after}
    return names.union(*(_leading(before, steps) for before in names))


def _gap(step: Step, after: After) -> int:
    """Days from the last one of what comes before to a step's first; one of no days is the same day's."""
    return max(after.days, 1 if step.days else 0)


def _as_late(step: Step, steps: dict[str, Step], spans: dict[str, Span], work: WorkDays) -> Span:
    ends = (
        spans[later.name][0] - _gap(later, after) * _DAY
        for later in steps.values()
        for after in later.after
        if after.name == step.name and later.name in spans
    )
    last = work.rolled(min(ends, default=spans[SCRATCH][0] - _DAY), -1)
    return work.moved(last, 1 - step.days) if step.days else last, last


def _as_soon(step: Step, before: list[After], spans: dict[str, Span], work: WorkDays) -> Span:
    first = work.rolled(max(spans[after.name][1] + _gap(step, after) * _DAY for after in before), 1)
    return first, work.moved(first, step.days - 1) if step.days else first


def _days(
    first: datetime.date, last: datetime.date, scratch: datetime.date, work: WorkDays
) -> tuple[CalendarDay, ...]:
    """The working days of whole weeks, the scratch coat's among them, counted from it."""
    monday = first - first.weekday() * _DAY
    sunday = last + (6 - last.weekday()) * _DAY
    listed = [monday + n * _DAY for n in range((sunday - monday).days + 1)]
    worked = [day for day in listed if work.worked(day) or day == scratch]
    zero = worked.index(scratch)
    return tuple(CalendarDay(day, n - zero) for n, day in enumerate(worked))
