"""Flow through open sides, against the handbook's coefficients and worked arithmetic."""

import numpy as np
import pytest

from mistcalc.physics import exchange


def test_wind_through_openings_within_the_handbooks_range():
    """ASHRAE Handbook of Fundamentals ch. 16: Cv 0.5-0.6 square-on, 0.25-0.35 diagonal."""
    assert 0.5 <= exchange.wind_flow(1.0, 1.0, 0.0) <= 0.6
    assert 0.25 <= exchange.wind_flow(1.0, 1.0, np.pi / 4) <= 0.35
    assert exchange.wind_flow(1.0, 1.0, np.pi) == 0.0


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
