"""The plume as a jet, against jets measured by others; a source beside each."""

import numpy as np
import pytest

from mistcalc.physics import air, plume

ZERO, P = 273.15, 101325.0


def test_ricou_and_spalding_1961():
    """J. Fluid Mech. 11, 21: a round jet carries 0.32 (s/D) (rho_a/rho_0)^1/2 times its own mass flow, which
    is 0.32 (pi/4)^1/2 s (rho_a J)^1/2 = 0.2836 s (rho_a J)^1/2. A spray so small and fast that neither its
    water's mass nor its weight tells, in saturated air; 2 %, what is left of both at 0.3 m."""
    t = 293.15
    w = air.saturated_ratio(t, P)
    jet = plume.spray_plume(
        t, w, P, wind=0, flow=0.1 / 3.6e6, gauge=25e6, median_diameter=10e-6, spread=2.5,
        water_temperature=t, height=3, spacing=np.inf,
    )  # fmt: skip
    momentum = 0.93 * jet.water_flow * 0.95 * np.sqrt(2 * 25e6 / 998.2)
    near = jet.distance < 0.3
    air_flow = (jet.dry_air * (1 + w) / np.sqrt(air.density(t, w, P) * momentum))[near]
    assert air_flow / jet.distance[near] == pytest.approx(np.full(near.sum(), 0.2836), rel=0.02)
    assert near.sum() > 20


def test_vtt_20_bar_nozzle():
    """VTT, one water-mist nozzle (NIST's database of fire experiments): 20 bar, 0.347 L/min, Dv50 72 um,
    spread 2.1 (an input of the cited simulation); drops fall at 5.84 m/s on the axis 0.62 m down. There the
    speed is twice the top-hat mean. 15 %: one reading, and the simulation's own inputs."""
    t = 293.15
    jet = plume.spray_plume(
        t, air.humidity_ratio(t, 0.5, P), P, wind=0, flow=0.347e-3 / 60, gauge=20e5, median_diameter=72e-6,
        spread=2.1, water_temperature=t, height=3, spacing=np.inf,
    )  # fmt: skip
    assert 2 * np.interp(0.62, jet.depth, jet.speed) == pytest.approx(5.84, rel=0.15)
