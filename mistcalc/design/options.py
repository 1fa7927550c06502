"""Ways to build a line, as the conductor works them out for `mistcalc.options`: plan and line of each, then
the air of those that keep the rules, all at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from mistcalc import checks, cooling, takeoff
from mistcalc.design import afternoons, hottest, lay_all, outdoor_conditions, solve_line, to_buy
from mistcalc.design.year import taken_in_a_year
from mistcalc.model.project import Patio, Project
from mistcalc.model.results import (
    BesideIt,
    BuildOption,
    Comfort,
    CostTotal,
    CutPlan,
    Layout,
    Line,
    Weather,
    Wishes,
    quantiles,
)
from mistcalc.model.second_rows import second_row

# How tube is cut in ways of the same layouts, by their ids; they stand with it, so that no other takes those.
Sawn = dict[tuple[int, ...], tuple[tuple[CutPlan, ...], tuple[Layout, ...]]]


@dataclass(frozen=True, slots=True, eq=False)
class BuiltSo:
    """One way, with its plan and its line."""

    project: Project
    layouts: tuple[Layout, ...]
    line: Line
    option: BuildOption

    def at(self, name: str) -> tuple[Patio, Layout]:
        return next(
            pair for pair in zip(self.project.patios, self.layouts, strict=True) if pair[0].name == name
        )


def built_so(
    project: Project,
    weather: Weather | None,
    name: str,
    wishes: Wishes,
    as_stated: bool = False,
    sawn: Sawn | None = None,
) -> BuiltSo:
    """The project as one option among others: what it takes, and what it breaks already. name: the patio
    whose pitch is told; sawn: of other ways so far. Raises InputError as `design.run` does."""
    laid = lay_all(project, fixes=as_stated)  # of other ways nobody reads what would end a clash
    layouts = tuple(layout for layout, _ in laid)
    solved, findings = solve_line(project.plumbing, layouts, hottest(weather, project.place))
    patio = next(patio for patio in project.patios if patio.name == name)
    cost = _cost(project, layouts, solved, {} if sawn is None else sawn)
    nozzle, pump = project.plumbing.nozzle, project.plumbing.pump
    option = BuildOption(
        pitch=patio.marks.pitch,
        setback=patio.line_behind_edge,
        nozzle=nozzle.label,
        rated_flow=nozzle.flow,
        rated_at=nozzle.at,
        pressure=solved.supply_gauge,
        as_stated=as_stated,
        marks=sum(len(layout.marks) for layout in layouts),
        water=solved.total_flow,
        motor=solved.duty.pick_motor if pump is not None else None,
        cost=cost,
        set_pressure=None if pump is None else pump.set_pressure,
        second=second_row(project, patio),
    )
    of_lid = [finding for _, found in laid for finding in found]
    return BuiltSo(project, layouts, solved, checks.of_plan_and_line(option, wishes, of_lid, findings))


def _cost(project: Project, layouts: tuple[Layout, ...], solved: Line, sawn: Sawn) -> CostTotal | None:
    """Of all there is to buy; None where nothing has a price. Neither nozzle nor pressure moves a saw."""
    prices = project.prices
    if prices.tube is None and prices.nozzle is None and not prices.parts:
        return None
    plan = tuple(map(id, layouts))
    plans, parts = to_buy(project, layouts, solved, sawn[plan][0] if plan in sawn else None)
    sawn[plan] = plans, layouts
    cost = takeoff.first_cost(parts, prices, project.plumbing.tube).complete
    return cost if cost.priced else None


def with_air(
    ways: Sequence[BuiltSo], weather: Weather | None, name: str, wishes: Wishes, roughly: bool = False
) -> tuple[BuildOption, ...]:
    """Their options with the seats' air of a patio on the first afternoon, all balanced at once. roughly:
    near enough to choose by, middles within a thousandth of a kelvin."""
    if not ways:
        return ()
    air = outdoor_conditions(weather, ways[0].project.place)[0]
    asked = [(*way.at(name), way.line, way.project.plumbing) for way in ways]
    told = cooling.seats_of_ways(asked, air, ways[0].project.heading(name), roughly=roughly)
    return tuple(
        checks.of_air(replace(way.option, air=seats), wishes) for way, seats in zip(ways, told, strict=True)
    )


def with_year(
    options: Sequence[BuildOption], ways: Sequence[BuiltSo], stated: BuiltSo, weather: Weather | None
) -> tuple[BuildOption, ...]:
    """The options with what they take in a typical year; as they are without a climate file. ways: theirs."""
    if weather is None or not options:
        return tuple(options)
    built = [(way.project.plumbing, way.line) for way in ways]
    years = taken_in_a_year(stated.project, stated.layouts, stated.line, built, weather)
    return tuple(replace(option, year=year) for option, year in zip(options, years, strict=True))


def felt_under(way: BuiltSo, weather: Weather | None, name: str) -> tuple[Comfort | None, np.ndarray]:
    """What is felt at the seats on the first afternoon, and how much cooler its mist makes the air [K]."""
    airs = outdoor_conditions(weather, way.project.place)[:1]
    heading = way.project.heading(name)
    (cooled,), _ = afternoons(*way.at(name), way.line, way.project.plumbing, airs, heading)
    return cooled.feel, cooled.drop["seats"]


def screened(
    way: BuiltSo, with_it: BuiltSo, weather: Weather | None, name: str, run: str, height: float
) -> BesideIt:
    """What a screen does. way, with_it: the project as it is, and with it."""
    (felt, drops), (shaded, more) = (felt_under(one, weather, name) for one in (way, with_it))
    cooler = sunny = None
    if felt is not None and shaded is not None and felt.effective and shaded.effective:
        gain = felt.effective["shade"] - shaded.effective["shade"]
        known = gain[np.isfinite(gain)]
        cooler = quantiles(known) if known.size else None
    if felt is not None and shaded is not None and felt.lit is not None and shaded.lit is not None:
        sunny = float(felt.lit.mean()), float(shaded.lit.mean())
    return checks.telling(BesideIt(run, height, cooler, quantiles(more - drops), sunny))
