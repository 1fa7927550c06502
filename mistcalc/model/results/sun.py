"""Where the sun reaches under the lid, by month and by the clock on the wall, and what would keep it off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

import numpy as np

from mistcalc.model.quantities import Metre, Radian
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.layout import Point


@dataclass(frozen=True, eq=False, repr=False)
class SunPath(ShortRepr):
    """The sun over the middle day of each month, [month, step of the clock]."""

    STEP: ClassVar[float] = 1 / 6  # h

    clock: np.ndarray  # hour of the day on the wall, [step]
    height: np.ndarray  # rad; 0 where the sun is down or behind the neighbors
    azimuth: np.ndarray  # rad clockwise from north
    skyline: Radian  # how high neighbors and trees are taken to hide it
    key: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SunPath) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)


@dataclass(frozen=True, slots=True)
class ShadeScreen:
    """What hung from one open side of the lid would keep the sun off all seats in the hours of use."""

    run: str
    where: Literal["edge", "back", "start", "end"]  # which side of that run
    start: (
        Metre  # from where to where along that side: an edge from its run's datum, else with the patio left
    )
    end: Metre
    length: Metre  # of that side
    drop: Metre  # below the lid
    line: tuple[Point, Point]  # in plan
    wider: Metre  # how far the lid would have to go on past that side instead


@dataclass(frozen=True, eq=False, repr=False)
class SunMap(ShortRepr):
    """The lid in plan at one moment: where the sun shines on a lap, [y, x] over the middles of cells."""

    clock: float  # hour of the day on the wall
    toward: Radian  # in plan, the way the light goes
    height: Radian  # of the sun
    lit: np.ndarray  # share of the light that comes through


@dataclass(frozen=True, slots=True)
class SunSpell:
    """A while in the hours of use, on the middle day of a month under a clear sky, for which a seat is in the
    sun."""

    seat: int
    month: int  # from 0
    start: float  # hour of the day on the wall
    end: float


@dataclass(frozen=True, eq=False, repr=False)
class PatioSun(ShortRepr):
    """One patio under a clear sky."""

    patio: str
    clock: np.ndarray  # hour of the day on the wall, [step]
    seats: tuple[Point, ...]
    lit: np.ndarray  # share of a seated body that the sun's disc reaches, [seat, month, step]
    used: np.ndarray  # bool, within the control's months and hours, [month, step]
    screens: tuple[
        ShadeScreen, ...
    ]  # together they keep the sun off; none: it does not come, or past no side
    skyline: Radian  # below it the sun is taken to be behind neighbors and trees
    month: int  # the one of use with most sun on the seats, from 0; the maps are of its middle day
    x: np.ndarray  # m, middles of the maps' cells
    y: np.ndarray
    inside: np.ndarray  # bool, [y, x]
    maps: tuple[SunMap, ...]
    lap: Metre  # above the floor, where the maps are told
    key: str
    spells: tuple[SunSpell, ...] = ()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, PatioSun) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)
