"""The plan map against the balance it is drawn from, in the same run. Seconds are printed only."""

import numpy as np
import pytest

from mistcalc.cooling import balance
from mistcalc.cooling.cooling_map import picture
from tests.benchmarks.timing import best
from tests.cooling.test_balance import case, plain

pytestmark = pytest.mark.benchmark


def test_picture_costs_less_than_its_balance():
    """A 24 m2 patio, 10 nozzles (aim 50 ms a picture): drawing takes no longer than finding what to draw."""
    c = case(40.0, 0.15, plain(), np.array([[0.5]]))
    answer = balance.solve_balance(c)
    drawing, solving = best(lambda: picture(c, answer)), best(lambda: balance.solve_balance(c))
    print(f"\npicture {drawing * 1e3:.0f} ms; its balance {solving * 1e3:.0f} ms")
    assert drawing < solving
