"""Whether the sun's disc reaches a seat past lid, house and screens, and what its light is worth there.

The lid is one level plane of its outline, without thickness; house, screens and edge beams stand upright
without any either. All else round the patio, neighbors and trees, is told by how high the sun must stand
(`Air.beam`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mistcalc.cooling.patio_geometry import PatioGeometry, inside_of
from mistcalc.cooling.wind import ray_to_segment
from mistcalc.model.results import Air
from mistcalc.physics import sun

LAP = 0.457  # m: a seated lap, 18 in
BODY = (LAP, 0.65, 0.85, 1.05, 1.25)  # m, from lap to head: a body is as far in the sun as these are
CHEST = 0.85  # m, from where the sky is seen
DOME = 64  # heights at which the sky is looked at, each in eight directions

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Upright:
    """Something upright in the light's way: its line in plan, from how high to how high [m], and the share of
    its area that lets light through."""

    side: tuple[Point, Point]
    low: float
    high: float
    open: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Sunlight:
    """At each seat, [seat, draw, hour]: share of the body that the sun's disc reaches, 0 while it does not
    shine; by how much the light there raises mean radiant temperature over the shade's [K]."""

    lit: np.ndarray
    rise: np.ndarray


def sunlight_at_seats(ground: PatioGeometry, air: Air, bearing: float) -> Sunlight | None:
    """What the sun does at the seats in the hours of `air`; None where it has no sunlight.

    A seat in the shade is as in the shade told without any sun: sky and sunlit ground count as far as the
    body is in the sun, so that a seat the sun just reaches is no jump. bearing: heading of +x.
    """
    if air.beam is None or air.diffuse is None or air.sun_height is None or air.sun_azimuth is None:
        return None
    shape = np.atleast_2d(air.beam).shape
    beam, diffuse, height, azimuth = (
        values.ravel() for values in (air.beam, air.diffuse, air.sun_height, air.sun_azimuth)
    )
    shines = np.flatnonzero(beam > 0.0)
    share, rise = (np.zeros((len(ground.seats), beam.size)) for _ in range(2))
    if shines.size:
        share[:, shines] = body_lit(ground, height[shines], bearing - azimuth[shines])
        full = sun.sunlight_taken(
            height[shines], beam[shines], diffuse[shines], seat_sky_views(ground)[:, None], 1.0
        )
        rise[:, shines] = share[:, shines] * sun.radiant_rise(full)
    seats = len(ground.seats)
    return Sunlight(share.reshape(seats, *shape), rise.reshape(seats, *shape))


def body_lit(ground: PatioGeometry, height: np.ndarray, toward: np.ndarray) -> np.ndarray:
    """Share of a seated body in the sun, [seat, moment]. height: of the sun, rad, none where it is not over
    0; toward: plan direction to it, rad."""
    points = np.array([(x, y, z) for x, y in ground.seats for z in BODY]).reshape(-1, 3)
    shares = reached(ground, points, height, toward)
    return shares.reshape(len(ground.seats), len(BODY), len(height)).mean(axis=1)


@lru_cache(maxsize=64)
def seat_sky_views(ground: PatioGeometry) -> np.ndarray:
    """Share of the sky's dome that each seat sees, [seat]."""
    height = np.arcsin((np.arange(DOME) + 0.5) / DOME)  # even over the dome's area
    # within an eighth of a turn, and its images: whichever way round a lid is drawn, it sees the same
    eighth = np.arange(DOME) * (np.sqrt(5) - 1) / 2 % 1 * np.pi / 4
    height, quarters = np.tile(height, 8), np.repeat(np.arange(4) * np.pi / 2, DOME)
    toward = np.concatenate([quarters + np.tile(eighth, 4), quarters - np.tile(eighth, 4)])
    points = np.array([(x, y, CHEST) for x, y in ground.seats]).reshape(-1, 3)
    return reached(ground, points, height, toward).mean(axis=1)


def reached(
    ground: PatioGeometry,
    points: np.ndarray,
    height: np.ndarray,
    toward: np.ndarray,
    hung: tuple[Upright, ...] = (),
) -> np.ndarray:
    """Share of the light from directions (height, toward) [rad] that reaches points (x, y, z) under the lid,
    [point, direction]. hung: shades beside what stands there."""
    up = height > 0.0
    slope = np.tan(np.where(up, height, 0.1))
    ux, uy = np.cos(toward), np.sin(toward)
    x, y, z = (column[:, None] for column in points.T)
    meets = (ground.height - z) / slope
    outline = np.asarray(ground.outline, dtype=float)
    share = np.where(inside_of(x + meets * ux, y + meets * uy, outline) | ~up, 0.0, 1.0)
    for each in (*uprights(ground), *hung):
        far = ray_to_segment(x, y, ux, uy, *each.side)
        crosses = z + far * slope
        share = np.where((crosses > each.low) & (crosses < each.high), share * each.open, share)
    return share


@lru_cache(maxsize=64)
def uprights(ground: PatioGeometry) -> tuple[Upright, ...]:
    """The house's sides, walls, screens, and beams under the lid's edges."""
    standing = [Upright(side, 0.0, ground.height) for side in ground.walls]
    for block in ground.house:
        corners = block.corners
        standing += [
            Upright((a, b), 0.0, block.height)
            for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
        ]
    standing += [Upright(screen.side, 0.0, screen.height, screen.open) for screen in ground.screens]
    if ground.clear_height < ground.height:
        standing += [Upright(opening.side, ground.clear_height, ground.height) for opening in ground.openings]
    return tuple(standing)
