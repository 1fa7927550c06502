"""What people at the seats feel: in shade alone, with a fan, with the mist, and with both.

The four columns share the weather of a draw, the shade and its radiation; they differ in the air and in how
fast it moves. Mist is credited with the air it cools and no more: not with drops that land on skin, which
cool it further (people before a mist fan: 2 K of skin in 10 s; Farnham, Emura & Mizuno 2015, Build. Res. Inf.
43:3), and not with the draught of its own spray.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from mistcalc.cooling.patio_air import Outdoors
from mistcalc.cooling.places import Fan
from mistcalc.errors import RangeError
from mistcalc.model.project import Patio
from mistcalc.model.results import FEEL_COLUMNS, Feel, Layout
from mistcalc.physics import air as moist
from mistcalc.physics import comfort

MET, CLO = 1.0, 0.5  # seated and quiet; light summer clothes (ASHRAE Standard 55)
SUPPOSED_FAN = 0.6  # m/s on a seat that no fan of the plan reaches: a small fan near it, judgement
FAN_REACH = 2.0  # radii of a fan's sweep from its middle to the farthest seat it blows on, judgement
TO_MAST = 1.5  # wind at 10 m over that at a seated head, 1.1 m (Brode et al. 2012)
CALMEST = 0.5  # m/s at 10 m, UTCI's own floor

State = tuple[np.ndarray, np.ndarray]  # dry bulb K, relative humidity 0-1


def feel(
    patio: Patio,
    layout: Layout,
    seats: tuple[tuple[float, float], ...],
    outdoors: Outdoors,
    at_seats: State,
    mixed: State,
    speed: np.ndarray,
) -> Feel:
    """What is felt, mean of the seats, arrays [draw, hour].

    outdoors: the air with the mist off. at_seats: with it on, mean of the seats. mixed: the patio's mixed air
    with the mist on, which a fan brings to a seat wherever the plumes pass (fans mix, they do not exchange).
    speed: of the air's motion under the lid without a fan, m/s.
    """
    off = outdoors.temperature, relative_humidity(outdoors.temperature, outdoors.ratio, outdoors.air_pressure)
    radiant = comfort.shade_radiant(off[0], comfort.sky_temperature(*off)) if _answered(off[0]) else None
    blown, all_reached = fan_speeds(patio, layout, seats)
    columns = dict(zip(FEEL_COLUMNS, (off, off, at_seats, mixed), strict=True))
    fanned = {name: name in ("fan", "both") for name in FEEL_COLUMNS}
    found: dict[str, dict[str, np.ndarray]] = {"effective": {}, "utci": {}, "heat_index": {}}
    if radiant is not None:
        speeds = {c: [np.maximum(speed, s) for s in blown] if fanned[c] else [speed] for c in columns}
        found["effective"] = _effective(columns, radiant, speeds, blown, outdoors.air_pressure)
        found["utci"] = _utci(columns, radiant, speeds, blown)
        found["heat_index"] = _in_range(lambda: {c: comfort.heat_index(*s) for c, s in columns.items()})
    return Feel(
        **found,
        radiant=radiant,
        fan_speed=float(np.average(list(blown), weights=list(blown.values()))),
        fan_supposed=None if all_reached else SUPPOSED_FAN,
    )


def fan_speeds(
    patio: Patio, layout: Layout, seats: tuple[tuple[float, float], ...]
) -> tuple[dict[float, float], bool]:
    """({air speed a fan makes [m/s]: share of the seats that get it}, whether the plan's fans reach all).

    A seat within `FAN_REACH` of a fan gets that fan's stated speed (the strongest, of several); every other
    seat a supposed fan's, so that "fan" is always answered.
    """
    fans = running_fans(patio, layout)
    shares: dict[float, float] = {}
    reached = 0
    for x, y in seats:
        near = [fan.speed for fan in fans if fan.reaches(x, y)]
        reached += bool(near)
        given = max(near, default=SUPPOSED_FAN)
        shares[given] = shares.get(given, 0.0) + 1 / len(seats)
    return shares or {SUPPOSED_FAN: 1.0}, 0 < reached == len(seats)


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

Speeds = dict[str, list[np.ndarray]]  # column -> one speed, or one for each of the fans' speeds


def _answered(t: np.ndarray) -> bool:
    return bool(t.min() >= comfort.COLDEST and t.max() <= comfort.HOTTEST)


def _in_range(find: Callable[[], dict[str, np.ndarray]]) -> dict[str, np.ndarray]:
    """The index in all four columns, or in none: half a comparison would mislead."""
    try:
        return find()
    except RangeError:
        return {}


def _mean(answers: Any, speeds: Speeds, blown: dict[float, float]) -> dict[str, np.ndarray]:
    """Columns out of answers stacked in the order of `speeds`, the fans' by their share of the seats."""
    found, at = {}, 0
    for column, each in speeds.items():
        part = answers[at : at + len(each)]
        at += len(each)
        # One speed for all seats is an average of one, whatever its weight.
        found[column] = np.average(part, axis=0, weights=list(blown.values()) if len(each) > 1 else None)
    return found


def _stacked(columns: dict[str, State], speeds: Speeds, shape: tuple[int, ...]) -> list[np.ndarray]:
    """(t, humidity, speed), each [column and fan speed, draw, hour]."""
    rows = [(*columns[c], v) for c, each in speeds.items() for v in each]
    return [np.stack([np.broadcast_to(row[i], shape) for row in rows]) for i in range(3)]


def _effective(
    columns: dict[str, State],
    radiant: np.ndarray,
    speeds: Speeds,
    blown: dict[float, float],
    air_pressure: np.ndarray,
) -> dict[str, np.ndarray]:
    t, humidity, speed = _stacked(columns, speeds, radiant.shape)
    return _in_range(
        lambda: _mean(
            comfort.standard_effective_temperature(t, radiant, speed, humidity, MET, CLO, air_pressure),
            speeds,
            blown,
        )
    )


def _utci(
    columns: dict[str, State], radiant: np.ndarray, speeds: Speeds, blown: dict[float, float]
) -> dict[str, np.ndarray]:
    t, humidity, speed = _stacked(columns, speeds, radiant.shape)
    mast = np.maximum(TO_MAST * speed, CALMEST)
    return _in_range(lambda: _mean(comfort.utci(t, radiant, mast, humidity), speeds, blown))
