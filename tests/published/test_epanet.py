"""Forty nozzles on a line, solved by the public-domain network engine EPANET."""

import pytest

from mistcalc.line.network.solver import solve
from tests.line import networks
from tests.published.cases import Source

EPANET = Source(
    page="epanet",
    subject="The line",
    title="EPANET 2.2, forty nozzles",
    cite="EPANET 2.2 through wntr, run once outside this project: Darcy-Weisbach, roughness 1.5 um, 998.2 "
    "kg/m³, 1.0034e-6 "
    "m²/s, nozzles 24 in apart, the first one spacing from a source that holds its pressure, no fitting loss",
    read="computed",
    limits="Heads converted with 9.80665 m/s², while the engine's g is 32.2 ft/s²: its friction is 0.08 % "
    "low. Random lines, "
    "trees and rings are compared with the engine itself in tests/line/test_against_engine.py.",
)
LINES = [
    ("70 bar dead end", {"bar": 70, "litres_per_minute": 0.1, "bore": 7.747e-3}, 69.6405, 0.099743, 3.99234),
    ("4 bar dead end", {"bar": 4, "litres_per_minute": 0.06, "bore": 4.318e-3}, 2.3810, 0.046291, 1.99382),
    (
        "4 bar ring",
        {"bar": 4, "litres_per_minute": 0.06, "bore": 4.318e-3, "ring": True},
        3.6677,
        0.057454,
        2.32205,
    ),
]


@pytest.mark.parametrize(("name", "line", "lowest", "least", "total"), LINES)
def test_forty_nozzles(name, line, lowest, least, total):
    solved = solve(networks.even(40, **line, friction="swamee-jain-cubic"))
    because = "the engine's g is worth 2e-4 on flow"
    flow = solved.nozzle_flow / networks.LITRE_PER_MINUTE
    EPANET.check(f"{name}, least flow", flow.min(), least, "L/min", rel=5e-4, because=because)
    EPANET.check(f"{name}, total flow", flow.sum(), total, "L/min", rel=5e-4, because=because)
    gauge = solved.nozzle_gauge.min() / 1e5
    because = "twice that on pressure"
    EPANET.check(f"{name}, lowest pressure", gauge, lowest, "bar", rel=1e-3, because=because)
    churchill = solve(networks.even(40, **line)).nozzle_flow.min() / networks.LITRE_PER_MINUTE
    because = "Churchill differs from the engine's law between Re 2,000 and 4,000"
    EPANET.check(f"{name}, least flow by Churchill", churchill, least, "L/min", rel=5e-3, because=because)
