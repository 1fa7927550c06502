"""The air at three places: patio air as the background, the nearest line's plume where it passes.

At a point the coolest counts, never the sum: the patio's air already holds what the plumes gave it.
"""

from __future__ import annotations

import numpy as np

from mistcalc.cooling.ground import BESIDE_LINE, SEATED, Ground, Strip
from mistcalc.cooling.patio_air import Mixed, Outdoors
from mistcalc.physics.plume import Plume

PATCH = 0.25  # m, half width of the air a person sits in: what a place is averaged over


def at(
    place: str,
    ground: Ground,
    nozzle_height: float,
    spacing: float,
    toward: np.ndarray,
    outdoors: Outdoors,
    plume: Plume,
    patio: Mixed,
) -> tuple[np.ndarray, np.ndarray]:
    """(drop of dry bulb [K], humidity ratio [kg/kg]) at one of results.PLACES, 1.1 m up, [draw, hour].

    near_line: 0.6 m inside the tube, mean over the runs by their nozzles. seats: mean of the seats.
    far_edge: the point of the lid farthest from any mark.
    """
    foot = _Footprint(nozzle_height - SEATED, spacing, toward, outdoors, plume, patio)
    if place == "near_line":
        weights = np.array([len(s.places) for s in ground.strips], dtype=float)
        found = [foot.beside(s, BESIDE_LINE) for s in ground.strips]
        return tuple(np.average(np.stack(v), axis=0, weights=weights) for v in zip(*found, strict=True))  # type: ignore[return-value]
    if place == "far_edge":
        return foot.at_point(ground.strips, ground.far_point)
    found = [foot.at_point(ground.strips, point) for point in ground.seats]
    return tuple(np.mean(np.stack(v), axis=0) for v in zip(*found, strict=True))  # type: ignore[return-value]


def each_seat(
    ground: Ground,
    nozzle_height: float,
    spacing: float,
    toward: np.ndarray,
    outdoors: Outdoors,
    plume: Plume,
    patio: Mixed,
) -> np.ndarray:
    """Drop of dry bulb [K] at every seat, 1.1 m up, [seat, draw, hour]; their mean is that of "seats"."""
    foot = _Footprint(nozzle_height - SEATED, spacing, toward, outdoors, plume, patio)
    return np.stack([foot.at_point(ground.strips, point)[0] for point in ground.seats])


class _Footprint:
    """Where the plumes pass one height, and how cool and damp they are there."""

    def __init__(
        self,
        depth: float,
        spacing: float,
        toward: np.ndarray,
        outdoors: Outdoors,
        plume: Plume,
        patio: Mixed,
    ) -> None:
        self.toward = toward
        self.background = outdoors.temperature - patio.temperature, patio.ratio
        self.plume = outdoors.temperature - plume.temperature_at(depth), plume.ratio_at(depth)
        self.drift = plume.drift_at(depth)
        self.half = plume.radius_at(depth)
        self.reaches = plume.reaches(depth)
        # Round plumes that have not met leave gaps along the line.
        self.filled = np.minimum(np.pi * self.half / (2 * spacing), 1.0)

    def beside(self, strip: Strip, inside: float) -> tuple[np.ndarray, np.ndarray]:
        """`inside` metres in from the middle of a strip's tube."""
        return self._blend(self._across(strip, inside))

    def at_point(
        self, strips: tuple[Strip, ...], point: tuple[float, float]
    ) -> tuple[np.ndarray, np.ndarray]:
        share = np.zeros(self.drift.shape)
        for strip in strips:
            dx, dy = point[0] - strip.first[0], point[1] - strip.first[1]
            inside = dx * strip.inward[0] + dy * strip.inward[1]
            along = dx * strip.along[0] + dy * strip.along[1]
            share = np.maximum(share, self._across(strip, inside) * self._lengthwise(strip, along))
        return self._blend(share)

    def _across(self, strip: Strip, inside: float) -> np.ndarray:
        centre = self.drift * self._toward(strip.inward)
        gone = (centre < -strip.outside) | (centre > strip.depth)  # left by the edge, or met the house
        return np.where(gone, 0.0, _overlap(inside, centre - self.half, centre + self.half))

    def _lengthwise(self, strip: Strip, along: float) -> np.ndarray:
        moved = self.drift * self._toward(strip.along)
        return _overlap(along, strip.places[0] + moved - self.half, strip.places[-1] + moved + self.half)

    def _toward(self, way: tuple[float, float]) -> np.ndarray:
        return np.cos(self.toward) * way[0] + np.sin(self.toward) * way[1]

    def _blend(self, share: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        cooler = self.plume[0] > self.background[0]
        share = share * self.filled * self.reaches * cooler
        drop, ratio = (b + share * (p - b) for b, p in zip(self.background, self.plume, strict=True))
        return drop, ratio


def _overlap(middle: float, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """Share of the patch about `middle` that lies between low and high."""
    covered = np.minimum(high, middle + PATCH) - np.maximum(low, middle - PATCH)
    return np.clip(covered / (2 * PATCH), 0.0, 1.0)
