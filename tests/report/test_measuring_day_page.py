"""The sheet for a measuring day: one page, every seat by name, nothing that can hurt left unsaid."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Text
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.measuring_day_page import ROUNDS, measuring_day_pages
from tests import builders


def words_on(draft) -> str:
    return " ".join(item.text for item in draft.items if isinstance(item, Text))


@pytest.mark.parametrize(("paper", "units"), [("letter", "us"), ("A4", "metric")])
def test_one_page_with_seats_rounds_and_dangers(paper, units):
    (draft,) = measuring_day_pages(builders.design(), PAPERS[paper], Locale(units, "en"))
    said = words_on(draft)
    for wanted in (
        "chairs", "outside, shade", "1.1 m (3 ft 7 in)", "--site tuesday.csv", "drink water", "electrician",
        "ladder", "dry, damp or wet", "clear of the house",
    ):  # fmt: skip
        assert wanted in said, wanted
    assert said.count("Round") == ROUNDS + 1 and not draft.left_over
    room = PAPERS[paper].inside
    assert all(room.bottom <= item.at[1] <= room.top for item in draft.items if isinstance(item, Text))


def test_many_seats_go_on_further_pages_and_none_is_lost():
    design = builders.design()
    (layout,) = design.layouts
    seats = tuple(replace(layout.lid.seats[0], name=f"place {n}.") for n in range(60))
    design = replace(design, layouts=(replace(layout, lid=replace(layout.lid, seats=seats)),))
    drafts = measuring_day_pages(design, PAPERS["letter"], Locale("us", "en"))
    said = " ".join(map(words_on, drafts))
    assert len(drafts) > 1 and all(f"place {n}." in said for n in range(60))


def test_a_patio_without_water_has_none():
    design = builders.design()
    dry = tuple(replace(cooled, water_flow=0.0) for cooled in design.cooling)
    assert measuring_day_pages(replace(design, cooling=dry), PAPERS["letter"], Locale("us", "en")) == ()
