"""A year of the control's hours: what it runs, what that takes and costs, what people feel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.model.quantities import Kelvin, Share
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.cooling import BAND, quantiles
from mistcalc.model.results.first_cost import FirstCost

Band = tuple[float, ...]
# Why the control keeps the mist off in an hour of use, the first that holds. side: where the wind comes from;
# day: of the week; water: of that day.
KEPT_OFF = ("cool", "humid", "windy", "side", "day", "resting", "water")
OUTCOMES = ("good", "blown", "damp", "little")  # of an hour it runs: it is felt; or why it is not
SERVICES = ("water", "sewer", "power")
HARMS = ("wet_floor", "humid")  # of an hour it runs, felt or not


@dataclass(frozen=True, slots=True)
class SeasonLimits:
    """By what an hour is counted; set among the judgements."""

    comfortable: Kelvin  # UTCI, at or under
    bearable: Kelvin
    little_felt: Kelvin  # drop of SET
    damp: Kelvin  # wet-bulb depression outdoors
    humid: Share  # relative humidity at the seats
    carried: Share  # of the water, leaving as liquid
    evening: tuple[int, int]  # from and to, hours of the day by the clock on the wall
    sunshine: float  # W/m2 of the beam: with less the sun does not count as out
    wet_floor: Share  # landing on the mean of the floor, of what a wet one gives to the air


@dataclass(frozen=True, slots=True)
class HourlyUse:
    """What an hour of mist takes, the largest set of zones open."""

    water: float  # m3, drawn
    energy: float | None  # J; None without a pump
    mineral: float | None  # kg left behind; None: what is in the water was not stated
    mineral_at_least: bool = False  # by the hardness alone, the solids not being stated


@dataclass(frozen=True, eq=False, repr=False)
class SeasonHours(ShortRepr):
    """One patio in the hours of a year in which it is used, [draw, hour]; what mist does is NaN in hours in
    which it runs in no draw."""

    patio: str
    utci: dict[str, np.ndarray]  # COMFORT_COLUMNS -> K, mean of the seats
    effective: dict[str, np.ndarray]  # the same of SET, NaN in those hours: there is nothing to compare
    depression: np.ndarray  # K, wet-bulb depression outdoors
    humidity: np.ndarray  # relative, at the seats
    carried_out: np.ndarray  # share of the water leaving as liquid
    landing: np.ndarray  # on the floor under the lid, over what a wet floor gives to the air
    fans: bool  # the plan states fans with their air speed
    residual: float  # largest of the balance's fixed point, share of the injected water
    lit: np.ndarray | None = None  # share of each seated body that the sun reaches, [seat, hour of use]
    beam: np.ndarray | None = None  # W/m2, [hour of use]; None: the file has no sunlight


@dataclass(frozen=True, eq=False, repr=False)
class PatioSeason(ShortRepr):
    """One patio's year, [draw, month, hour of the day by the clock on the wall]; hours outside an index's
    range are counted in none of its columns."""

    patio: str
    fans: bool
    comfortable: dict[str, np.ndarray]  # COMFORT_COLUMNS -> hours of use at or under UTCI 26 degC
    bearable: dict[str, np.ndarray]  # at or under 32 degC
    degree_hours: dict[str, np.ndarray]  # K h above 26 degC
    evenings: dict[str, np.ndarray]  # -> evenings of which all hours are bearable, [draw, month]
    outcomes: dict[str, np.ndarray]  # OUTCOMES -> hours the mist runs; they sum to `Season.runs`
    harms: dict[str, np.ndarray]  # HARMS -> hours the mist runs; they may fall together
    felt: dict[
        str, np.ndarray
    ]  # fan, mist, both -> K of SET cooler than shade, mean of the hours run, [draw]
    answered: Share  # of the hours of use, inside UTCI's range
    residual: float
    sunny: np.ndarray | None = None  # hours of use with the sun on a seat, [seat, month, hour of the day]

    def felt_band(self, column: str) -> tuple[float, ...]:
        """How much cooler by SET [K], 10, 50 and 90 %."""
        return quantiles(self.felt[column])

    @property
    def gained(self) -> np.ndarray:
        """Evenings bearable with the mist beyond those without it, [draw, month]; a fan runs in both."""
        without, on = ("fan", "both") if self.fans else ("shade", "mist")
        return np.asarray(self.evenings[on] - self.evenings[without])


@dataclass(frozen=True, eq=False, repr=False)
class Season(ShortRepr):
    """A typical year as the project's control runs the mist. Counts are hours, [draw, month, hour of the
    day]; month 0 is January; the hour is that on the wall when it begins."""

    source: str  # the climate file
    used: np.ndarray  # [month, hour] hours in use: the control's months and hours
    runs: np.ndarray  # hours the mist runs
    starts: np.ndarray  # how often it comes on
    kept_off: dict[str, np.ndarray]  # KEPT_OFF -> hours in use; with `runs` they sum to `used`
    evenings: np.ndarray  # with an hour of use in them, [month]
    warm_unused: float  # hours warm enough for the thermostat outside the control's hours and months
    shut_days: np.ndarray  # days with hours wanted of which its days and water leave none, [draw, weekday]
    longest_day: np.ndarray  # h, of the day it runs longest, [draw]
    hottest: Kelvin  # dry bulb of the hottest hour in use
    hourly: HourlyUse
    patios: tuple[PatioSeason, ...]
    limits: SeasonLimits
    key: str
    money: SeasonMoney | None = None  # None: no price and no tariff is stated

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Season) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)

    @property
    def hours_used(self) -> float:
        return float(self.used.sum())

    def shut_weekdays(self) -> tuple[float, ...]:
        """The middle of `shut_days`, Monday first."""
        return tuple(np.median(self.shut_days, axis=0).tolist())

    def longest_day_band(self) -> tuple[float, ...]:
        """Hours of mist on the day it runs longest, 10, 50 and 90 %."""
        return quantiles(self.longest_day)


def year_band(counts: np.ndarray) -> Band:
    """Low, middle and high of the draws' own years: 10, 50 and 90 %."""
    return tuple(np.quantile(of_months(counts).sum(axis=1), BAND).tolist())


def of_months(counts: np.ndarray) -> np.ndarray:
    """[draw, month, hour of the day] to [draw, month]; what has no hours stays as it is."""
    return counts.sum(axis=2) if counts.ndim == 3 else counts


def month_bands(counts: np.ndarray) -> tuple[Band, ...]:
    """The same of each month, January first."""
    return tuple(tuple(row) for row in np.quantile(of_months(counts), BAND, axis=0).T.tolist())


def year_middle(counts: np.ndarray) -> np.ndarray:
    """[month, hour of the day]: the middle of the draws."""
    return np.asarray(np.median(counts, axis=0))


def hour_bands(counts: np.ndarray) -> tuple[Band, ...]:
    """The same of each hour of the day, that after midnight first."""
    return tuple(tuple(row) for row in np.quantile(counts.sum(axis=1), BAND, axis=0).T.tolist())


def times(band: Band, rate: float) -> Band:
    """A band of hours as what each of them takes."""
    return tuple(value * rate for value in band)


def per_evening(money: SeasonMoney, patio: PatioSeason, first: float = 0.0) -> Band:
    """What an evening gained costs in the draws' own years, low, middle and high; infinite where none is.
    first: a year's share of what the parts cost."""
    evenings = np.maximum(patio.gained.sum(axis=1), 0.0) / np.maximum(money.total.sum(axis=1) + first, 1e-9)
    return tuple(1.0 / rate if rate > 0.0 else np.inf for rate in np.quantile(evenings, BAND)[::-1].tolist())


@dataclass(frozen=True, eq=False, repr=False)
class SeasonMoney(ShortRepr):
    """The bills with the mist less those without it, [draw, month], in `currency`."""

    currency: str
    parts: dict[str, np.ndarray]  # of SERVICES, those with a price or a tariff
    first: FirstCost | None = None  # what the parts cost to buy, where any has a price
    years: float | None = None  # over which the owner spreads that

    @property
    def total(self) -> np.ndarray:
        """All parts together, [draw, month]."""
        return np.asarray(sum(self.parts.values()))
