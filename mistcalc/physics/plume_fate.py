"""Where a plume's drops end: each class followed until it meets the floor or the patio's edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from mistcalc.physics.air import Floats
from mistcalc.physics.path_interpolation import Crossing, Indices, crossing, displaced


@dataclass(frozen=True, slots=True)
class Fate:
    """Where one nozzle's water ends, as shares of what was injected (the three sum to 1), shape [...].

    evaporated: before it left, inside the plume or beside it; landed: liquid on the plane at `depth`;
    carried: liquid that left by the side, or was still in the air where the path ends.
    """

    evaporated: Floats
    landed: Floats
    carried: Floats


def liquid_left(area: Floats) -> Floats:
    """Share of a drop that is left of so much of its d^2 [1]. Source: geometry."""
    return np.asarray(area * np.sqrt(area))


def first_met(
    cases: Indices, edge: Floats, paths: Sequence[Floats], landing: Crossing
) -> tuple[Floats, NDArray[np.bool_]]:
    """What is left of each class (d^2) where it meets plane or edge, or at its path's end; whether the plane
    first, both [one of cases, class].

    cases: of all, laid flat; edge: of each, how far downwind; paths: drift, lag, cosine and area as in
    `Plume`, [case, ...]; landing: where the plane is met, alike. Source: `Plume.fate`.
    """
    drift, lag, cosine, area = paths

    def some(along: Floats) -> Floats:  # in memory as it was: like points of paths side by side
        return along.T.take(cases, axis=-1).T

    out_step, out_part, out = crossing(displaced(some(drift), some(lag), -some(cosine)), edge[:, None])
    low, low_part = landing.step[cases], landing.part[cases]
    lands = landing.met[cases] & ~(out & (out_step + out_part < low + low_part))
    step = np.where(lands, low, np.where(out, out_step, drift.shape[-1] - 2))
    part = np.where(lands, low_part, np.where(out, out_part, 1.0))
    before, after = (area[cases[:, None], np.arange(area.shape[1]), step + end] for end in (0, 1))
    return before + part * (after - before), lands
