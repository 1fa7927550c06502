"""One patio at several hours of an afternoon and in several winds: what is felt, in plan and cut upright."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.model.quantities import Metre, MetrePerSecond, Radian
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.layout import Point

WAYS_TO_COOL = ("fan", "mist", "both")


@dataclass(frozen=True, eq=False, repr=False)
class UprightCut(ShortRepr):
    """The patio cut upright from the open edge through one seat to the wall, or to the lid's far side."""

    seat: int
    along: np.ndarray  # m from the open edge, [place]
    up: np.ndarray  # m above the floor, [height]
    seat_along: Metre
    line_along: Metre | None  # where the line crosses the cut; None: no nozzle of that run
    wall: bool  # whether a wall stands at the far end
    inward: Radian  # plan direction from the edge to the wall
    mist: np.ndarray  # K felt cooler than in shade alone, with the mist, [hour, wind, height, place]
    fan_at: np.ndarray  # index of `AfternoonGrid.speeds` that blows there, [place]


@dataclass(frozen=True, eq=False, repr=False)
class AfternoonGrid(ShortRepr):
    """Everything is against the same hour and wind with nothing running, felt as SET.

    Maps are of the draw in the middle of the range at the seats; bands of all draws. A fan's air is the same
    wherever it blows as hard, so it has one value for each of `speeds`.
    """

    patio: str
    afternoon: str
    clock: tuple[int | None, ...]  # hour on the wall at which each begins; None: the hour typed in
    winds: tuple[MetrePerSecond, ...]  # in the yard at patio height
    air: np.ndarray  # K, dry bulb in the shade, middle of its days, [hour]
    wet_bulb: np.ndarray  # K, [hour]
    toward: np.ndarray  # plan direction in which the wind of the maps goes, rad, [hour, wind]
    wind_known: bool
    x: np.ndarray  # m, middles of the plan's cells
    y: np.ndarray
    inside: np.ndarray  # bool [y, x]
    mist: np.ndarray  # K felt cooler sitting, [hour, wind, y, x]
    fan: np.ndarray  # the same where a fan blows, [hour, wind, speed]
    both: np.ndarray
    speeds: tuple[MetrePerSecond, ...]  # of fans; the first is supposed where none of the plan reaches
    fan_at: np.ndarray  # index of `speeds`, [y, x]
    cuts: tuple[UprightCut, ...]
    seats: tuple[Point, ...]
    seat_bands: np.ndarray  # K cooler, 10, 50, 90 %, [hour, wind, WAYS_TO_COOL, seat, band]
    felt: np.ndarray  # SET [K], mean of the seats, 10, 25, 75, 90 %, [hour, wind, COMFORT_COLUMNS, point]
    cooler: np.ndarray  # K, mean of the seats, 10, 50, 90 %, [hour, wind, WAYS_TO_COOL, band]
    drop: np.ndarray  # K of dry bulb, mist alone, mean of the seats, 10, 50, 90 %, [hour, wind, band]
    depression: np.ndarray  # K of the wet bulb below the air, least and most of the draws, [hour, wind, 2]
    sun: np.ndarray  # share of light that reaches a lap, clear sky, [hour, y, x]
    sun_toward: tuple[Radian | None, ...]  # plan direction the light goes in; None: no sun then
    sun_height: tuple[Radian | None, ...]  # over the horizon
    sun_seats: np.ndarray  # share of each seated body in the sun, [hour, seat]
    key: str
    in_sun: np.ndarray | None = None  # bool, judged of `sun_seats`

    def __eq__(self, other: object) -> bool:
        return isinstance(other, AfternoonGrid) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)
