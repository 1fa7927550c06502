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

    `level` may have more leading axes than `along`, which is then read again for each.
    """
    beyond = along >= np.asarray(level)[..., None]
    first = np.asarray(beyond.argmax(-1))
    met = np.asarray(_taken(beyond, first))
    step = np.maximum(first - 1, 0)
    low, high = pick(along, step), pick(along, step + 1)
    rise = np.where(high > low, high - low, 1.0)
    part = np.clip(np.where(met, level - low, 0.0) / rise, 0.0, 1.0)
    return Crossing(step, part, met)


def pick(along: Floats, index: Indices) -> Floats:
    """`along` [..., step] at the points `index` [...]; more leading axes as in `crossing`."""
    shape = np.broadcast_shapes(along.shape[:-1], index.shape)
    return _taken(np.broadcast_to(along, (*shape, along.shape[-1])), np.broadcast_to(index, shape))


def _taken(along: np.ndarray, index: Indices) -> np.ndarray:
    return np.take_along_axis(along, index[..., None], -1)[..., 0]


def between(along: Floats, step: Indices, part: Floats) -> Floats:
    """Value of `along` [..., step] at `part` of the stretch `step` [...]."""
    low = pick(along, step)
    return low + part * (pick(along, step + 1) - low)
