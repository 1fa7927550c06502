"""The sun at the seats: when it reaches them in the months and hours of use."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from mistcalc import checks, cooling, outdoor_air, season
from mistcalc.design.year import CALENDAR_YEAR
from mistcalc.model.project import Control, Patio, Place, Project
from mistcalc.model.results import Finding, Layout, PatioSun, Weather


@lru_cache(maxsize=32)
def sun_on_patio(
    patio: Patio, laid: Layout, place: Place, control: Control, weather: Weather
) -> tuple[PatioSun, tuple[Finding, ...]]:
    """When the sun reaches the seats under a clear sky, and what would keep it off."""
    path = outdoor_air.sun_path(weather, place, CALENDAR_YEAR)
    used = season.in_use(control, np.arange(12)[:, None], path.clock)
    sun = checks.with_spells(cooling.sun_on_patio(patio, laid, path, used, place.bearing + patio.axis))
    return sun, checks.sun_findings(patio, sun, tuple(seat.name for seat in laid.lid.seats))


def sun_of(
    project: Project, layouts: tuple[Layout, ...], weather: Weather | None
) -> tuple[tuple[PatioSun, ...], tuple[Finding, ...]]:
    """`sun_on_patio`, of every patio; none where no climate file says where on the globe it lies."""
    if weather is None:
        return (), ()
    each = [
        sun_on_patio(patio, laid, project.place, project.control, weather)
        for patio, laid in zip(project.patios, layouts, strict=True)
    ]
    return tuple(sun for sun, _ in each), tuple(f for _, findings in each for f in findings)
