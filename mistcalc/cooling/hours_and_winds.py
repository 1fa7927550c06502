"""One afternoon hour by hour and wind by wind: ranges at the seats, the patio in plan, and cut upright.

Few draws and one balance for all of it, so that a page can move through the answers without a solve. What is
drawn is the field of the plumes (`plume_field`), told as what it feels like (SET) by the air's temperature.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np

from mistcalc.cooling.afternoon import every_hour
from mistcalc.cooling.balance import solve_balance
from mistcalc.cooling.case import case_of, spray_of
from mistcalc.cooling.comfort_indices import running_fans
from mistcalc.cooling.felt_scene import FeltScene, cut_rows, plan_cells, sun_by_hour
from mistcalc.cooling.hour_sampling import assign_hours
from mistcalc.cooling.patio_geometry import SEATED
from mistcalc.cooling.unknowns import Unknowns, draws
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import COMFORT_COLUMNS, Air, Cooling, Layout, Line
from mistcalc.model.results.cooling import BAND
from mistcalc.model.results.hours_and_winds import WAYS_TO_COOL, AfternoonGrid

DRAWS = 24
PASSES = 1  # of the balance: seats within 0.03 K of its end, 19 in 20 within 0.002
POINTS = (0.1, 0.25, 0.75, 0.9)


def afternoon_grid(
    patio: Patio,
    layout: Layout,
    line: Line,
    plumbing: Plumbing,
    airs: tuple[Air, ...],
    clock: tuple[int | None, ...],
    winds: tuple[float, ...],
    side: float | None = None,
    bearing: float = 0.0,
) -> AfternoonGrid | None:
    """Each of `airs` (an hour of the clock, of several days) in each of `winds` [m/s in the yard].

    side: where the wind comes from, rad clockwise from north; None: as it mostly does in that hour. bearing:
    heading of the plan's +x. None where no water flows or the index of what is felt has no answer.
    """
    spray = spray_of(patio, layout, line)
    if spray is None:
        return None
    u = draws(DRAWS)
    blown = tuple(_blown(air, winds, side) for air in airs)
    cooled = every_hour(patio, layout, line, plumbing, blown, bearing, u, PASSES)
    if not all(_answered(one) for one in cooled):
        return None
    middle = np.stack([_middle(one) for one in cooled])
    air, one_draw = _shown(blown, middle, u)
    case = case_of(patio, layout, spray, plumbing, (air,), bearing, one_draw)
    scene = FeltScene(case, solve_balance(case), running_fans(patio, layout), middle.shape)
    plan = plan_cells(case.ground)
    sun, suns, sun_seats = sun_by_hour(case.ground, plan, airs, bearing)
    return AfternoonGrid(
        patio=patio.name,
        afternoon=airs[0].name,
        clock=clock,
        winds=winds,
        air=np.array([one.middle("temperature") for one in airs]),
        wet_bulb=np.array([one.middle("wet_bulb") for one in airs]),
        toward=case.wind_toward[0].reshape(middle.shape),
        wind_known=air.direction is not None,
        x=plan.x,
        y=plan.y,
        inside=plan.inside,
        mist=plan.whole(scene.mist(*plan.points, SEATED)),
        fan=scene.blown(case.outdoors.temperature, case.outdoors.ratio),
        both=scene.blown(scene.answer.patio.temperature, scene.answer.patio.ratio),
        speeds=scene.speeds,
        fan_at=plan.whole(scene.fan_at(*plan.points)),
        cuts=tuple(scene.cut(n, strip) for n, strip in enumerate(cut_rows(case.ground, layout)) if strip),
        seats=case.ground.seats,
        **_ranges(cooled),
        sun=sun,
        sun_toward=tuple(one and one[0] for one in suns),
        sun_height=tuple(one and one[1] for one in suns),
        sun_seats=sun_seats,
        key=fingerprint(
            patio, layout.marks, spray, plumbing, clock, winds, side, bearing, *(one.key for one in airs)
        ),
    )


# ------------------------------------------------------------------ hours and winds


def _blown(air: Air, winds: tuple[float, ...], side: float | None) -> Air:
    """Each draw's hour of the air at every wind, [draw, wind], from one side."""
    comes_from = _mostly(air) if side is None else side
    one_each = assign_hours(air, DRAWS)
    shape = (DRAWS, len(winds))
    arrays: dict[str, Any] = {
        f.name: np.broadcast_to(value, shape)
        for f in fields(one_each)
        if isinstance(value := getattr(one_each, f.name), np.ndarray)
    }
    arrays |= {
        "wind": np.broadcast_to(np.array(winds), shape),
        "direction": None if comes_from is None else np.full(shape, comes_from),
        "mast_wind": None,
    }
    return replace(one_each, **arrays, felt=True, key=fingerprint(air.key, winds, side))


def _mostly(air: Air) -> float | None:
    """Where the wind of an air's hours comes from, a hard wind counting for more; None: nobody said."""
    if air.direction is None or np.isnan(air.direction).all():
        return None
    blowing = ~np.isnan(air.direction)
    east, north = (float((air.wind * turn(air.direction))[blowing].sum()) for turn in (np.sin, np.cos))
    return float(np.arctan2(east, north) % (2 * np.pi))


def _answered(cooled: Cooling) -> bool:
    felt = cooled.feel
    return felt is not None and bool(felt.at_seats) and bool(np.isfinite(felt.at_seats["shade"]).all())


def _middle(cooled: Cooling) -> np.ndarray:
    """The draw whose mist is felt nearest to the middle of the range at the seats, [wind]: what is drawn is
    what is felt, and a draw in the middle of the air's cooling may be far from it."""
    seats = _of(cooled)
    gain = (seats["shade"] - seats["mist"]).mean(axis=0)
    return np.abs(np.round(gain - np.median(gain, axis=0), 9)).argmin(axis=0)


def _shown(blown: tuple[Air, ...], middle: np.ndarray, u: Unknowns) -> tuple[Air, Unknowns]:
    """The one draw of each hour and wind, all beside each other as hours of one air, [1, hour x wind]."""
    columns = np.arange(middle.shape[1])

    def picked(name: str) -> np.ndarray | None:
        values = [getattr(air, name) for air in blown]
        if any(value is None for value in values):
            return None
        return np.concatenate([value[which, columns] for value, which in zip(values, middle, strict=True)])[
            None, :
        ]

    names = [f.name for f in fields(Air) if isinstance(getattr(blown[0], f.name), np.ndarray)]
    arrays: dict[str, Any] = {name: picked(name) for name in names}
    air = replace(blown[0], **arrays, key=fingerprint(blown[0].key, middle))
    flat = middle.ravel()
    return air, Unknowns(**{name: column[flat].reshape(1, -1) for name, column in u.columns().items()})


# ------------------------------------------------------------------ ranges


def _ranges(cooled: tuple[Cooling, ...]) -> dict[str, Any]:
    """The fields of an AfternoonGrid that are ranges, [hour, ...]."""
    felt = [_of(one) for one in cooled]
    gains = [np.stack([seats["shade"] - seats[way] for way in WAYS_TO_COOL]) for seats in felt]
    columns = [np.stack([seats[name].mean(axis=0) for name in COMFORT_COLUMNS]) for seats in felt]
    depressions = [(one.depression.min(axis=0), one.depression.max(axis=0)) for one in cooled]
    return {
        "seat_bands": np.stack([_bands(one, BAND) for one in gains]),
        "felt": np.stack([_bands(one, POINTS) for one in columns]),
        "cooler": np.stack([_bands(one.mean(axis=1), BAND) for one in gains]),
        "drop": np.stack([_bands(one.drop["seats"], BAND) for one in cooled]),
        "depression": np.stack([np.stack(ends, axis=-1) for ends in depressions]),
    }


def _bands(of_draws: np.ndarray, shares: tuple[float, ...]) -> np.ndarray:
    """Quantiles over the draws, [..., draw, wind] to [wind, ..., share]."""
    return np.quantile(of_draws, shares, axis=-2).swapaxes(0, -1)


def _of(cooled: Cooling) -> dict[str, np.ndarray]:
    """What is felt at each seat, [seat, draw, wind]: there is an answer (`_answered`)."""
    return {} if cooled.feel is None else cooled.feel.at_seats
