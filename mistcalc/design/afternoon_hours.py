"""An afternoon hour by hour and wind by wind: for pictures that move without a solve. Takes seconds."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from mistcalc import checks, cooling, outdoor_air
from mistcalc.design.year import CALENDAR_YEAR
from mistcalc.model.project import Patio, Place, Plumbing
from mistcalc.model.results import Air, Layout, Line, Weather
from mistcalc.model.results.hours_and_winds import AfternoonGrid

CLOCK = tuple(range(14, 21))  # h on the wall, at which each begins


def afternoon_airs(
    weather: Weather | None, place: Place, name: str
) -> tuple[tuple[Air, ...], tuple[int | None, ...]]:
    """(the air, the hour it begins at) of each of CLOCK on such days; of one typed in that, at no hour."""
    typed = tuple(air for air in outdoor_air.typed(place) if air.name == name)
    if typed or weather is None:
        return typed, (None,) * len(typed)
    return outdoor_air.through_the_day(weather, place, name, CLOCK, CALENDAR_YEAR), CLOCK


@lru_cache(maxsize=8)
def afternoon_grid(
    patio: Patio,
    laid: Layout,
    solved: Line,
    plumbing: Plumbing,
    place: Place,
    weather: Weather | None,
    name: str,
    winds: tuple[float, ...],
    side: float | None = None,
) -> AfternoonGrid | None:
    """One kind of afternoon ("hot", ...) in each of `winds` [m/s in the yard]. side: where the wind comes
    from, rad clockwise from north; None: as it mostly does. None where nothing is misted, or what is felt has
    no answer."""
    airs, clock = afternoon_airs(weather, place, name)
    if not airs:
        return None
    heading = place.bearing + patio.axis
    grid = cooling.afternoon_grid(patio, laid, solved, plumbing, airs, clock, winds, side, heading)
    return None if grid is None else replace(grid, in_sun=checks.in_sun(grid.sun_seats))
