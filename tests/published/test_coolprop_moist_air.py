"""Moist air against CoolProp's real-gas formulation, and a textbook problem between the two."""

import numpy as np

from mistcalc.physics import air
from tests.properties import HAPropsSI
from tests.published.cases import Source

REAL = Source(
    page="coolprop-moist-air",
    subject="Moist air",
    title="CoolProp, real moist air",
    cite="CoolProp HumidAirProp (Bell et al. 2014, Ind. Eng. Chem. Res. 53, 2498; ASHRAE RP-1485)",
    read="computed",
    limits="20-50 degC, RH 5-90 %, 75-101 kPa: how far an ideal gas is from a real one there.",
)
CENGEL = Source(
    page="cengel-boles",
    subject="Moist air",
    title="Çengel & Boles, problem 14-91",
    cite="Çengel & Boles, Thermodynamics, 8th ed., problem 14-91: 40 degC, 25 %, 95 kPa cooled until "
    "saturated",
    read="page",
    limits="The book cools at constant enthalpy and gets 23.1 degC; the thermodynamic wet bulb is 23.32 "
    "degC.",
)
ZERO = 273.15


def test_ratio_enthalpy_and_wet_bulb():
    t, rh, p = (x.ravel() for x in np.meshgrid([20, 35, 50], [0.05, 0.3, 0.6, 0.9], [75e3, 101e3]))
    w = air.humidity_ratio(t + ZERO, rh, p)

    def theirs(what):
        rows = zip(t, rh, p, strict=True)
        return np.array([HAPropsSI(what, "T", a + ZERO, "R", b, "P", c) for a, b, c in rows])

    ideal = "real gas against ideal gas"
    REAL.check("humidity ratio", w, theirs("W"), "kg/kg", rel=0.0065, because=ideal)
    h = air.enthalpy(t + ZERO, w) / 1e3
    REAL.check("enthalpy", h, theirs("H") / 1e3, "kJ/kg", within=1.35, because=ideal)
    wet = air.wet_bulb(t + ZERO, w, p) - ZERO
    REAL.check("wet bulb", wet, theirs("B") - ZERO, "degC", within=0.03, because=ideal)


def test_cengel_and_boles_14_91():
    ratio = air.humidity_ratio(40 + ZERO, 0.25, 95e3)
    ours = air.wet_bulb(40 + ZERO, ratio, 95e3) - ZERO
    because = "real gas (23.31 by CoolProp) against ideal gas"
    CENGEL.check("wet bulb", ours, 23.32, "degC", within=0.03, because=because)
    # The book's own path, told apart from ours: enthalpy kept, the water's own heat left out.
    saturated = air.enthalpy(23.15 + ZERO, air.saturated_ratio(23.15 + ZERO, 95e3)) / 1e3
    kept = float(air.enthalpy(40 + ZERO, ratio)) / 1e3
    because = "0.05 K of the book's 23.1, its last digit"
    CENGEL.check("enthalpy at the book's 23.15 degC", saturated, kept, "kJ/kg", rel=2e-3, because=because)
