"""Plans and marks tables of random lids, as a builder might bring: no label over another, none over a thick
line, each run with its numbers. Counted on the model of the sheet, which the writers are held to elsewhere.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from mistcalc import checks, design
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Dimension, Sheet, Text
from mistcalc.model.project import Patio
from mistcalc.model.results import Design
from mistcalc.report import sheet_set
from mistcalc.report.builder.ceiling_plan import plan_sheets
from mistcalc.report.builder.marks_sheet import marks_sheets
from mistcalc.report.common.locale_text import Locale
from tests import builders
from tests.layout.random_lids import lid
from tests.layout.test_bends import bent
from tests.report.test_sheet_set import overlaps

FEW, MANY, CHUNK = 10, 500, 50
SIZES = ("11x17", "letter", "A3", "A4")
WHERE = {"MARK-NAME": "name", "DIM-MARK": "distance"}


@cache
def _builders() -> Design:
    return builders.design()


def drawn(seed: int, make: Callable[[int], Patio] = lid) -> tuple[Design, list[Sheet]]:
    """The plan and the table of one lid; sizes of paper, units and languages in turn."""
    patio, made = make(seed), _builders()
    layout, findings = design.lay(patio)
    size, language = SIZES[seed // 2 % len(SIZES)], ("en", "es")[seed % 2]
    project = replace(made.project, patios=(patio,), paper=replace(made.project.paper, sheet=size))
    made = replace(
        made, project=project, layouts=(layout,), findings=(*findings, *checks.all_cautions(project))
    )
    paper = PAPERS[size]
    wide = paper if paper.width > paper.height else paper.turned()
    locale = Locale("metric" if size in ("A3", "A4") else "us", language)
    drafts = [*plan_sheets(made, patio, wide, locale), *marks_sheets(made, patio, wide, locale)]
    count = len(drafts)
    sheets = [sheet_set._bind(made, draft, f"R-{n}", (n, count), locale) for n, draft in enumerate(drafts, 1)]
    return made, sheets


def faults(seed: int, make: Callable[[int], Patio] = lid) -> list[str]:
    """Labels over each other or over thick lines, writing under 2.5 mm, runs without numbers."""
    made, sheets = drawn(seed, make)
    found = [f"{seed} {sheet.number}: {pair}" for sheet in sheets for pair in overlaps(sheet)]
    texts = [item for sheet in sheets for item in sheet.primitives() if isinstance(item, Text)]
    found += [f"{seed} small: {text.text}" for text in texts if text.height < 2.5 - 1e-9]
    plans = [sheet for sheet in sheets if any(isinstance(item, Dimension) for item in sheet.items)]
    told = Counter(
        item.text
        for sheet in plans
        for one in sheet.items
        if isinstance(one, Dimension) and one.running
        for item in one.writing
    )
    named = " ".join(text.text for text in texts)
    runs = {mark.run for mark in made.layouts[0].marks}
    found += [f"{seed} run {run} has no number" for run in runs if not told and f"{run}1" not in named]
    return found


@pytest.mark.thorough
@pytest.mark.parametrize("first", range(0, FEW, 10))
def test_no_label_of_a_random_lid_collides(first):
    assert [fault for seed in range(first, first + 10) for fault in faults(seed)] == []


@pytest.mark.thorough
def test_no_label_of_a_bent_lid_collides():
    assert [fault for seed in range(6, 14) for fault in faults(seed, bent)] == []


@pytest.mark.long
@pytest.mark.parametrize("first", range(0, MANY, CHUNK))
def test_no_label_of_many_random_lids_collides(first):
    assert [fault for seed in range(first, first + CHUNK) for fault in faults(seed)] == []
