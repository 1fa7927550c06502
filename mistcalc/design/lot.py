"""One lot of a fleet, as the conductor works it out for `mistcalc.fleet`: what a row tells, and no more.

Maps of the patio, the sweep of winds, the sun's hours at the seats and the days of the close-in give only
notes, or hang on dates a fleet shares no answer for: they are left to the sheets.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mistcalc import carpentry, checks, cooling, takeoff
from mistcalc.design import (
    afternoons,
    cautions,
    hottest,
    installer,
    lay_all,
    of_air,
    of_climate,
    outdoor_conditions,
    project_pressure_test_plan,
    solve_line,
    to_buy,
)
from mistcalc.errors import InputError
from mistcalc.model.project import Dates, Place, Project
from mistcalc.model.results import Cooling, Finding, Layout, Line, LotAfternoon, LotAnswer, Weather

TOLD = ("danger", "caution", "fail", "warn")


def lot_answer(project: Project, weather: Weather | None) -> LotAnswer:
    """What a row says of a project: every failing and warning finding that `design.run` has, but for those of
    days. Raises InputError as `design.run` does."""
    if weather is None and project.place.climate is not None:
        raise InputError("weather-not-given", "place.climate", climate=project.place.climate)
    project = replace(project, dates=Dates())
    laid = lay_all(project)
    layouts = tuple(layout for layout, _ in laid)
    airs = outdoor_conditions(weather, project.place)
    heat = hottest(weather, project.place)
    solved, line_findings = solve_line(project.plumbing, layouts, heat)
    verdict, _ = installer(project, solved, line_findings)
    cooled = [
        afternoons(patio, layout, solved, project.plumbing, airs, project.heading(patio.name))
        for patio, layout in zip(project.patios, layouts, strict=True)
    ]
    plans, parts = to_buy(project, layouts, solved)
    bought = takeoff.first_cost(parts, project.prices, project.plumbing.tube)
    here = replace(project, place=Place(project.place.elevation, None))  # a hold is one for all ways round
    _, hold_findings = project_pressure_test_plan(here, solved, None)
    findings = (
        *(f for _, found in laid for f in found),
        *line_findings,
        *(f for patio in project.patios for f in checks.hole_findings(patio, solved, project.units)),
        *checks.coupling_findings(plans),
        *hold_findings,
        *checks.carpentry_findings(carpentry.carpentry_of(project, layouts, solved)),
        *of_air(project.patios, solved, cooled),
        *_of_drops(project, layouts, solved),
        *of_climate(weather, project.place, airs),
        *cautions(project, heat),
    )
    return LotAnswer(
        marks=sum(len(layout.marks) for layout in layouts),
        stops=sum(len(layout.holes.stop) + len(layout.holes.stop_drilled) for layout in layouts),
        flow=solved.total_flow,
        far_gauge=solved.far_gauge,
        supply_gauge=solved.supply_gauge,
        motor=solved.duty.pick_motor,
        tube=sum(plan.total for plan in plans),
        verdict=verdict.word,
        afternoons=tuple(_told(day) for days, _ in cooled for day in days),
        currency=bought.currency,
        parts=bought.parts,
        findings=tuple(f for f in findings if f.level in TOLD),
    )


def _of_drops(project: Project, layouts: tuple[Layout, ...], solved: Line) -> Iterator[Finding]:
    for patio, layout in zip(project.patios, layouts, strict=True):
        size, gauge = cooling.stated_drop(patio, layout, solved, project.plumbing)
        yield from checks.drop_findings(patio.name, size, gauge)


def _told(day: Cooling) -> LotAfternoon:
    felt = None if day.feel is None else day.feel.band("mist")
    landing = float((day.fates["floor_under"] + day.fates["floor_outside"]).mean())
    low, middle, high = day.band("seats")
    return LotAfternoon(
        day.patio, day.afternoon, (low, middle, high), None if felt is None else (felt[0], felt[1], felt[2]),
        landing,
    )  # fmt: skip
