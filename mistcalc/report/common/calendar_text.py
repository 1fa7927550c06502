"""The close-in in words: days, steps and hold points as a sheet and a calendar file call them."""

from __future__ import annotations

import datetime

from mistcalc.model.close_in import SCRATCH
from mistcalc.model.results import Calendar, CalendarStep, Design
from mistcalc.report.common.locale_text import Locale

WITH_WORDS = ("framing", "wiring", "plumbing", "tube", "paper", "lath")  # steps told by what is done in them
COATS = ("brown coat", "finish coat")


def plastered(design: Design) -> bool:
    return any(patio.plaster.plastered for patio in design.project.patios)


def hold_points(design: Design) -> tuple[str, ...]:
    """Hold points in the order of the work."""
    systems = [patio.plaster.system for patio in design.project.patios]
    if not plastered(design):
        return ("open", "hand_over")
    coats = ("brown",) if "three-coat" in systems else ()
    return ("open", "lath", *coats, "hand_over")


def day_text(day: datetime.date, locale: Locale, weekday: bool = True) -> str:
    """Mon Mar 8, or Mar 8."""
    label = locale.label
    return label(
        f"paper_calendar.{'day' if weekday else 'week'}_{locale.units}",
        weekday=label(f"paper_calendar.weekday_{day.weekday()}"),
        month=label(f"paper_calendar.month_{day.month}"),
        number=day.day,
    )


def when(calendar: Calendar, day: datetime.date, locale: Locale) -> str:
    """The day; where none is stated, how many working days it lies from the scratch coat."""
    if calendar.dated:
        return day_text(day, locale)
    counts = dict(calendar.days)
    if day in counts:
        return locale.label("paper_calendar.counted", number=f"{counts[day]:+d}")
    return locale.label("paper_calendar.counted_later", number=(day - calendar.scratch_coat).days)


def what_is_done(design: Design, calendar: Calendar, step: CalendarStep, locale: Locale) -> str:
    """A step by what is done in it; a step of the project's own by its name."""
    label = locale.label
    if step.name in WITH_WORDS:
        return label(f"paper_calendar.do_{step.name}")
    if step.name == SCRATCH:
        return label(f"paper_calendar.do_{'scratch' if plastered(design) else 'closed'}")
    coats = [calendar.step(name) for name in (SCRATCH, *COATS)]
    before = [coat for coat in coats if coat is not None and coat.first < step.first]
    if step.name in COATS and before:
        count = (step.first - before[-1].last).days
        return label("paper_calendar.do_later", step=step.name, count=count)
    return label("paper_calendar.do_step", step=step.name)


def hold_title(name: str, locale: Locale) -> str:
    text = locale.label(f"paper_hold.{name}")
    return text[:1].upper() + text[1:]
