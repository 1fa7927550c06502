"""Air through a patio's open sides by its weight, and wind brought to it, against ASHRAE's coefficients."""

import pytest

from mistcalc.physics import ventilation
from tests.published.cases import Source

ASHRAE = Source(
    page="ashrae-airflow",
    subject="Plume and patio",
    title="ASHRAE Fundamentals, air through openings",
    cite="ASHRAE Handbook of Fundamentals: wind profile (2009 and later, ch. 24, eq. 4, "
    "table 1); two-way flow by weight (1997, ch. 25, eq. 37-38, read second-hand)",
    read="page",
    limits="Good to 30-50 % for windows and doors; whole open sides are an extrapolation, and so is the "
    "profile inside "
    "the layer of roofs and trees.",
)


def test_two_way_flow_by_weight():
    """The handbook's Q = Cd A (2 g H dT/T)^1/2 counts the area that air passes one way and the height from
    the neutral level. Of an open side half lets air in, and that level lies at half its height: 2 x 2^1/2."""
    ours = ventilation.buoyant_flow(5.0, 2.0, 1.5, 308.0) * 2 * 2**0.5
    ASHRAE.check(
        "2 m², 1.5 m, 308 and 303 K", ours, 0.584, "m³/s", rel=0.002,
        because="three figures; ours is a 2√2th, half the area each way and half the height",
    )  # fmt: skip


def test_wind_profile_in_a_city():
    ours = ventilation.wind_profile(5.0, 1.0, "city")
    what = "city, 5 m/s at a 10 m mast: wind at 1 m"
    ASHRAE.check(what, ours, 1.0487, "m/s", within=5e-5, because="five figures, by hand")


def test_wind_profile_gives_the_mast_its_own():
    assert ventilation.wind_profile(5.0, 10.0, "open") == pytest.approx(5.0)
