"""The owner's page of the sun: there where it reaches a seat, and one sentence where it does not."""

from __future__ import annotations

from dataclasses import replace
from math import dist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc import checks, design, files
from mistcalc.drawing.boxes import Box, around
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import FINE, LineSegment, Polyline, Text
from mistcalc.model.results import SunSpell
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.job_summary import job_summary_text
from mistcalc.report.owner.cooling_page import owner_pages
from mistcalc.report.owner.sky_ring import sun_over_plan
from mistcalc.report.owner.sun_page import SHADE, sun_pages
from tests import builders

US = Locale("us", "en")
LETTER = PAPERS["letter"]


def told(draft) -> str:
    return " ".join(item.text for item in draft.items if isinstance(item, Text))


def job(sun=None):
    sun = sun or builders.patio_sun()
    found = checks.sun_findings(builders.patio(), sun, tuple(s.name for s in builders.layout().lid.seats))
    return builders.design(sun=(sun,), findings=(*builders.findings(), *found))


def test_the_page_says_when_the_sun_is_on_the_seat_and_what_keeps_it_off():
    ((page,), _) = sun_pages(job(), "porch", LETTER, US)
    text = told(page)
    assert "Sun at the seats" in text
    assert "July, hour by hour" in text
    assert "5 pm to 7 pm" in text
    assert "between 5 pm and 7 pm a clear sun reaches seats" in text
    assert "a roll-down shade of 6 ft, hung" in text  # 1.7 m is 5 ft 7 in
    assert "from 2 ft to 11 ft by its tape" in text  # 1 and 3 m, a foot past either end
    assert "farther out there" in text
    assert "below 10°" in text
    ((metric,), _) = sun_pages(job(), "porch", LETTER, Locale("metric", "en"))
    assert "a roll-down shade of 1.7 m" in told(metric)


def test_hatching_lies_where_the_sun_is_and_the_shade_where_it_hangs():
    ((page,), _) = sun_pages(job(), "porch", LETTER, US)
    lines = [item for item in page.items if isinstance(item, LineSegment)]
    hatching = [line for line in lines if line.pen == FINE and line.layer == "NOTE"]
    (shade,) = [line for line in lines if line.pen == SHADE]
    right = max(max(line.start[0], line.end[0]) for line in hatching)
    a, b = sorted((shade.start[0], shade.end[0]))
    assert right == pytest.approx(b, abs=1.5)  # sun and shade both end 3 m along
    assert b - a == pytest.approx((right - a), abs=1.5)


def test_all_of_it_stays_on_the_page():
    many = replace(
        builders.patio_sun(), seats=tuple((0.5 * n, 1.5) for n in range(9)), lit=np.zeros((9, 12, 144)),
        spells=tuple(SunSpell(n, m, 15.0, 17.0 + n / 10) for n in range(9) for m in range(12)),
        used=np.ones((12, 144), dtype=bool), maps=builders.patio_sun().maps * 4,
    )  # fmt: skip
    bare = builders.layout()
    made = replace(job(), layouts=(replace(bare, lid=replace(bare.lid, seats=())),), sun=(many,))
    ((page,), left) = sun_pages(made, "porch", LETTER, US)
    room = LETTER.inside
    low = min(item.at[1] for item in page.items if isinstance(item, Text))
    assert low > room.bottom + 4.0
    assert "And 5 more seats with less sun." in told(page)
    assert "Clouds only make it less." in told(page)
    assert left == ()


def test_without_sun_on_a_seat_there_is_a_sentence_and_no_page():
    dark = replace(builders.patio_sun(), spells=(), screens=())
    made = job(dark)
    assert sun_pages(made, "porch", LETTER, US) == ((), ())
    assert checks.sun_findings(builders.patio(), dark, ()) == ()
    pages = " ".join(told(page) for page in owner_pages(made, LETTER, US))
    assert "none reaches a seat" in pages
    unknown = " ".join(told(page) for page in owner_pages(builders.design(), LETTER, US))
    assert "none reaches a seat" not in unknown


def test_spells_are_of_half_a_body_or_more_and_no_moment():
    sun = builders.patio_sun()
    lit = 0.9 * sun.lit
    lit[0, 7, 90:110] = 0.4  # too little of the body
    lit[0, 8, 100:102] = 1.0  # 20 minutes
    lit[0, 10, 90:110] = 1.0  # November: not in use
    found = checks.with_spells(replace(sun, lit=lit)).spells
    assert found == (SunSpell(0, 6, 17.0, 19.0),)


def test_a_typed_afternoon_has_no_sun():
    text = files.example_text("terraza")
    made = design.run(files.parse_project(text, "t"))
    assert made.sun == ()
    assert all(c.feel.lit is None for c in made.cooling)


def test_the_terminal_says_when_the_sun_is_on_seats():
    assert "Sun on seats of porch: 5 pm to 7 pm in July, clear sky." in job_summary_text(job())
    assert "Sun on seats" not in job_summary_text(builders.design())


@settings(max_examples=60)
@given(
    first=st.floats(0.02, 1.5),
    last=st.floats(0.02, 1.5),
    toward=st.floats(0.0, 6.28),
    swung=st.floats(0.1, 1.8),
)
def test_hours_over_the_plan_stand_within_the_ring_and_on_no_diamond(first, last, toward, swung):
    low, high = builders.patio_sun().maps[0], builders.patio_sun().maps[-1]
    maps = (
        replace(low, clock=15.0, height=first, toward=toward),
        replace(high, clock=18.0, height=last, toward=toward + swung),
    )
    cells, room = Box(0.0, 0.0, 6.0, 3.0), Box(20.0, 20.0, 200.0, 95.0)
    items = sun_over_plan(
        job(), replace(builders.patio_sun(), maps=maps), cells, room, Locale("metric", "en")
    )
    ring = next(
        around(item.points) for item in items if isinstance(item, Polyline) and len(item.points) == 72
    )
    diamonds = [around(item.points) for item in items if isinstance(item, Polyline) and item.fill is not None]
    hours = [item.box() for item in items if isinstance(item, Text) and item.text in ("15:00", "18:00")]
    assert len(hours) == len(diamonds) == 2
    for hour in hours:
        assert max(dist(corner, ring.middle) for corner in hour.corners) < ring.width / 2
        assert not any(hour.meets(diamond) for diamond in diamonds)
    assert not hours[0].meets(hours[1])
