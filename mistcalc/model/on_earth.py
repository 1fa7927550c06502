"""How far apart two places are and which way one lies from the other, on a round earth."""

from __future__ import annotations

import math

from mistcalc.model.quantities import Metre, Radian

RADIUS = 6_371_009.0  # m: mean radius of the earth (IUGG), to the meter


def way_between(here: tuple[Radian, Radian], there: tuple[Radian, Radian]) -> tuple[Metre, Radian]:
    """Distance along the great circle, and the direction in which one sets out, clockwise from north.

    Places are latitude and longitude, north and east positive. A round earth is right to half a percent.
    """
    (a, east), (b, further_east) = here, there
    turn = further_east - east
    across = math.cos(b) * math.sin(turn)
    along = math.cos(a) * math.sin(b) - math.sin(a) * math.cos(b) * math.cos(turn)
    up = math.sin(a) * math.sin(b) + math.cos(a) * math.cos(b) * math.cos(turn)
    angle = math.atan2(math.hypot(across, along), up)
    return RADIUS * angle, math.atan2(across, along) % (2 * math.pi)
