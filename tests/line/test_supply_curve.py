"""Supply curves: what they hold at the points people measured, and that they fall throughout."""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.line.network.supply_curve import gauge_at, mains_curve, pump_curve

PSI, GPM = 6894.757293168, 3.785411784e-3 / 60


def falls(curve):
    flow, gauge = np.array(curve).T
    return np.all(np.diff(flow) > 0) and np.all(np.diff(gauge) < 0)


def test_pump_holds_what_it_was_set_to_where_it_was_set():
    curve = pump_curve(1000 * PSI, 1.0 * GPM, set_at=0.8 * GPM, droop=0.02, slip=0.03)
    assert falls(curve)
    assert gauge_at(curve, 0.8 * GPM) == pytest.approx(1000 * PSI, rel=1e-12)
    assert gauge_at(curve, 0.0) - gauge_at(curve, 1.0 * GPM) == pytest.approx(20 * PSI, rel=1e-9)
    assert curve[-1] == pytest.approx((1.03 * GPM, 0.0))
    assert gauge_at(pump_curve(1000 * PSI, GPM), GPM) == pytest.approx(1000 * PSI)


def test_mains_by_the_flow_test_formula():
    # NFPA 291, discharge calculations: Q_R = Q_F h_R^0.54 / h_F^0.54. Test: 60 psi static, 48 psi at 3 gpm.
    # Drops of 3, 24 and 60 psi then pass 3 (drop/12)^0.54 = 1.4191, 4.3619, 7.1543 gpm (worked by hand).
    curve = mains_curve(60 * PSI, 48 * PSI, 3 * GPM)
    assert falls(curve)
    assert gauge_at(curve, 3 * GPM) == pytest.approx(48 * PSI, rel=1e-12)
    assert gauge_at(curve, 0.0) == 60 * PSI
    for gpm, left in ((1.4191, 57.0), (4.3619, 36.0), (7.1543, 0.0)):
        below = left - gauge_at(curve, gpm * GPM) / PSI
        # chords lie below the curve, never above: by 0.2 % of the 12 psi within the test, by
        # 1.85 * 0.85 / 8 * 0.25^2 = 1.2 % of the drop at most beyond it, where points are 1.25 times apart
        assert -1e-3 <= below <= 0.012 * (60 - left)


@pytest.mark.parametrize(
    "bad", [(60, 60, 3), (60, 70, 3), (60, -1, 3), (60, 48, 0), (0, 0, 3), (np.nan, 48, 3)]
)
def test_a_test_that_cannot_be_is_named(bad):
    static, residual, flow = bad
    with pytest.raises(RangeError):
        mains_curve(static * PSI, residual * PSI, flow * GPM)


def test_a_pump_that_cannot_be_is_named():
    for bad in ({"set_pressure": 0.0}, {"flow": -1.0}, {"droop": 0.0}, {"slip": 0.9}, {"set_at": 2.0}):
        with pytest.raises(RangeError):
            pump_curve(**{"set_pressure": 7e6, "flow": 1e-4, **bad})
