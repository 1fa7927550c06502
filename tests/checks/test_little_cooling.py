"""Little cooling: a fan is praised only where it does more than the mist."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mistcalc import words
from mistcalc.checks import cooling_findings
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
