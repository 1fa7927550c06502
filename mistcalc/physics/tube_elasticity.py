"""Water in a tube that gives: growing warm, shut in, and stopped at a stroke.

The wall is elastic and the tube free to grow both ways, its ends closed. Pressures are gauge, Pa;
temperatures K; sizes m. Scalars or arrays that broadcast.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.errors import MistcalcError, RangeError
from mistcalc.physics import water
from mistcalc.physics.strength import Floats

_STEPS = 512


class Elastic(NamedTuple):
    modulus: float  # Pa
    poisson: float
    expansion: float  # of length, 1/K


# Stainless: ASM Metals Handbook, 193 GPa, 17.3e-6 (304) and 16.0e-6 (316) from 0 to 100 degC. Copper:
# Copper Tube Handbook, 9.4e-6 per degF; 17,000 ksi. The plastics are typed from memory, at 23 degC; hot they
# are softer, so that a surge or water shut in is overstated.
ELASTIC: dict[str, Elastic] = {
    "stainless 304": Elastic(193e9, 0.30, 17.3e-6),
    "stainless 316": Elastic(193e9, 0.30, 16.0e-6),
    "copper": Elastic(117e9, 0.34, 9.4e-6 * 1.8),
    "pvc": Elastic(2.8e9, 0.38, 54e-6),
    "pex": Elastic(0.6e9, 0.45, 165e-6),
    "nylon": Elastic(1.1e9, 0.40, 110e-6),
}


def elastic(material: str) -> Elastic:
    """Modulus [Pa], Poisson's ratio and expansion [1/K] of a tube material, such as "stainless 304".

    MistcalcError names one it does not know. Source: ASM Metals Handbook, Copper Tube Handbook; plastics from
    memory.
    """
    try:
        return ELASTIC[material]
    except KeyError:
        raise MistcalcError("unknown-material", material=material, known=tuple(ELASTIC)) from None


def volume_compliance(material: str, outside: ArrayLike, wall: ArrayLike) -> Floats:
    """Share by which a closed tube's inside volume grows per pascal within [1/Pa].

    [2 (1 + n) k^2 + 3 (1 - 2 n)] / [E (k^2 - 1)], k outside over inside diameter: twice the hoop strain at
    the bore and once the axial strain. material: as for `elastic`; outside, wall: m. Raises MistcalcError for
    a wall that leaves no bore. Source: Lame's thick cylinder, Timoshenko, Strength of Materials, part II.
    """
    modulus, poisson, _ = elastic(material)
    outer, thick = np.asarray(outside, float), np.asarray(wall, float)
    if not np.all((thick > 0.0) & (2.0 * thick < outer)):
        raise MistcalcError("tube-size", outside=outer.tolist(), wall=thick.tolist())
    square = (outer / (outer - 2.0 * thick)) ** 2
    return (2.0 * (1.0 + poisson) * square + 3.0 * (1.0 - 2.0 * poisson)) / (modulus * (square - 1.0))


def trapped_slope(material: str, outside: ArrayLike, wall: ArrayLike, temperature: ArrayLike) -> Floats:
    """Pressure [Pa] that air-free water shut in a tube gains per kelvin, tube and water as warm.

    Water's swelling less the tube's, over the give of both. Below 0 where the tube swells more than the
    water does (plastics; water under about 8 degC). Water's values are those at 0.1 MPa: good to 5 % up to
    200 bar. material, outside and wall as for `volume_compliance`; temperature: K, 253.15 to 383.15,
    RangeError outside. Source: dp/dT at constant mass and fit, from `water.expansion`,
    `water.compressibility` and `volume_compliance`.
    """
    swell = water.expansion(temperature) - 3.0 * elastic(material).expansion
    return swell / (water.compressibility(temperature) + volume_compliance(material, outside, wall))


def trapped_rise(material: str, outside: float, wall: float, start: float, end: float) -> float:
    """Pressure [Pa] gained by water shut in at `start` and brought to `end` [K]; below 0 when it is lost.

    The other arguments as for `volume_compliance`. Source: `trapped_slope`, summed over 512 steps.
    """
    temperature = np.linspace(start, end, _STEPS + 1)
    slope = trapped_slope(material, outside, wall, temperature)
    return float(np.trapezoid(slope, temperature))


def trapped_warming(material: str, outside: float, wall: float, end: float, rise: float) -> float | None:
    """The least warming [K] that gains `rise` [Pa]: the one that ends at `end` [K], where the slope is
    steepest. None where no warming up to there does, from 253 K on.

    The other arguments as for `volume_compliance`. Source: `trapped_slope`, summed over 512 steps.
    """
    if rise <= 0.0:
        return 0.0
    temperature = np.linspace(end, water.LOW, _STEPS + 1)
    slope = trapped_slope(material, outside, wall, temperature)
    step = temperature[0] - temperature[1]
    gained = np.concatenate(([0.0], np.cumsum((slope[1:] + slope[:-1]) / 2.0 * step)))
    reached = np.nonzero(gained >= rise)[0]
    if reached.size == 0:
        return None
    after = int(reached[0])
    share = (rise - gained[after - 1]) / (gained[after] - gained[after - 1])
    return float((after - 1 + share) * step)


def wave_speed(material: str, outside: ArrayLike, wall: ArrayLike, temperature: ArrayLike) -> Floats:
    """Speed of a pressure wave along the full tube [m/s]: sqrt(1 / (rho (water's give + tube's give))).

    Air in the water makes it slower: the surge is then less. Arguments as for `trapped_slope`. Source: Wylie
    and Streeter, Fluid Transients in Systems, 1993, ch. 1, with a thick wall.
    """
    give = water.compressibility(temperature) + volume_compliance(material, outside, wall)
    return 1.0 / np.sqrt(water.density(temperature) * give)


def joukowsky_rise(speed_change: ArrayLike, density: ArrayLike, wave_speed: ArrayLike) -> Floats:
    """Pressure rise [Pa] where water is slowed by `speed_change` [m/s] faster than a wave goes and returns.

    Joukowsky's rho a dv: the most there can be. `density` kg/m3, `wave_speed` m/s. Source: Wylie and
    Streeter, Fluid Transients in Systems, 1993, ch. 1.
    """
    change = np.asarray(speed_change, float)
    if not np.all(change >= 0.0):
        raise RangeError("change of speed", float(np.min(change)), 0.0, np.inf, "m/s")
    return np.asarray(density, float) * np.asarray(wave_speed, float) * change


def thermal_growth(material: str, length: ArrayLike, warming: ArrayLike) -> Floats:
    """How much longer [m] a tube of `length` [m] gets when it warms by `warming` [K].

    material: as for `elastic`. Source: `elastic`.
    """
    return elastic(material).expansion * np.asarray(length, float) * np.asarray(warming, float)
