"""One afternoon at more and more wind: what must hold whatever the equations say."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from mistcalc import cooling, design
from tests.cooling.test_balance import courtyard


@pytest.mark.thorough
def test_wind_takes_the_cooling_away_and_never_makes_more_than_the_wet_bulb_allows(sample):
    project, laid, line, _ = courtyard()
    hot, *_ = design.outdoor_conditions(sample("el-paso"), project.place)
    seen = cooling.wind_sweep(project.patios[0], laid, line, project.plumbing, hot, project.place.bearing)
    drop, carried = np.array(seen.drop), np.array(seen.carried_out)
    depression = float(hot.temperature[0] - hot.wet_bulb[0])
    assert np.all((drop > 0) & (drop < depression))
    assert np.all(np.diff(drop[2:]) < 0)  # from 0.5 m/s on every wind leaves less
    assert drop[-1] < drop.max() / 3
    assert np.all((carried >= 0) & (carried <= 1)) and carried[-1] > carried[0]


def test_without_water_there_is_nothing_to_ask(sample):
    project, laid, line, _ = courtyard()
    hot, *_ = design.outdoor_conditions(sample("el-paso"), project.place)
    shut = dataclasses.replace(line, marks=tuple(dataclasses.replace(m, flow=0.0) for m in line.marks))
    assert cooling.wind_sweep(project.patios[0], laid, shut, project.plumbing, hot) is None
