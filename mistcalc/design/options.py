"""One way to build a line, as the conductor works it out for `mistcalc.options`."""

from __future__ import annotations

from dataclasses import replace

from mistcalc import checks
from mistcalc.design import afternoons, hottest, lay_all, outdoor_conditions, solve_line
from mistcalc.model.project import Project
from mistcalc.model.results import BuildOption, Weather, Wishes


def built_so(
    project: Project, weather: Weather | None, name: str, wishes: Wishes, as_stated: bool = False
) -> BuildOption:
    """The project as one option among others: what it takes, what it gives at the seats of a patio on the
    first afternoon, and what it breaks. Raises InputError as `design.run` does."""
    air = outdoor_conditions(weather, project.place)[0]
    laid = lay_all(project)
    layouts = tuple(layout for layout, _ in laid)
    solved, findings = solve_line(project.plumbing, layouts, hottest(weather, project.place))
    at = next(n for n, patio in enumerate(project.patios) if patio.name == name)
    bearing = project.heading(name)
    (cooled,), _ = afternoons(project.patios[at], layouts[at], solved, project.plumbing, (air,), bearing)
    nozzle = project.plumbing.nozzle
    option = BuildOption(
        afternoon=air.name,
        pitch=project.patios[at].marks.pitch,
        nozzle=nozzle.label,
        rated_flow=nozzle.flow,
        rated_at=nozzle.at,
        pressure=solved.supply_gauge,
        as_stated=as_stated,
        marks=sum(len(layout.marks) for layout in layouts),
        water=solved.total_flow,
        motor=solved.duty.pick_motor if project.plumbing.pump is not None else None,
        drops=cooled.drop["seats"],
        landing=float((cooled.fates["floor_under"] + cooled.fates["floor_outside"]).mean()),
        felt=cooled.feel,
    )
    of_lid = [finding for _, found in laid for finding in found]
    return replace(option, breaks=checks.broken_wishes(option, wishes, of_lid, findings))
