"""The conductor's stages of a typical year; `season_of` and `with_season` lead to them."""

from __future__ import annotations

import datetime
from dataclasses import replace
from functools import lru_cache

import numpy as np

from mistcalc import checks, cooling, line, outdoor_air, season
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.project import Control, Patio, Place, Plumbing, Project
from mistcalc.model.results import Finding, FirstCost, HourlyUse, Layout, Line, Season, Weather

Findings = tuple[Finding, ...]
CALENDAR_YEAR = 2026  # of a typical year: when clocks change, and its days of the week


def with_money(answer: Season, project: Project, first: FirstCost | None) -> tuple[Season, Findings]:
    """The year with what it costs, where the project states prices or tariffs; what is odd of those. first:
    what its parts cost."""
    money = season.season_money(answer, project.prices, project.tariff)
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
    year = outdoor_air.year(weather, place)
    ahead = outdoor_air.on_daylight_time(place.daylight_saving, CALENDAR_YEAR)
    weekday = datetime.date(CALENDAR_YEAR, 1, 1).weekday()
    hours = season.timetable(widest, ahead, weekday)
    warm = season.thermostat(widest, year.temperature)
    house = tuple(zip(patios, layouts, strict=True))
    asked = (solved, plumbing, year)
    draws = cooling.spread_draws(house, *asked, np.flatnonzero(hours.used & warm), place.bearing)
    use, power = line.water_use(plumbing, solved, widest), solved.duty.electric_power
    air = (*cooling.yard_air(year, draws), year.mast_wind, year.direction)
    runs = season.control_year(widest, hours, warm, *air, use.an_hour).runs
    used, misted = np.flatnonzero(hours.used), np.any(runs, axis=0)[hours.used]
    felt = tuple(
        cooling.season_hours(patio, laid, *asked, used, misted, place.bearing + patio.turned, draws)
        for patio, laid in house
    )
    hourly = HourlyUse(
        use.an_hour, None if power is None else 3600.0 * power, use.dust_hour,
        mineral_at_least=solved.duty.water.solids_from == "hardness",
    )  # fmt: skip
    return season.SolvedYear(
        weather.source, widest, ahead, weekday, hours, year.temperature, *air, felt, hourly
    )


def season_under(year: season.SolvedYear, control: Control) -> Season:
    """The year under another control within the widest it was solved for: what a slider moves. No solve."""
    return season.year_under(year, control, checks.SEASON_LIMITS)
