"""The days of the close-in, as a project states them."""

from __future__ import annotations

from mistcalc import checks, schedule
from mistcalc.model.project import Project
from mistcalc.model.results import Calendar, Finding


def dates(project: Project) -> tuple[Calendar | None, tuple[Finding, ...]]:
    """The close-in counted back from the scratch coat; None where the project says nothing of it. Where it
    states steps but no day, days are only counted."""
    if project.dates.scratch_coat is None and not project.dates.steps:
        return None, ()
    systems = tuple(patio.plaster.system for patio in project.patios)
    calendar = schedule.close_in_calendar(project.dates, systems)
    return calendar, checks.calendar_findings(calendar)
