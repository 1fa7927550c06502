"""Heat index of the US National Weather Service: its chart, and values quoted in MetPy's tests from its site.

degF, %, degF; 1 degF, the chart's last digit. 100/10 (dry adjustment) and 80/40 (simple form) were computed
from the published formula, not read off the chart. The switch to the full regression is at 80 degF.
"""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import comfort

ROWS = [
    (88, 60, 95),
    (100, 40, 109),
    (100, 10, 94.1),
    (80, 40, 79.6),
    (96, 65, 121),
    (86, 88, 104),
    (90, 50, 95),
]


@pytest.mark.parametrize(("fahrenheit", "percent", "index"), ROWS)
def test_nws_rows(fahrenheit, percent, index):
    ours = comfort.heat_index((fahrenheit - 32) / 1.8 + 273.15, percent / 100)
    assert (ours - 273.15) * 1.8 + 32 == pytest.approx(index, abs=1)


def test_arrays_and_refusals():
    t = np.array([[280.0], [300.0], [318.0]])
    rh = np.array([0.0, 0.1, 0.5, 1.0])
    many = comfort.heat_index(t, rh)
    assert many.shape == (3, 4)
    assert many[1, 2] == comfort.heat_index(300.0, 0.5)
    assert np.all(np.diff(many[1:], axis=1) > 0)
    for bad in ((np.nan, 0.5), (400, 0.5), (300, 50)):
        with pytest.raises(RangeError):
            comfort.heat_index(*bad)
