"""Liquid water against IAPWS values and an independent IAPWS-95 program."""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import water
from tests.properties import PropsSI
from tests.published.cases import Source

CRC = Source(
    page="crc-water",
    subject="Water",
    title="CRC Handbook, density and viscosity of water",
    cite="CRC Handbook of Chemistry and Physics, 'Standard density of water' (IAPWS-95) and viscosity; 20 "
    "degC by ISO/TR "
    "3666",
    read="memory",
    limits="Pure, air-free water at 1 atm: hard or salty water is a little denser.",
)
IAPWS = Source(
    page="iapws",
    subject="Water",
    title="IAPWS releases",
    cite="IAPWS SR6-08 (density at 0.1 MPa, value checked by the iapws package) and SR1-86 (saturation: "
    "triple point, "
    "normal boiling point, critical point)",
    read="page",
)
COOLPROP = Source(
    page="coolprop-water",
    subject="Water",
    title="CoolProp, liquid water",
    cite="CoolProp's IAPWS-95 (Bell et al. 2014, Ind. Eng. Chem. Res. 53, 2498), 2-95 degC, 1 bar",
    read="computed",
)
CELSIUS = 273.15
DENSITY = [(0, 999.84), (10, 999.70), (20, 998.21), (30, 995.65), (40, 992.22), (50, 988.03), (80, 971.79)]
VISCOSITY = [(10, 1.306), (20, 1.0016), (30, 0.7972), (40, 0.6527), (50, 0.5465), (60, 0.4660)]


def test_density_of_the_crc_table():
    celsius, told = np.array(DENSITY).T
    CRC.check(
        "density", water.density(celsius + CELSIUS), told, "kg/m³", within=0.011,
        because="rounded to 0.01; 0.1 MPa for 1 atm", x=celsius, axis="degC",
    )  # fmt: skip


def test_viscosity_of_the_crc_table():
    celsius, told = np.array(VISCOSITY).T
    ours = water.viscosity(celsius + CELSIUS) * 1e3
    because = "four figures"
    CRC.check("viscosity", ours, told, "mPa s", rel=5e-4, because=because, x=celsius, axis="degC")


def test_density_of_the_iapws_release():
    told = 997.0683602710492
    IAPWS.check("density, 260 K", water.density(260.0), told, "kg/m³", rel=1e-9, because="rounding")


@pytest.mark.parametrize(
    ("name", "kelvin", "pascal", "rel"),
    [
        ("triple point", 273.16, 611.657, 1e-5),
        ("normal boiling point", 373.1243, 101325, 1e-5),
        ("critical point", 647.096, 22.064e6, 1e-12),
    ],
)
def test_saturation_pressure_at_the_points_the_release_fixes(name, kelvin, pascal, rel):
    ours = water.vapour_pressure(kelvin)
    because = "figures printed" if rel > 1e-9 else "fixed by the equation"
    IAPWS.check(f"saturation pressure, {name}", ours, pascal, "Pa", rel=rel, because=because)


def test_against_coolprop_over_the_range_of_a_hot_lid():
    t = np.linspace(275.0, 368.0, 32)
    other = {name: PropsSI(name, "T", t, "P", 1e5, "Water") for name in ("D", "V")}
    because = "SR6-08 states 1e-6 against IAPWS-95"
    COOLPROP.check("density", water.density(t), other["D"], "kg/m³", rel=3e-6, because=because)
    because = "both forms are known to 1 %; they meet far closer"
    ours, theirs = water.viscosity(t) * 1e3, other["V"] * 1e3
    COOLPROP.check("viscosity", ours, theirs, "mPa s", rel=1e-4, because=because)
    because = "the auxiliary equation is within 1e-4 of the full formulation"
    theirs = PropsSI("P", "T", t, "Q", 0, "Water")
    COOLPROP.check("saturation pressure", water.vapour_pressure(t), theirs, "Pa", rel=1e-4, because=because)


def test_arrays_equal_loops_and_bad_temperatures_are_named():
    t = np.array([[280.0, 300.0], [320.0, 340.0]])
    for law in (water.density, water.viscosity, water.vapour_pressure):
        np.testing.assert_array_equal(law(t), [[law(x) for x in row] for row in t])
        for bad in (-10.0, 700.0, np.nan):
            with pytest.raises(RangeError):
                law(bad)
