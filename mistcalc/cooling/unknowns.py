"""What nobody knows beforehand, as draws: one small record of arrays, shape (draw, 1).

Rooms multiply by these and never ask how many draws there are; `central_values()` is the same record with one
draw at the middle of every band. The draws are a fixed low-discrepancy set, so the same project gives
the same digits on every machine.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, fields

import numpy as np

DRAWS = 200


@dataclass(frozen=True, slots=True)
class UncertainRange:
    """Uniform between `low` and `high`; `why` says where the width comes from."""

    low: float
    high: float
    why: str

    def moved(self, value: np.ndarray, low: float, high: float) -> np.ndarray:
        """A draw of this band as the one at the same place between `low` and `high`."""
        return low + (high - low) * (value - self.low) / (self.high - self.low)


# The bands. Judgement unless a source is named; docs/theory.md says what each does to the answer.
BANDS: dict[str, UncertainRange] = {
    "exchange": UncertainRange(
        0.6, 1.6, "of the air change: two methods on 31 patios that the rules were not made from"
    ),
    "lee": UncertainRange(
        0.5, 1.5, "of the air's motion in the house's lee: 0.1-0.3 of the wind at the roof"
    ),
    "place": UncertainRange(0.4, 1.6, "of the cold at one place: eddies, people, furniture"),
    "surroundings": UncertainRange(
        0.0, 0.6, "share of patio air, rather than outdoor air, that the plumes breathe"
    ),
    "profile": UncertainRange(
        1.0, 4 / 3, "top hat to round Gaussian: how wet the core is that drops ride in"
    ),
    "wind": UncertainRange(0.5, 1.5, "of the sheltered wind: how much neighbors and plants really leave"),
    "calm": UncertainRange(0.05, 0.3, "m/s, air motion left in a dead calm; field data are met only with it"),
    "turning": UncertainRange(
        -np.pi / 3, np.pi / 3, "rad, how far neighbors, trees and land turn the mast's wind"
    ),
    "drop_size": UncertainRange(0.74, 1.48, "of the stated median: 20-40 um about 27 um"),
    "drop_spread": UncertainRange(-0.4, 0.4, "Rosin-Rammler 2.1-2.9 about 2.5"),
    "humidity": UncertainRange(-0.05, 0.05, "relative humidity, station against patio"),
    "entrainment": UncertainRange(0.06, 0.11, "alpha, jets and plumes"),
    "cross_entrainment": UncertainRange(0.3, 0.7, "beta, jets and plumes in a cross wind"),
    "thrust": UncertainRange(0.5, 1.0, "of the jet's momentum, lost to a wide cone and to swirl"),
    "opening": UncertainRange(0.8, 1.2, "of the pressure an anti-drip check is said to open at"),
    "layering": UncertainRange(
        0.6, 1.4, "of how much colder the floor is than the mean where the wind does not stir"
    ),
}


@dataclass(frozen=True, slots=True)
class Unknowns:
    """One value of every unknown a draw; arrays of shape (draw, 1). Names and bands: `BANDS`."""

    exchange: np.ndarray
    lee: np.ndarray
    place: np.ndarray
    surroundings: np.ndarray
    profile: np.ndarray
    wind: np.ndarray
    calm: np.ndarray
    turning: np.ndarray
    drop_size: np.ndarray
    drop_spread: np.ndarray
    humidity: np.ndarray
    entrainment: np.ndarray
    cross_entrainment: np.ndarray
    thrust: np.ndarray
    opening: np.ndarray
    layering: np.ndarray

    def columns(self) -> dict[str, np.ndarray]:
        return {f.name: getattr(self, f.name) for f in fields(self)}

    def one(self, which: int) -> Unknowns:
        """A single draw."""
        return self.some(np.array([which]))

    def some(self, which: np.ndarray) -> Unknowns:
        """Those draws alone, in that order."""
        return Unknowns(**{name: column[which] for name, column in self.columns().items()})

    @property
    def key(self) -> str:
        """Digest of every draw."""
        return hashlib.sha256(b"".join(c.tobytes() for c in self.columns().values())).hexdigest()


LEAP = 409


def halton(count: int, dimensions: int, leap: int = LEAP, after: int = 0) -> np.ndarray:
    """Every `leap`-th point of the reverse Halton sequence, shape (count, dimensions), in 0..1, once the
    first `after` are passed over.

    The plain sequence shows diagonal stripes in its later dimensions. Turning digits d > 0 of base b to
    b - d (Vandewoestyne & Cools 2006, J. Comput. Appl. Math. 189, 341-361) and leaping (Kocis & Whiten 1997,
    ACM Trans. Math. Softw. 23, 266-294, who found 409 good) break them.
    """
    bases = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59)[:dimensions]
    if len(bases) < dimensions:
        raise ValueError(f"no more than 17 dimensions, asked for {dimensions}")
    points = np.zeros((count, dimensions))
    for column, base in enumerate(bases):
        left = leap * np.arange(after + 1, after + count + 1)
        scale = 1.0 / base
        while left.any():
            left, digit = np.divmod(left, base)
            points[:, column] += np.where(digit > 0, base - digit, 0) * scale
            scale /= base
    return points


def draws(count: int = DRAWS, after: int = 0) -> Unknowns:
    """`count` draws of every unknown, the same on every machine; others than the first `after`."""
    unit = halton(count, len(BANDS), after=after)
    return Unknowns(
        **{
            name: (band.low + (band.high - band.low) * unit[:, [i]])
            for i, (name, band) in enumerate(BANDS.items())
        }
    )


def central_values() -> Unknowns:
    """The middle of every band, one draw."""
    return Unknowns(**{name: np.array([[(b.low + b.high) / 2]]) for name, b in BANDS.items()})


def hour_of_draw(count: int, hours: int) -> np.ndarray:
    """Which of an afternoon's hours each draw has, [draw]: evenly over them, each as often as any within one.

    With more hours than draws some are passed over, evenly. The order in which draws take hours is a
    dimension of the sequence of its own, so that an hour's draws are spread over every band. (Of the primes
    beyond 53 tried for it, 59 left the printed ranges nearest to what they should hold.)
    """
    place = np.argsort(np.argsort(halton(count, len(BANDS) + 1)[:, -1], kind="stable"), kind="stable")
    return ((2 * place + 1) * hours // (2 * count)).astype(int)


WEATHER = "weather"  # the driver's name of all that an hour brings with it


def shares(
    unknowns: Unknowns, answer: np.ndarray, weather: np.ndarray | None = None
) -> tuple[tuple[str, float], ...]:
    """How much of the spread of `answer` (one value a draw) each unknown makes, and the day's weather; the
    largest first.

    weather: what the hours bring, [draw, quantity], or None where all draws have one hour. Spread of each
    one's part of a linear fit on ranks, scaled to sum to 1: a sound ranking where the answer is monotone in
    each unknown (Saltelli et al. 2008, Global Sensitivity Analysis, ch. 1). The weather's quantities count
    as one. An answer with no spread gives ().
    """
    columns = {name: column for name, column in unknowns.columns().items() if np.ptp(column) > 0}
    ranked = [_ranks(column[:, 0]) for column in columns.values()]
    weather_ranks = [] if weather is None else [_ranks(column) for column in weather.T if np.ptp(column) > 0]
    target = _ranks(answer)
    if np.ptp(answer) == 0.0 or len(answer) <= len(ranked) + len(weather_ranks):
        return ()
    table = np.column_stack([*ranked, *weather_ranks])
    coefficients, *_ = np.linalg.lstsq(table, target, rcond=None)
    parts = table * coefficients
    weight = dict(zip(columns, np.var(parts[:, : len(ranked)], axis=0).tolist(), strict=True))
    if weather_ranks:
        weight[WEATHER] = float(np.var(parts[:, len(ranked) :].sum(axis=1)))
    total = sum(weight.values())
    return tuple(sorted(((name, part / total) for name, part in weight.items()), key=lambda pair: -pair[1]))


def _ranks(values: np.ndarray) -> np.ndarray:
    """Ranks about their mean; draws that agree to nine digits of the largest share theirs.

    Without the sharing, draws that differ by rounding alone would be put in an order of the machine's own.
    """
    scale = max(float(np.abs(values).max()), 1e-300)
    _, place, many = np.unique(np.round(values / scale, 9), return_inverse=True, return_counts=True)
    last = np.cumsum(many)
    shared = last - (many + 1) / 2
    return (shared - shared @ many / len(values))[place]
