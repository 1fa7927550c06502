"""The arithmetic of a misting line: what a litre an hour can do. Common arithmetic, no source."""

import numpy as np

from mistcalc.physics import air
from tests.published.cases import Source

HAND = Source(
    page="misting-arithmetic",
    subject="Moist air",
    title="A litre an hour, by hand",
    cite="latent heat 2453.5 kJ/kg at 20 degC (ASHRAE Fundamentals 2017, ch. 1, table 3), 0.998 kg/L, 1.006 "
    "kJ/kg K, "
    "1.164 kg/m³ of dry air at 30 degC and 101,325 Pa",
    read="derived",
    limits="Round constants: an engine that follows the wet-bulb line gives 2.35-2.46 K for a gram a "
    "kilogram.",
)
P = 101325


def test_a_gram_a_kilogram_is_2_44_kelvin():
    t = 35 + 273.15
    before = air.humidity_ratio(t, 0.2, P)
    wet = air.wet_bulb(t, before, P)
    h = air.enthalpy(t, before) + 1e-3 * air.water_enthalpy(wet)
    ours = t - air.temperature(h, before + 1e-3)
    because = "constant heats and dry air in the hand sum"
    HAND.check("1 g evaporated into 1 kg of air, 35 degC, 20 %", ours, 2.44, "K", rel=0.05, because=because)


def test_a_litre_an_hour_is_0_680_kilowatt():
    ours = 0.998 / 3600 * air.latent_heat(293.15) / 1e3
    HAND.check(
        "1 L/h evaporated at 20 degC", ours, 0.680, "kW", rel=0.01, because="three figures; 2453.5 rounded"
    )


def test_a_litre_an_hour_in_a_cubic_metre_a_second():
    """By hand 0.580 K in air of 30 degC; here of 10 to 60 %, its water at its wet bulb."""
    t = 30 + 273.15
    before = air.humidity_ratio(t, np.array([0.1, 0.3, 0.6]), P)
    dry = air.density(t, before, P) / (1 + before)
    added = 0.998 / 3600 / dry
    h = air.enthalpy(t, before) + added * air.water_enthalpy(air.wet_bulb(t, before, P))
    ours = t - air.temperature(h, before + added)
    because = "the hand sum takes dry air and one latent heat"
    HAND.check("1 L/h into 1 m³/s, 30 degC, 10-60 %", ours, 0.580, "K", rel=0.05, because=because)
