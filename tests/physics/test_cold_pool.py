"""The two-layer bound of a calm hour: what pours in spills out, heat is kept, limits."""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import exchange

LEVEL = np.linspace(0, 2.9, 291)


def test_balance_at_the_interface():
    """With the answer put back into the definitions, by hand (0.5 %: a level is 1 cm)."""
    poured = 3.0 * (3.2 - LEVEL) ** (5 / 3)  # plumes grow as they come down
    top, drop = exchange.cold_pool(LEVEL, poured, 25e3 / (1.1 * 1006 * poured), 14.0, 313.0)
    flow = 3.0 * (3.2 - top) ** (5 / 3)
    assert drop == pytest.approx(25e3 / (1.1 * 1006 * flow), rel=5e-3)
    gravity = 9.80665 * 0.92 * drop / 313.0
    assert 0.45 * 14.0 * top * np.sqrt(gravity * top) == pytest.approx(flow, rel=5e-3)


def test_constant_flow_in_closed_form():
    """One flow at every level: h = (Q / (k L))^(2/3) / g'^(1/3)."""
    top, drop = exchange.cold_pool(LEVEL, np.full(LEVEL.shape, 2.0), 5.2, 10.0, 305.0, 0.4)
    gravity = 9.80665 * 0.92 * drop / 305.0
    assert top == pytest.approx((2.0 / (0.4 * 10.0)) ** (2 / 3) / gravity ** (1 / 3), rel=1e-3)


def test_limits_and_shapes():
    poured = np.full((2, 3, LEVEL.size), 2.0)
    poured[0] = 0.0
    top, drop = exchange.cold_pool(LEVEL, poured, 4.5, 14.0, 310.0)
    assert top.shape == (2, 3)
    assert np.all(top[0] == 0) and np.all(drop[0] == 0)
    assert np.all((top[1] > 0) & (top[1] < 2.9))
    overflowing, _ = exchange.cold_pool(LEVEL, np.full(LEVEL.shape, 100.0), 0.1, 1.0, 310.0)
    assert overflowing == LEVEL[-1]
    wider, _ = exchange.cold_pool(LEVEL, poured[1, 0], 4.5, 28.0, 310.0)
    assert wider < top[1, 0]
    with pytest.raises(RangeError):
        exchange.cold_pool(LEVEL, poured[1, 0], -1.0, 14.0, 310.0)
