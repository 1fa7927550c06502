"""Distance and direction between two places on a round earth."""

import math

import pytest

from mistcalc.model.on_earth import RADIUS, way_between
from tests.published.cases import Source

FORMULARY = Source(
    page="great-circle",
    subject="Climate",
    title="Distance and course between two airports",
    cite="Ed Williams, Aviation Formulary V1.46, worked examples: Los Angeles (33 57 N, 118 24 W) to "
    "New York JFK (40 38 N, 73 47 W)",
    read="data",
    limits="Read in tests of other programs that quote it. Its earth is round, as ours is.",
)


def test_los_angeles_to_new_york():
    here, there = (0.592539, -2.066470), (0.709186, -1.287762)
    distance, course = way_between(here, there)
    because = "six places are printed"
    FORMULARY.check("angle between them", distance / RADIUS, 0.623585, "rad", within=2e-6, because=because)
    FORMULARY.check("course at the start", course, 1.150035, "rad", within=2e-6, because=because)
    miles = distance / RADIUS * 180 * 60 / math.pi
    FORMULARY.check("distance", miles, 2144, "nautical miles", within=0.5, because="printed whole")


def test_to_the_neighbor_and_to_the_other_side():
    assert way_between((0.5, 1.0), (0.5, 1.0))[0] == 0.0
    assert way_between((0.0, 0.0), (0.0, math.pi))[0] == pytest.approx(math.pi * RADIUS)
    for point, (up, east) in enumerate(((1, 0), (0, 1), (-1, 0), (0, -1))):
        distance, course = way_between((0.0, 3.1), (0.01 * up, 3.1 + 0.01 * east))
        assert distance == pytest.approx(0.01 * RADIUS)
        assert course == pytest.approx(point * math.pi / 2)
