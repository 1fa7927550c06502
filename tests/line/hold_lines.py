"""Lines shut in, followed minute by minute: what gauge and thermometer would show. Independent of the rule.

Nothing here comes from the program. Water is IAPWS-95 (CoolProp), tabled over temperature and pressure and
used by its local slopes; the tube is a thin wall; air follows Boyle and Gay-Lussac and goes into the water
at a rate in proportion to what is left; a leak passes water as the square root of the pressure behind it.
The program, in contrast, solves one balance between two readings.

How much air, how fast it dissolves, and how far a tube warms while somebody reads a gauge are judgement:
nobody has published them. Ranges are wide on purpose.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from tests.properties import PropsSI

PSI = 6894.757293168
ATMOSPHERE = 101325.0
ML = 1e-6
DEGREE = 5 / 9  # K a degF
VOLUME = 0.86e-3  # m3: what about 60 ft of 3/8 in tube and its feed hold
MOST_AIR = 100 * ML  # at 1 atm
# 3/8 x 0.035 in stainless, thin wall, ends shut: mean diameter over wall times (5/4 - 0.3) over 193 GPa.
STRETCH = (0.375 - 0.035) / 0.035 * (1.25 - 0.30) / 193e9
GROWTH = 3 * 16.5e-6  # 1/K, between 304 and 316


def kelvin(fahrenheit):
    return (np.asarray(fahrenheit, float) + 459.67) / 1.8


@cache
def _tables():
    t, p = np.linspace(263.15, 343.15, 41), np.linspace(0.0, 9.0e6, 10) + ATMOSPHERE
    grid_t, grid_p = (g.ravel() for g in np.meshgrid(t, p, indexing="ij"))
    shape = (t.size, p.size)
    names = ("ISOTHERMAL_COMPRESSIBILITY", "ISOBARIC_EXPANSION_COEFFICIENT")
    warm = np.maximum(grid_t, 273.5)  # IAPWS-95 does not care for supercooled water
    return t, p, *(np.reshape(PropsSI(n, "T", warm, "P", grid_p, "Water"), shape) for n in names)


def _slopes(temperature, pressure):
    """Compressibility and expansion of water, straight between points of the tables."""
    t, p, soft, swell = _tables()
    i = np.clip((temperature - t[0]) / (t[1] - t[0]), 0, t.size - 1.001)
    j = np.clip((pressure - p[0]) / (p[1] - p[0]), 0, p.size - 1.001)
    a, b = i.astype(int), j.astype(int)
    u, v = i - a, j - b

    def between(table):
        low = table[a, b] * (1 - v) + table[a, b + 1] * v
        high = table[a + 1, b] * (1 - v) + table[a + 1, b + 1] * v
        return low * (1 - u) + high * u

    return between(soft), between(swell)


@dataclass
class Held:
    """Many lines at once, shut in at the same gauge. Arrays of one length; m3, Pa absolute, K, s."""

    pressure: np.ndarray
    tube: np.ndarray
    vessel: np.ndarray
    air: np.ndarray  # trapped, as moles times the gas constant: p V / T
    gas: np.ndarray  # of the vessel, the same
    dissolving: np.ndarray  # 1/s
    leak: np.ndarray  # m3/s at the gauge it was shut in at
    at: float  # that gauge


def shut(count, gauge, tube, *, air, dissolving, leak, gas=0.0, vessel=None):
    """Lines pumped up to `gauge` and shut. `air`: m3 at 1 atm; `gas`: m3 at that gauge."""
    full = np.full(count, 1.0)
    p, t = gauge + ATMOSPHERE, full * tube
    v = t if vessel is None else full * vessel
    return Held(
        full * p, t, v, full * air * ATMOSPHERE / t, full * gas * p / v, full * dissolving, full * leak, gauge
    )


def pumped_up(held):
    """The same lines, filled again to the gauge they began with."""
    return replace(held, pressure=np.full_like(held.pressure, held.at + ATMOSPHERE))


def wait(held, seconds, tube, vessel=None, steps=60):
    """The lines `seconds` later, tube and vessel brought evenly to their new temperatures."""
    p, t, v, n = held.pressure, held.tube, held.vessel, held.air
    end_v = v if vessel is None else np.asarray(vessel, float)
    dt, d_tube, d_vessel = seconds / steps, (np.asarray(tube, float) - t) / steps, (end_v - v) / steps
    for _ in range(steps):
        soft, swell = _slopes(t, p)
        bubbles = n * t / p
        cushion = held.gas * v / p
        driven = np.sqrt(np.maximum(p - ATMOSPHERE, 0.0) / held.at)
        gone = n * -np.expm1(-held.dissolving * dt)
        grows = VOLUME * (swell - GROWTH) * d_tube + bubbles * d_tube / t + cushion * d_vessel / v
        grows -= held.leak * driven * dt + gone * t / p
        # Give of water, tube, bubbles and cushion. The gases' is taken at the pressure reached, which keeps a
        # long step from overshooting.
        give = VOLUME * (soft + STRETCH)
        # solve give dp = grows - (gas volume lost by compression), gas volume V p/(p + dp)
        gases = bubbles + cushion - gone * t / p
        b = give * p + gases - grows
        dp = (-b + np.sqrt(b * b + 4 * give * grows * p)) / (2 * give)
        p = np.maximum(p + dp, 1e3)
        n, t, v = n - gone, t + d_tube, v + d_vessel
    return replace(held, pressure=p, tube=t, vessel=v, air=n)
