"""What the builder must know of a house beyond what `lay` and `solve_line` find: for the page."""

from __future__ import annotations

from functools import lru_cache

from mistcalc import carpentry, checks
from mistcalc.design.bids import to_buy
from mistcalc.design.close_in import dates
from mistcalc.model.project import Project
from mistcalc.model.results import Finding, Layout, Line


@lru_cache(maxsize=32)
def builder_findings(project: Project, layouts: tuple[Layout, ...], solved: Line) -> tuple[Finding, ...]:
    """Of holes, couplings, dates and wood, in the order of the whole job."""
    plans, _ = to_buy(project, layouts, solved)
    _, calendar_findings = dates(project)
    return (
        *(f for patio in project.patios for f in checks.hole_findings(patio, solved, project.units)),
        *checks.coupling_findings(plans),
        *calendar_findings,
        *checks.carpentry_findings(carpentry.carpentry_of(project, layouts, solved)),
    )
