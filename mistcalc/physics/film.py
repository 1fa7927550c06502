"""A thin film of water on a floor in the shade: how fast it dries."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.physics import air
from mistcalc.physics.air import CP_DRY, CP_VAPOUR, Floats, within

LEWIS = 0.89  # (Lewis number)^2/3 of water vapour in air, about 0.84^2/3
EMISSIVITY = 0.95  # of wet mineral surfaces
STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m2 K4)
PASSES = 6


def convection(speed: ArrayLike) -> Floats:
    """Heat between a large flat surface and air that moves over it [W/(m2 K)], h = 2.8 + 3.0 V.

    speed: m/s, 0-7 measured; used to 40. Source: Watmuff, Charters & Proctor 1977, Solar and wind induced
    external coefficients (Revue Cooperation Mediterraneenne pour l'Energie Solaire 2, 56), from memory.
    """
    return 2.8 + 3.0 * within("speed", speed, 0.0, 40.0, "m/s")


def film_rate(t: ArrayLike, ratio: ArrayLike, air_pressure: ArrayLike, speed: ArrayLike) -> Floats:
    """Water that a film on a shaded floor gives to the air over it [kg/(m2 s)]; 0 in saturated air.

    t: K; ratio: kg/kg; air_pressure: Pa; speed: m/s over the floor; they broadcast. Convection and radiation
    warm the film, evaporation cools it, and it settles between wet and dry bulb. Everything it sees is taken
    to be at air temperature and the floor gives it no heat: sun or a hot slab dry it faster. Source: the heat
    balance of a wet surface with Lewis' relation (Bird, Stewart & Lightfoot, Transport Phenomena).
    """
    t, w, p = np.asarray(t, dtype=float), air.ratio_within(ratio), air.pressure_within(air_pressure)
    return _rate(film_temperature(t, w, p, speed), w, p, convection(speed))


def film_temperature(t: ArrayLike, ratio: ArrayLike, air_pressure: ArrayLike, speed: ArrayLike) -> Floats:
    """Temperature at which the film of `film_rate` settles [K]. Newton, fixed steps, error < 1 mK.

    Arguments as for `film_rate`. Source: `film_rate`.
    """
    t, w, p = np.asarray(t, dtype=float), air.ratio_within(ratio), air.pressure_within(air_pressure)
    convected = convection(speed)
    warmed = convected + 4 * EMISSIVITY * STEFAN_BOLTZMANN * t**3

    def lacking(film: Floats) -> Floats:
        return warmed * (t - film) - air.latent_heat(film) * _rate(film, w, p, convected)

    film = air.wet_bulb(t, w, p, "water")
    for _ in range(PASSES):
        slope = (lacking(film + 0.01) - lacking(film - 0.01)) / 0.02
        film = film - lacking(film) / slope
    return film


def _rate(film: Floats, ratio: Floats, air_pressure: Floats, convected: Floats) -> Floats:
    """Lewis' relation: mass follows heat."""
    missing = air.saturated_ratio(film, air_pressure, "water") - ratio
    return np.maximum(missing, 0.0) * convected / (LEWIS * (CP_DRY + ratio * CP_VAPOUR))
