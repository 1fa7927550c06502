"""Flow through open sides, against the handbook's coefficients and worked arithmetic."""

import numpy as np
import pytest

from mistcalc.physics import exchange


def test_wind_through_openings_within_the_handbooks_range():
    """ASHRAE Handbook of Fundamentals ch. 16: Cv 0.5-0.6 square-on, 0.25-0.35 diagonal."""
    assert 0.5 <= exchange.wind_flow(1.0, 1.0, 0.0) <= 0.6
    assert 0.25 <= exchange.wind_flow(1.0, 1.0, np.pi / 4) <= 0.35
    assert exchange.wind_flow(1.0, 1.0, np.pi) == 0.0


@pytest.mark.parametrize("angle", [0.0, 0.3, np.pi / 4, 1.2])
def test_facing_pair_passes_the_handbooks_flow(angle):
    through = exchange.cross_flow([7.0, 7.0], np.array([angle, np.pi - angle]), 2.0)
    assert through == pytest.approx(exchange.wind_flow(7.0, 2.0, angle), rel=1e-6)


def test_unequal_pair_is_two_openings_in_series():
    """1/A^2 = 1/A1^2 + 1/A2^2, the handbooks' rule for openings in series (ASHRAE Fundamentals ch. 16)."""
    together = 1 / np.sqrt(1 / 3.0**2 + 1 / 9.0**2)
    through = exchange.cross_flow([3.0, 9.0], np.array([0.0, np.pi]), 1.0)
    assert through == pytest.approx(np.sqrt(2) * exchange.wind_flow(together, 1.0), rel=1e-6)


def test_one_way_only_or_openings_driven_alike_pass_nothing():
    assert exchange.cross_flow([5.0], np.array([0.0]), 3.0) == pytest.approx(0.0, abs=1e-6)
    assert exchange.cross_flow([5.0, 2.0], np.array([0.4, 0.4]), 3.0) == pytest.approx(0.0, abs=1e-6)


def test_two_way_flow_is_the_handbooks_stack_flow_halved_both_ways():
    """ASHRAE 1997 ch. 25 eq. 37-38 (read second-hand): Q = Cd A (2 g H dT/T)^1/2, Cd = 0.40 + 0.0045 dT;
    2 m2, 1.5 m, 308 and 303 K give 0.584 m3/s. Ours has half the area each way and the full height as
    driving head: (A/2)(g H)^1/2, that is 2^1/2 times half as much and half again: 0.584 / (2 x 2^1/2)."""
    ours = exchange.buoyant_flow(5.0, 2.0, 1.5, 308.0)
    assert ours == pytest.approx(0.584 / (2 * 2**0.5), rel=0.002)  # three figures were printed


def test_flow_grows_with_area_wind_and_difference():
    assert exchange.wind_flow(2.0, 3.0) == pytest.approx(6 * exchange.wind_flow(1.0, 1.0))
    assert np.all(np.diff(exchange.buoyant_flow(np.linspace(0, 20, 50), 10.0, 3.0, 310.0)) > 0)
    assert exchange.single_sided_flow(10.0, 0.0) == 0.0
