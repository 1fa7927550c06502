"""A year's hours of one patio, by the functions that answer an afternoon: in shade, and with the mist.

Only hours in which the mist may run are balanced, a chunk at a time so that memory stays small.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from mistcalc.cooling import wind
from mistcalc.cooling.balance import IN_ORDER, TO_BEGIN, BalanceSolution, Fineness, solve_balance
from mistcalc.cooling.case import Case, case_of, outdoors_of, spray_of
from mistcalc.cooling.comfort_indices import (
    COMFORT_INDICES,
    Around,
    IndexName,
    State,
    fan_speeds,
    felt_at_seats,
    relative_humidity,
    running_fans,
    shade_radiant,
)
from mistcalc.cooling.hour_sampling import hours_of
from mistcalc.cooling.patio_air import Outdoors, wet_bulb_depression
from mistcalc.cooling.patio_geometry import geometry_of
from mistcalc.cooling.place_air import PlaceAir
from mistcalc.cooling.sunlight import sunlight_at_seats
from mistcalc.cooling.unknowns import Unknowns, draws
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import COMFORT_COLUMNS, Air, Layout, Line, SeasonHours
from mistcalc.physics.film import film_rate

DRAWS = 21  # spread over the order of all: their tallies' 10, 50 and 90 % stand for those of all
ORDERED_BY = 40  # hours, in the order of whose mean cooling the draws stand: of every wind, or twice as many
CONDITIONS = 3000  # draws times hours solved at once: under 200 MB
PASSES, MORE_PASSES = 1, 2  # of the balance: the few hours that are not near its end by then go on
NEAR = 3e-3  # of the injected water: seats are within 0.02 K then

House = tuple[tuple[Patio, Layout], ...]


def spread_draws(
    house: House, line: Line, plumbing: Plumbing, air: Air, hours: np.ndarray, bearing: float
) -> Unknowns:
    """DRAWS of all the draws, evenly over the order of their cooling at the seats in some of `hours`, the
    least and the most among them, so that their quantiles are all draws'. bearing: `Place.bearing`.

    All are put in order by one very rough look, those chosen once more by two better ones.
    """
    some = hours[_of_every_wind(air, hours)]

    def in_order(u: Unknowns, begin: tuple[Fineness, ...]) -> np.ndarray:
        cooled = np.zeros(len(u.wind))
        for patio, layout in house:
            spray, heading = spray_of(patio, layout, line), bearing + patio.axis
            if spray is None:
                continue
            for chunk in _chunks(some, len(u.wind)):
                case = case_of(patio, layout, spray, plumbing, (hours_of(air, chunk),), heading, u)
                drops, _ = PlaceAir(case, solve_balance(case, 0, begin)).seats()
                cooled += np.round(drops.sum(axis=1), 9)
        return np.argsort(cooled, kind="stable")

    everything = draws()
    order = in_order(everything, IN_ORDER)
    chosen = everything.some(order[np.round(np.linspace(0, len(order) - 1, DRAWS)).astype(int)])
    return chosen.some(in_order(chosen, TO_BEGIN))


def _of_every_wind(air: Air, hours: np.ndarray) -> np.ndarray:
    """ORDERED_BY places in `hours` or all: as many of each fifth of the winds, spread round the compass."""
    count = len(hours)
    hardness = 5 * np.argsort(np.argsort(air.wind[hours], kind="stable"), kind="stable") // max(count, 1)
    source = np.zeros(count) if air.direction is None else np.nan_to_num(air.direction[hours], nan=-1.0)
    places = (2 * np.arange(ORDERED_BY) + 1) * count // (2 * ORDERED_BY)
    return np.sort(np.lexsort((source, hardness))[np.unique(places)]) if count else hours


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
    felt = _Felt(patio, layout, shape)
    spray, missed = spray_of(patio, layout, line), np.zeros(len(used))

    def dry(chunk: np.ndarray, indices: tuple[IndexName, ...]) -> None:
        some = hours_of(air, used[chunk])
        speed = np.broadcast_to(wind.speed(some, u.wind, u.calm), (shape[0], len(chunk)))
        if spray is not None:
            speed = case_of(patio, layout, spray, plumbing, (some,), bearing, u).air_speed
        out = outdoors_of(some, u)
        felt.put(chunk, _off(out), _around(out, speed), some, bearing, indices)

    def mist(chunk: np.ndarray, passes: int) -> None:
        assert spray is not None
        some = hours_of(air, used[chunk])
        case = case_of(patio, layout, spray, plumbing, (some,), bearing, u)
        on = solve_balance(case, passes)
        drops, ratios = (np.stack(each) for each in zip(*PlaceAir(case, on).each_seat(), strict=True))
        out = case.outdoors
        mixed = _state(out, on.patio.temperature, on.patio.ratio)
        columns = {**_off(out), "mist": _state(out, out.temperature - drops, ratios), "both": mixed}
        felt.put(chunk, columns, _around(out, case.air_speed), some, bearing)
        for name, value in _told(case, on, drops.mean(axis=0), ratios.mean(axis=0), layout.lid.area).items():
            unset[name][:, chunk] = value
        missed[chunk] = np.max(on.residual, axis=0)

    for chunk in _chunks(np.flatnonzero(~misted), len(u.wind)):
        dry(chunk, ("utci",))
    for chunk in _chunks(np.flatnonzero(misted), len(u.wind)):
        mist(chunk, PASSES) if spray is not None else dry(chunk, COMFORT_INDICES)
    for chunk in _chunks(np.flatnonzero(missed > NEAR), len(u.wind)):
        mist(chunk, MORE_PASSES)
    if spray is None:
        felt.copy_dry()
    all_used = hours_of(air, used)
    sunlight = sunlight_at_seats(felt.ground, all_used, bearing)
    return SeasonHours(
        patio.name,
        felt.utci,
        felt.effective,
        **unset,
        fans=bool(running_fans(patio, layout)),
        residual=float(missed.max(initial=0.0)),
        lit=None if sunlight is None else sunlight.lit[:, 0],
        beam=all_used.beam,
    )


class _Felt:
    """UTCI in COMFORT_COLUMNS, mean of the seats, and SET in hours of mist: it is asked for nowhere else.
    NaN until they are known."""

    def __init__(self, patio: Patio, layout: Layout, shape: tuple[int, int]) -> None:
        self.ground = geometry_of(patio, layout)
        self.blown, _ = fan_speeds(patio, layout, self.ground.seats)
        self.effective, self.utci = (
            {name: np.full(shape, np.nan) for name in COMFORT_COLUMNS} for _ in range(2)
        )

    def put(
        self,
        chunk: np.ndarray,
        columns: dict[str, State],
        around: Around,
        air: Air,
        bearing: float,
        indices: tuple[IndexName, ...] = COMFORT_INDICES,
    ) -> None:
        """Some columns in some hours, and those hours' air. An hour has all of them or none."""
        sunlight = sunlight_at_seats(self.ground, air, bearing)
        for name in indices:
            kept: dict[str, np.ndarray] = getattr(self, name)
            for column, at_seats in felt_at_seats(name, columns, around, self.blown, sunlight).items():
                kept[column][:, chunk] = at_seats.mean(axis=0)

    def copy_dry(self) -> None:
        """A line without water leaves shade and fan as they are."""
        for kept in (self.effective, self.utci):
            kept["mist"], kept["both"] = kept["shade"].copy(), kept["fan"].copy()


def _around(out: Outdoors, speed: np.ndarray) -> Around:
    return Around(speed, shade_radiant(*_state(out, out.temperature, out.ratio)), out.air_pressure)


def _off(out: Outdoors) -> dict[str, State]:
    """The columns without mist."""
    still = _state(out, out.temperature, out.ratio)
    return {"shade": still, "fan": still}


def _state(out: Outdoors, t: np.ndarray, ratio: np.ndarray) -> State:
    return t, relative_humidity(t, ratio, out.air_pressure)


def _told(
    case: Case, on: BalanceSolution, drop: np.ndarray, ratio: np.ndarray, area: float
) -> dict[str, np.ndarray]:
    """What SeasonHours tells of the mist. drop, ratio: of the seats' air; area: of the lid [m2]."""
    out = case.outdoors
    there, humidity = _state(out, out.temperature - drop, ratio)
    # water that a wet floor gives to the seats' air [kg/(m2 s)], never quite 0
    gives = np.maximum(film_rate(there, ratio, out.air_pressure, case.air_speed), 1e-9)
    return {
        "depression": wet_bulb_depression(out),
        "humidity": humidity,
        "carried_out": on.carried,
        "landing": on.fates["floor_under"] * case.water / area / gives,
    }


def _chunks(hours: np.ndarray, draws_each: int) -> Iterator[np.ndarray]:
    """Hours in lots of at most CONDITIONS draws and hours."""
    most = max(CONDITIONS // draws_each, 1)
    yield from (hours[start : start + most] for start in range(0, len(hours), most))
