"""The control's rule as the conductor has it found: not a stage of a job, asked for by itself."""

from __future__ import annotations

from mistcalc import checks, season
from mistcalc.design import hottest, lay_all, solve_line
from mistcalc.design.year import solved_year
from mistcalc.errors import InputError
from mistcalc.model.project import Project
from mistcalc.model.results import FoundRule, Weather
from mistcalc.units import System


def rule_of(
    project: Project, weather: Weather | None, system: System, most_water: float | None = None
) -> FoundRule:
    """The control's rule that gains most for so much water a year [m3], by round figures of `system`; None:
    for what the project's own control takes. Raises InputError as `season_of` does."""
    year, grid = year_of_any_rule(project, weather, system)
    return season.find_rule(year, grid, project.control, checks.SEASON_LIMITS, most_water)


def year_of_any_rule(
    project: Project, weather: Weather | None, system: System
) -> tuple[season.SolvedYear, season.RuleGrid]:
    """The year solved for whatever a rule of the grid runs, and the grid: any set point of it is then a mask
    and a sum (`year.season_under`). Raises InputError as `season_of` does."""
    if weather is None:
        raise InputError("season-no-climate", "place.climate")
    control = project.control
    layouts = tuple(laid for laid, _ in lay_all(project))
    solved, _ = solve_line(project.plumbing, layouts, hottest(weather, project.place))
    grid = season.rule_grid(system, control.wind_measured_at)
    nouns = (project.place, project.patios, project.plumbing, grid.lowest(control), layouts, solved, weather)
    return solved_year(*nouns), grid
