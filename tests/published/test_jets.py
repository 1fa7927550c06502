"""The plume as a jet, against jets measured by others; a source beside each."""

import numpy as np

from mistcalc.physics import air, nozzle, plume
from tests.published.cases import Source

RICOU_SPALDING = Source(
    page="ricou-spalding-1961",
    subject="Plume and patio",
    title="Ricou & Spalding 1961, air drawn in by a round jet",
    cite="Ricou & Spalding 1961, J. Fluid Mech. 11, 21: 0.32 (s/D) (rho_a/rho_0)^1/2 times the jet's own "
    "mass flow, "
    "that is 0.2836 s (rho_a J)^1/2",
    read="page",
    limits="A spray so small and fast that neither its water's mass nor its weight tells, in saturated air.",
)
VTT = Source(
    page="vtt-mist-nozzle",
    subject="Plume and patio",
    title="VTT, one 20 bar water-mist nozzle",
    cite="VTT water-mist nozzle, 20 bar, Dv50 72 um, Rosin-Rammler spread 2.1, in NIST's database of fire "
    "experiments",
    read="data",
    limits="Exit speed and spread are inputs of the cited simulation, not measurements.",
)
ZERO, P = 273.15, 101325.0


def test_air_drawn_in():
    t = 293.15
    w = air.saturated_ratio(t, P)
    jet = plume.spray_plume(
        t, w, P, wind=0, flow=0.1 / 3.6e6, gauge=25e6, median_diameter=10e-6, spread=2.5,
        water_temperature=t, height=3, spacing=np.inf,
    )  # fmt: skip
    momentum = 0.93 * jet.water_flow * 0.95 * np.sqrt(2 * 25e6 / 998.2)
    near = jet.distance < 0.3
    assert near.sum() > 20
    air_flow = (jet.dry_air * (1 + w) / np.sqrt(air.density(t, w, P) * momentum))[near]
    because = "what is left of the water's mass and weight at 0.3 m"
    RICOU_SPALDING.check(
        "air flow over s (rho J)^1/2, to 0.3 m", air_flow / jet.distance[near], 0.2836, "", rel=0.02,
        because=because,
    )  # fmt: skip


def test_speed_on_the_axis():
    """There the speed is twice the top-hat mean."""
    t = 293.15
    jet = plume.spray_plume(
        t, air.humidity_ratio(t, 0.5, P), P, wind=0, flow=0.347e-3 / 60, gauge=20e5, median_diameter=72e-6,
        spread=2.1, water_temperature=t, height=3, spacing=np.inf,
    )  # fmt: skip
    ours = 2 * np.interp(0.62, jet.depth, jet.speed)
    because = "one reading, and the simulation's own inputs"
    VTT.check("drop speed on the axis, 0.62 m down", ours, 5.84, "m/s", rel=0.15, because=because)


def test_exit_speed_and_flow():
    because = "figures rounded to that"
    VTT.check("exit speed at 20 bar", nozzle.exit_speed(20e5), 60, "m/s", rel=0.02, because=because)
    ours = nozzle.flow(20e5, 4.09e-6 * 1e5**0.5, 1e5) * 60 / 0.998  # k in kg/(s Pa^0.5)
    VTT.check("flow at 20 bar", ours, 0.347, "L/min", rel=0.02, because=because)
