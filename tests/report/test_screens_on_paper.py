"""Screens on the ceiling plan and on the owner's map: where they stand, named, and told where too far out."""

from __future__ import annotations

import pytest

from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import THIN, LineSegment, Polyline, Text
from mistcalc.report import sheet_set
from mistcalc.report.builder.ceiling_plan import plan_sheets
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.patio_map_page import map_pages
from mistcalc.report.owner.printed_plan import BROKEN

from .jobs import in_metres, job

FT = 0.3048
US = Locale("us", "en")
# The four screens of the job "free": a lid 18 by 11 ft, its first corner at 0, 0. One is 8 ft out: not drawn.
DRAWN = {
    "fence": ((14, 11), (2, 11)),
    "slats": ((19, 0), (19, 11)),
    "low wall": ((0, 0), (5, 0)),
}


@pytest.fixture(scope="module")
def plan():
    design = job("free")
    (draft,) = plan_sheets(design, design.project.patios[0], PAPERS["11x17"], US)
    return draft


def test_each_near_screen_is_two_lines_just_outside_its_place(plan):
    lines = [
        item
        for item in plan.items
        if isinstance(item, LineSegment) and item.layer == "WALL" and item.pen == THIN
    ]
    for a, b in DRAWN.values():
        found = []
        for item in lines:
            if item.view is None:
                continue
            ends = sorted((in_metres(item.view, item.start), in_metres(item.view, item.end)))
            want = sorted(((a[0] * FT, a[1] * FT), (b[0] * FT, b[1] * FT)))
            off = [max(abs(p[i] - q[i]) for p, q in zip(ends, want, strict=True)) for i in (0, 1)]
            if sorted(off)[0] < 1e-6 and sorted(off)[1] < 0.0018 * item.view.scale:  # 1.8 mm on paper
                found.append(item)
        assert len(found) == 2, (a, b)


def test_the_open_back_is_drawn_as_an_edge_and_no_wall_is(plan):
    edges = [
        sorted((in_metres(item.view, item.start), in_metres(item.view, item.end)))
        for item in plan.items
        if isinstance(item, LineSegment) and item.layer == "LID" and item.view is not None
    ]
    wanted = [(0.0, 11 * FT), (18 * FT, 11 * FT)]
    assert any(
        all(
            abs(p - q) < 1e-6
            for end, want in zip(edge, wanted, strict=True)
            for p, q in zip(end, want, strict=True)
        )
        for edge in edges
    )
    assert not [item for item in plan.items if item.layer == "WALL" and getattr(item, "hatch", None)]


def test_every_screen_is_named_with_its_height(plan):
    told = [item.text for item in plan.items if isinstance(item, Text)]
    for name, high in (("fence", "6 ft"), ("slats", "7 ft"), ("low wall", "3 ft"), ("hedge far out", "4 ft")):
        assert any(name in text for text in told), name
        assert any(f"{high} high" in text for text in told), name
    assert any("8 ft outside" in text for text in told)
    assert any("stands free" in text for text in told)  # the legend


def test_the_owner_reads_what_the_letters_are_and_what_stands_farther_out():
    told = [
        item.text
        for sheet in sheet_set.build(job("free"), "us", "en")
        for item in sheet.items
        if isinstance(item, Text)
    ]
    (near,) = [text for text in told if text.startswith("Thick broken lines")]
    assert "a fence, 6 ft high" in near and "b slats, 7 ft high" in near
    assert any("hedge far out, 4 ft high, 8 ft outside" in text for text in told)
    assert {"a", "b", "c"} <= set(told) and "d" not in told


def test_a_patio_without_screens_says_nothing_of_them():
    told = " ".join(
        item.text
        for sheet in sheet_set.build(job("straight"), "us", "en")
        for item in sheet.items
        if isinstance(item, Text)
    )
    assert "stands free" not in told and "broken lines" not in told


def test_on_a_map_the_lines_stop_at_the_boxes_of_letters_and_seats():
    drafts, _ = map_pages(job("free"), "pavilion", PAPERS["letter"], US)
    lines = [
        item
        for draft in drafts
        for item in draft.items
        if isinstance(item, LineSegment) and item.pen == BROKEN
    ]
    boxes = [
        item.box().grown(-item.pen.width / 2)
        for draft in drafts
        for item in draft.items
        if isinstance(item, Polyline) and item.fill
    ]
    maps = 2 * len(job("free").afternoons)  # how cool, and the floor
    assert len(lines) >= len(DRAWN) * maps and boxes
    for line in lines:
        middle = [(p + q) / 2 for p, q in zip(line.start, line.end, strict=True)]
        assert not any(b.left < middle[0] < b.right and b.bottom < middle[1] < b.top for b in boxes)
