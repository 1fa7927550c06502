"""The line diagram read back: names and pressures are the Line's, nothing lies on anything.

What is expected comes from the Line by other ways than the drawing's own: sets of names, sums, heights.
"""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from functools import cache
from itertools import pairwise

import pytest

from mistcalc import design, files
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Circle, LineSegment, Polyline, Sheet, Text
from mistcalc.report import sheet_set
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.screen_picture import ON_SCREEN, TALL, WIDE
from mistcalc.report.installer.line_diagram.arrangement import plots
from mistcalc.report.installer.line_diagram.diagram import diagram_sheets, wall_numbers
from mistcalc.report.installer.line_diagram.line_graph import scheme
from mistcalc.report.installer.line_diagram.line_picture import line_pictures
from tests import builders
from tests.line import houses
from tests.line.test_random_houses import random_house
from tests.report.test_sheet_set import overlaps

_FEED = """
[[line.piece]]
from = "pump"
to = "tee"
length = "20 ft"
rise = "8 ft"
fittings = { elbow = 2, "ball valve" = 1, "check valve" = 1 }
"""
_BRANCH = """
[[line.piece]]
from = "tee"
to = "{run} start"
length = "{length} ft"
fittings = {{ "solenoid valve" = 1 }}
[[line.zone]]
name = "{zone}"
runs = ["{run}"]
[[line.drain]]
at = "{run} end"
test_port = {port}
"""
_OSMOSIS = """
[[line.together]]
zones = ["side", "back"]
[pump]
[water]
treatment = "reverse osmosis"
filter = "20 um"
tank = { lift = "45 psi", at_flow = "3 gpm" }
"""
_ZONED = (("A", "front", 40, 6, "true"), ("B", "side", 24, 30, "false"), ("C", "back", 16, 50, "false"))
ZONES = houses.house(
    *((f"patio {run}", "9 ft", houses.runs((run, f"{wide} ft", ""))) for run, _, wide, _, _ in _ZONED),
    line=_FEED
    + "".join(_BRANCH.format(run=run, zone=zone, length=far, port=port) for run, zone, _, far, port in _ZONED)
    + _OSMOSIS,
)
BEHIND = ZONES.replace('from = "tee"\nto = "B start"', 'from = "A end"\nto = "B start"')
TEXTS = {name: getattr(houses, name) for name in ("RING", "BRANCHES", "TWO_PATIOS", "MIXED")}
TEXTS |= {name: files.example_text(name) for name in files.EXAMPLES}
TEXTS |= {"zones": ZONES, "behind": BEHIND}
TEXTS["apart"] = ZONES.replace('[[line.together]]\nzones = ["side", "back"]\n', "")
PAPER = ("11x17", "letter", "A3", "A4")


def solved(text: str):
    project = files.parse_project(text)
    layouts = tuple(design.lay(patio)[0] for patio in project.patios)
    line, _ = design.solve_line(project.plumbing, layouts)
    return dataclasses.replace(builders.design(), project=project, layouts=layouts, line=line)


@cache
def job(name: str):
    return solved(TEXTS[name])


def drawn(made, paper: str) -> list[Sheet]:
    locale = Locale("metric" if paper.startswith("A") else "us", "en")
    size = PAPERS[paper]
    drafts = diagram_sheets(made, size if size.width > size.height else size.turned(), locale)
    return [
        sheet_set._bind(made, draft, f"L-{n}", (n, len(drafts)), locale) for n, draft in enumerate(drafts, 1)
    ]


def texts(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.primitives() if isinstance(item, Text)]


@pytest.mark.thorough
@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("name", TEXTS)
def test_nothing_lies_on_anything_or_outside(name, paper):
    for sheet in drawn(job(name), paper):
        assert overlaps(sheet) == []
        inside = PAPERS[paper]
        inside = (inside if inside.width > inside.height else inside.turned()).inside.grown(4.5)
        assert all(inside.holds(item.box()) for item in sheet.primitives())


@pytest.mark.thorough
@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("name", TEXTS)
def test_every_run_says_its_nozzles_and_what_its_gauges_show(name, paper):
    """First and last mark of each run by name, a circle for each nozzle, and two pressures that are the
    Line's (one, the least, on a short run)."""
    made = job(name)
    locale = Locale("metric" if paper.startswith("A") else "us", "en")
    pages = drawn(made, paper)
    told = Counter(word for page in pages for word in texts(page))
    runs: dict[str, list] = {}
    patio_runs = {(layout.patio, m.name): m.run for layout in made.layouts for m in layout.marks}
    for mark in made.line.marks:
        runs.setdefault(patio_runs[mark.patio, mark.name], []).append(mark)
    for run, marks in runs.items():
        ends = {marks[0].name, marks[-1].name}
        assert all(told[end] >= 1 for end in ends), (run, ends)
        shown = {locale.number(m.pressure_gauge, "pressure") for m in (marks[0], marks[-1])}
        least = locale.number(min(m.pressure_gauge for m in marks), "pressure")
        assert shown <= set(told) or least in told
        heads = [word for word in told if re.match(rf"(RUN )?{re.escape(run)}: {len(marks)}\b", word)]
        assert len(heads) == 1
    circles = sum(isinstance(i, Circle) and i.pen.width == 0.35 for page in pages for i in page.primitives())
    assert circles == len(made.line.marks) + 1  # and one in the legend


@pytest.mark.thorough
@pytest.mark.parametrize("name", TEXTS)
def test_on_a_screen_nothing_lies_on_anything_either(name):
    made, locale = job(name), Locale("us", "en")
    drafts = diagram_sheets(made, ON_SCREEN, locale, wall=False)
    told: list[str] = []
    for draft in drafts:
        sheet = Sheet(WIDE, TALL, draft.items, draft.title)
        assert overlaps(sheet) == []
        assert all(Box(0.0, 0.0, WIDE, TALL).holds(item.box()) for item in sheet.primitives())
        told += texts(sheet)
    assert {made.line.marks[0].name, made.line.marks[-1].name} <= set(told)
    assert not any(words in told for _, words in wall_numbers(made, locale))
    assert [picture.drawn.count("<svg") for picture in line_pictures(made, locale)] == [1] * len(drafts)


@pytest.mark.parametrize("name", TEXTS)
def test_the_numbers_for_the_wall_are_those_of_the_largest_set(name):
    made, locale = job(name), Locale("us", "en")
    line = made.line
    (page, *_) = drawn(made, "11x17")
    told = texts(page)
    marks = [m for m in line.marks if m.zone in line.duty.largest_zones]
    for value, kind in (
        (line.supply_gauge, "pressure"),
        (min(m.pressure_gauge for m in marks), "pressure"),
        (sum(m.flow for m in marks), "flow"),
    ):
        assert locale.number(value, kind) in told
    assert len(wall_numbers(made, locale)) == 5
    for number, words in wall_numbers(made, locale):
        assert number in told and words in " ".join(told)


def test_the_gauge_at_the_pump_spans_the_sets_that_the_boxes_of_the_runs_are_from():
    """No box over a run, which lies above the pump, tells more than the pump's own."""
    made, locale = job("apart"), Locale("us", "en")
    gauges = sorted(zone.supply_gauge for zone in made.line.zones)
    low, high = locale.number(gauges[0], "pressure"), locale.number(gauges[-1], "pressure")
    assert low != high
    (page,) = drawn(made, "11x17")
    assert f"{low.removesuffix(' psi')} to {high}" in texts(page)


def test_zones_their_valves_and_their_table():
    """V1 to V3 beside filled valves on the pieces that hold them; rows as the Line has them."""
    made, locale = job("zones"), Locale("us", "en")
    (page,) = drawn(made, "11x17")
    told = texts(page)
    for n, zone in enumerate(made.line.zones, 1):
        assert told.count(f"V{n}") == 2  # table and drawing
        at = told.index(zone.name)
        assert told[at : at + 4] == [zone.name, f"V{n}", str(zone.marks), locale.number(zone.flow, "flow")]
        assert locale.number(zone.far_gauge, "pressure") in told
    filled = [i for i in page.items if isinstance(i, Polyline) and i.fill == "#000000" and len(i.points) == 4]
    valves = [i for i in filled if abs(i.box().width - 5.35) < 0.01]
    assert len(valves) == 3 + 1  # and one in the legend
    assert [told.count(letter) for letter in ("D", "T", "RO", "TK", "LP", "F")] == [4, 2, 1, 1, 1, 1]
    both = next(one for one in made.line.sets if len(one.zones) > 1)
    assert any("side and back" in word and locale.number(both.flow, "flow") in word for word in told)


@pytest.mark.parametrize("name", TEXTS)
def test_curves_end_where_the_line_says(name):
    """The lowest point of each curve is its zone's loss, measured on paper between two lines of the axis."""
    made = job(name)
    (page, *_) = drawn(made, "11x17")
    axis = [
        (item, float(item.text.split()[0]))
        for item in page.items
        if isinstance(item, Text) and item.align == "right" and re.fullmatch(r"-?[\d.]+ psi", item.text)
    ]
    axis = [(text.at[1], value) for text, value in axis if text.height == 2.5 and not text.bold]
    axis = [pair for pair in axis if pair[0] < 0.6 * page.height]
    (y0, v0), (y1, v1) = max(axis), min(axis)
    curves = [
        item for item in page.items
        if isinstance(item, Polyline) and not item.closed and item.layer == "NOTE" and len(item.points) > 3
    ]  # fmt: skip
    losses = sorted((z.way[0][1] - z.way[-1][1] for z in made.line.zones if z.marks), reverse=True)[:4]
    ends = sorted(
        (v0 + (y0 - 1.0 - c.points[-1][1] + 2.0) / (y0 - y1) * (v1 - v0) for c in curves), reverse=True
    )
    told = [loss / 6894.757293168 for loss in losses]
    assert len(ends) == len(told)
    step = (v1 - v0) / (y0 - y1)  # psi a millimetre
    assert ends == pytest.approx(told, abs=0.2 * step)


@pytest.mark.parametrize("name", TEXTS)
def test_every_piece_is_drawn_or_stands_on_another_sheet(name):
    """Tracks lie on lanes of their own; each piece beside the runs is one track or one leg."""
    made = job(name)
    what = scheme(made.line, made.project.plumbing)
    for right in (340.0, 150.0):
        shown: Counter[str] = Counter()
        for plot in plots(what, 40.0, right):
            shown += Counter({t.join.piece.name for t in plot.tracks})
            shown += Counter({join.piece.name for _, _, join in plot.legs if join is not None})
            spans: dict[int, list[tuple[float, float]]] = {}
            for track in plot.tracks:
                spans.setdefault(track.lane, []).append((track.left, track.right))
            for taken in spans.values():
                taken.sort()
                assert all(b[0] > a[1] for a, b in pairwise(taken))
        assert set(shown) == {join.piece.name for join in what.joins}


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(12))
def test_random_lines_are_drawn_without_anything_on_anything(seed):
    made = solved(random_house(1000 + seed))
    for paper in ("11x17", "A4"):
        for sheet in drawn(made, paper):
            assert overlaps(sheet) == []


def test_more_runs_than_a_sheet_holds_go_on_the_next():
    runs = [(f"patio {n}", "9 ft", houses.runs((f"R{n}", "20 ft", ""))) for n in range(30)]
    pieces = "".join(
        f'[[line.piece]]\nfrom = "tee"\nto = "R{n} start"\nlength = "{n + 3} ft"\n' for n in range(30)
    )
    made = solved(houses.house(*runs, line=_FEED + pieces + "[pump]\n"))
    pages = drawn(made, "11x17")
    assert len(pages) > 1
    told = [word for page in pages for word in texts(page)]
    assert all(any(re.match(rf"(RUN )?R{n}: \d", word) for word in told) for n in range(30))
    for page in pages:
        assert overlaps(page) == []


@pytest.mark.thorough
def test_close_nozzles_are_ticks_and_keep_their_first_and_last_name():
    text = houses.house(("yard", "9 ft", houses.runs(("A", "250 ft", ""))), line="[pump]\n")
    made = solved(
        text.replace('depth = "10 ft"', 'depth = "10 ft"\nmarks = { pitch = "4 in", closest = "3 in" }')
    )
    (page,) = drawn(made, "letter")
    told = texts(page)
    assert made.line.marks[0].name in told and made.line.marks[-1].name in told
    assert overlaps(page) == []
    stubs = [
        i
        for i in page.items
        if isinstance(i, LineSegment) and i.layer == "NOTE" and abs(i.box().height - 5.6) < 0.2
    ]
    assert len(stubs) == len(made.line.marks)


def test_a_run_called_pump_is_not_taken_for_the_pump():
    """Neither in the drawing, which broke, nor in the line: its zone had no water."""
    lettered, named = solved(ZONES), solved(ZONES.replace('"A', '"pump'))
    assert [zone.way[-1][1] for zone in named.line.zones] == [zone.way[-1][1] for zone in lettered.line.zones]
    assert [word for word in texts(drawn(named, "11x17")[0]) if word.startswith("RUN pump: 19")]
