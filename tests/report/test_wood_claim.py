"""What is said of holes and wood, measured on random houses with the bit that the sheets name."""

from __future__ import annotations

import datetime
import random
import re
from dataclasses import replace

import pytest

from mistcalc import design
from mistcalc.model.hole_size import drill_size, reaches_farther
from mistcalc.model.results import HolesVerdict
from mistcalc.model.site_log import SiteEntry
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import wood_missed
from mistcalc.units import parse
from tests import builders
from tests.random_projects import project_text
from tests.report.jobs import solved
from tests.test_random_projects import from_wood

US = Locale("us", "en")
NOON = datetime.datetime(2027, 3, 1, 12)
STEP = parse("1/8 in", "length")  # of what is told, to the nearest
SEEDS = [pytest.param(n, marks=pytest.mark.thorough if n > 5 else ()) for n in range(40)]


@pytest.mark.parametrize("seed", SEEDS)
def test_every_hole_misses_the_wood_by_what_is_said(seed):
    """A hole stated too small is drilled as the tube needs it, and that one is meant."""
    text = project_text(seed)
    if random.Random(seed).random() < 0.5:
        text = re.sub(r'hole = "[^"]*"', 'hole = "3/8 in"', text)
    made = solved(text)
    for patio in made.project.patios:
        layout = made.layout_of(patio.name)
        if layout.holes.stop or layout.holes.stop_drilled or not layout.marks:
            continue
        radius = drill_size(patio, made.line, "us") / 2
        told = wood_missed(layout, US, (), reaches_farther(patio, made.line, "us"))
        wood = [from_wood(mark.point, member) for mark in layout.marks for member in layout.lid.members]
        if not told:
            assert min(wood) < radius
        if not told.startswith("Every hole misses"):
            continue
        said = parse(re.search(r"by (.*) or more", told)[1], "length")
        assert min(wood) - radius >= said - STEP / 2 - 1e-6, told


@pytest.mark.parametrize("seed", SEEDS)
def test_a_drilled_hole_is_as_wide_beside_wood_as_on_the_sheets(seed):
    """Every hole where its mark is: from its edge to the joists of its run no more is told than is left by
    the bit that the sheets name, and nothing is stopped that the plan lets stand."""
    text = project_text(seed)
    if random.Random(seed).random() < 0.5:
        text = re.sub(r'hole = "[^"]*"', 'hole = "3/8 in"', text)
    made = solved(text)
    marks = {mark.name: mark for layout in made.layouts for mark in layout.marks}
    log = tuple(SiteEntry(NOON, "mark measured", "", name, amount=mark.along) for name, mark in marks.items())
    patios = {patio.name: patio for patio in made.project.patios}
    holes, findings = design.judge_holes(made, log)
    clashing = {c.mark for layout in made.layouts for c in layout.clashes if c.rule == "member"}
    assert {f.value("mark") for f in findings if f.code == "built-near-wood"} <= clashing
    for hole in holes:
        if hole.wood_clear is not None:
            layout = made.layout_of(hole.patio)
            run = layout.lid.run_of(hole.run)
            wood = [m for m in layout.lid.members if m.run == run and m.along is not None]
            radius = drill_size(patios[hole.patio], made.line, made.project.units) / 2
            left = min(from_wood(marks[hole.name].point, member) for member in wood) - radius
            assert hole.wood_clear <= left + 1e-6, hole


def test_a_wider_hole_than_stated_is_told_with_what_it_leaves():
    """By hand: a 1 in hole for one of 5/8 in reaches 3/16 in farther: of 2 in 1-13/16 are left."""
    layout = replace(builders.layout(), holes=HolesVerdict(wood="missed", clear=parse("2 in", "length")))
    assert "by 1-3/4 in or more" in wood_missed(layout, US, (), parse("3/16 in", "length") + 1e-5)
    assert wood_missed(layout, US, (), parse("3 in", "length")) == ""
