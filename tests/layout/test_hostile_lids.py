"""Lids nobody should build: a Layout and findings, never an exception, never minutes."""

from __future__ import annotations

import math
import random
from dataclasses import fields, replace

import pytest

from mistcalc.checks.lid import lid_findings
from mistcalc.layout import lay
from mistcalc.model.project import FixedMark, Framing, Patio
from mistcalc.model.results import Layout
from tests.layout.lids import IN, courtyard, joists, patio, rules, run, thing


def judged(lid: Patio) -> tuple[Layout, set[str]]:
    layout = lay(lid)
    found = lid_findings(lid, layout)
    for finding in found:
        for value in (finding.provided, finding.required):
            assert value is None or math.isfinite(value), finding
    for mark in layout.marks:
        for f in fields(mark):
            value = getattr(mark, f.name)
            assert not isinstance(value, float) or math.isfinite(value), (mark.name, f.name)
    return layout, {f.code for f in found}


KILOMETRE = 1000 / IN
CASES = {
    "no room": (patio((run("A", 20),)), {"no-marks", "empty-run"}),
    "almost nothing": (patio((run("A", 0.01),), depth=1), {"no-marks", "joints-unstated-narrow"}),
    "hole wider than a bay": (
        patio((run("A", 240, framing=joists(4, 4)),), marks=rules(hole=2)), {"bay-too-narrow", "no-marks"}),
    "solid wood": (
        patio((run("A", 240, framing=joists(0.5, 1)),)), {"bay-too-narrow", "no-marks"}),
    "far obstacle": (
        patio((run("A", 240),), (thing("L", "light", "A", 1e6, 50, 6, 36),)), {"thing-outside-lid"}),
    "all under one fan": (
        patio((run("A", 240),), (thing("F", "fan", "A", 120, 78, 600, 24),)), {"no-marks", "empty-run"}),
    "limits crossed": (patio((run("A", 240),), marks=rules(closest=36, widest=18)), {"limits-crossed"}),
    "pitch outside limits": (patio((run("A", 240),), marks=rules(pitch=60)), {"pitch-outside-limits"}),
    "crossing runs": (
        patio((run("A", 200, ("wall", "corner"), "outside"), run("B", 60, ("corner", "corner"), "outside"),
               run("C", 200, ("corner", "wall")))), {"lid-crosses-itself"}),
    "no members": (patio((run("A", 240),)), {"no-members-stated"}),
    "fixed off the line": (
        patio((run("A", 240, fixed=(FixedMark("A1", 9.0),)),)), {"fixed-mark-off-line"}),
    "two fixed on one place": (
        patio((run("A", 240, fixed=(FixedMark("A1", 2.0), FixedMark("A2", 2.05)),),)), {"gap-too-close"}),
    "fixed too near the wall": (patio((run("A", 240, fixed=(FixedMark("A1", 0.1),)),)), {"mark-near-end"}),
    "one pitch only": (
        patio((run("A", 240, framing=joists(10, 13)),), marks=rules(closest=24, widest=24)), set()),
    "more than a crew can mark": (
        patio((run("A", KILOMETRE),), marks=rules(pitch=3, closest=2, widest=4)), {"lid-too-large"}),
    "line deeper than the lid": (patio((run("A", 240),), depth=4, line=6), set()),
    "beam in the spray": (
        replace(patio((run("A", 240),)), edge_beam=replace(patio((run("A", 240),)).edge_beam, drop=0.3)),
        {"edge-beam-in-spray"}),
    "low": (replace(patio((run("A", 240),)), height=2.0), {"lid-low"}),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_hostile(name: str) -> None:
    lid, expected = CASES[name]
    _, codes = judged(lid)
    assert expected <= codes, codes


def test_a_kilometre_is_laid() -> None:
    lid = patio((run("A", KILOMETRE, framing=joists(15.25, 16)),))
    layout, codes = judged(lid)
    assert layout.pattern == "equal" and len(layout.marks) == pytest.approx(KILOMETRE / 24, abs=2)
    assert "check-other-end" in codes


def test_a_kilometre_of_odd_framing() -> None:
    """As framed, no lattice fits and it is too long to search gap by gap: the row is broken and says so."""
    draw = random.Random(1)
    centres = tuple((15.25 + 16 * k + draw.randint(-40, 40) / 8) * IN for k in range(2440))
    lid = patio((run("A", KILOMETRE, framing=Framing("across", 1.5 * IN, 9 * IN, centres=centres)),))
    layout, codes = judged(lid)
    assert layout.pattern == "broken" and {"row-broken", "mark-on-member"} <= codes


def test_nine_thousand_marks() -> None:
    lid = patio((run("A", 9000 * 4),), marks=rules(pitch=4, closest=3, widest=5, from_wall=4))
    layout, _ = judged(lid)
    assert len(layout.marks) == pytest.approx(9000, abs=2)


def test_every_thing_on_top_of_the_line() -> None:
    things = tuple(thing(f"T{n}", "vent", "A", 10 + 7 * n, 6, 6.5) for n in range(60))
    layout, codes = judged(patio((run("A", 456),), things))
    assert "no-marks" in codes or layout.blocked


def test_metric_tape_on_an_inch_lid() -> None:
    lid = courtyard()
    lid = replace(lid, marks=replace(lid.marks, grid=0.005, pitch=0.6))
    layout, _ = judged(lid)
    for mark in layout.marks:
        assert mark.along / 0.005 == pytest.approx(round(mark.along / 0.005), abs=1e-6)
