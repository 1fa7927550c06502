"""What a step of a drag costs beside the marks it lays anew."""

from __future__ import annotations

import pytest

from mistcalc import design, files
from mistcalc.page.edits import apply_edit
from mistcalc.page.lid_data import component_data
from mistcalc.page.plan_edits import MoveThing
from mistcalc.report.common.locale_text import Locale
from tests.benchmarks.timing import best

pytestmark = pytest.mark.benchmark


def test_a_step_of_a_drag_is_mostly_the_marks_laid_anew():
    """Edit and words for the screen cost less than twice what `lay` does: each step is told in whole."""
    project = files.parse_project(files.example_text("courtyard"))
    us = Locale("us", "en")
    steps = iter(range(10_000))

    def moved():
        edit = MoveThing("court", "obstacles", "L2", "A", 5.0 + 0.003175 * next(steps))
        return apply_edit(project, edit).patios[0]

    laid, _ = design.lay(project.patios[0])
    component_data(laid, project.patios[0], "A", us)  # the tape's texts, made once
    told = best(lambda: component_data(laid, moved(), "A", us))
    lay = best(lambda: design.lay(moved()))
    print(f"lay {1000 * lay:.1f} ms, edit and words {1000 * told:.1f} ms")
    assert told < 2 * lay
