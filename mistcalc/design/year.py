"""The conductor's stages of a typical year; `season_of` and `with_season` lead to them."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from mistcalc import checks, cooling, line, outdoor_air, season
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.project import Control, Patio, Place, Plumbing, Project
from mistcalc.model.results import (
    Air,
    Finding,
    FirstCost,
    HourlyUse,
    Layout,
    Line,
    Season,
    Weather,
    YearTaken,
    times,
    year_band,
)

Findings = tuple[Finding, ...]
CALENDAR_YEAR = 2026  # of a typical year: when clocks change, and its days of the week


def with_money(answer: Season, project: Project, first: FirstCost | None) -> tuple[Season, Findings]:
    """The year with what it costs, where the project states prices or tariffs; what is odd of those. first:
    what its parts cost."""
    money = season.season_money(answer.runs, answer.hourly, project.prices, project.tariff)
    if money is None:
        return answer, ()
    if first is not None and first.complete.priced:
        money = replace(money, first=first, years=project.prices.years)
    key = fingerprint(answer.key, money)
    return replace(answer, money=money, key=key), checks.tariff_findings(project.tariff)


@lru_cache(maxsize=8)
def season_year(
    place: Place,
    patios: tuple[Patio, ...],
    plumbing: Plumbing,
    control: Control,
    layouts: tuple[Layout, ...],
    solved: Line,
    weather: Weather,
) -> tuple[Season, Findings]:
    """`season_of`, from the nouns it reads: the mist is solved in the hours that the control runs it."""
    year = solved_year(place, patios, plumbing, control, layouts, solved, weather)
    answer = season.year_under(year, control, checks.SEASON_LIMITS)
    return answer, checks.season_findings(answer, control, outdoor_air.year(weather, place))


@lru_cache(maxsize=4)
def solved_year(
    place: Place,
    patios: tuple[Patio, ...],
    plumbing: Plumbing,
    widest: Control,
    layouts: tuple[Layout, ...],
    solved: Line,
    weather: Weather,
) -> season.SolvedYear:
    """The hours of use, and the mist in those that the widest control runs it in any draw. Under any control
    that runs no others the year is a mask and a sum of it (`season_under`)."""
    basis = _year_basis(place, patios, plumbing, widest, layouts, solved, weather)
    runs, hourly = _run_by(basis, widest, plumbing, solved)
    hours, draws, air = basis.hours, basis.draws, basis.air
    used, misted = np.flatnonzero(hours.used), np.any(runs, axis=0)[hours.used]
    asked = (solved, plumbing, basis.year, used, misted)
    felt = tuple(
        cooling.season_hours(patio, laid, *asked, place.bearing + patio.axis, draws)
        for patio, laid in zip(patios, layouts, strict=True)
    )
    return season.SolvedYear(
        weather.source, widest, basis.ahead, basis.weekday, hours, basis.year.temperature, *air, felt, hourly
    )


@dataclass(frozen=True, slots=True, eq=False)
class _YearBasis:
    """A year's air and hours of use: what is the same however the line is built."""

    year: Air
    ahead: np.ndarray
    weekday: int
    hours: season.Timetable
    warm: np.ndarray
    draws: cooling.Unknowns
    air: tuple[np.ndarray, np.ndarray, np.ndarray | None, np.ndarray | None]


def _year_basis(
    place: Place,
    patios: tuple[Patio, ...],
    plumbing: Plumbing,
    widest: Control,
    layouts: tuple[Layout, ...],
    solved: Line,
    weather: Weather,
) -> _YearBasis:
    year = outdoor_air.year(weather, place)
    ahead = outdoor_air.on_daylight_time(place.daylight_saving, CALENDAR_YEAR)
    weekday = datetime.date(CALENDAR_YEAR, 1, 1).weekday()
    hours = season.timetable(widest, ahead, weekday)
    warm = season.thermostat(widest, year.temperature)
    house = tuple(zip(patios, layouts, strict=True))
    some = np.flatnonzero(hours.used & warm)
    draws = cooling.spread_draws(house, solved, plumbing, year, some, place.bearing)
    air = (*cooling.yard_air(year, draws), year.mast_wind, year.direction)
    return _YearBasis(year, ahead, weekday, hours, warm, draws, air)


def _run_by(
    basis: _YearBasis, control: Control, plumbing: Plumbing, solved: Line
) -> tuple[np.ndarray, HourlyUse]:
    """The hours a control runs the mist, [draw, hour], and what each takes."""
    use, power = line.water_use(plumbing, solved, control), solved.duty.electric_power
    runs = season.control_year(control, basis.hours, basis.warm, *basis.air, use.an_hour).runs
    return runs, HourlyUse(
        use.an_hour, None if power is None else 3600.0 * power, use.dust_hour,
        mineral_at_least=solved.duty.water.solids_from == "hardness",
    )  # fmt: skip


def taken_in_a_year(
    project: Project,
    layouts: tuple[Layout, ...],
    solved: Line,
    others: Sequence[tuple[Plumbing, Line]],
    weather: Weather,
) -> tuple[YearTaken, ...]:
    """What each of several lines on one house would take in a typical year under the project's control: the
    air decides the hours, not the line, so that no mist is solved. layouts, solved: the project's own."""
    control = project.control
    basis = _year_basis(project.place, project.patios, project.plumbing, control, layouts, solved, weather)
    told = []
    for plumbing, built in others:
        runs, hourly = _run_by(basis, control, plumbing, built)
        counted = season.by_month_and_clock(basis.hours, runs)
        money = season.season_money(counted, hourly, project.prices, project.tariff)
        told.append(
            YearTaken(
                times(year_band(counted), hourly.water),
                None if money is None else year_band(money.total),
            )
        )
    return tuple(told)


def season_under(year: season.SolvedYear, control: Control) -> Season:
    """The year under another control within the widest it was solved for: what a slider moves. No solve."""
    return season.year_under(year, control, checks.SEASON_LIMITS)
