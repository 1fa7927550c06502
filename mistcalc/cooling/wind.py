"""How hard and which way the wind blows, and where it takes a plume out of the patio."""

from __future__ import annotations

import numpy as np

from mistcalc.cooling.patio_geometry import NozzleRow, PatioGeometry
from mistcalc.model.results import Air

Coordinate = float | np.ndarray
Point = tuple[float, float]


FELT_SPEED = 0.3  # of the mast wind's band: what a hand-held meter and a few afternoons leave open; judgement
FELT_TURN = 0.375  # of the mast wind's band: told to one of eight points, 22.5 degrees either way


def heading(
    air: Air, bearing: float, turning: np.ndarray, round_lid: tuple[float, float] = (1.0, 0.0)
) -> np.ndarray:
    """Plan direction in which the air moves [rad, counter-clockwise from +x], [draw, hour].

    A calm hour has no direction, nor has a wind of which nobody said where it comes from: any way at all, so
    `turning` (which spans a third of a circle) is stretched to the whole. bearing: heading of +x;
    round_lid: `mirror_image.turning_round`, so that a lid and its mirror image are told the same.
    """
    sense, start = round_lid
    turning = sense * turning
    any_way = start + 3 * turning
    if air.direction is None:
        return np.broadcast_to(any_way, np.broadcast_shapes(any_way.shape, air.temperature.shape))
    turned = bearing - (air.direction + np.pi) + (FELT_TURN if air.felt else 1.0) * turning
    return np.where(np.isnan(air.direction), any_way, turned)


def speed(air: Air, share: np.ndarray, calm: np.ndarray) -> np.ndarray:
    """The wind at patio height, clear of the house's lee [m/s], [draw, hour]; even a calm hour has some.

    share: of the sheltered wind, how much neighbours and plants really leave; far narrower where the wind
    was measured in the yard itself.
    """
    left = 1 + FELT_SPEED * (share - 1) if air.felt else share
    return np.maximum(air.wind * left, calm)


def comes_from(toward: np.ndarray, bearing: float) -> np.ndarray:
    """Where air that moves `toward` comes from, rad clockwise from north, 0 to 2 pi."""
    return (bearing - toward - np.pi) % (2 * np.pi)


def exit_distances(strip: NozzleRow, ground: PatioGeometry, toward: np.ndarray) -> np.ndarray:
    """How far downwind of each nozzle of a strip the wind leaves the patio by an open side [m]: [nozzle, ...]
    of `toward` [...]. inf: a wall stops it. The first side the ray meets decides."""
    places = np.reshape(strip.places, (-1, *[1] * toward.ndim))
    x = strip.first[0] + places * strip.along[0]
    y = strip.first[1] + places * strip.along[1]
    ux, uy = np.cos(toward), np.sin(toward)
    nearest_open = nearest_wall = np.full((len(places), *toward.shape), np.inf)
    for sides, is_open in ((tuple(o.side for o in ground.openings), True), (ground.walls, False)):
        for a, b in sides:
            met = ray_to_segment(x, y, ux, uy, a, b)
            if is_open:
                nearest_open = np.minimum(nearest_open, met)
            else:
                nearest_wall = np.minimum(nearest_wall, met)
    return np.where(nearest_open <= nearest_wall, nearest_open, np.inf)


def ray_to_segment(
    x: Coordinate, y: Coordinate, ux: Coordinate, uy: Coordinate, a: Point, b: Point
) -> np.ndarray:
    """Distance along the ray (x, y) + s (ux, uy) to the segment a-b; inf where it misses."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    across = ux * dy - uy * dx
    parallel = np.abs(across) < 1e-12
    safe = np.where(parallel, 1.0, across)
    s = ((a[0] - x) * dy - (a[1] - y) * dx) / safe
    part = ((a[0] - x) * uy - (a[1] - y) * ux) / safe
    hit = ~parallel & (s >= 0) & (part >= -1e-9) & (part <= 1 + 1e-9)
    return np.where(hit, s, np.inf)
