"""Power, and evenness against worked figures."""

import pytest

from mistcalc.line import even_flow
from mistcalc.line.sizing import pump_sizing
from tests.published.cases import Source

POWER = Source(
    page="hydraulic-power",
    subject="Pump and water treatment",
    title="Hydraulic power",
    cite="gpm x psi / 1714 (pump handbooks); 4 L/min at 70 bar by hand",
    read="derived",
)
USUAL = Source(
    page="usual-pumps",
    subject="Pump and water treatment",
    title="Usual pumps at 1,000 psi",
    cite="0.5 to 2 gpm: 0.36, 0.73, 1.1 and 1.45 kW taken",
    read="practice",
    limits="60 % overall. The nameplate of the pump you have is the better source.",
)
CHRISTIANSEN = Source(
    page="uniformity",
    subject="The line",
    title="Christiansen's uniformity of catch cans",
    cite="an irrigation text's sprinkler test of fifteen cans",
    read="page",
)
PSI, GPM, HP = 6894.757293168, 3.785411784e-3 / 60, 745.699872


def test_hydraulic_power_of_the_worked_figures():
    """Ours is at the shaft; times the pump's 0.85 it is what the water takes."""
    ours = pump_sizing.shaft_power(1500 * PSI, 20 * GPM) * pump_sizing.PUMP_EFFICIENCY / HP
    POWER.check("20 gpm at 1,500 psi", ours, 17.50, "hp", rel=3e-4, because="1714 is rounded")
    ours = pump_sizing.shaft_power(70e5, 4 / 60000) * pump_sizing.PUMP_EFFICIENCY / 1e3
    POWER.check("4 L/min at 70 bar", ours, 0.4667, "kW", rel=1e-4, because="four figures")


@pytest.mark.parametrize(("gpm", "kilowatt"), [(0.5, 0.36), (1.0, 0.73), (1.5, 1.1), (2.0, 1.45)])
def test_power_of_the_usual_pumps(gpm, kilowatt):
    ours = pump_sizing.electric_power(pump_sizing.shaft_power(1000 * PSI, gpm * GPM)) / 1e3
    USUAL.check(f"{gpm:g} gpm", ours, kilowatt, "kW", rel=0.03, because="rounded to two figures")


def test_uniformity():
    cans = [47, 42, 45, 24, 13, 26, 33, 34, 27, 30, 40, 44, 32, 12, 12]
    _, cu, _ = even_flow.uniformity(cans)
    CHRISTIANSEN.check("CU", 100 * cu, 69.13955, "%", within=1e-5, because="seven figures printed")
