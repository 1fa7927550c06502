"""The patio in plan, on paper and on the page: classes, winds, hatching that thickens, seats."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from mistcalc.checks.cautions import all_cautions
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import LineSegment, Polyline, Text
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner import map_classes
from mistcalc.report.owner.cooling_page import owner_pages
from mistcalc.report.owner.patio_map_page import FOOT, map_pages
from mistcalc.report.owner.printed_map import COOLER, WET
from mistcalc.report.owner.printed_plan import grown, hatched, leaning
from tests import builders
from tests.report import jobs

US = Locale("us", "en")


def test_six_classes_hold_the_coldest_place_in_the_finest_steps():
    """6 K sitting and 7 standing are 12.6 °F: six steps of 2 are too few, of 3 enough; in °C 1.5 (9)."""
    seen = [builders.picture()]
    assert seen[0].drop.max() == pytest.approx(7.0, abs=0.5)
    us, metric = (map_classes.scale_of(seen, units) for units in ("us", "metric"))
    assert (us.step, metric.step) == (3.0, 1.5)
    assert us.classes(np.array([-1.0, 0.0, 1.6, 1.7, 9.0, 99.0])).tolist() == [0, 0, 0, 1, 5, 5]
    assert [us.name(level, US) for level in (0, 1, 5)] == ["under 3", "3 to 6", "over 15"]


@pytest.mark.parametrize(
    ("bearing", "toward", "side"),
    [(90.0, 90.0, "south"), (90.0, 0.0, "west"), (0.0, 0.0, "south"), (180.0, 90.0, "west")],
)
def test_the_side_the_wind_comes_from(bearing, toward, side):
    """Run A heads east and air moves away from it toward the house in the north: a south wind; and so on."""
    seen = replace(builders.picture(), toward=np.radians(toward), wind_known=True)
    assert f"from the {side}" in map_classes.wind_words(seen, np.radians(bearing), US)
    assert "unknown" in map_classes.wind_words(replace(seen, wind_known=False), np.radians(bearing), US)


@pytest.mark.parametrize("sets", [COOLER, WET])
def test_every_class_has_more_ink_than_the_one_below_and_none_has_none(sets):
    box, there = Box(10.0, 20.0, 70.0, 60.0), np.ones((4, 6), dtype=bool)
    ink = [length(hatched(np.full((4, 6), level), there, box, sets)) for level in range(len(sets) + 1)]
    assert ink[0] == 0.0
    assert all(more > 1.25 * less for less, more in pairwise(ink[1:]))


def test_lines_lie_where_the_class_is_and_nowhere_else():
    """Left half class 1: lines of half the area over their distance apart, and none to the right."""
    levels = np.tile([1, 1, 0, 0], (4, 1))
    box = Box(0.0, 0.0, 80.0, 80.0)
    drawn = hatched(levels, np.ones((4, 4), dtype=bool), box, COOLER)
    assert max(max(line.start[0], line.end[0]) for line in drawn) <= 40.0
    assert length(drawn) == pytest.approx(
        40.0 * 80.0 / COOLER[0][1], rel=0.03
    )  # a line ends half a sample early


def test_lines_end_at_a_side_that_leans_and_leave_no_cell_of_it_white():
    """A right triangle over half of a box: half the lines, none over its long side, none short of it."""
    box, loop = Box(0.0, 0.0, 80.0, 80.0), ((0.0, 0.0), (80.0, 0.0), (80.0, 80.0))
    cells = np.array(  # whose middles lie inside it
        [[column > row for column in range(8)] for row in range(8)]
    )
    levels, inside = grown(np.where(cells, 1, 0), cells)
    drawn = hatched(levels, inside, box, ((135.0, 4.8, 0.0),), (loop,))
    assert leaning(loop) and not leaning(((0.0, 0.0), (80.0, 0.0), (80.0, 80.0), (0.0, 80.0)))
    for line in drawn:
        assert line.start[1] <= line.start[0] + 1e-9 and line.end[1] <= line.end[0] + 1e-9
        assert min(abs(end[0] - end[1]) for end in (line.start, line.end)) < 0.6  # a sample short at most
    assert length(drawn) == pytest.approx(80.0 * 80.0 / 2 / 4.8, rel=0.05)


def length(lines: list) -> float:
    assert all(isinstance(line, LineSegment) for line in lines)
    return sum(float(np.hypot(*np.subtract(line.end, line.start))) for line in lines)


def test_the_owners_second_page():
    design = builders.design()
    _, second, *_ = owner_pages(design, PAPERS["letter"], US)
    words = " ".join(item.text for item in second.items if isinstance(item, Text))
    assert words.count("HOT") == words.count("TYPICAL") == words.count("HUMID") == 2
    low, _, high = design.cooling[0].seat_band(0)
    assert f"Hot {low * 1.8:.0f} to {high * 1.8:.0f} °F" in words and "chairs:" in words
    assert "direction unknown" in words and "wet 20 % of the floor" in words
    boxes = [i for i in second.items if isinstance(i, Polyline) and i.fill == "#ffffff"]
    assert len(boxes) == 6  # the one seat on six maps
    assert "stirred together" in words  # both means are told


def test_without_a_picture_no_page_has_the_afternoons_heads():
    design = builders.design(pictures=(), wetness=())
    drafts = owner_pages(design, PAPERS["letter"], US)
    words = " ".join(item.text for draft in drafts[1:] for item in draft.items if isinstance(item, Text))
    assert "HOT" not in words


def test_the_owner_keeps_a_page_of_cautions_and_of_each_seasons_work():
    project = builders.project()
    drafts = owner_pages(builders.design(findings=all_cautions(project)), PAPERS["letter"], US)
    items = [item for draft in drafts[2:] for item in draft.items if isinstance(item, Text)]
    words = " ".join(item.text for item in items)
    for told in ("Before use", "DANGER", "EACH SEASON", "vinegar", "frost", "WHO TO CALL"):
        assert told in words


def test_where_one_kind_of_wind_is_told_there_is_no_table_of_winds():
    def said(winds) -> str:
        job = builders.design(cooling=(replace(builders.cooling(), winds=winds),))
        first, *_ = owner_pages(job, PAPERS["letter"], US)
        return " ".join(item.text for item in first.items if isinstance(item, Text))

    assert "smoke" in said(builders.WINDS)
    assert "smoke" not in said(builders.WINDS[1:2])


def _tall(*seats: str) -> str:
    """A deep U on a narrow sheet: its plan is as tall as a map may be."""
    runs = (
        jobs.run("A", "4.9 m", then="inside corner"),
        jobs.run("B", "9 m", then="inside corner"),
        jobs.run("C", "4.4 m"),
    )
    places = (
        f'[[patio.seat]]\nname = "{name}"\nrun = "B"\nalong = "{0.6 * n + 0.5:.1f} m"\nback = "2 m"\n'
        for n, name in enumerate(seats)
    )
    return jobs.text_of(jobs.patio("horseshoe", "3.4 m", *runs, *places))


@pytest.mark.parametrize("seats", [0, 6, 14], ids="{} seats".format)
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_what_is_told_under_the_maps_stays_above_the_foot_of_the_sheet(paper, language, seats):
    """What finds no room, with the maps as small as they are readable, is handed on, not lost."""
    names = [f"the long bench by the kitchen door, place {n}" for n in range(seats)]
    design, sheet = jobs.solved(_tall(*names)), PAPERS[paper]
    drafts, rest = map_pages(design, "horseshoe", sheet, Locale("us", language))
    lows = [item.at[1] for item in drafts[0].items if isinstance(item, Text)]
    assert min(lows) >= sheet.inside.bottom + 2.0 + FOOT
    told = [item.text for item in drafts[0].items if isinstance(item, Text)]
    handed_on = " ".join(paragraph.text for paragraph in rest)
    for name in names:
        assert any(name in line for line in told) or name in handed_on
