"""The conductor's stages of a typical year; `season_of` and `with_season` lead to them."""

from __future__ import annotations

import datetime
from dataclasses import replace
from functools import lru_cache

import numpy as np

from mistcalc import checks, cooling, line, outdoor_air, season
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.project import Control, Patio, Place, Plumbing, Project
from mistcalc.model.results import Finding, HourlyUse, Layout, Line, Season, Weather

Findings = tuple[Finding, ...]
CALENDAR_YEAR = 2026  # of a typical year: when clocks change, and its days of the week


def with_money(answer: Season, project: Project) -> tuple[Season, Findings]:
    """The year with what it costs, where the project states prices or tariffs; what is odd of those."""
    money = season.season_money(answer, project.prices, project.tariff)
    if money is None:
        return answer, ()
    key = fingerprint(answer.key, money.currency, money.parts)
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
    """`season_of`, from the nouns it reads."""
    year = outdoor_air.year(weather, place)
    ahead = outdoor_air.on_daylight_time(place.daylight_saving, CALENDAR_YEAR)
    hours = season.timetable(control, ahead, datetime.date(CALENDAR_YEAR, 1, 1).weekday())
    warm = season.thermostat(control, year.temperature)
    house = tuple(zip(patios, layouts, strict=True))
    asked = (solved, plumbing, year)
    draws = cooling.spread_draws(house, *asked, np.flatnonzero(hours.used & warm), place.bearing)
    use, power = line.water_use(plumbing, solved, control), solved.duty.electric_power
    felt_air = (*cooling.yard_air(year, draws), year.mast_wind, year.direction)
    controlled = season.control_year(control, hours, warm, *felt_air, use.an_hour)
    used, misted = np.flatnonzero(hours.used), np.any(controlled.runs, axis=0)[hours.used]
    felt = tuple(
        cooling.season_hours(patio, laid, *asked, used, misted, place.bearing, draws) for patio, laid in house
    )
    hourly = HourlyUse(
        use.an_hour, None if power is None else 3600.0 * power, use.dust_hour,
        mineral_at_least=solved.duty.water.solids_from == "hardness",
    )  # fmt: skip
    answer = season.tally(
        hours, controlled, felt, checks.SEASON_LIMITS, weather.source, year.temperature, hourly
    )
    return answer, checks.season_findings(answer, control, year)
