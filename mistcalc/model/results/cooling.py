"""The patio's air with the mist on: ranges, a picture in plan, what is felt, what gets wet."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from mistcalc.model.quantities import Kelvin, Metre, Share
from mistcalc.model.results.lid import Point


@dataclass(frozen=True, slots=True)
class Driver:
    """One unknown and the share of the band it makes (shares sum to 1)."""

    name: str
    share: Share


PLACES = ("near_line", "seats", "far_edge")
FEEL_COLUMNS = ("shade", "fan", "mist", "both")
FeelIndex = Literal["effective", "utci", "heat_index"]


@dataclass(frozen=True, eq=False)
class Feel:
    """What people at the seats feel, in the same shade: FEEL_COLUMNS -> K, mean of the seats, [draw, hour].

    An index is empty where an hour of it lies outside its range. Mist leaves `radiant` alone.
    """

    effective: dict[str, np.ndarray]  # standard effective temperature (SET), seated, light summer clothes
    utci: dict[str, np.ndarray]
    heat_index: dict[str, np.ndarray]
    radiant: np.ndarray | None  # mean radiant temperature K [draw, hour]; None as an index is empty
    fan_speed: float  # m/s on the seats, mean
    fan_supposed: float | None  # m/s on the seats no fan of the plan reaches; None where fans reach them all
    at_seats: dict[str, np.ndarray] = field(default_factory=dict)  # SET, [seat, draw, hour], lid's order

    def band(
        self, column: str, shares: tuple[float, ...] = (0.1, 0.5, 0.9), index: FeelIndex = "effective"
    ) -> tuple[float, ...] | None:
        """What is felt (K) below which these shares of the draws lie, over the first hour; None: none."""
        found: dict[str, np.ndarray] = getattr(self, index)
        return tuple(float(v) for v in np.quantile(found[column][:, 0], shares)) if found else None

    def seat_band(
        self, seat: int, column: str, shares: tuple[float, ...] = (0.1, 0.5, 0.9)
    ) -> tuple[float, ...] | None:
        """The same of SET at one seat alone."""
        if not self.at_seats:
            return None
        return tuple(float(v) for v in np.quantile(self.at_seats[column][seat, :, 0], shares))


@dataclass(frozen=True, eq=False)
class Pool:
    """Still air: what there is if cold air lies on the floor instead of mixing, [draw, hour].

    The other bound of a calm hour. The truth lies between it and mixed air, nearer to it the more `calm`.
    """

    top: np.ndarray  # m above the floor
    drop: np.ndarray  # K, of dry bulb in the pool; above it, none
    calm: np.ndarray  # 0..1, how little the wind stirs: share of the exchange that is the cold air's own


@dataclass(frozen=True, eq=False)
class Cooling:
    """The patio's air on one afternoon, as a range. Arrays are [draw, hour] unless said.

    `drop[place]`: dry bulb in the same shade with the mist off, less dry bulb with it on, same draw.
    """

    patio: str
    afternoon: str
    baseline: np.ndarray  # K, mist off
    depression: float  # K, median wet-bulb depression of the outdoor air
    drop: dict[str, np.ndarray]  # place -> K
    ratio: dict[str, np.ndarray]  # place -> kg/kg
    relative_humidity: dict[str, np.ndarray]  # place -> 0..1
    evaporated: np.ndarray  # share of the water, inside or out
    floor_share: np.ndarray  # share of the water that lands on the floor inside
    carried_out: np.ndarray  # share of the water leaving as liquid
    water_flow: float  # kg/s, all nozzles of the patio
    drivers: tuple[Driver, ...]
    residual: float  # largest residual of the balance's fixed point, share of injected water
    key: str
    mixed: np.ndarray | None = None  # K, drop of the patio's air if it is all mixed
    pool: Pool | None = None  # None: no water
    with_fans: dict[str, np.ndarray] | None = None  # `drop` while the plan's fans run; None: it has none
    feel: Feel | None = None
    seat_drop: np.ndarray | None = None  # [seat, draw, hour] K, of each seat alone, in the order of the lid's

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Cooling) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)

    def band(self, place: str, shares: tuple[float, ...] = (0.1, 0.5, 0.9)) -> tuple[float, ...]:
        """Drop at `place` (K) below which these shares of the draws lie, over the first hour."""
        return tuple(float(v) for v in np.quantile(self.drop[place][:, 0], shares))

    def seat_band(self, seat: int, shares: tuple[float, ...] = (0.1, 0.5, 0.9)) -> tuple[float, ...]:
        """The same at one seat alone; the mean of the seats where no seat was told apart."""
        if self.seat_drop is None:
            return self.band("seats", shares)
        return tuple(float(v) for v in np.quantile(self.seat_drop[seat, :, 0], shares))


@dataclass(frozen=True, slots=True)
class Breeze:
    """One afternoon's air with more and more wind, all else as it is: one value a wind, least wind first."""

    patio: str
    afternoon: str
    speed: tuple[float, ...]  # m/s under the lid
    drop: tuple[Kelvin, ...]  # of dry bulb at the seats, mean over the directions that may be
    carried_out: tuple[Share, ...]  # of the water, leaving as liquid
    drop_size: Metre | None  # Dv50 of the spray at `gauge`; None where none is stated
    gauge: float  # Pa gauge at a nozzle, mean


@dataclass(frozen=True, eq=False)
class Picture:
    """The patio in plan in one hour of one afternoon, from the middle of every unknown's band.

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
    landed: Share  # of the water: falls on the floor under the lid as liquid; what the map holds
    landed_beyond: Share  # of the water: reaches the ground as liquid, but past an open side
    wind: float  # m/s under the lid
    toward: float  # rad in plan, where the wind goes
    wind_known: bool  # False: no direction was given, and `toward` is one of all possible
    water_flow: float  # kg/s, all nozzles
    key: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Picture) and other.key == self.key

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

    def over(self, rate: np.ndarray) -> float:
        """A map per area summed over the lid."""
        return float(rate[..., self.inside].sum() * self.cell[0] * self.cell[1])


@dataclass(frozen=True, eq=False)
class Wetness:
    """Judged from one Picture, whose `key` it bears; classes 0, 1, 2, and 0 outside the lid."""

    floor: np.ndarray  # [y, x] dry, damp, wet
    drying: np.ndarray  # [y, x] s from the mist's end until the floor is dry; inf: not within a day
    face: np.ndarray  # [height, y, x] dry, dewy, wet
    key: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Wetness) and other.key == self.key

    def __hash__(self) -> int:
        return hash(self.key)
