"""What people at the seats feel: in shade alone, with a fan, with the mist, and with both.

The four columns share the weather of a draw, the shade and its radiation; they differ in the air and in how
fast it moves. Mist is credited with the air it cools and no more: not with drops that land on skin, which
cool it further (people before a mist fan: 2 K of skin in 10 s; Farnham, Emura & Mizuno 2015, Build. Res. Inf.
43:3), and not with the draught of its own spray.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from mistcalc.cooling.patio_air import Outdoors
from mistcalc.cooling.place_air import Fan
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


def seat_comfort(
    patio: Patio,
    layout: Layout,
    seats: tuple[tuple[float, float], ...],
    outdoors: Outdoors,
    at_seats: State,
    mixed: State,
    speed: np.ndarray,
) -> Comfort:
    """What is felt at every seat and on the mean of them; no seat: one that no fan reaches.

    outdoors: the air with the mist off, [draw, hour]. at_seats: with it on, [seat, draw, hour] or one for all
    seats. mixed: the patio's mixed air with the mist on, which a fan brings to a seat wherever the plumes
    pass (fans mix, they do not exchange). speed: of the air's motion under the lid without a fan, m/s.
    """
    off = outdoors.temperature, relative_humidity(outdoors.temperature, outdoors.ratio, outdoors.air_pressure)
    radiant = _radiant(*off)
    blown, all_reached = fan_speeds(patio, layout, seats)
    pressure = outdoors.air_pressure

    def set_of(t: np.ndarray, humidity: np.ndarray, v: np.ndarray) -> np.ndarray:
        return comfort.standard_effective_temperature(
            t, radiant, v, humidity, MET, CLO, pressure, beyond="nan"
        )

    def utci_of(t: np.ndarray, humidity: np.ndarray, v: np.ndarray) -> np.ndarray:
        return comfort.utci(t, radiant, np.maximum(TO_MAST * v, CALMEST), humidity, beyond="nan")

    def heat_index_of(t: np.ndarray, humidity: np.ndarray, _: np.ndarray) -> np.ndarray:
        return comfort.heat_index(t, humidity, beyond="nan")

    columns = dict(zip(COMFORT_COLUMNS, (off, off, at_seats, mixed), strict=True))
    effective, utci, index = (
        _at_each_seat(answer, columns, speed, blown) for answer in (set_of, utci_of, heat_index_of)
    )
    return Comfort(
        effective=_mean(effective),
        utci=_mean(utci),
        heat_index=_mean(index),
        radiant=radiant,
        fan_speed=float(blown.mean()),
        fan_supposed=None if all_reached else SUPPOSED_FAN,
        at_seats=effective,
    )


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

ComfortIndex = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]  # of t, humidity, speed


def _radiant(t: np.ndarray, humidity: np.ndarray) -> np.ndarray:
    """Mean radiant temperature in the shade [K]; NaN where the air is beyond its equations."""
    held = (t >= comfort.COLDEST) & (t <= comfort.HOTTEST)
    safe = np.where(held, t, comfort.COLDEST)
    return np.where(held, comfort.shade_radiant(safe, comfort.sky_temperature(safe, humidity)), np.nan)


def _at_each_seat(
    answer: ComfortIndex, columns: dict[str, State], speed: np.ndarray, blown: np.ndarray
) -> dict[str, np.ndarray]:
    """The index in all four columns, [seat, draw, hour]; an hour has all four at all seats or none: half a
    comparison would mislead. {} where no hour has any.

    Nothing is answered twice: the shade is one for all seats, a fan's columns one for each speed of fans.
    """
    distinct, which = np.unique(blown, return_inverse=True)
    fanned = np.maximum(speed, distinct[:, None, None])
    by_column = {}
    for name, (t, humidity) in columns.items():
        if name in ("fan", "both"):
            by_column[name] = answer(np.broadcast_to(t, fanned.shape), humidity, fanned)[which]
        else:
            shape = np.broadcast_shapes(np.shape(t), (len(blown), *speed.shape))
            by_column[name] = np.broadcast_to(answer(t, humidity, speed), shape)
    whole = np.all([np.isfinite(index).all(axis=0) for index in by_column.values()], axis=0)
    if not whole.any():
        return {}
    return (
        by_column
        if whole.all()
        else {name: np.where(whole, index, np.nan) for name, index in by_column.items()}
    )


def _mean(by_column: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    return {column: at_seats.mean(axis=0) for column, at_seats in by_column.items()}
