"""Every sheet of random houses, in both languages: nothing collides (tests/report/collisions.py)."""

from __future__ import annotations

import pytest

from mistcalc.drawing.sheet import LineSegment, Sheet, Text
from mistcalc.report import sheet_set
from tests.random_projects import project_text
from tests.report.collisions import collisions
from tests.report.jobs import solved

# Deep lids, close rows, things larger than the lid, screens at a corner, long names of money and runs.
TELLING = (0, 4, 15, 16, 21, 24, 43, 68, 81, 89, 92, 123, 126)
LONG, CHUNK = 500, 25


def faults(seed: int) -> list[str]:
    made = solved(project_text(seed), f"house {seed}")
    return [
        f"{seed} {language} {fault}"
        for language in ("en", "es")
        for sheet in sheet_set.build(made, made.project.units, language)
        for fault in collisions(sheet)
    ]


def test_what_collides_is_counted():
    """The count itself: each kind once, and what a mask or a fill hides not at all."""
    texts = [
        Text((20, 20), "one"),
        Text((22, 20.5), "two"),
        Text((20, 40), "three", 2.0),
        Text((1, 60), "four"),
    ]
    across = LineSegment((55, 81), (75, 81), layer="NOTE")
    masked = LineSegment((55, 101), (75, 101), layer="FRAME")
    texts += [Text((60, 80), "struck"), Text((60, 100), "masked", mask=True)]
    told = collisions(Sheet(200, 200, (*texts, across, masked), "", "R-1"))
    kinds = (
        "R-1 over: one | two",
        "R-1 small: three",
        "R-1 past the edge: four",
        "R-1 struck by NOTE: struck",
    )
    assert sorted(told) == sorted(kinds)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", TELLING)
def test_nothing_collides_on_a_telling_house(seed):
    assert faults(seed) == []


@pytest.mark.long
@pytest.mark.parametrize("first", range(0, LONG, CHUNK))
def test_nothing_collides_on_many_houses(first):
    assert [fault for seed in range(first, first + CHUNK) for fault in faults(seed)] == []
