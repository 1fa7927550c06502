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


def test_stated_size_before_correlation():
    """A median before a Sauter mean, either before the correlation, which is scaled by its band."""
    rated = {"flow": 1.8e-6, "stated_gauge": 70e5, "spread": 2.5}
    assert nozzle.median_of(70e5, **rated, median=27e-6, sauter=5e-6) == pytest.approx(27e-6)
    sauter = nozzle.median_of(70e5, **rated, sauter=21e-6)
    assert sauter == pytest.approx(21e-6 / nozzle.sauter_over_median(2.5))
    low, high = (nozzle.median_of(70e5, **rated, over_correlation=x) for x in nozzle.SWIRL_BAND)
    assert high / low == pytest.approx(2.5)
    formula = nozzle.swirl_sauter_diameter(998.2 * 1.8e-6, 70e5)
    assert low * nozzle.sauter_over_median(2.5) == pytest.approx(formula)
    # carried to another pressure like any other; a larger nozzle makes larger drops
    assert nozzle.median_of(35e5, **rated) == pytest.approx(2**0.4 * nozzle.median_of(70e5, **rated))
    assert nozzle.median_of(70e5, **{**rated, "flow": 3.6e-6}) > nozzle.median_of(70e5, **rated)
    assert nozzle.median_of(1e3, **{**rated, "flow": 1e-3}) == nozzle.LARGEST_DROP


def test_a_check_lets_through_nothing_then_more_then_all():
    """Shut up to its opening pressure, wide open from 1.2 times that (judgement), a straight rise of flow
    between: half way, at 1.1, half the flow at 1.2, so 0.5 (1.2 / 1.1)^1/2 of the wide-open flow there."""
    share = nozzle.opened(np.array([0.0, 4e5, 5e5, 5.5e5, 6e5, 70e5]), 5e5)
    assert share == pytest.approx([0, 0, 0, 0.5 * np.sqrt(1.2 / 1.1), 1, 1])
    assert np.all(nozzle.opened(np.array([0.0, 1e5]), 0.0) == 1.0)
    rising = nozzle.opened(np.linspace(5e5, 6e5, 50), 5e5) * nozzle.flow(np.linspace(5e5, 6e5, 50), 1e-6, 5e5)
    assert np.all(np.diff(rising) > 0)


def test_a_nozzle_without_pressure_pours():
    """Down to no pressure at all there is an answer: drops as large as drops get."""
    size = nozzle.median_of([0.0, 300.0, 2e3], 7e6, 2.5, flow=1.8e-6, median=30e-6)
    assert size[0] == size[1] == nozzle.LARGEST_DROP > size[2] > 30e-6


def test_drops_stated_fine_at_a_low_pressure_stay_drops():
    """1 um at 5 bar would be a third of that at 70: no less than the plume has an answer for."""
    assert nozzle.median_of(70e5, 5e5, 2.5, flow=1.8e-6, median=1e-6) == nozzle.SMALLEST_DROP
