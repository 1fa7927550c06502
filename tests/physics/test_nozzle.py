"""The nozzle: rated point, check valve, and classes that stand for the whole spray."""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import nozzle


def test_rated_point_and_check_valve():
    assert nozzle.flow(70e5, 1.8e-6, 70e5) == 1.8e-6
    gauge = np.array([0.0, 3e5, 4e5, 70e5])
    assert np.all((nozzle.flow(gauge, 1.8e-6, 70e5, opens_at=4e5) > 0) == [False, False, True, True])


def test_classes_hold_the_mass_and_the_moments():
    """Share of mass, median and Sauter mean of the classes against the closed forms."""
    for spread in (2.1, 2.5, 2.9):
        d, share = nozzle.size_classes(27e-6, spread, 40)
        assert share.sum() == pytest.approx(1, abs=1e-12)
        assert np.interp(0.5, np.cumsum(share) - share / 2, d) == pytest.approx(27e-6, rel=0.01)
        sauter = 1 / (share / d).sum()
        # 2 %: the fine tail holds area without mass, and 40 nodes end short of zero.
        assert sauter / 27e-6 == pytest.approx(nozzle.sauter_over_median(spread), rel=0.02)
    assert nozzle.size_classes(np.full((3, 1), 20e-6), [2.1, 2.5], 8)[0].shape == (3, 2, 8)


def test_no_answer_is_refused():
    for call in (
        lambda: nozzle.flow(-1.0, 1e-6, 70e5),
        lambda: nozzle.flow(70e5, 1e-6, 0.0),
        lambda: nozzle.size_classes(27e-6, 0.9),
        lambda: nozzle.fan_sauter_diameter(2e-4, 20e6),
    ):
        with pytest.raises(RangeError):
            call()
