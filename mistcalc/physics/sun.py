"""Where the sun stands, when it rises and sets, and what its light adds to the heat a body takes in.

Moments are days from noon of 1 January 2000 in universal time (J2000.0); angles are rad, azimuths clockwise
from true north. Air bends the light of a low sun upward, by 0.1 degree at 10 degrees and 0.5 at the horizon:
only rising and setting take that in.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.physics.air import Floats, within

DAYS = 36_525.0  # either side of 2000 in which the short series hold
TYPICAL_YEAR = 9496.5  # 1 January 2026: half way between leap days, so as good as any for a typical year
TURN = 2 * np.pi
RISES = np.radians(-0.8333)  # height of the sun's middle as its edge comes over a level horizon
PARALLAX = np.radians(8.794 / 3600)  # of the sun seen from the earth's surface


def sun_position(days: ArrayLike, latitude: ArrayLike, longitude: ArrayLike) -> tuple[Floats, Floats]:
    """Height of the sun's middle over the horizon, without refraction, and its azimuth [rad, rad].

    days: since J2000.0, UT, 1900-2100; latitude: rad, north positive; longitude: rad, east positive. Within
    0.01 degree, in azimuth 0.01 degree over the cosine of the height.
    Source: Meeus 1998, Astronomical Algorithms, chapters 12 (sidereal time), 13 and 25 (sun, low accuracy);
    from memory.
    """
    declination, hour = _seen_from(days, longitude)
    north = within("latitude", latitude, -np.pi / 2, np.pi / 2, "rad")
    up = np.sin(north) * np.sin(declination) + np.cos(north) * np.cos(declination) * np.cos(hour)
    height = np.arcsin(np.clip(up, -1.0, 1.0))
    southward = np.cos(hour) * np.sin(north) - np.tan(declination) * np.cos(north)
    azimuth = (np.arctan2(np.sin(hour), southward) + np.pi) % TURN
    return (height - PARALLAX * np.cos(height))[()], np.asarray(azimuth)[()]


def equation_of_time(days: ArrayLike) -> Floats:
    """How far a sundial is ahead of a clock that keeps mean sun time [s].

    days: since J2000.0, UT, 1900-2100. Within 3 s.
    Source: as for `sun_position`.
    """
    _, hour = _seen_from(days, 0.0)
    mean = TURN * (np.asarray(days, dtype=float) % 1.0)  # of the mean sun: J2000.0 is noon
    return np.asarray(_half_turn(hour - mean) / TURN * 86_400)[()]


def sun_times(noon: ArrayLike, latitude: ArrayLike, longitude: ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Rising, crossing of the meridian and setting of the sun nearest to `noon` [days, since J2000.0, UT].

    noon: about the middle of the local day, days since J2000.0; latitude: rad; longitude: rad. Over a level
    horizon at sea level, edge of the disc, ordinary refraction; within a minute below 60 degrees of latitude.
    Where the sun does not rise, or does not set, that day: NaN.
    Source: as for `sun_position`; 50' below the horizon: US Naval Observatory, "Rise, Set, and Twilight
    Definitions".
    """
    transit = np.asarray(noon, dtype=float)
    north = within("latitude", latitude, -np.pi / 2, np.pi / 2, "rad")
    for _ in range(3):
        _, hour = _seen_from(transit, longitude)
        transit = transit - _half_turn(hour) / TURN
    ends = []
    for side in (-1, 1):
        moment = transit
        for _ in range(4):  # the sun moves on meanwhile; each pass leaves a hundredth of the last
            declination, hour = _seen_from(moment, longitude)
            cosine = (np.sin(RISES) - np.sin(north) * np.sin(declination)) / (
                np.cos(north) * np.cos(declination)
            )
            up = np.abs(cosine) <= 1
            wanted = side * np.arccos(np.where(up, cosine, 0.0))
            moment = np.where(up, moment + _half_turn(wanted - hour) / TURN, moment)
        ends.append(np.where(up, moment, np.nan))
    return ends[0][()], np.asarray(transit)[()], ends[1][()]


def _seen_from(days: ArrayLike, longitude: ArrayLike) -> tuple[Floats, Floats]:
    """(declination, hour angle west of the meridian) of the apparent sun [rad]."""
    d = within("days", days, -DAYS, DAYS, "days")
    east = within("longitude", longitude, -np.pi, np.pi, "rad")
    century = d / 36_525.0
    mean_longitude = np.radians(280.46646 + 36_000.76983 * century + 0.0003032 * century**2)
    anomaly = np.radians(357.52911 + 35_999.05029 * century - 0.0001537 * century**2)
    center = (
        (1.914602 - 0.004817 * century) * np.sin(anomaly)
        + (0.019993 - 0.000101 * century) * np.sin(2 * anomaly)
        + 0.000289 * np.sin(3 * anomaly)
    )
    node = np.radians(125.04 - 1934.136 * century)  # of the moon: the earth's axis nods with it
    true_longitude = mean_longitude + np.radians(center - 0.00569 - 0.00478 * np.sin(node))
    tilt = np.radians(23.439291 - 0.0130042 * century + 0.00256 * np.cos(node))
    ascension = np.arctan2(np.cos(tilt) * np.sin(true_longitude), np.cos(true_longitude))
    declination = np.arcsin(np.sin(tilt) * np.sin(true_longitude))
    sidereal = np.radians(280.46061837 + 360.98564736629 * d - 0.00478 * np.sin(node) * np.cos(tilt))
    return declination, _half_turn(sidereal + east - ascension)


def _half_turn(angle: Floats) -> Floats:
    """The same angle between -pi and pi."""
    return (angle + np.pi) % TURN - np.pi


# ------------------------------------------------------------------ sunlight on a body

Posture = Literal["seated", "standing"]
SEEN = {"seated": 0.696, "standing": 0.725}  # share of a body's skin that meets radiation from around it
RADIATIVE = 6.012  # W/(m2 K), of such a body
LONG_WAVE = 0.95  # what skin and cloth take of the heat of surfaces
CLOTHED = 0.7  # of sunlight: medium clothes and skin; white clothes 0.2, black 0.88
GROUND = 0.25  # share of sunlight that ground throws back: concrete, soil, light paving

# Share of that skin seen along the sun's rays: rows the sun from the front to the back, 15 degrees apart;
# columns its height, 0 to 90 degrees, 15 apart.
_AREA = {
    "seated": (
        (0.290, 0.324, 0.305, 0.303, 0.262, 0.224, 0.177),
        (0.292, 0.328, 0.294, 0.288, 0.268, 0.227, 0.177),
        (0.288, 0.332, 0.298, 0.290, 0.264, 0.222, 0.177),
        (0.274, 0.326, 0.294, 0.289, 0.252, 0.214, 0.177),
        (0.254, 0.308, 0.280, 0.276, 0.241, 0.202, 0.177),
        (0.230, 0.282, 0.262, 0.260, 0.233, 0.193, 0.177),
        (0.216, 0.260, 0.248, 0.244, 0.220, 0.186, 0.177),
        (0.234, 0.258, 0.236, 0.227, 0.208, 0.180, 0.177),
        (0.262, 0.260, 0.224, 0.208, 0.196, 0.176, 0.177),
        (0.280, 0.260, 0.210, 0.192, 0.184, 0.170, 0.177),
        (0.298, 0.256, 0.194, 0.174, 0.168, 0.168, 0.177),
        (0.306, 0.250, 0.180, 0.156, 0.156, 0.166, 0.177),
        (0.300, 0.240, 0.168, 0.152, 0.152, 0.164, 0.177),
    ),
    "standing": (
        (0.350, 0.350, 0.314, 0.258, 0.206, 0.144, 0.082),
        (0.342, 0.342, 0.310, 0.252, 0.200, 0.140, 0.082),
        (0.330, 0.330, 0.300, 0.244, 0.190, 0.132, 0.082),
        (0.310, 0.310, 0.275, 0.228, 0.175, 0.124, 0.082),
        (0.283, 0.283, 0.251, 0.208, 0.160, 0.114, 0.082),
        (0.252, 0.252, 0.228, 0.188, 0.150, 0.108, 0.082),
        (0.230, 0.230, 0.214, 0.180, 0.148, 0.108, 0.082),
        (0.242, 0.242, 0.222, 0.180, 0.153, 0.112, 0.082),
        (0.274, 0.274, 0.245, 0.203, 0.165, 0.116, 0.082),
        (0.304, 0.304, 0.270, 0.220, 0.174, 0.121, 0.082),
        (0.328, 0.328, 0.290, 0.234, 0.183, 0.125, 0.082),
        (0.344, 0.344, 0.304, 0.244, 0.190, 0.128, 0.082),
        (0.347, 0.347, 0.308, 0.246, 0.191, 0.128, 0.082),
    ),
}
_STEP = np.radians(15.0)


def projected_area(height: ArrayLike, facing: ArrayLike | None = None, posture: Posture = "seated") -> Floats:
    """Share of a body's radiating skin that the sun sees [1], straight between the values of a table.

    height: of the sun, rad, 0 to pi/2; facing: angle in plan between the sun and where the person looks,
    rad, 0 the sun in the face, pi on the back; None: nobody knows, the mean of all ways of sitting; posture:
    seated or standing.
    Source: Arens et al. 2015, Building and Environment 88, 3-9, after Fanger 1970, as tabled in ANSI/ASHRAE
    Standard 55, Appendix C.
    """
    table = np.array(_AREA[posture])
    low, share = _between(within("height", height, 0.0, np.pi / 2, "rad"), 5)
    if facing is None:
        column = (table[0] + table[-1] + 2 * table[1:-1].sum(axis=0)) / (2 * (len(table) - 1))
        return np.asarray(column[low] * (1 - share) + column[low + 1] * share)[()]
    row, across = _between(within("facing", facing, 0.0, np.pi, "rad"), 11)
    front = table[row, low] * (1 - share) + table[row, low + 1] * share
    back = table[row + 1, low] * (1 - share) + table[row + 1, low + 1] * share
    return np.asarray(front * (1 - across) + back * across)[()]


def _between(angle: Floats, last: int) -> tuple[np.ndarray, Floats]:
    """Which interval of a table an angle lies in, and how far on."""
    low = np.clip(np.floor(angle / _STEP).astype(int), 0, last)
    return low, angle / _STEP - low


def sunlight_taken(
    height: ArrayLike,
    beam: ArrayLike,
    diffuse: ArrayLike,
    sky_view: ArrayLike,
    lit: ArrayLike,
    facing: ArrayLike | None = None,
    absorbed: ArrayLike = CLOTHED,
    ground: ArrayLike = GROUND,
    posture: Posture = "seated",
) -> Floats:
    """Effective radiant field of sunlight on a body [W/m2]: long-wave heat that would warm it as much.

    height: of the sun, rad, 0 to pi/2; beam: from the sun's disc on a surface that faces it, W/m2; diffuse:
    from the rest of the sky on level ground, W/m2; sky_view: share of the sky's dome that is seen from there,
    0-1; lit: share of the body that the beam reaches, 0-1; facing, posture: as for `projected_area`;
    absorbed: share of sunlight that skin and clothes take, 0-1; ground: share that sunlit ground throws back,
    0-1. As much of the ground's half is taken to be in the sun as of the sky's half is open, so it answers
    for a person under a lid. The appendix is for rooms: outdoors with transmittance 1.
    Source: ANSI/ASHRAE Standard 55, Appendix C, and Arens et al. 2015, Building and Environment 88, 3-9
    (equations and constants read in an open library that quotes them).
    """
    up = within("height", height, 0.0, np.pi / 2, "rad")
    beam = within("beam", beam, 0.0, 1500.0, "W/m2")
    diffuse = within("diffuse", diffuse, 0.0, 1500.0, "W/m2")
    half = 0.5 * within("sky_view", sky_view, 0.0, 1.0, "1")
    lit = within("lit", lit, 0.0, 1.0, "1")
    thrown_up = within("ground", ground, 0.0, 1.0, "1") * (beam * np.sin(up) + diffuse)
    light = half * (diffuse + thrown_up) + projected_area(up, facing, posture) * lit * beam
    share = within("absorbed", absorbed, 0.0, 1.0, "1") / LONG_WAVE
    return np.asarray(SEEN[posture] * share * light)[()]


def radiant_rise(field: ArrayLike, posture: Posture = "seated") -> Floats:
    """How much mean radiant temperature an effective radiant field is worth [K].

    field: as `sunlight_taken` answers it, W/m2, 0-1000; posture: seated or standing.
    Source: as for `sunlight_taken`.
    """
    return np.asarray(within("field", field, 0.0, 1000.0, "W/m2") / (RADIATIVE * SEEN[posture]))[()]
