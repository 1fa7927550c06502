"""The air at one place and height where no plume passes: the patio's mean air, shifted by what the wind
leaves there and, where the cold air's own weight moves it, by how high above the floor the place is."""

from __future__ import annotations

import numpy as np

from mistcalc.cooling.balance import BalanceSolution
from mistcalc.cooling.case import Case
from mistcalc.cooling.patio_air import Outdoors, PatioAir, saturation_adjusted
from mistcalc.cooling.patio_geometry import SEATED
from mistcalc.physics import air as moist


def air_at(
    case: Case, answer: BalanceSolution, held: np.ndarray | float = 1.0, height: float = SEATED
) -> PatioAir:
    """The air there, [draw, hour]; never below its wet bulb.

    held: what of the cold the wind leaves in that place, over the patio's mean; height: m above the floor.
    In still air the layers are as outdoors at the lid and grow evenly colder to the floor, twice the mean.
    """
    mixed, u = answer.patio, case.unknowns
    across = u.place * (1 + answer.swept * (held - 1))
    upward = 1 + (1 - mixed.by_wind) * u.layering * (1 - 2 * height / case.ground.height)
    return _shifted(case.outdoors, mixed, across * np.maximum(upward, 0.0))


def _shifted(out: Outdoors, patio: PatioAir, share: np.ndarray) -> PatioAir:
    """Air that differs from outdoor air by `share` of what the patio's does."""
    h_out, h_in = (moist.enthalpy(a.temperature, a.ratio) for a in (out, patio))
    t, ratio = saturation_adjusted(
        h_out + share * (h_in - h_out), out.ratio + share * (patio.ratio - out.ratio), out.air_pressure
    )
    return PatioAir(t, ratio, patio.flow, patio.by_wind)
