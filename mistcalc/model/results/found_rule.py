"""A control's rule as found in a year's hours, and what each part of it is worth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mistcalc.model.project import Control
from mistcalc.model.project.control import Second
from mistcalc.model.reprs import ShortRepr

RulePartName = Literal["temperature", "hours", "wind", "sides", "humidity"]
RULE_PARTS: tuple[RulePartName, ...] = ("temperature", "hours", "wind", "sides", "humidity")
Band = tuple[float, ...]


@dataclass(frozen=True, slots=True, repr=False)
class RulePart(ShortRepr):
    """One part more than those before it, every limit chosen again; of all draws, in hours of a year."""

    name: RulePartName
    control: Control | None  # the best with this part; None: each takes more water
    gained: Band
    added: Band  # to the best without it, draw by draw
    kept: bool  # it is worth more than an hour


@dataclass(frozen=True, slots=True, repr=False)
class RuleScore(ShortRepr):
    """Hours a year: that the mist runs, and that it makes bearable."""

    runs: Band
    gained: Band


@dataclass(frozen=True, slots=True, repr=False)
class RuleTiming(ShortRepr):
    """The rule found with a least run and a least rest."""

    least_run: Second
    least_rest: Second
    starts: Band  # how often it comes on in a year
    score: RuleScore
    chosen: bool = False


@dataclass(frozen=True, slots=True, repr=False)
class FoundRule(ShortRepr):
    """The rule that gains most bearable hours for the water stated, chosen on the mean of some draws."""

    control: Control | None  # None: no rule makes an hour bearable that was not
    parts: tuple[RulePart, ...]
    found: RuleScore
    stated: RuleScore  # of the project's own control
    keep_stated: bool  # which gains over an hour more in the middle case, for no more water than asked
    best: Band  # hours gained by the best possible use of as many hours, knowing each one
    chosen_on: tuple[int, float]  # draws, and the mean of the hours gained in them
    held_out: tuple[int, float]  # the same of draws that no choice was made by
    most_water: float  # m3 a year
    an_hour: float  # m3
    bearable: float  # K, UTCI
    timings: tuple[RuleTiming, ...] = ()  # least runs and rests as the project has them first, then others
