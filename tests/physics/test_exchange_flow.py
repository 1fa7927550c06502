"""Flow through open sides, against the handbook's coefficients and worked arithmetic."""

import numpy as np
import pytest

from mistcalc.physics import exchange


@pytest.mark.parametrize("angle", [0.0, 0.3, np.pi / 4, 1.2])
def test_facing_pair_passes_the_handbooks_flow(angle):
    through = exchange.cross_flow([7.0, 7.0], np.array([angle, np.pi - angle]), 2.0)
    assert through == pytest.approx(exchange.wind_flow(7.0, 2.0, angle), rel=1e-6)


def test_one_way_only_or_openings_driven_alike_pass_nothing():
    assert exchange.cross_flow([5.0], np.array([0.0]), 3.0) == pytest.approx(0.0, abs=1e-6)
    assert exchange.cross_flow([5.0, 2.0], np.array([0.4, 0.4]), 3.0) == pytest.approx(0.0, abs=1e-6)


def test_flow_grows_with_area_wind_and_difference():
    assert exchange.wind_flow(2.0, 3.0) == pytest.approx(6 * exchange.wind_flow(1.0, 1.0))
    assert np.all(np.diff(exchange.buoyant_flow(np.linspace(0, 20, 50), 10.0, 3.0, 310.0)) > 0)
    assert exchange.single_sided_flow(10.0, 0.0) == 0.0
