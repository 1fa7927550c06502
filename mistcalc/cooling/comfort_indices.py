"""What people at the seats feel: under the lid alone, with a fan, with the mist, and with both.

The four columns share the weather of a draw, the shade and its radiation, and the sun where it reaches a
seat; they differ in the air and in how fast it moves. Mist is credited with the air it cools and no more: not
with drops that land on skin, which cool it further (people before a mist fan: 2 K of skin in 10 s; Farnham,
Emura & Mizuno 2015, Build. Res. Inf. 43:3), and not with the draught of its own spray.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from mistcalc.cooling.patio_air import Outdoors
from mistcalc.cooling.place_air import Fan
from mistcalc.cooling.sunlight import Sunlight
from mistcalc.model.project import Patio
from mistcalc.model.results import COMFORT_COLUMNS, Comfort, Layout
from mistcalc.physics import air as moist
from mistcalc.physics import comfort

MET, CLO = 1.0, 0.5  # seated and quiet; light summer clothes (ASHRAE Standard 55)
SUPPOSED_FAN = 0.6  # m/s on a seat that no fan of the plan reaches: a small fan near it, judgement
FAN_REACH = 2.0  # radii of a fan's sweep from its middle to the farthest seat it blows on, judgement
TO_MAST = 1.5  # wind at 10 m over that at a seated head, 1.1 m (Brode et al. 2012)
CALMEST = 0.5  # m/s at 10 m, UTCI's own floor

State = tuple[np.ndarray, np.ndarray]  # dry bulb K, relative humidity 0-1
IndexName = Literal["effective", "utci"]
COMFORT_INDICES: tuple[IndexName, ...] = ("effective", "utci")


def seat_comfort(
    patio: Patio,
    layout: Layout,
    seats: tuple[tuple[float, float], ...],
    outdoors: Outdoors,
    at_seats: State,
    mixed: State,
    speed: np.ndarray,
    sunlight: Sunlight | None = None,
) -> Comfort:
    """What is felt at every seat and on the mean of them; no seat: one that no fan reaches.

    outdoors: the air with the mist off, [draw, hour]. at_seats: with it on, [seat, draw, hour] or one for all
    seats. mixed: the patio's mixed air with the mist on, which a fan brings to a seat wherever the plumes
    pass (fans mix, they do not exchange). speed: of the air's motion under the lid without a fan, m/s.
    """
    off = outdoors.temperature, relative_humidity(outdoors.temperature, outdoors.ratio, outdoors.air_pressure)
    radiant = shade_radiant(*off)
    blown, all_reached = fan_speeds(patio, layout, seats)
    columns = dict(zip(COMFORT_COLUMNS, (off, off, at_seats, mixed), strict=True))
    around = Around(speed, radiant, outdoors.air_pressure)
    effective, utci = (felt_at_seats(name, columns, around, blown, sunlight) for name in COMFORT_INDICES)
    index = _at_each_seat(_heat_index, columns, around, blown, None)
    return Comfort(
        effective=_mean(effective),
        utci=_mean(utci),
        heat_index=_mean(index),
        radiant=radiant,
        fan_speed=float(blown.mean()),
        fan_supposed=None if all_reached else SUPPOSED_FAN,
        at_seats=effective,
        lit=None if sunlight is None else sunlight.lit,
        sun_rise=None if sunlight is None else sunlight.rise,
    )


def felt_at_seats(
    name: IndexName, columns: dict[str, State], around: Around, blown: np.ndarray, sunlight: Sunlight | None
) -> dict[str, np.ndarray]:
    """Some of COMFORT_COLUMNS in SET ("effective") or UTCI, [seat, draw, hour]; {} where no hour has any.
    blown: `fan_speeds`."""
    answer = effective_temperature if name == "effective" else _utci
    return _at_each_seat(answer, columns, around, blown, sunlight)


def fan_speeds(
    patio: Patio, layout: Layout, seats: tuple[tuple[float, float], ...]
) -> tuple[np.ndarray, bool]:
    """(air speed a fan makes on each seat [m/s], whether the plan's fans reach all).

    A seat within `FAN_REACH` of a fan gets that fan's stated speed (the strongest, of several); every other
    seat a supposed fan's, so that "fan" is always answered.
    """
    fans = running_fans(patio, layout)
    near = [[fan.speed for fan in fans if fan.reaches(x, y)] for x, y in seats]
    speeds = [max(each, default=SUPPOSED_FAN) for each in near] or [SUPPOSED_FAN]
    return np.array(speeds), bool(seats) and all(near)


def running_fans(patio: Patio, layout: Layout) -> tuple[Fan, ...]:
    """The plan's fans that have an air speed, with how far they reach."""
    stated = {o.name: o.air_speed for o in patio.obstacles if o.kind == "fan"}
    return tuple(
        Fan(f.point, FAN_REACH * (f.radius or 0.0), float(stated[f.name] or 0.0))
        for f in layout.lid.obstacles
        if f.kind == "fan" and stated.get(f.name)
    )


def relative_humidity(t: np.ndarray, ratio: np.ndarray, air_pressure: np.ndarray) -> np.ndarray:
    """At most 1, which mixing two nearly saturated airs may pass by a hair."""
    return np.minimum(moist.relative_humidity(t, ratio, air_pressure), 1.0)


# ------------------------------------------------------------------ inside


@dataclass(frozen=True, slots=True)
class Around:
    """What a seat has around it beside its air: that air's speed [m/s], mean radiant temperature [K] and the
    air's pressure [Pa]."""

    speed: np.ndarray
    radiant: np.ndarray
    pressure: np.ndarray


ComfortIndex = Callable[[np.ndarray, np.ndarray, Around], np.ndarray]  # of t, humidity, around


def effective_temperature(t: np.ndarray, humidity: np.ndarray, around: Around) -> np.ndarray:
    """SET [K] of air of `t` [K] and relative humidity round somebody seated."""
    return comfort.standard_effective_temperature(
        t, around.radiant, around.speed, humidity, MET, CLO, around.pressure, beyond="nan"
    )


def _utci(t: np.ndarray, humidity: np.ndarray, around: Around) -> np.ndarray:
    wind = np.maximum(TO_MAST * around.speed, CALMEST)
    return comfort.utci(t, around.radiant, wind, humidity, beyond="nan")


def _heat_index(t: np.ndarray, humidity: np.ndarray, _: Around) -> np.ndarray:
    return comfort.heat_index(t, humidity, beyond="nan")


def shade_radiant(t: np.ndarray, humidity: np.ndarray) -> np.ndarray:
    """Mean radiant temperature in the shade [K]; NaN where the air is beyond its equations."""
    held = (t >= comfort.COLDEST) & (t <= comfort.HOTTEST)
    safe = np.where(held, t, comfort.COLDEST)
    return np.where(held, comfort.shade_radiant(safe, comfort.sky_temperature(safe, humidity)), np.nan)


def _at_each_seat(
    answer: ComfortIndex,
    columns: dict[str, State],
    around: Around,
    blown: np.ndarray,
    sunlight: Sunlight | None,
) -> dict[str, np.ndarray]:
    """The index in all `columns`, [seat, draw, hour]; an hour has all of them at all seats or none: half a
    comparison would mislead. {} where no hour has any.

    Nothing is answered twice: the shade is one for all seats, a fan's columns one for each speed of fans, and
    only a seat in the sun is answered with it.
    """
    distinct, which = np.unique(blown, return_inverse=True)
    fanned = replace(around, speed=np.maximum(around.speed, distinct[:, None, None]))
    shape = (len(blown), *around.speed.shape)
    by_column = {}
    for name, (t, humidity) in columns.items():
        if name in ("fan", "both"):
            by_column[name] = answer(np.broadcast_to(t, fanned.speed.shape), humidity, fanned)[which]
        else:
            index = answer(t, humidity, around)
            by_column[name] = np.broadcast_to(index, np.broadcast_shapes(np.shape(t), shape))
    if sunlight is not None and sunlight.rise.any():
        by_column = _with_sun(answer, columns, by_column, around, blown, sunlight.rise)
    whole = np.all([np.isfinite(index).all(axis=0) for index in by_column.values()], axis=0)
    if not whole.any():
        return {}
    return (
        by_column
        if whole.all()
        else {name: np.where(whole, index, np.nan) for name, index in by_column.items()}
    )


def _with_sun(
    answer: ComfortIndex,
    columns: dict[str, State],
    by_column: dict[str, np.ndarray],
    around: Around,
    blown: np.ndarray,
    rise: np.ndarray,
) -> dict[str, np.ndarray]:
    """The columns with those seats and hours answered anew to which the sun comes, all in one go."""
    shape = next(iter(by_column.values())).shape
    sunny = np.flatnonzero(np.broadcast_to(rise > 0.0, shape))

    def of_sunny(values: np.ndarray) -> np.ndarray:
        return np.broadcast_to(values, shape).ravel()[sunny]

    still = of_sunny(around.speed)
    fanned = np.maximum(still, of_sunny(blown[:, None, None]))
    t, humidity = (np.stack([of_sunny(state[n]) for state in columns.values()]) for n in (0, 1))
    there = Around(
        np.stack([fanned if name in ("fan", "both") else still for name in columns]),
        of_sunny(around.radiant) + of_sunny(rise),
        of_sunny(around.pressure),
    )
    felt = answer(t, humidity, there)
    told = {}
    for name, values in zip(columns, felt, strict=True):
        told[name] = np.array(by_column[name])
        told[name].flat[sunny] = values
    return told


def _mean(by_column: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    return {column: at_seats.mean(axis=0) for column, at_seats in by_column.items()}
