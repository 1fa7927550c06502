"""US National Weather Service heat index: the printed chart, whole degF, so 1 degF is the tolerance.

100 degF/10 % (dry adjustment) and 80 degF/40 % (simple form) are worked from the service's formula; the
others are read off its chart, by way of the tests of the MetPy library."""

import pytest

from mistcalc.physics import comfort

CHART = [
    (88, 60, 95),
    (100, 40, 109),
    (100, 10, 94.1),
    (80, 40, 79.6),
    (96, 65, 121),
    (86, 88, 104),
    (90, 50, 95),
]


@pytest.mark.parametrize(("fahrenheit", "humidity", "chart"), CHART)
def test_chart(fahrenheit, humidity, chart):
    kelvin = (fahrenheit + 459.67) * 5 / 9
    found = comfort.heat_index(kelvin, humidity / 100) * 9 / 5 - 459.67
    assert found == pytest.approx(chart, abs=1.0)
