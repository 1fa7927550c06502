"""The hours of an afternoon: one a draw, or one that stands for all."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np

from mistcalc.cooling.case import Case
from mistcalc.cooling.unknowns import hour_of_draw
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.results import Air
from mistcalc.physics.most_central import medoid


def assign_hours(air: Air, draws: int) -> Air:
    """The same air with one of its hours to each draw: arrays [draw, 1].

    What the air is like on such an afternoon and what nobody knows of the patio are drawn together, so the
    answer's spread is that of real hours. Dealt round the compass, calm hours first: an even share
    of the winds matters most. One hour: every draw has it.
    """
    return _picked(air, _dealt(air, draws)[:, None], "dealt")


def representative_draw(case: Case, drop: np.ndarray) -> int:
    """The draw to show where one must stand for all: of the tenth of the draws whose `drop` [draw, 1] is
    nearest to the middle, the one with the air and the wind nearest to all the others' of them."""
    kelvin = drop[:, 0]
    count = max(len(kelvin) // 10, 1)
    off = np.round(np.abs(kelvin - np.median(kelvin)), 9)
    near = np.argsort(off, kind="stable")[:count]
    speed, toward = case.wind[near, 0], case.wind_toward[near, 0]
    out = case.outdoors
    columns = (
        out.temperature[near, 0], out.ratio[near, 0], speed, speed * np.cos(toward), speed * np.sin(toward),
    )  # fmt: skip
    return int(near[medoid(columns)])


def hours_of_draws(air: Air, draws: int, which: np.ndarray) -> Air:
    """`assign_hours`, of some of so many draws alone."""
    return _picked(air, _dealt(air, draws)[which][:, None], f"draws {fingerprint(which)}")


def hour_of(air: Air, draws: int, which: int) -> Air:
    """The hour that one of so many draws has."""
    return _picked(air, _dealt(air, draws)[[which]], f"draw {which}")


def hours_of(air: Air, which: np.ndarray) -> Air:
    """Those of its hours alone, for every draw."""
    return _picked(air, which, fingerprint(which))


def representative_hour(air: Air) -> Air:
    """The one hour that is nearest to all the others."""
    return _picked(air, np.array([air.ordinary]), "ordinary")


def _dealt(air: Air, draws: int) -> np.ndarray:
    """Which of the hours each draw has, [draw]."""
    source = np.zeros(len(air.wind)) if air.direction is None else np.nan_to_num(air.direction, nan=-1.0)
    return np.argsort(source, kind="stable")[hour_of_draw(draws, len(air.wind))]


def _picked(air: Air, index: np.ndarray, how: str) -> Air:
    arrays = {
        f.name: value[index] for f in fields(air) if isinstance(value := getattr(air, f.name), np.ndarray)
    }
    return replace(air, **arrays, ordinary=0, key=f"{air.key}-{how}")
