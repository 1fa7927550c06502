"""Moist air against PsychroLib: ASHRAE's equations by other hands."""

import numpy as np
import psychrolib

from mistcalc.physics import air
from tests.published.cases import Source

OTHER = Source(
    page="psychrolib",
    subject="Moist air",
    title="PsychroLib",
    cite="PsychroLib 2.5 (Meyer & Thevenard 2019, J. Open Source Software 4(33), 1137), without numba",
    read="computed",
    limits="The same equations: this tests typing and iteration, not the physics. Between 0 and 0.7 degC of "
    "wet bulb "
    "water and ice both have an answer, and are left out.",
)
ZERO = 273.15
psychrolib.SetUnitSystem(psychrolib.SI)

GRID_T = np.linspace(5, 55, 11)
GRID_RH = np.array([0.01, 0.05, 0.15, 0.3, 0.5, 0.7, 0.9, 0.99, 1.0])
GRID_P = np.array([60e3, 75e3, 88e3, 101325.0, 108e3])
SAME = "the same equations: rounding"
STEP = "its own iteration stops at 1 mK"


def test_ratio_enthalpy_density_dew_point_and_wet_bulb():
    t, rh, p = (x.ravel() for x in np.meshgrid(GRID_T, GRID_RH, GRID_P, indexing="ij"))
    w = air.humidity_ratio(t + ZERO, rh, p)
    where = "5-55 degC, 1-100 %, 60-108 kPa"

    def theirs(function, *arguments):
        return np.array([function(*map(float, row)) for row in zip(*arguments, strict=True)])

    ratio = theirs(psychrolib.GetHumRatioFromRelHum, t, rh, p)
    OTHER.check(f"humidity ratio, {where}", w, ratio, "kg/kg", rel=1e-9, because=SAME)
    h = theirs(psychrolib.GetMoistAirEnthalpy, t, w)
    OTHER.check(f"enthalpy, {where}", air.enthalpy(t + ZERO, w), h, "J/kg", rel=1e-9, because=SAME)
    rho = theirs(psychrolib.GetMoistAirDensity, t, w, p)
    OTHER.check(f"density, {where}", air.density(t + ZERO, w, p), rho, "kg/m³", rel=1e-9, because=SAME)
    dew = theirs(psychrolib.GetTDewPointFromHumRatio, t, w, p)
    OTHER.check(f"dew point, {where}", air.dew_point(w, p) - ZERO, dew, "degC", within=1e-3, because=STEP)
    ours = air.wet_bulb(t + ZERO, w, p) - ZERO
    compared = (ours > 0.7) & (rh < 1)
    assert compared.sum() > 400
    wet = theirs(psychrolib.GetTWetBulbFromHumRatio, t[compared], w[compared], p[compared])
    OTHER.check(f"wet bulb, {where}", ours[compared], wet, "degC", within=1e-3, because=STEP)


def test_bulb_of_ice():
    t, rh = (x.ravel() for x in np.meshgrid([-38.0, -20.0, -5.0], [0.1, 0.5, 0.95]))
    w = air.humidity_ratio(t + ZERO, rh, 95e3)
    theirs = [psychrolib.GetTWetBulbFromHumRatio(float(a), float(b), 95e3) for a, b in zip(t, w, strict=True)]
    ours = air.wet_bulb(t + ZERO, w, 95e3) - ZERO
    OTHER.check("wet bulb of ice, -38 to -5 degC, 95 kPa", ours, theirs, "degC", within=1e-3, because=STEP)


def test_state_card_agrees_with_the_kernel():
    card = air.moist_air_state(38 + ZERO, 0.2, 88e3)
    what = "second opinion of a plan: wet bulb off, 38 degC, 20 %, 88 kPa"
    OTHER.check(what, card.wet_bulb_difference, 0.0, "K", within=1e-3, because=STEP)
    assert air.moist_air_state(38 + ZERO, 0.0, 88e3).dew_point is None
    assert air.moist_air_state(-4 + ZERO, 3e-6, 80e3).dew_point is None  # below -100 degC
    assert air.moist_air_state(30 + ZERO, 1.0, 88e3).wet_bulb == 30 + ZERO


def test_humidity_of_a_dry_and_a_wet_bulb():
    t, rh = (x.ravel() for x in np.meshgrid([20.0, 33.0, 45.0], [0.05, 0.2, 0.6, 0.95]))
    w = air.humidity_ratio(t + ZERO, rh, 88e3)
    bulbs = air.wet_bulb(t + ZERO, w, 88e3)
    back = [
        air.relative_humidity_at_wet_bulb(dry + ZERO, wet, 88e3) for dry, wet in zip(t, bulbs, strict=True)
    ]
    OTHER.check("humidity of two bulbs, 20-45 degC, 88 kPa", rh, back, "1", within=1e-4, because=STEP)
