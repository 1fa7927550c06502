"""The patio's air with the mist on: ranges, a picture in plan, what is felt, what gets wet."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from mistcalc.model.quantities import Kelvin, Metre, Radian, Share
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.layout import Point


@dataclass(frozen=True, slots=True)
class RangeDriver:
    """One unknown, or "weather", and the share of the range it makes (shares sum to 1)."""

    name: str
    share: Share


@dataclass(frozen=True, slots=True)
class WindClass:
    """The same afternoon with one kind of wind in the yard: how often it comes, what cooling it leaves."""

    name: str  # calm | light | breeze | worst_side | best_side
    share: Share  # of the draws
    band: tuple[Kelvin, Kelvin, Kelvin] | None  # drop at the seats, BAND; None: too seldom to tell
    side: Radian | None  # of the sides: where that wind comes from, clockwise from north
    lee: Share = 0.0  # of the sides: mean share of the patio that lies in the house's lee then


@dataclass(frozen=True, slots=True)
class InformationValue:
    """What finding out one thing about the patio would be worth."""

    name: str  # one of KNOWABLE
    left: Kelvin  # how wide the range at the seats, 10 to 90 %, would then be


MistAdvice = Literal["run", "little", "damp", "fan", "off", "stopped", "no_water"]


@dataclass(frozen=True, slots=True)
class ColdLies:
    """How the cold lies with so little wind that it does not mix: drops of dry bulb, middle of the range."""

    floor: Kelvin
    seated: Kelvin
    standing: Kelvin


@dataclass(frozen=True, slots=True)
class MistVerdict:
    """The one judgement of the mist on one afternoon, which every sheet and screen only phrases."""

    patio: str
    afternoon: str
    call: MistAdvice
    outcome: str  # one word for a table: dry, damp, wet, glasses, carried, clammy, little, little-wet, ...
    find_out: tuple[
        str, ...
    ]  # names of `InformationValue` that would narrow the range enough to be worth the trouble
    stopped: Share = 0.0  # of the hours, in which the control keeps the mist off
    advice: str = "run"  # the call; "wet": run it until the floor is wet
    floor: Literal["dry", "damp", "wet"] = "dry"
    signs: tuple[str, ...] = ()  # what else the owner will see: wet_floor, damp_floor, dewy, carried, damp
    glasses: tuple[str, ...] = ()  # seats at which faces and glasses get wet
    little: tuple[str, ...] | None = (
        None  # why it is little: damp, blown, small, coarse, felt; None: it is not
    )
    claims: tuple[Kelvin, Kelvin] | None = None  # what the trade promises, where the seats do not reach it
    lies: ColdLies | None = None  # None: the wind mixes it
    fan_wanted: bool = False  # with a fan, which the plan has not, the mist would clearly do more
    instead: Literal["fan", "shade"] = "shade"  # of the mist, where that does little: what cools a seat
    past_measured: Kelvin | None = None  # past which its range is computed only, where it goes past it


BAND = (0.1, 0.5, 0.9)  # points of every range
PLACES = ("near_line", "seats", "far_edge")
KNOWABLE = ("wind", "wind_speed", "wind_direction", "openness")  # `wind`: speed and direction together
FATES = ("dried_under", "dried_outside", "floor_under", "floor_outside", "away")
COMFORT_COLUMNS = ("shade", "fan", "mist", "both")
ComfortIndexName = Literal["effective", "utci", "heat_index"]


def quantiles(values: np.ndarray, shares: tuple[float, ...] = BAND) -> tuple[float, ...]:
    """Values below which these shares of all draws and hours lie."""
    return tuple(np.quantile(values, shares).tolist())


@dataclass(frozen=True, eq=False, repr=False)
class Comfort(ShortRepr):
    """What people at the seats feel under one lid: COMFORT_COLUMNS -> K, mean of the seats, [draw, hour].

    Where a column of an hour lies outside an index's range all four are NaN there: half a comparison would
    mislead. An index that answers no hour is empty. Mist leaves `radiant` and the sun alone; the heat index
    knows neither.
    """

    effective: dict[str, np.ndarray]  # standard effective temperature (SET), seated, light summer clothes
    utci: dict[str, np.ndarray]
    heat_index: dict[str, np.ndarray]
    radiant: np.ndarray  # mean radiant temperature K [draw, hour]; NaN outside its own range
    fan_speed: float  # m/s on the seats, mean
    fan_supposed: float | None  # m/s on the seats no fan of the plan reaches; None where fans reach them all
    at_seats: dict[str, np.ndarray] = field(default_factory=dict)  # SET, [seat, draw, hour], lid's order
    # Share of each seated body that the sun's disc reaches, and by how much its light raises the mean radiant
    # temperature over the shade's [K], both [seat, draw, hour]; None: nobody knows where the sun stands.
    lit: np.ndarray | None = None
    sun_rise: np.ndarray | None = None

    def full_sun(self) -> Kelvin | None:
        """By how much full sun raises the mean radiant temperature of a seat, middle of its sunny hours; None
        where there is none."""
        if self.lit is None or self.sun_rise is None or not self.lit.any():
            return None
        there = self.lit > 0.0
        return float(np.median(self.sun_rise[there] / self.lit[there]))

    def answered(self, index: ComfortIndexName = "effective") -> float:
        """Share of draws and hours that lie in an index's range."""
        columns: dict[str, np.ndarray] = getattr(self, index)
        return float(np.isfinite(columns["shade"]).mean()) if columns else 0.0

    def band(
        self, column: str, shares: tuple[float, ...] = BAND, index: ComfortIndexName = "effective"
    ) -> tuple[float, ...] | None:
        """What is felt (K) below which these shares of draws and hours lie, of those in the index's range;
        None where that is under half of them."""
        columns: dict[str, np.ndarray] = getattr(self, index)
        return self._of(columns[column], shares) if columns else None

    def seat_band(self, seat: int, column: str, shares: tuple[float, ...] = BAND) -> tuple[float, ...] | None:
        """The same of SET at one seat alone."""
        return self._of(self.at_seats[column][seat], shares) if self.at_seats else None

    def cooler(self, column: str, shares: tuple[float, ...] = BAND) -> tuple[float, ...] | None:
        """By how much cooler (K) a column feels than shade alone, each draw and hour against itself."""
        return self._of(self.effective["shade"] - self.effective[column], shares) if self.effective else None

    def _of(self, values: np.ndarray, shares: tuple[float, ...]) -> tuple[float, ...] | None:
        finite = values[np.isfinite(values)]
        return quantiles(finite, shares) if 2 * finite.size >= values.size else None


@dataclass(frozen=True, eq=False, repr=False)
class Stratification(ShortRepr):
    """How the cold lies by height where no plume passes, mean over the patio, [draw, hour]."""

    still: np.ndarray  # 0..1, how far the cold air's own weight, not the wind, changes the air
    floor: np.ndarray  # K, drop of dry bulb at the floor
    standing: np.ndarray  # K, at a standing head, 1.7 m

    def band(self, name: str) -> tuple[float, ...]:
        """One of the three, 10, 50 and 90 %."""
        return quantiles(getattr(self, name))


@dataclass(frozen=True, eq=False, repr=False)
class Cooling(ShortRepr):
    """The patio's air on one afternoon, as a range. Arrays are [draw, hour] unless said.

    On an afternoon each draw has one of its hours, so there is one column; a range is over all of an array.
    `drop[place]`: dry bulb in the same shade with the mist off, less dry bulb with it on, same draw.
    """

    patio: str
    afternoon: str
    baseline: np.ndarray  # K, mist off
    depression: np.ndarray  # K, wet-bulb depression of the outdoor air: the most any mist could cool
    drop: dict[str, np.ndarray]  # place -> K
    ratio: dict[str, np.ndarray]  # place -> kg/kg
    relative_humidity: dict[str, np.ndarray]  # place -> 0..1
    fates: dict[str, np.ndarray]  # FATES -> share of the water; they sum to 1
    carried_out: np.ndarray  # share of the water leaving by an open side as liquid, dry later or not
    water_flow: float  # kg/s, all nozzles of the patio
    drivers: tuple[RangeDriver, ...]
    residual: float  # largest residual of the balance's fixed point, share of injected water
    key: str
    mixed: np.ndarray | None = None  # K, drop of the patio's air if it is all mixed
    layers: Stratification | None = None  # None: no water
    lee: np.ndarray | None = None  # share of the patio in the house's lee; None: no water
    with_fans: dict[str, np.ndarray] | None = None  # `drop` while the plan's fans run; None: it has none
    feel: Comfort | None = None
    seat_drop: np.ndarray | None = None  # [seat, draw, hour] K, of each seat alone, in the order of the lid's
    winds: tuple[WindClass, ...] = ()
    worth: tuple[InformationValue, ...] = ()  # most worth first
    middle: int = 0  # the draw that is shown where one must stand for all: in the middle of the range

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Cooling) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)

    @property
    def dried(self) -> np.ndarray:
        """Share of the water that dries, under the lid or beyond it."""
        return self.fates["dried_under"] + self.fates["dried_outside"]

    @property
    def weather_share(self) -> float:
        """Share of the range that the day's weather makes; the rest nobody knows of this patio."""
        return next((driver.share for driver in self.drivers if driver.name == "weather"), 0.0)

    def most(self) -> tuple[float, ...]:
        """The most that any mist could do, K, 10, 50 and 90 %."""
        return quantiles(self.depression)

    def fans(self, place: str) -> tuple[float, ...] | None:
        """`band` while the plan's fans run; None where it has none."""
        return None if self.with_fans is None else quantiles(self.with_fans[place])

    def all_mixed(self) -> tuple[float, ...] | None:
        """Drop of the patio's air if it is all mixed, K, 10, 50 and 90 %; None: no water."""
        return None if self.mixed is None else quantiles(self.mixed)

    def fate(self, name: str) -> tuple[float, ...]:
        """What becomes of the water: share of it, 10, 50 and 90 %. name: one of FATES."""
        return quantiles(self.fates[name])

    def band(self, place: str, shares: tuple[float, ...] = BAND) -> tuple[float, ...]:
        """Drop at `place` (K) below which these shares of draws and hours lie."""
        return quantiles(self.drop[place], shares)

    def seat_band(self, seat: int, shares: tuple[float, ...] = BAND) -> tuple[float, ...]:
        """The same at one seat alone; the mean of the seats where no seat was told apart."""
        return (
            self.band("seats", shares) if self.seat_drop is None else quantiles(self.seat_drop[seat], shares)
        )


@dataclass(frozen=True, slots=True, repr=False)
class WindSweep(ShortRepr):
    """One afternoon's air with more and more wind, all else as it is: one value a wind, least wind first."""

    patio: str
    afternoon: str
    speed: tuple[float, ...]  # m/s at patio height, clear of the house's lee
    drop: tuple[Kelvin, ...]  # of dry bulb at the seats, mean over the directions that may be
    carried_out: tuple[Share, ...]  # of the water, leaving as liquid
    drop_size: Metre | None  # Dv50 of the spray at `gauge`; None where none is stated
    gauge: float  # Pa gauge at a nozzle, mean


@dataclass(frozen=True, eq=False, repr=False)
class CoolingMap(ShortRepr):
    """The patio in plan in the one case of an afternoon that lies in the middle of its range.

    Maps are [y, x] over the centres `x`, `y` of cells that fill the lid's bounding box, those at a height
    [height, y, x]; cells outside the lid hold 0 and are False in `inside`. Water on a surface: kg/(m2 s), of
    which 1 g/m2h is 2.78e-7.
    """

    patio: str
    afternoon: str
    x: np.ndarray  # m
    y: np.ndarray  # m
    inside: np.ndarray  # bool
    heights: tuple[Metre, ...]  # of the maps above the floor
    baseline: Kelvin  # dry bulb in the same shade, mist off
    drop: np.ndarray  # [height, y, x] K, of dry bulb
    depression: np.ndarray  # [height, y, x] K, wet-bulb depression of the air there
    face_water: np.ndarray  # [height, y, x] liquid that falls on an upturned surface
    floor_water: np.ndarray  # liquid that reaches the floor
    scale_water: np.ndarray  # water whose minerals the floor gets: the landed drops as first sprayed
    film_rate: float  # kg/(m2 s), what a wet floor in the shade gives to the patio's air
    seats: tuple[Point, ...]
    seat_drop: np.ndarray  # [height, seat] K
    mean_drop: tuple[Kelvin, ...]  # height -> mean of the map
    patio_drop: Kelvin  # of the patio's well-mixed air in the balance: the background of the map
    # Of the water, or of all that comes down where damp air adds to it: falls on the floor under the lid as
    # liquid; reaches the ground as liquid, but past an open side.
    landed: Share
    landed_beyond: Share
    wind: float  # m/s at patio height, clear of the house's lee
    toward: float  # rad in plan, where that wind goes
    wind_known: bool  # False: no direction was given, and `toward` is one of all possible
    water_flow: float  # kg/s, all nozzles
    key: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, CoolingMap) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)

    @property
    def cell(self) -> tuple[Metre, Metre]:
        """Size of a cell along x and y."""
        return float(self.x[1] - self.x[0]), float(self.y[1] - self.y[0])

    def cell_at(self, point: Point) -> tuple[int, int]:
        """The cell (row, column) of the lid that lies nearest to a place in plan."""
        gap = (self.x[None, :] - point[0]) ** 2 + (self.y[:, None] - point[1]) ** 2
        row, column = np.unravel_index(np.where(self.inside, gap, np.inf).argmin(), gap.shape)
        return int(row), int(column)


Shares = tuple[Share, Share, Share]


@dataclass(frozen=True, eq=False, repr=False)
class Wetness(ShortRepr):
    """Judged from one Picture, whose `key` it bears; classes 0, 1, 2, and 0 outside the lid, with the share
    of the lid that each class has."""

    floor: np.ndarray  # [y, x] dry, damp, wet
    drying: np.ndarray  # [y, x] s from the mist's end until the floor is dry; inf: not within a day
    face: np.ndarray  # [height, y, x] dry, dewy, wet
    scale: np.ndarray  # [y, x] little, some, most of the minerals that land anywhere on any of the afternoons
    floor_shares: Shares
    face_shares: tuple[Shares, ...]  # height by height
    scale_shares: Shares
    longest: float  # of `drying`
    key: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Wetness) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)

    def dries_in(self, cell: tuple[int, int] | None = None) -> float | None:
        """Time [s] until a cell, or all of the floor, is dry; None: it is, or a day is too short."""
        time = self.longest if cell is None else float(self.drying[cell])
        return time if 0.0 < time < np.inf else None
