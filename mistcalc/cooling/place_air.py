"""The air at three places: patio air as the background, the nearest line's plume where it passes.

At a point the coolest counts, never the sum: the patio's air already holds what the plumes gave it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from mistcalc.cooling.airflow import patio_airflow
from mistcalc.cooling.balance import BalanceSolution
from mistcalc.cooling.case import Case
from mistcalc.cooling.patio_geometry import BESIDE_LINE, SEATED, NozzleRow
from mistcalc.cooling.stratification import air_at

PATCH = 0.25  # m, half width of the air a person sits in: what a place is averaged over
Pair = tuple[np.ndarray, np.ndarray]  # drop of dry bulb [K], humidity ratio [kg/kg]


@dataclass(frozen=True, slots=True)
class Fan:
    """A fan that runs: its place in plan [m], how far it reaches [m], the air speed on a seat there [m/s]."""

    point: tuple[float, float]
    reach: float
    speed: float

    def reaches(self, x: float, y: float) -> bool:
        return bool(np.hypot(x - self.point[0], y - self.point[1]) <= self.reach)


@dataclass(frozen=True, slots=True)
class AirAtPlaces:
    """Drop of dry bulb [K] and humidity ratio [kg/kg] at results.PLACES, 1.1 m up, [draw, hour]; both at
    each seat, [seat, draw, hour]."""

    drop: dict[str, np.ndarray]
    ratio: dict[str, np.ndarray]
    seat_drop: np.ndarray
    seat_ratio: np.ndarray

    def within(self, depression: np.ndarray) -> AirAtPlaces:
        """The same, promising nothing past outdoor air's wet bulb: water colder than that would cool air full
        of mist a little further, but nobody states how cold it comes out of a tube in the sun."""
        drop = {place: np.minimum(kelvin, depression) for place, kelvin in self.drop.items()}
        return replace(self, drop=drop, seat_drop=np.minimum(self.seat_drop, depression))


class PlaceAir:
    """Where the plumes pass a seated face, and how cool and damp they are there; elsewhere the air that the
    wind and the cold air's weight leave in that place. Where `fans` reach, they make mixed air of it all."""

    def __init__(self, case: Case, answer: BalanceSolution, fans: tuple[Fan, ...] = ()) -> None:
        out, plume, depth = case.outdoors, answer.plume, case.spray.height - SEATED
        self.case, self.answer = case, answer
        self.ground, self.toward, self.fans = case.ground, case.toward, fans
        self.stirred = out.temperature - answer.patio.temperature, answer.patio.ratio
        there = plume.centre_passing(depth)
        self.plume = out.temperature - plume.temperature_at(there), plume.ratio_at(there)
        self.drift = plume.drift_at(there)
        self.half = plume.radius_at(there)
        # Round plumes that have not met leave gaps along the line.
        filled = np.minimum(np.pi * self.half / (2 * case.spray.spacing), 1.0)
        self.counts = filled * there.met

    def found(self) -> AirAtPlaces:
        """near_line: 0.6 m inside the tube, mean over the runs by their nozzles. seats: mean of the seats.
        far_edge: the point of the lid farthest from any mark, or the mean of several as far."""
        under, toward = patio_airflow(self.ground), self.case.wind_toward
        seats = self.each_seat()
        line, far = (self._around(under.at(f"held_{place}", toward)) for place in ("near_line", "far_edge"))
        beside = [self.beside(s, line) for s in self.ground.strips]
        pairs = {
            "near_line": _mean(beside, [len(s.places) for s in self.ground.strips]),
            "seats": _mean(seats),
            "far_edge": _mean([self.at_point(point, far) for point in self.ground.far_points]),
        }
        return AirAtPlaces(
            drop={place: pair[0] for place, pair in pairs.items()},
            ratio={place: pair[1] for place, pair in pairs.items()},
            seat_drop=np.stack([drop for drop, _ in seats]),
            seat_ratio=np.stack([ratio for _, ratio in seats]),
        )

    def seats(self) -> Pair:
        """The mean of the seats alone."""
        return _mean(self.each_seat())

    def each_seat(self) -> list[Pair]:
        held = patio_airflow(self.ground).at("held_seats", self.case.wind_toward)
        return [self.at_point(p, self._around(h)) for p, h in zip(self.ground.seats, held, strict=True)]

    def _around(self, held: np.ndarray) -> Pair:
        air = air_at(self.case, self.answer, held)
        return self.case.outdoors.temperature - air.temperature, air.ratio

    def beside(self, strip: NozzleRow, around: Pair) -> Pair:
        """Inside the middle of a strip's tube."""
        plain = self._blend(around, self._across(strip, BESIDE_LINE))
        points = (strip.point(along, BESIDE_LINE) for along in strip.places)
        blown = float(np.mean([self._blown(point) for point in points]))
        return _between(plain, self.stirred, blown)

    def at_point(self, point: tuple[float, float], around: Pair) -> Pair:
        if self._blown(point):
            return self.stirred
        share = np.zeros(self.drift.shape)
        for strip in self.ground.strips:
            dx, dy = point[0] - strip.first[0], point[1] - strip.first[1]
            inside = dx * strip.inward[0] + dy * strip.inward[1]
            along = dx * strip.along[0] + dy * strip.along[1]
            share = np.maximum(share, self._across(strip, inside) * self._lengthwise(strip, along))
        return self._blend(around, share)

    def _blown(self, point: tuple[float, float]) -> bool:
        return any(fan.reaches(*point) for fan in self.fans)

    def _across(self, strip: NozzleRow, inside: float) -> np.ndarray:
        centre = self.drift * self._toward(strip.inward)
        gone = (centre < -strip.outside) | (centre > strip.depth)  # left by the edge, or met the house
        return np.where(gone, 0.0, _overlap(inside, centre - self.half, centre + self.half))

    def _lengthwise(self, strip: NozzleRow, along: float) -> np.ndarray:
        moved = self.drift * self._toward(strip.along)
        return _overlap(along, strip.places[0] + moved - self.half, strip.places[-1] + moved + self.half)

    def _toward(self, way: tuple[float, float]) -> np.ndarray:
        return np.cos(self.toward) * way[0] + np.sin(self.toward) * way[1]

    def _blend(self, around: Pair, share: np.ndarray) -> Pair:
        return _between(around, self.plume, share * self.counts * (self.plume[0] > around[0]))


def _between(a: Pair, b: Pair, share: np.ndarray | float) -> Pair:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _mean(pairs: list[Pair], weights: list[int] | None = None) -> Pair:
    drops, ratios = zip(*pairs, strict=True)
    return np.average(drops, axis=0, weights=weights), np.average(ratios, axis=0, weights=weights)


def _overlap(middle: float, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """Share of the patch about `middle` that lies between low and high."""
    covered = np.minimum(high, middle + PATCH) - np.maximum(low, middle - PATCH)
    return np.clip(covered / (2 * PATCH), 0.0, 1.0)
