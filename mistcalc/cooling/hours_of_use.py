"""A year's hours of one patio, by the functions that answer an afternoon: in shade, and with the mist.

Only hours in which the mist may run are balanced, a chunk at a time so that memory stays small.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from mistcalc.cooling import wind
from mistcalc.cooling.afternoon import every_hour
from mistcalc.cooling.case import Case, case_of, outdoors_of, spray_of
from mistcalc.cooling.comfort_indices import relative_humidity, running_fans, seat_comfort
from mistcalc.cooling.hour_sampling import hours_of
from mistcalc.cooling.patio_geometry import geometry_of
from mistcalc.cooling.sunlight import sunlight_at_seats
from mistcalc.cooling.unknowns import Unknowns, draws
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import COMFORT_COLUMNS, Air, Comfort, Cooling, Layout, Line, SeasonHours
from mistcalc.physics.film import film_rate

DRAWS = 21  # spread over the order of all: their tallies' 10, 50 and 90 % stand for those of all
ORDERED_BY = 3  # hours, in the order of whose mean cooling the draws stand
CONDITIONS = 2000  # draws times hours solved at once: under 150 MB
PASSES = 4  # of the fixed point: seats within 0.02 K of its end, 19 in 20 within 0.001; 3 leave 0.2 and 0.04

House = tuple[tuple[Patio, Layout], ...]


def spread_draws(
    house: House, line: Line, plumbing: Plumbing, air: Air, hours: np.ndarray, bearing: float
) -> Unknowns:
    """DRAWS of all the draws, evenly over the order of their cooling at the seats in some of `hours`: a few
    first ones, or three, would not be the low, middle and high of a year. bearing: `Place.bearing`."""
    everything = draws()
    count = len(everything.wind)
    cooled = np.zeros(count)
    if len(hours):
        some = hours_of(air, hours[(2 * np.arange(ORDERED_BY) + 1) * len(hours) // (2 * ORDERED_BY)])
        for patio, layout in house:
            heading = bearing + patio.turned
            (answer,) = every_hour(patio, layout, line, plumbing, (some,), heading, everything, PASSES)
            cooled += np.round(answer.drop["seats"].mean(axis=1), 9)
    order = np.argsort(cooled, kind="stable")
    return everything.some(order[(2 * np.arange(DRAWS) + 1) * count // (2 * DRAWS)])


def yard_air(air: Air, u: Unknowns) -> tuple[np.ndarray, np.ndarray]:
    """Relative humidity and wind [m/s] in the yard, clear of the house, in each draw, [draw, hour]."""
    humidity = np.clip(air.relative_humidity + u.humidity, 0.0, 1.0)
    return humidity, np.broadcast_to(wind.speed(air, u.wind, u.calm), humidity.shape)


def season_hours(
    patio: Patio,
    layout: Layout,
    line: Line,
    plumbing: Plumbing,
    air: Air,
    used: np.ndarray,
    misted: np.ndarray,
    bearing: float,
    u: Unknowns,
) -> SeasonHours:
    """What people feel at the seats in the hours `used` of a year (indices), and what the mist does in those
    of them where `misted` (bool) is true."""
    shape = len(u.wind), len(used)
    unset = {name: np.full(shape, np.nan) for name in ("depression", "humidity", "carried_out", "landing")}
    utci, effective = ({name: np.full(shape, np.nan) for name in COMFORT_COLUMNS} for _ in range(2))
    spray, speed, residual = spray_of(patio, layout, line), np.zeros(shape), 0.0
    for chunk in _chunks(np.arange(len(used)), len(u.wind)):
        some = hours_of(air, used[chunk])
        if spray is None:
            (off,) = every_hour(patio, layout, line, plumbing, (some,), bearing, u)
            _put(utci, effective, chunk, off.feel, COMFORT_COLUMNS)
            continue
        case = case_of(patio, layout, spray, plumbing, (some,), bearing, u)
        _put(utci, effective, chunk, _without_mist(patio, layout, case, some, bearing), ("shade", "fan"))
        speed[:, chunk] = case.air_speed
    for chunk in _chunks(np.flatnonzero(misted), len(u.wind)) if spray is not None else ():
        some = hours_of(air, used[chunk])
        (on,) = every_hour(patio, layout, line, plumbing, (some,), bearing, u, PASSES)
        _put(utci, effective, chunk, on.feel, COMFORT_COLUMNS)
        values = {
            "depression": on.depression,
            "humidity": on.relative_humidity["seats"],
            "carried_out": on.carried_out,
            "landing": on.fates["floor_under"]
            * on.water_flow
            / layout.lid.area
            / _floor_gives(on, some, u, speed[:, chunk]),
        }
        for name, value in values.items():
            unset[name][:, chunk] = value
        residual = max(residual, on.residual)
    all_used = hours_of(air, used)
    sunlight = sunlight_at_seats(geometry_of(patio, layout), all_used, bearing)
    return SeasonHours(
        patio.name,
        utci,
        effective,
        **unset,
        fans=bool(running_fans(patio, layout)),
        residual=residual,
        lit=None if sunlight is None else sunlight.lit[:, 0],
        beam=all_used.beam,
    )


def _floor_gives(on: Cooling, air: Air, u: Unknowns, speed: np.ndarray) -> np.ndarray:
    """Water that a wet floor gives to the seats' air [kg/(m2 s)], never quite 0."""
    out = outdoors_of(air, u)
    there = out.temperature - on.drop["seats"]
    return np.maximum(film_rate(there, on.ratio["seats"], out.air_pressure, speed), 1e-9)


def _without_mist(patio: Patio, layout: Layout, case: Case, air: Air, bearing: float) -> Comfort:
    out = case.outdoors
    off = out.temperature, relative_humidity(out.temperature, out.ratio, out.air_pressure)
    sunlight = sunlight_at_seats(case.ground, air, bearing)
    return seat_comfort(patio, layout, case.ground.seats, out, off, off, case.air_speed, sunlight)


def _put(
    utci: dict[str, np.ndarray],
    effective: dict[str, np.ndarray],
    chunk: np.ndarray,
    feel: Comfort | None,
    columns: tuple[str, ...],
) -> None:
    for kept, index in ((utci, feel.utci), (effective, feel.effective)) if feel is not None else ():
        for name in columns if index else ():
            kept[name][:, chunk] = index[name]


def _chunks(hours: np.ndarray, draws_each: int) -> Iterator[np.ndarray]:
    """Hours in lots of at most CONDITIONS draws and hours."""
    most = max(CONDITIONS // draws_each, 1)
    yield from (hours[start : start + most] for start in range(0, len(hours), most))
