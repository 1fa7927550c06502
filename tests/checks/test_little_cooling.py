"""Little cooling: a fan is praised only where it does more than the mist."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mistcalc import words
from mistcalc.checks import cooling_findings, side_findings
from mistcalc.model.results import WindClass
from tests import builders


def little(fan: float, mist: float | None):
    """The finding of an afternoon with a tenth of the builder's drops; SET of fan and mist in degF."""
    felt = builders.feel()
    shifts = {"fan": fan - 84.0, "mist": (mist or 80.0) - 80.0}  # the builder's middle draws
    told = {c: v + shifts.get(c, 0.0) * builders.F for c, v in felt.effective.items()}
    felt = replace(felt, effective={} if mist is None else told)
    cooled = replace(builders.cooling("humid", 0.1), feel=felt)
    found = cooling_findings(builders.patio(), cooled)
    return next(f for f in found if f.code == "little-cooling")


@pytest.mark.parametrize(
    ("fan", "mist", "praised"), [(83.0, 85.0, True), (85.0, 83.0, False), (83.0, None, False)]
)
def test_a_fan_is_praised_only_where_it_does_more(fan, mist, praised):
    found = little(fan, mist)
    assert found.value("fan_more") is praised
    assert ("A fan will do more" in words.say(found)) is praised


@pytest.mark.parametrize("lee", [0.0, 1.0])
def test_in_the_lee_of_the_house_no_wind_is_blamed_for_little_cooling(lee):
    """There what the mist gives stays under the ceiling: where little arrives the line is small."""
    cooled = replace(
        builders.cooling("hot", 0.1), layers=None, lee=np.full(builders.cooling().baseline.shape, lee)
    )
    found = next(f for f in cooling_findings(builders.patio(), cooled) if f.code == "little-cooling")
    assert (found.value("blown"), found.value("small")) == (lee == 0.0, lee == 1.0)
    assert ("The wind takes most" in words.say(found)) is (lee == 0.0)
    assert ("The line is small" in words.say(found)) is (lee == 1.0)


def test_the_line_is_not_called_small_where_the_wind_takes_it_from_one_side():
    """A breezeway: much of it in a lee, and air goes through it from one side."""
    lee = np.ones(builders.cooling().baseline.shape)
    worst = WindClass("worst_side", 0.2, (0.0, 0.1, 1.0), np.pi / 4)

    def said(best: float) -> str:
        winds = (worst, WindClass("best_side", 0.2, (0.0, best, 9.0), 0.0, lee=1.0))
        cooled = replace(builders.cooling("hot", 0.1), layers=None, lee=lee, winds=winds)
        return " ".join(words.say(f) for f in cooling_findings(builders.patio(), cooled))

    assert "The line is small" in said(0.15)
    assert "The line is small" not in said(5.5)


def test_sides_are_told_where_they_differ_and_the_house_where_the_best_wind_comes_over_it():
    worst = WindClass("worst_side", 0.2, (0.0, 0.5, 2.0), np.pi / 2)
    best = WindClass("best_side", 0.2, (4.0, 6.0, 9.0), 0.0, lee=1.0)

    def told(*winds: WindClass) -> str:
        return " ".join(words.say(f) for f in side_findings(replace(builders.cooling(), winds=winds)))

    said = told(worst, best)
    assert "wind from the north" in said and "from the east 0 to 4" in said and "over the house" in said
    assert "over the house" not in told(worst, replace(best, lee=0.0))
    assert told(worst) == "" and told(worst, replace(best, band=(0.0, 2.0, 4.0))) == ""
