"""Heat index of the US National Weather Service."""

import numpy as np
import pytest

from mistcalc.errors import RangeError
from mistcalc.physics import comfort
from tests.published.cases import Source

NWS = Source(
    page="heat-index",
    subject="How it feels",
    title="Heat index, US National Weather Service",
    cite="heat index chart of the US National Weather Service, and values MetPy's tests quote from its site",
    read="page",
    limits="Knows no wind and no sun. 100/10 (adjusted for dryness) and 80/40 (simple form) were computed "
    "from the "
    "published formula, not read off the chart. The full regression takes over at 80 degF.",
)
ROWS = [  # degF, %, degF
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
    ours = (comfort.heat_index((fahrenheit - 32) / 1.8 + 273.15, percent / 100) - 273.15) * 1.8 + 32
    NWS.check(
        f"{fahrenheit} degF, {percent} %", ours, index, "degF", within=1, because="the chart's last digit"
    )


def test_both_adjustments_by_hand():
    """Adjusted down below 13 % by ((13 - R)/4) ((17 - |T - 95|)/17)^1/2, up above 85 % and below 87 degF by
    ((R - 85)/10) ((87 - T)/5); the Rothfusz regression beside them, by hand from the NWS page."""

    def rothfusz(t, r):
        return (
            -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 6.83783e-3 * t**2
            - 5.481717e-2 * r**2 + 1.22874e-3 * t**2 * r + 8.5282e-4 * t * r**2 - 1.99e-6 * t**2 * r**2
        )  # fmt: skip

    dry = rothfusz(105, 5) - (13 - 5) / 4 * ((17 - 10) / 17) ** 0.5
    damp = rothfusz(84, 95) + (95 - 85) / 10 * (87 - 84) / 5
    for fahrenheit, percent, told in ((105, 5, dry), (84, 95, damp)):
        ours = (comfort.heat_index((fahrenheit - 32) / 1.8 + 273.15, percent / 100) - 273.15) * 1.8 + 32
        what = f"{fahrenheit} degF, {percent} %, adjusted"
        NWS.check(what, ours, told, "degF", within=0.01, because="the formula by hand")


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
