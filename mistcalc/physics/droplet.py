"""One water drop in moist air: its temperature, how fast it shrinks, how fast it falls.

Classical quasi-steady single-drop theory (Bird, Stewart & Lightfoot; Faeth 1977; Crowe et al., *Multiphase
Flows with Droplets and Particles*), for drops of 1 um to 2 mm in air of -40 to 60 degC:
Ranz-Marshall transfer, Stefan flow ln(1+B), gas properties by the one-third rule, and a drop that has
reached its own steady temperature. That temperature is not the thermodynamic wet bulb but up to about 1 K
lower in dry air, for vapour diffuses faster than heat. Free convection round still drops is left out
(it matters from about 1 mm), and so are slip and curvature (they matter below about 2 um).

Symbols: t [K], ratio [kg/kg], air_pressure [Pa absolute], diameter [m], speed relative to the air [m/s].
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.physics import air
from mistcalc.physics.air import Floats

GRAVITY = 9.80665  # m/s2
SMALLEST, LARGEST = 0.1e-6, 6e-3  # m


def water_density(t: ArrayLike) -> Floats:
    """Density of liquid water [kg/m3]. t: K, 253-343 (supercooled too); within 0.05 %.

    Source: Pruppacher & Klett 2nd ed. eq. 3-14 (Kell 1975), shortened to a quadratic about its maximum at
    4 degC, the coefficients set by the density at 4, 20 and 60 degC (1000.0, 998.2, 983.2; any steam table).
    """
    above = np.asarray(t, dtype=float) - 277.13
    return 1000.0 - above * above * (7.37e-3 - 3.05e-5 * above)


def diffusivity(t: ArrayLike, air_pressure: ArrayLike) -> Floats:
    """Diffusivity of water vapour in air [m2/s]. Source: Massman 1998, Atmos. Environ. 32, 1111, table 2."""
    return 2.178e-5 * (np.asarray(t, dtype=float) / 273.15) ** 1.81 * 101325 / np.asarray(air_pressure)


def conductivity(t: ArrayLike) -> Floats:
    """Thermal conductivity of air [W/(m K)]. Source: US Standard Atmosphere 1976 eq. 53."""
    t = np.asarray(t, dtype=float)
    return 2.64638e-3 * t**1.5 / (t + 245.4 * 10 ** (-12 / t))


def viscosity(t: ArrayLike) -> Floats:
    """Dynamic viscosity of air [Pa s]. Source: Sutherland's law, US Standard Atmosphere 1976 eq. 51."""
    t = np.asarray(t, dtype=float)
    return 1.458e-6 * t**1.5 / (t + 110.4)


def wet_temperature(
    t: ArrayLike,
    ratio: ArrayLike,
    air_pressure: ArrayLike,
    diameter: ArrayLike = 40e-6,
    speed: ArrayLike = 0.0,
) -> Floats:
    """Temperature an evaporating drop settles at [K]: heat arriving equals heat carried off by its vapour.

    t: K, 233-334; ratio: kg/kg; air_pressure: Pa; diameter: m; speed relative to the air: m/s. Size matters
    only with speed. Up to about 1.3 K below the thermodynamic wet bulb in dry air, equal at saturation.
    Source: Crowe et al., Multiphase Flows with Droplets and Particles, ch. 4, with Stefan flow.
    """
    return _steady(*_checked(t, ratio, air_pressure, diameter, speed))[0]


def area_shrink_rate(
    diameter: ArrayLike,
    t: ArrayLike,
    ratio: ArrayLike,
    air_pressure: ArrayLike,
    speed: ArrayLike = 0.0,
) -> Floats:
    """How fast the square of the diameter shrinks, -d(d^2)/dt [m2/s]; negative where vapour condenses.

    diameter: m, 0.1 um-6 mm; t: K, 233-334; speed relative to the air: m/s (0: still, Sh = Nu = 2).
    Source: Ranz & Marshall 1952 Sh = 2 + 0.6 Re^1/2 Sc^1/3, Stefan flow ln(1 + B), film properties at one
    third of the way from drop to air.
    """
    return _steady(*_checked(t, ratio, air_pressure, diameter, speed))[1]


def _checked(
    t: ArrayLike, ratio: ArrayLike, air_pressure: ArrayLike, diameter: ArrayLike, speed: ArrayLike
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    return (
        air.within("temperature", t, 233.0, 334.0, "K"),
        air.ratio_within(ratio),
        air.pressure_within(air_pressure),
        air.within("diameter", diameter, SMALLEST, LARGEST, "m"),
        air.within("speed", speed, 0.0, 200.0, "m/s"),
    )


def _steady(t: Floats, w: Floats, p: Floats, d: Floats, speed: Floats) -> tuple[Floats, Floats]:
    """Steady drop temperature and -d(d^2)/dt. Newton, seven fixed steps."""
    drop = air.saturated_equilibrium_temperature(air.enthalpy(t, w), w, p)
    mass_speed = speed * air.density(t, w, p)
    for _ in range(7):
        leaving, arriving, slope = _fluxes(drop, t, w, p, d, mass_speed)
        drop = drop - (leaving - arriving) / slope
    return drop, 4 * leaving / water_density(drop)


def _fluxes(
    drop: Floats, t: Floats, w: Floats, p: Floats, d: Floats, mass_speed: Floats
) -> tuple[Floats, Floats, Floats]:
    """Vapour leaving and vapour the arriving heat could raise, over pi d [kg/(m s)]; slope of the gap."""
    free = w / (1 + w)  # vapour mass fraction far from the drop
    surface_pressure = air.saturation_pressure(drop, "water")
    surface_ratio = air.MASS_RATIO * surface_pressure / (p - surface_pressure)
    surface = surface_ratio / (1 + surface_ratio)
    film = drop + (t - drop) / 3
    share = surface + (free - surface) / 3
    density = p / (air.GAS_CONSTANT * film * (1 + (air.VIRTUAL - 1) * share))
    mu, k, spread = viscosity(film), conductivity(film), density * diffusivity(film, p)
    cp = air.CP_DRY + (air.CP_VAPOUR - air.CP_DRY) * share
    root = 0.6 * np.sqrt(mass_speed * d / mu)
    sherwood = 2 + root * np.cbrt(mu / spread)
    nusselt = 2 + root * np.cbrt(mu * cp / k)
    latent = air.latent_heat(drop)
    leaving = sherwood * spread * np.log1p((surface - free) / (1 - surface))
    arriving = nusselt * k / air.CP_VAPOUR * np.log1p(air.CP_VAPOUR * (t - drop) / latent)
    steeper = surface * (1 + air.VIRTUAL * surface_ratio) * latent / (461.5 * drop * drop)
    return leaving, arriving, sherwood * spread * steeper + nusselt * k / latent


def warming(
    drop_temperature: ArrayLike,
    diameter: ArrayLike,
    t: ArrayLike,
    ratio: ArrayLike,
    air_pressure: ArrayLike,
    speed: ArrayLike = 0.0,
) -> tuple[Floats, Floats]:
    """A drop not yet at its steady temperature: vapour leaving [kg/s], and heat left to warm it [W].

    drop_temperature: K; the rest as in `area_shrink_rate`. The heat is what arrives less what the vapour
    carries off, negative while the drop cools; both are 0 at saturation and equal temperature. Source:
    `area_shrink_rate`.
    """
    drop = air.within("drop_temperature", drop_temperature, 233.0, 344.0, "K")
    t, w, p, d, v = _checked(t, ratio, air_pressure, diameter, speed)
    leaving, arriving, _ = _fluxes(drop, t, w, p, d, v * air.density(t, w, p))
    return np.pi * d * leaving, np.pi * d * (arriving - leaving) * air.latent_heat(drop)


def drag_coefficient(reynolds: ArrayLike) -> Floats:
    """Drag coefficient of a sphere [1]; reynolds: 0.001-1,000. Source: Schiller & Naumann 1933."""
    re = air.within("Reynolds number", reynolds, 1e-12, 5000.0, "1")
    return 24 / re * (1 + 0.15 * re**0.687)


def terminal_speed(diameter: ArrayLike, t: ArrayLike, ratio: ArrayLike, air_pressure: ArrayLike) -> Floats:
    """Speed at which a drop falls steadily through still air [m/s].

    diameter: m, 1 um-2 mm (larger drops flatten and fall slower than this says); t: K; ratio: kg/kg;
    air_pressure: Pa. Weight less buoyancy against drag; Newton, eight fixed steps. Source: Schiller & Naumann
    1933.
    """
    t, w, p, d, _ = _checked(t, ratio, air_pressure, diameter, 0.0)
    density, mu = air.density(t, w, p), viscosity(t)
    return settling_speed(d, density, mu, water_density(t) - density)


def settling_speed(d: Floats, density: Floats, mu: Floats, excess_density: Floats) -> Floats:
    """The unchecked core of `terminal_speed` [m/s]. Source: `terminal_speed`.

    d: drop diameter, m; density: of the gas, kg/m3; mu: its viscosity, Pa s; excess_density: drop less gas.
    """
    # Re (1 + 0.15 Re^0.687) = Archimedes / 18, solved in x = ln Re, where both ends are straight lines.
    target = excess_density * density * GRAVITY * d * d * d / (18 * mu * mu)
    log_target = np.log(target)
    x = log_target - 0.4 * np.log1p(0.11 * target ** (2 / 3))
    for _ in range(4):
        extra = 0.15 * np.exp(0.687 * x)
        x = x - (x + np.log1p(extra) - log_target) / (1 + 0.687 * extra / (1 + extra))
    return np.exp(x) * mu / (density * d)


def settling_reynolds(weight: Floats) -> Floats:
    """Reynolds number [1] of a settling drop without iterating, for inner loops; unchecked.

    weight: (water - air density) air density g d^3 / (18 viscosity^2), up to 3e4, the Reynolds number Stokes
    drag alone would give. Source: a rational fit to Schiller & Naumann 1933, within 0.4 %.
    """
    u = np.sqrt(weight)
    above, below = 0.04779 * u, 0.0048 * u  # in place from here: large arrays cost more to get than to fill
    above += 2.53008
    above *= u
    above += 1
    above *= weight
    below += 0.54618
    below *= u
    below += 2.53008
    below *= u
    below += 1
    above /= below
    return above


@dataclass(frozen=True)
class Fall:
    """History of falling drops; arrays [..., step], the last axis running from release to the end.

    time [s], diameter [m] (0 once gone), speed [m/s] downward, distance [m] fallen.
    """

    time: Floats
    diameter: Floats
    speed: Floats
    distance: Floats


def fall(
    diameter: ArrayLike,
    t: ArrayLike,
    ratio: ArrayLike,
    air_pressure: ArrayLike,
    *,
    duration: float = 600.0,
    speed: ArrayLike = 0.0,
    steps: int = 200,
) -> Fall:
    """Drops falling and evaporating in still air [`Fall`], until gone or `duration`.

    diameter: m; t: K; ratio: kg/kg; air_pressure: Pa; duration: s; speed: m/s downward at release. Twice
    `steps` steps at most: each takes the drop's area down by 1/steps of its first value, or lasts
    duration/steps, whichever is shorter. Speed relaxes exactly within a step, so that small drops are not
    stiff. Source: `area_shrink_rate` and `drag_coefficient`.
    """
    t, w, p, d0, v = np.broadcast_arrays(*_checked(t, ratio, air_pressure, diameter, speed))
    duration = float(air.within("duration", duration, 0.0, 1e6, "s"))
    gas, mu = air.density(t, w, p), viscosity(t)
    water = water_density(t)
    pull = GRAVITY * (1 - gas / water)
    area, elapsed, z = d0 * d0, np.zeros(d0.shape), np.zeros(d0.shape)
    history = [(elapsed, d0, v, z)]
    for _ in range(2 * steps):
        d = np.sqrt(np.maximum(area, SMALLEST**2))
        rate = _steady(t, w, p, d, np.abs(v))[1]
        dt = np.minimum(d0 * d0 / steps / np.maximum(rate, 1e-30), duration / steps)
        dt = np.where(area > SMALLEST**2, np.minimum(dt, duration - elapsed), 0.0)
        middle = np.sqrt(np.maximum(area - 0.5 * rate * dt, SMALLEST**2))
        half_v, _ = _relaxed(v, dt / 2, middle, gas, mu, water, pull, v)
        new_v, path = _relaxed(v, dt, middle, gas, mu, water, pull, half_v)
        rate = _steady(t, w, p, middle, np.abs(half_v))[1]
        area = area - rate * dt
        v, z, elapsed = new_v, z + path, elapsed + dt
        gone = area <= SMALLEST**2
        history.append((elapsed, np.where(gone, 0.0, np.sqrt(np.maximum(area, 0.0))), v, z))
    time, d, v, z = (np.stack(column, axis=-1) for column in zip(*history, strict=True))
    return Fall(time, d, v, z)


def _relaxed(
    v: Floats, dt: Floats, d: Floats, gas: Floats, mu: Floats, water: Floats, pull: Floats, v_drag: Floats
) -> tuple[Floats, Floats]:
    """Speed after dt and path meanwhile, drag frozen at the speed v_drag."""
    reynolds = gas * np.abs(v_drag) * d / mu
    tau = water * d * d / (18 * mu * (1 + 0.15 * reynolds**0.687))
    final = pull * tau
    decayed = -np.expm1(-dt / tau)
    return v + (final - v) * decayed, final * dt + (v - final) * tau * decayed
