"""Spray cooling in a duct: a fully mixed one-dimensional duct, marched here with the project's functions."""

import numpy as np
import pytest

from mistcalc.physics import air, droplet, nozzle
from tests.published.cases import Source

DUCT = Source(
    page="sureshkumar-2008",
    subject="Nozzles and sprays",
    title="Sureshkumar, Kale & Dhar 2008, a spray in a duct",
    cite="Sureshkumar, Kale & Dhar 2008, Int. J. Heat Mass Transfer 51: 4 mm hollow cone, 3 bar, 12.5 L/min "
    "in 3 m/s "
    "of air at 39.2 degC, 18.7 degC wet bulb; figures as a third party transcribed them",
    read="page",
    limits="Tests drop and enthalpy, not how a plume draws in air: the duct is taken as fully mixed.",
)

ZERO, P = 273.15, 101325.0
OUTLET_DRY = [30.7, 32.2, 32.2, 31.9, 31.4, 31.7, 31.0, 31.6, 31.7]  # nine places behind drift plates, +-0.3
OUTLET_WATER = 26.1


def _duct(median, spread, smallest, largest, classes=16, steps=400):
    """Outlet dry bulb and mean water temperature [degC]; co-flow 3 m/s, 1.9 m long, 0.585 m square."""
    t = 39.2 + ZERO
    ratio = _ratio(t, 18.7 + ZERO)
    water = 12.5e-3 / 60 * droplet.water_density(35.2 + ZERO)
    dry = 3.0 * 0.585**2 * air.density(t, ratio, P) / (1 + ratio)
    d, share = nozzle.size_classes(median, spread, classes)
    d = np.clip(d, smallest, largest)
    number = share * water / (droplet.water_density(35.2 + ZERO) * np.pi / 6 * d**3)
    drop, mass = np.full(classes, 35.2 + ZERO), droplet.water_density(35.2 + ZERO) * np.pi / 6 * d**3
    speed = np.full(classes, float(nozzle.exit_speed(3e5)) * np.cos(np.radians(18)))
    h_total = dry * air.enthalpy(t, ratio) + (number * mass * air.water_enthalpy(drop)).sum()
    all_water = dry * ratio + (number * mass).sum()
    for _ in range(steps):
        dt = 1.9 / steps / speed
        slip = np.abs(speed - 3.0)
        leaving, heat = droplet.warming(drop, d, t, ratio, P, slip)
        reynolds = air.density(t, ratio, P) * slip * d / droplet.viscosity(t)
        drag = 3 * np.pi * droplet.viscosity(t) * d * (1 + 0.15 * reynolds**0.687)
        speed = 3.0 + (speed - 3.0) * np.exp(-drag / mass * dt)
        drop = drop + heat * dt / (mass * air.CP_WATER)
        mass = mass - leaving * dt
        d = np.cbrt(mass / (droplet.water_density(drop) * np.pi / 6))
        ratio = (all_water - (number * mass).sum()) / dry
        t = air.temperature((h_total - (number * mass * air.water_enthalpy(drop)).sum()) / dry, ratio)
    return t - ZERO, (number * mass * (drop - ZERO)).sum() / (number * mass).sum()


def _ratio(t, wet):
    """HoF 2017 ch. 1 eq. 33."""
    c, c_wet = t - ZERO, wet - ZERO
    saturated = air.saturated_ratio(wet, P)
    return ((2501 - 2.326 * c_wet) * saturated - 1.006 * (c - c_wet)) / (2501 + 1.86 * c - 4.186 * c_wet)


@pytest.mark.thorough
def test_mean_cooling_with_the_369_um_set():
    t, water = _duct(369e-6, 3.67, 74e-6, 518e-6)
    because = "nine places differ by 1.5 K; a mixed duct wets no wall or plate"
    DUCT.check("cooling of the air", 39.2 - t, 39.2 - np.mean(OUTLET_DRY), "K", rel=0.25, because=because)
    because = "between the wet bulb and the supply"
    DUCT.between("water at the outlet", water, 18.7, 35.2, "degC", because=because, theirs=OUTLET_WATER)


@pytest.mark.thorough
def test_the_march_itself_converges():
    coarse, fine = (_duct(369e-6, 3.67, 74e-6, 518e-6, steps=n)[0] for n in (100, 800))
    assert coarse == pytest.approx(fine, abs=0.05)
