"""Other ways to build the same line: what each takes and gives, and the few worth choosing among."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.model.quantities import CubicMetrePerSecond, Metre, Pascal, Share, Watt
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.cooling import BAND, Comfort, quantiles

BREAKS = ("lid", "line", "water", "motor", "floor")  # what an option may break, in the order it is looked at


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the owner asked for; None: nothing of it."""

    water: CubicMetrePerSecond | None = None  # at most, while it runs
    motor: Watt | None = None  # of the pump, at most
    floor: Share | None = None  # of the water, landing on the floor or the ground, at most


@dataclass(frozen=True, eq=False, repr=False)
class BuildOption(ShortRepr):
    """One way to build the line."""

    afternoon: str
    pitch: Metre  # wanted
    nozzle: str  # its label
    rated_flow: CubicMetrePerSecond  # of one nozzle
    rated_at: Pascal
    pressure: Pascal  # at the pump, or of the mains
    as_stated: bool  # the project as it is
    marks: int
    water: CubicMetrePerSecond  # of all nozzles
    motor: Watt | None  # to buy; None without a pump
    drops: np.ndarray  # K, at the seats on the first afternoon, [draw, hour]
    landing: Share  # of the water, on floor and ground
    felt: Comfort | None  # on that afternoon: in shade, with a fan, with this mist, with both
    breaks: tuple[str, ...] = ()  # of BREAKS

    def band(self) -> tuple[float, ...]:
        """How much cooler the air is at the seats [K], 10, 50 and 90 %."""
        return quantiles(self.drops, BAND)

    def cooler_than(self, other: BuildOption) -> tuple[float, ...]:
        """By how much cooler [K], 10, 50 and 90 %: each case of each draw against itself."""
        return quantiles(self.drops - other.drops, BAND)

    @property
    def middle(self) -> float:
        return self.band()[1]


@dataclass(frozen=True, eq=False, repr=False)
class OptionLadder(ShortRepr):
    """Rungs by water an hour, each the coolest that keeps what was asked for so much water."""

    afternoon: str
    patio: str
    wishes: Wishes
    rungs: tuple[BuildOption, ...]  # least water first; empty: no option keeps all that was asked
    stated: BuildOption
    tried: int
    broken: tuple[tuple[str, int], ...]  # BREAKS -> how many options break it, those broken by none left out
    least: Wishes  # what can be had of each wish alone, among ways that keep the hard rules
