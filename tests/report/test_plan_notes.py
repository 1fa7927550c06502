"""The head of a plan: the north arrow points any way and touches nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Text, View
from mistcalc.report.builder.plan_canvas import PlanCanvas
from mistcalc.report.builder.plan_head import plan_title
from mistcalc.report.builder.plan_notes_input import PlanNotesInput
from mistcalc.report.builder.runs_in_plan import plan_runs, whole_plan_window
from mistcalc.report.common.locale_text import Locale
from tests import builders


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("bearing", range(0, 360, 15))
def test_the_north_arrow_keeps_clear_of_title_and_scale(bearing: int, units) -> None:
    """It lay over the bar scale, or over the wall beside it, where north was to a side of the sheet."""
    room = Box(0.0, 0.0, 130.0, 80.0)
    design = builders.design()
    place = replace(design.project.place, bearing=np.radians(bearing))
    design = replace(design, project=replace(design.project, place=place))
    patio = design.project.patios[0]
    runs = plan_runs(patio, design.layout_of(patio.name), design.line)
    part = whole_plan_window(runs, patio)
    sketch = PlanCanvas(View("plan", 48), part)
    notes_input = PlanNotesInput(design, patio, runs, part, (), 48, sketch, Locale(units, "en"))
    items, _ = plan_title(notes_input, room, PAPERS["11x17"])
    arrow, rest = items[:3], items[3:]
    assert isinstance(arrow[2], Text) and arrow[2].text == "N"
    for one in arrow:
        assert room.holds(one.box())
        assert not any(one.box().meets(other.box(), 0.3) for other in rest)
    assert not arrow[2].box().meets(arrow[0].box())
