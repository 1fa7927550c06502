"""What is known at points along a path, the last axis: where it crosses a level, what is between points."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from mistcalc.physics.air import Floats

Indices = NDArray[np.int64]


class Crossing(NamedTuple):
    """Where paths reach a level: the stretch, the part of it, whether at all."""

    step: Indices
    part: Floats
    met: NDArray[np.bool_]


def crossing(along: Floats, level: Floats) -> Crossing:
    """First stretch in which `along` [..., step] reaches `level` [...].

    `level` may have more leading axes than `along`, which is then read again for each. Points are gone
    through one by one, all paths abreast: a path lies across memory, its like points side by side.
    """
    points = np.moveaxis(along, -1, 0)
    met = points[0] >= level
    reached, since = np.empty_like(met), met.astype(np.uint8 if len(points) < 256 else np.uint32)
    for point in points[1:]:
        np.greater_equal(point, level, out=reached)
        met |= reached
        since += met.view(np.uint8)
    first = len(points) - since.astype(np.int64)
    step = np.where(met, np.maximum(first - 1, 0), 0)
    low, high = ends(along, step)
    rise = np.where(high > low, high - low, 1.0)
    part = np.clip(np.where(met, level - low, 0.0) / rise, 0.0, 1.0)
    return Crossing(step, part, met)


def ends(along: Floats, step: Indices) -> tuple[Floats, Floats]:
    """`along` [..., step] at both ends of the stretch `step` [...]; more leading axes as in `crossing`."""
    order = np.argsort([-stride for stride in along.strides], kind="stable")
    flat = along.transpose(order).reshape(-1)  # no copy: as it lies in memory
    apart = np.empty(along.ndim, dtype=np.int64)
    apart[order] = np.cumprod([1, *np.array(along.shape)[order][:0:-1]])[::-1]
    place = step * apart[-1]
    for axis, count in enumerate(along.shape[:-1]):  # where each path begins
        place += apart[axis] * np.arange(count).reshape(-1, *[1] * (along.ndim - 2 - axis))
    return flat.take(place), flat.take(place + apart[-1])


def between(along: Floats, step: Indices, part: Floats) -> Floats:
    """Value of `along` [..., step] at `part` of the stretch `step` [...]."""
    low, high = ends(along, step)
    return low + part * (high - low)


def displaced(along: Floats, off: Floats, way: Floats) -> Floats:
    """`along` [..., step] moved by `off` [..., class, step] times `way` [..., step], [..., class, step]."""
    there: Floats = off * way[..., None, :]
    there += along[..., None, :]  # in place: a second array as large costs more than the sum
    return there
