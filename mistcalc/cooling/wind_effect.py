"""What the wind does to the cooling at the seats, and what finding out about a patio would be worth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from mistcalc.cooling import wind
from mistcalc.cooling.case import Case
from mistcalc.model.results import BAND, InformationValue, WindClass

# m/s in the yard, clear of the house. Beaufort's marks, which anyone can read: below 0.3 smoke rises
# straight, from 1.6 air is felt on the face (WMO-No. 8, Guide to Instruments, annex on the Beaufort
# scale; its speeds are for a mast, its signs for where one stands).
CALM_BELOW, BREEZE_FROM = 0.3, 1.6
QUARTER = np.pi / 4  # rad either side of a compass point
FEWEST = 12  # draws of 200 of which a range is told
NEIGHBOURS = 0.15  # of the draws: so many alike in a thing stand for its being known


def wind_classes(case: Case, drop: np.ndarray, bearing: float, sides: bool = True) -> tuple[WindClass, ...]:
    """The cooling of `drop` [draw, 1] in a calm, in light air, in a breeze, and with the wind from the worst
    and the best of all `sides` it may come from; a class that hardly ever comes has no range."""
    speed, kelvin = case.wind[:, 0], drop[:, 0]
    calm, breeze = speed < CALM_BELOW, speed >= BREEZE_FROM
    classes = [
        _class("calm", calm, kelvin),
        _class("light", ~calm & ~breeze, kelvin),
        _class("breeze", breeze, kelvin),
    ]
    if not sides:
        return tuple(classes)
    source = wind.comes_from(case.wind_toward[:, 0], bearing)
    return *classes, *_ends(source, ~calm, kelvin, case.lee_share[:, 0])


def _class(name: str, held: np.ndarray, kelvin: np.ndarray, side: float | None = None) -> WindClass:
    band = None
    if np.count_nonzero(held) >= FEWEST:
        low, middle, high = np.quantile(kelvin[held], BAND).tolist()
        band = low, middle, high
    return WindClass(name, float(held.mean()), band, side)


def _ends(source: np.ndarray, blowing: np.ndarray, kelvin: np.ndarray, lee: np.ndarray) -> list[WindClass]:
    """The points of the compass from which the wind leaves least and most, each a quarter turn wide, as far
    as there are draws enough."""
    sides = []
    for point in np.arange(8) * np.pi / 4:
        held = blowing & (np.abs((source - point + np.pi) % (2 * np.pi) - np.pi) <= QUARTER)
        if np.count_nonzero(held) >= FEWEST:
            wind_class = _class("worst_side", held, kelvin, float(point))
            sides.append(replace(wind_class, lee=float(lee[held].mean())))
    sides.sort(key=lambda told: round(told.band[1], 9) if told.band else np.inf)
    return [*sides[:1], *(replace(best, name="best_side") for best in sides[1:][-1:])]


def information_value(case: Case, drop: np.ndarray) -> tuple[InformationValue, ...]:
    """How wide the range of `drop` [draw, 1] would be if one thing were known, narrowest first.

    The range left is that among the draws most alike in the thing, meaned over all draws, once what the thing
    itself changes within so few is taken out. So few draws show less of a range than many do, and a fit to
    them takes some of it away: both are put right by the same figure for numbers that tell nothing. Against
    solving again with the thing held at one value after another it is good to a tenth of the whole width.
    A thing that would tell nothing is left out.
    """
    kelvin = drop[:, 0]
    whole = _width(kelvin)
    count = len(kelvin)
    telling_nothing = (np.outer(np.arange(count), ROOTS) % 1.0) * 2 - 1
    lost: dict[int, float] = {}
    values = []
    for name, columns in _things(case):
        size = columns.shape[1]
        if size not in lost:
            lost[size] = _left(kelvin, telling_nothing[:, :size]) / max(whole, 1e-12)
        values.append(InformationValue(name, _left(kelvin, columns) / max(lost[size], 1e-12)))
    return tuple(sorted((value for value in values if value.left < whole), key=lambda one: one.left))


ROOTS = np.sqrt([2.0, 3.0, 5.0])  # steps that never meet: a sequence unlike that of the draws


def _things(case: Case) -> Iterator[tuple[str, np.ndarray]]:
    """What an owner could find out, as columns [draw, column] in which near means alike."""
    toward = case.wind_toward[:, 0]
    around = np.column_stack([np.cos(toward), np.sin(toward)])
    hard = _even(np.log(case.wind[:, 0]))[:, None]
    u = case.unknowns
    yield "wind_speed", hard
    yield "wind_direction", around
    yield "wind", np.column_stack([hard, around])
    yield "openness", np.column_stack([_even(u.exchange[:, 0]), _even(u.lee[:, 0])])


def _even(values: np.ndarray) -> np.ndarray:
    """Places in order, -1 to 1."""
    place = np.argsort(np.argsort(np.round(values, 12), kind="stable"), kind="stable")
    return 2 * place / max(len(values) - 1, 1) - 1


def _left(kelvin: np.ndarray, columns: np.ndarray) -> float:
    """Mean width of the range among the draws nearest to each draw, their own trend taken out."""
    count = max(int(NEIGHBOURS * len(kelvin)), 2 + columns.shape[1])
    apart = ((columns[:, None] - columns) ** 2).sum(-1)
    near = np.argsort(np.round(apart, 12), axis=1, kind="stable")[:, :count]
    here = columns[near] - columns[near].mean(axis=1, keepdims=True)  # [draw, neighbour, column]
    there = kelvin[near] - kelvin[near].mean(axis=1, keepdims=True)
    square = here.swapaxes(1, 2) @ here + 1e-9 * np.eye(columns.shape[1])
    trend = np.linalg.solve(square, here.swapaxes(1, 2) @ there[..., None])
    ends = np.quantile(there - (here @ trend)[..., 0], (BAND[0], BAND[-1]), axis=1)
    return float((ends[1] - ends[0]).mean())


def _width(kelvin: np.ndarray) -> float:
    low, high = np.quantile(kelvin, (BAND[0], BAND[-1]))
    return float(high - low)
