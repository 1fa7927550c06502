"""The tube's own law: limits, slope, joints of its branches, and what it refuses."""

import numpy as np
import pytest

from mistcalc.errors import MistcalcError, RangeError
from mistcalc.physics import pipe


def test_christiansen_factor_against_the_sum_it_stands_for():
    for exponent in (1.75, 1.852, 2.0):
        for n in (2, 3, 7, 40, 400):
            exact = sum((k / n) ** exponent for k in range(1, n + 1)) / n
            # Euler-Maclaurin: the closed form is out by (m/12 - sqrt(m-1)/6)/N^2 <= 0.0015/N^2 and by the
            # dropped constant zeta(-m)/N^(m+1), < 0.008/N^2.75
            assert pipe.multi_outlet_factor(n, exponent) == pytest.approx(exact, abs=0.005 / n**2)
    assert pipe.multi_outlet_factor(1, 1.852) == 1.0  # one outlet: all the water goes to the end


def test_slow_flow_is_poiseuille_and_still_water_has_its_slope():
    law = pipe.tube_law(2.0, 0.004, 1.5e-6, 998.0, 1e-3)
    exact = 128 * 1e-3 * 2.0 / (np.pi * 0.004**4)
    loss, slope = pipe.loss_and_slope(law, np.array([0.0, 1e-9, -1e-9]))
    np.testing.assert_allclose(loss, exact * np.array([0.0, 1e-9, -1e-9]), rtol=1e-9)
    np.testing.assert_allclose(slope, exact, rtol=1e-9)


@pytest.mark.parametrize("friction", ["churchill", "swamee-jain-cubic"])
@pytest.mark.parametrize("rough", [0.0, 2e-4, 0.02, 0.05])
def test_loss_rises_with_flow_everywhere_and_its_slope_is_its_derivative(friction, rough):
    bore = 0.006
    law = pipe.tube_law(3.0, bore, rough * bore, 998.0, 1e-3, 0.9, 200.0, friction)
    flow = np.geomspace(1.0, 2e5, 40001) / law.reynolds_per_flow
    loss, slope = pipe.loss_and_slope(law, flow)
    assert np.all(np.diff(loss) > 0) and np.all(slope > 0)
    step = flow * 1e-6
    # central difference of a function whose values carry 1e-16: good to about 1e-8 where smooth; the
    # published cubic's rounded constants leave a step of 1e-6 at Re 4000
    measured = (pipe.loss_and_slope(law, flow + step)[0] - pipe.loss_and_slope(law, flow - step)[0]) / (
        2 * step
    )
    joint = np.minimum(
        abs(flow * law.reynolds_per_flow / 2000 - 1), abs(flow * law.reynolds_per_flow / 4000 - 1)
    )
    smooth = joint > 1e-4
    np.testing.assert_allclose(slope[smooth], measured[smooth], rtol=1e-6)
    np.testing.assert_array_equal(pipe.loss_and_slope(law, -flow)[0], -loss)


def test_the_cubic_joins_without_a_step():
    for rough in (0.0, 1e-3, 0.05):
        for joint in (2000.0, 4000.0):
            below, above = pipe.friction_factor(
                [joint * (1 - 1e-9), joint * (1 + 1e-9)], rough, "swamee-jain-cubic"
            )
            assert below == pytest.approx(above, rel=1e-6)


def test_what_is_out_of_range_is_named():
    for bad in (-1.0, np.nan):
        with pytest.raises(RangeError):
            pipe.friction_factor(bad, 0.0)
    with pytest.raises(RangeError):
        pipe.friction_factor(1e5, 0.2)
    with pytest.raises(RangeError):
        pipe.multi_outlet_factor(0)
    with pytest.raises(MistcalcError, match="unknown-friction-law"):
        pipe.friction_factor(1e5, 0.0, "guess")
