"""A misting nozzle: flow, speed at the orifice, and the sizes of its drops.

Nothing here is predicted from an orifice diameter and a fixed discharge coefficient: swirl nozzles of the
trade's own tables would need coefficients from 0.14 to 0.36. Flow comes from a rated point, and drop size
from the stated one where there is one; correlations come with the band they deserve.
"""

from __future__ import annotations

from math import gamma, log

import numpy as np
from numpy.typing import ArrayLike

from mistcalc.physics.air import Floats, within

HIGHEST_GAUGE = 25e6  # Pa


def gauge_within(gauge: ArrayLike) -> Floats:
    """A gauge water pressure as a float array; RangeError outside 0-25 MPa."""
    return within("gauge", gauge, 0.0, HIGHEST_GAUGE, "Pa")


def flow(
    gauge: ArrayLike,
    rated_flow: ArrayLike,
    rated_gauge: ArrayLike,
    exponent: ArrayLike = 0.5,
    opens_at: ArrayLike = 0.0,
) -> Floats:
    """Flow of one nozzle at a pressure [same unit as rated_flow]; zero until its anti-drip check opens.

    gauge, rated_gauge, opens_at: Pa; rated_flow: any unit; exponent: 0.3-1.2, 0.5 for a turbulent orifice.
    Source: q = k P^x through the rated point; common practice, no source: checks open at 50-100 psi.
    """
    gauge = gauge_within(gauge)
    rated_gauge = within("rated_gauge", rated_gauge, 1e3, HIGHEST_GAUGE, "Pa")
    rated_flow = within("rated_flow", rated_flow, 0.0, np.inf, "as given")
    exponent = within("exponent", exponent, 0.3, 1.2, "1")
    open_ = gauge >= within("opens_at", opens_at, 0.0, HIGHEST_GAUGE, "Pa")
    return np.where(open_, rated_flow * (gauge / rated_gauge) ** exponent, 0.0)[()]


FULL_OPEN = 1.2  # times its opening pressure: there a check valve is wide open; judgment


def opened(gauge: ArrayLike, opens_at: ArrayLike, exponent: ArrayLike = 0.5) -> Floats:
    """Share of the wide-open flow that a nozzle passes while its anti-drip check is opening [1], 0-1.

    gauge, opens_at: Pa; exponent: 0.3-1.2 of the nozzle's law. Nothing at `opens_at`, all from 1.2 times
    that on, and between them the flow rises in a straight line. opens_at 0: no check, always 1. Source:
    judgment.
    """
    gauge = gauge_within(gauge)
    opens_at = within("opens_at", opens_at, 0.0, HIGHEST_GAUGE, "Pa")
    exponent = within("exponent", exponent, 0.3, 1.2, "1")
    wide = np.maximum(FULL_OPEN * opens_at, 1.0)
    rise = np.clip((gauge - opens_at) / ((FULL_OPEN - 1) / FULL_OPEN * wide), 0.0, 1.0)
    at = np.clip(gauge, np.maximum(opens_at, 1.0), wide)
    return np.where(opens_at > 0, np.where(gauge < wide, rise * (wide / at) ** exponent, 1.0), 1.0)[()]


def exit_speed(gauge: ArrayLike, density: ArrayLike = 998.2, coefficient: ArrayLike = 0.95) -> Floats:
    """Speed of the water as it leaves the orifice [m/s]: coefficient sqrt(2 gauge / density).

    gauge: Pa; density of the water: kg/m3. Source: Bernoulli; the velocity coefficient 0.95 is common for
    swirl nozzles (Lefebvre 1989, Atomization and Sprays, gives 0.8-0.97).
    """
    return np.asarray(coefficient) * np.sqrt(2 * gauge_within(gauge) / np.asarray(density))


def diameter_at(
    gauge: ArrayLike, stated_diameter: ArrayLike, stated_gauge: ArrayLike, exponent: ArrayLike = -0.4
) -> Floats:
    """A stated drop size carried to another pressure [same unit as stated_diameter].

    gauge, stated_gauge: Pa, above 1 kPa; exponent: -0.5 to -0.3. Source: published correlations, Lefebvre
    1989.
    """
    gauge = within("gauge", gauge, 1e3, HIGHEST_GAUGE, "Pa")
    stated_gauge = within("stated_gauge", stated_gauge, 1e3, HIGHEST_GAUGE, "Pa")
    return np.asarray(stated_diameter) * (gauge / stated_gauge) ** np.asarray(exponent)


def swirl_sauter_diameter(
    mass_flow: ArrayLike,
    gauge: ArrayLike,
    surface_tension: ArrayLike = 0.0728,
    viscosity: ArrayLike = 1.002e-3,
    air_density: ArrayLike = 1.2,
) -> Floats:
    """Sauter mean diameter of a pressure-swirl nozzle [m]; real outdoor nozzles run 1 to 2.5 times this.

    mass_flow: kg/s; gauge: Pa; surface_tension, viscosity: of the water, N/m and Pa s, by default
    at 20 degC; air_density: kg/m3.
    Source: Lefebvre 1987 (Atomization and Sprays, pressure-swirl), quoted from memory:
    2.25 sigma^0.25 mu^0.25 m^0.25 dP^-0.5 rho_air^-0.25.
    """
    gauge = within("gauge", gauge, 1e3, HIGHEST_GAUGE, "Pa")
    group = np.asarray(surface_tension) * np.asarray(viscosity) * mass_flow / np.asarray(air_density)
    return 2.25 * group**0.25 / np.sqrt(gauge)


def fan_sauter_diameter(
    hydraulic_diameter: ArrayLike,
    gauge: ArrayLike,
    surface_tension: ArrayLike = 0.0728,
    viscosity: ArrayLike = 1.002e-3,
    air_density: ArrayLike = 1.2,
    water_density: ArrayLike = 998.2,
) -> Floats:
    """Sauter mean diameter of a flat-fan nozzle [m].

    hydraulic_diameter: of the orifice [m]; gauge: 1.38-10.34 MPa; surface_tension, viscosity, air_density:
    as for `swirl_sauter_diameter`; water_density: kg/m3. Source: ASME J. Fluids Eng. 111(3), 342:
    SMD/dh = 2.83 [s mu^2/(rho_a dh^3 dP^2)]^0.25 + 0.26 [s rho_l/(rho_a dh dP)]^0.25.
    """
    gauge = within("gauge", gauge, 1.38e6, 10.34e6, "Pa")
    d = within("hydraulic_diameter", hydraulic_diameter, 1e-5, 5e-3, "m")
    s, mu, rho = (np.asarray(x) for x in (surface_tension, viscosity, air_density))
    viscous = (s * mu**2 / (rho * d**3 * gauge**2)) ** 0.25
    inertial = (s * np.asarray(water_density) / (rho * d * gauge)) ** 0.25
    return d * (2.83 * viscous + 0.26 * inertial)


def sauter_over_median(spread: ArrayLike) -> Floats:
    """Sauter mean diameter over volume median Dv50 of a Rosin-Rammler spray of a spread above 1 [1].

    (ln 2)^(-1/q) / Gamma(1 - 1/q), q the spread. Source: Lefebvre 1989, Atomization and Sprays, ch. 3.
    """
    q = within("spread", spread, 1.05, 20.0, "1")
    return log(2) ** (-1 / q) / np.vectorize(gamma, otypes=[float])(1 - 1 / q)[()]


SWIRL_BAND = (1.0, 2.5)  # times the correlation: where real outdoor nozzles lie; atrium study, mist fans
SWIRL_MIDDLE = sum(SWIRL_BAND) / 2
LARGEST_DROP = (
    4e-3  # m: much larger ones break up as they fall (Pruppacher & Klett 1997, ch. 10, from memory)
)
SMALLEST_DROP = 1e-6  # m: no nozzle makes finer by pressure alone. Judgement
POURS_BELOW = 1e3  # Pa gauge, 10 cm of water: no spray any more. Judgement


def median_of(
    gauge: ArrayLike,
    stated_gauge: ArrayLike,
    spread: ArrayLike,
    *,
    flow: ArrayLike,
    median: ArrayLike | None = None,
    sauter: ArrayLike | None = None,
    over_correlation: ArrayLike = SWIRL_MIDDLE,
) -> Floats:
    """Volume median Dv50 of a nozzle at a pressure [m]: from what is stated first, from a correlation second.

    gauge, stated_gauge: Pa; spread: Rosin-Rammler exponent, 1.05-20; flow: m3/s, median (Dv50) and sauter
    (Sauter mean): m, all three at stated_gauge. `median` goes before `sauter`. Where neither is stated, the
    Sauter mean is `over_correlation` times that of a pressure-swirl nozzle: somewhere in SWIRL_BAND. Never
    more than LARGEST_DROP: a nozzle starved of pressure (surely below POURS_BELOW) pours water that falls to
    pieces on its way; never less than SMALLEST_DROP. Source: `diameter_at`, `sauter_over_median`,
    `swirl_sauter_diameter`.
    """
    if median is None:
        if sauter is None:
            formula = swirl_sauter_diameter(998.2 * np.asarray(flow), stated_gauge)
            sauter = np.asarray(over_correlation) * formula
        median = np.asarray(sauter) / sauter_over_median(spread)
    gauge = gauge_within(gauge)
    carried = diameter_at(np.maximum(gauge, POURS_BELOW), median, stated_gauge)
    return np.where(gauge < POURS_BELOW, LARGEST_DROP, np.clip(carried, SMALLEST_DROP, LARGEST_DROP))[()]


def size_classes(median_diameter: ArrayLike, spread: ArrayLike, classes: int = 12) -> tuple[Floats, Floats]:
    """Drop diameters [m], [..., class], standing for a Rosin-Rammler spray, and their mass shares [class].

    median_diameter: Dv50 [m]; spread: Rosin-Rammler exponent q, 1.05-20; classes: how many. The volume below
    d is 1 - exp(-ln 2 (d / Dv50)^q). Classes sit at the Gauss-Legendre nodes of that volume, so that an
    integral over the spray converges with few of them. Source: Rosin & Rammler, as in Lefebvre 1989, ch. 3.
    """
    d = within("median_diameter", median_diameter, 1e-7, 5e-3, "m")
    q = within("spread", spread, 1.05, 20.0, "1")
    nodes, weights = np.polynomial.legendre.leggauss(classes)
    d, q = np.broadcast_arrays(d, q)
    below = (1 + nodes) / 2
    return d[..., None] * (-np.log1p(-below) / log(2)) ** (1 / q[..., None]), weights / 2
