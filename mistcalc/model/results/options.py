"""Other ways to build the same line: what each takes and gives, and the few worth choosing among."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np

from mistcalc.model.quantities import CubicMetrePerSecond, Metre, Pascal, Share, Watt
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.cooling import BAND, Comfort, quantiles
from mistcalc.model.results.first_cost import CostTotal
from mistcalc.model.results.season import Band

SAME = 0.2  # K: options closer than that in the middle of their ranges are called equal
# What an option may break, in the order it is looked at: the floor last, for it alone asks for the air.
BREAKS = ("lid", "line", "water", "motor", "cost", "floor")


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the owner asked for; None: nothing of it."""

    water: CubicMetrePerSecond | None = None  # at most, while it runs
    motor: Watt | None = None  # of the pump, at most
    floor: Share | None = None  # of the water, landing on the floor or the ground, at most
    cost: Annotated[float, "currency"] | None = None  # of the parts that have a price, at most


@dataclass(frozen=True, slots=True, eq=False)
class SeatAir:
    """The seats' air under one way on one afternoon, and where its water ends."""

    drops: np.ndarray  # K, mean of the seats, [draw, hour]
    landing: Share  # of the water, on floor and ground


@dataclass(frozen=True, slots=True, eq=False)
class YearTaken:
    """What a way takes in a typical year: 10, 50 and 90 % of the draws' own years."""

    water: Band  # m3, drawn
    money: Band | None  # of water and power; None: no price and no tariff is stated


@dataclass(frozen=True, eq=False, repr=False)
class BuildOption(ShortRepr):
    """One way to build the line."""

    pitch: Metre  # wanted
    setback: Metre  # of the line, of two rows the first, behind the lid's edge
    nozzle: str  # its label
    rated_flow: CubicMetrePerSecond  # of one nozzle
    rated_at: Pascal
    pressure: Pascal  # at the pump, or of the mains
    as_stated: bool  # the project as it is
    marks: int
    water: CubicMetrePerSecond  # of all nozzles
    motor: Watt | None  # to buy; None without a pump
    cost: CostTotal | None = None  # to buy all of it; None: no part has a price
    air: SeatAir | None = None  # None: not worked out, for it breaks something already
    year: YearTaken | None = None  # None: of no rung, or no climate file
    breaks: tuple[str, ...] = ()  # of BREAKS
    set_pressure: Pascal | None = None  # of the pump; None: on the mains
    second: Metre | None = None  # of the second row behind the edge; None: there is one row

    @property
    def nozzle_flow(self) -> CubicMetrePerSecond:
        """Of one nozzle in the line, on average."""
        return self.water / max(self.marks, 1)

    @property
    def drops(self) -> np.ndarray:
        """K, at the seats, [draw, hour]."""
        return self._air.drops

    @property
    def landing(self) -> Share:
        return self._air.landing

    @property
    def _air(self) -> SeatAir:
        assert self.air is not None, "a way that breaks a rule has no air worked out"
        return self.air

    def band(self, shares: tuple[float, ...] = BAND) -> tuple[float, ...]:
        """How much cooler the air is at the seats [K], below which these shares of the cases lie."""
        return quantiles(self.drops, shares)

    def cooler_than(self, other: BuildOption) -> tuple[float, ...]:
        """By how much cooler [K], 10, 50 and 90 %: each case of each draw against itself."""
        return quantiles(self.drops - other.drops, BAND)

    @property
    def middle(self) -> float:
        return self.band()[1]


@dataclass(frozen=True, eq=False, repr=False)
class BesideIt(ShortRepr):
    """Something that takes no water: a screen at a side of the lid."""

    run: str
    height: Metre
    felt: tuple[float, ...] | None  # K of SET cooler without mist, 10, 50 and 90 %; None: beyond the index
    mist: tuple[float, ...]  # K by which the mist of the line as stated cools more with it
    sunny: tuple[Share, Share] | None  # mean share of the seated bodies in the sun, without it and with it
    tells: tuple[str, ...] = ()  # which of sun, felt, mist it changes by as much as people notice


@dataclass(frozen=True, eq=False, repr=False)
class OptionLadder(ShortRepr):
    """Rungs by water an hour, each the cheapest way to what so much water can do within what was asked."""

    afternoon: str
    patio: str
    wishes: Wishes
    currency: str
    rungs: tuple[BuildOption, ...]  # least water first; empty: no option keeps all that was asked
    stated: BuildOption
    felt: Comfort | None  # under the project as it is: in shade, with a fan, with its mist, with both
    beside: tuple[BesideIt, ...]
    tried: int
    broken: tuple[tuple[str, int], ...]  # BREAKS -> how many options break it, those broken by none left out
    least: Wishes  # what can be had of each wish alone, among ways that keep the hard rules

    @property
    def instead(self) -> tuple[int, BuildOption] | None:
        """The rung of least water that takes less than the project as it is and cools no less in the middle,
        with its number from 1."""
        now = self.stated
        return next(
            (
                (number, rung)
                for number, rung in enumerate(self.rungs, 1)
                if not rung.as_stated and rung.water < now.water and rung.middle >= now.middle
            ),
            None,
        )
