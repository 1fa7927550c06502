"""A line shut in: psi a millilitre and a degree, the cushion vessel, and what IAPWS-95 water would show."""

import numpy as np
import pytest

from mistcalc.line.pressure_test import closed_line
from mistcalc.model.results import GaugeReading
from mistcalc.physics import tube_elasticity
from tests.properties import PropsSI
from tests.published.cases import Source

PSI, ML, INCH, DEGREE, ATMOSPHERE = 6894.757293168, 1e-6, 0.0254, 5 / 9, 101325.0
VOLUME, MOST_AIR = 0.86e-3, 100e-6
STRETCH = float(tube_elasticity.volume_compliance("stainless 304", 0.375 * INCH, 0.035 * INCH))
LINE = closed_line.ClosedLine(VOLUME, STRETCH, 3 * 17.3e-6)

HAND = Source(
    page="line-shut-in",
    subject="Tube and joints",
    title="A line shut in, by hand",
    cite="Worked out by hand for 0.86 L in 3/8 x 0.035 in stainless tube: "
    "IAPWS-95 water, a thin wall, Boyle's law",
    read="derived",
    limits="They do not say how warm the tube is: 79 degF is taken, for psi a degree goes from 34 to 38 "
    "between 77 and 80 degF.",
)
IAPWS = Source(
    page="line-shut-in-iapws95",
    subject="Tube and joints",
    title="A line shut in, IAPWS-95",
    cite="IAPWS-95 through CoolProp 6: the pressure at which the same mass of water fits the tube",
    read="computed",
    limits="Air as an ideal gas that does not dissolve; the tube's give and growth are ours.",
)


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


def at(gauge, degrees):
    return GaugeReading(gauge * PSI, kelvin(degrees), kelvin(degrees))


@pytest.mark.parametrize(("air", "told", "room"), [(0.0, 340.0, 3.4), (MOST_AIR, 211.0, 2.1)])
def test_psi_a_millilitre(air, told, room):
    start = at(1000, 79)
    fell = start.gauge - closed_line.gauge_pressure_at(
        LINE, start, start.tube, start.vessel, air, 0.0, 1 * ML
    )
    HAND.check(
        f"1 mL lost at 1,000 psi, {air / ML:.0f} mL of air", fell / PSI, told, "psi", within=room,
        because="1 %: thin wall there, thick here",
    )  # fmt: skip


@pytest.mark.parametrize(("air", "told"), [(0.0, 36.0), (MOST_AIR, 25.0)])
def test_psi_a_degree(air, told):
    start = at(1000, 79)
    rose = closed_line.gauge_pressure_at(LINE, start, start.tube + DEGREE, start.vessel, air) - start.gauge
    HAND.check(
        f"1 degF warmer at 1,000 psi, {air / ML:.0f} mL of air", rose / PSI, told, "psi", within=1.0,
        because="printed to 1; steel of 16.0e-6 or 17.3e-6 a kelvin is 0.7 apart",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("what", "tube", "vessel", "lost", "told"),
    [
        ("tube and vessel 70 to 100 degF", 100, 100, 0, 7.1),
        ("tube 70 to 100 degF, vessel unchanged", 100, 70, 0, 2.8),
        ("10 mL lost", 70, 70, 10 * ML, -6.8),
    ],
)
def test_a_cushion_of_100_ml_at_60_psi(what, tube, vessel, lost, told):
    start = at(60, 70)
    moved = (
        closed_line.gauge_pressure_at(LINE, start, kelvin(tube), kelvin(vessel), 0.0, 100 * ML, lost)
        - start.gauge
    )
    HAND.check(
        f"watch at 60 psi on 100 mL: {what}", moved / PSI, told, "psi", within=0.1,
        because="printed to 0.1, and steel as above",
    )  # fmt: skip


@pytest.mark.parametrize("air", [0.0, 40 * ML, MOST_AIR])
@pytest.mark.parametrize(
    ("gauge", "first", "last", "lost"), [(1000, 60, 75, 0), (1000, 95, 88, 0.4), (60, 50, 90, 3)]
)
def test_against_density_of_iapws_95(air, gauge, first, last, lost):
    p1, t1, t2 = gauge * PSI + ATMOSPHERE, kelvin(first), kelvin(last)
    bubbles = air * ATMOSPHERE / p1
    mass = PropsSI("D", "T", t1, "P", p1, "Water") * (VOLUME - bubbles)
    low, high = 1e3, 4e7
    for _ in range(80):
        p = (low + high) / 2
        tube = VOLUME * (1 + LINE.growth * (t2 - t1) + STRETCH * (p - p1))
        water = mass / PropsSI("D", "T", t2, "P", p, "Water") - lost * ML
        low, high = (low, p) if water + bubbles * p1 / p * t2 / t1 < tube else (p, high)
    ours = closed_line.gauge_pressure_at(LINE, at(gauge, first), t2, t2, air, 0.0, lost * ML)
    IAPWS.check(
        f"{gauge} psi, {first} to {last} degF, {lost} mL lost, {air / ML:.0f} mL of air",
        float(np.asarray(ours)) / PSI, (low - ATMOSPHERE) / PSI, "psi",
        within=0.005 * abs(low - p1) / PSI + 0.1,
        because="water's give is taken at the start's pressure: 0.5 % of what the gauge moved",
    )  # fmt: skip
