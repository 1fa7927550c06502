"""What shows when finished, read back: every tip at its place to scale, nothing over another, a block."""

from __future__ import annotations

import pytest

from mistcalc import design
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import LineSegment, Polyline, Sheet
from mistcalc.files import parse_project
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.finished_page import TIP, finished_pages
from tests.line.houses import house
from tests.random_projects import project_text
from tests.report.jobs import job, patio, run, solved, text_of
from tests.report.test_sheet_set import overlaps, words

ENDS = (("A", "inside corner"), ("B", "end"))
NAMES = ("courtyard", "bayou", "terraza", "two patios", "outside", "hostile", "wings")


def pages(name: str, language: str = "en") -> list[Sheet]:
    made = job(name)
    paper = PAPERS["letter" if made.project.units == "us" else "A4"]
    drafts = finished_pages(made, paper, Locale(made.project.units, language))
    return [Sheet(paper.width, paper.height, draft.items, draft.title) for draft in drafts]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("language", ["en", "es"])
def test_it_lies_within_its_paper_and_nothing_over_another(name, language):
    for sheet in pages(name, language):
        paper = next(p for p in PAPERS.values() if (p.width, p.height) == (sheet.width, sheet.height))
        assert all(paper.inside.holds(item.box()) for item in sheet.primitives())
        assert overlaps(sheet) == []


@pytest.mark.parametrize("name", ["courtyard", "bayou", "terraza"])
def test_every_tip_is_where_its_mark_is(name):
    """On paper alone: from the first tip of a run to its last it is as far as from mark to mark, at scale."""
    (sheet,), (layout,) = pages(name), job(name).layouts
    drawn = [i for i in sheet.items if isinstance(i, LineSegment) and i.layer == "TUBE"
             and abs(i.start[1] - i.end[1] - TIP) < 1e-9]  # fmt: skip
    views = sorted({item.view for item in drawn}, key=lambda view: view.name)  # the section, then run by run
    assert len(drawn) == len(layout.marks) + 1  # and the section's
    for view, one in zip(views[1:], layout.lid.runs, strict=True):
        alongs = sorted(m.along for m in layout.marks if m.run == one.name)
        xs = sorted(item.start[0] for item in drawn if item.view == view)
        assert 1000 * (alongs[-1] - alongs[0]) / view.scale == pytest.approx(xs[-1] - xs[0], abs=0.01)


def test_it_says_what_a_board_asks_and_leaves_noise_to_the_maker():
    (sheet,) = pages("courtyard")
    told = words(sheet)
    assert "18 tips in one row, 24 in apart" in told and "side yard" in told and "gal an hour" in told
    assert (
        "dB(A)" in told
        and "None is known here" in told
        and "APPROVAL" in told
        and "approved as noted" in told
    )


SLOPED = """
[[patio]]
name = "slope"
height = "9 ft"
depth = "12 ft"
edge_beam = { width = "5-1/2 in", drop = "4 in" }
[[patio.run]]
name = "A"
length = "30 ft"
rise = "5 ft"
"""


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_board_is_not_told_that_open_framing_hides_the_tube(language):
    above = {"en": ("do not show", "finished ceiling"), "es": ("no se ve", "techo terminado")}[language]
    for system in ("none", "wood"):
        text = patio("deck", "11 ft", f'plaster = {{ system = "{system}" }}', run("A", "18 ft"))
        made = solved(text_of(text))
        (draft,) = finished_pages(made, PAPERS["letter"], Locale("us", language))
        told = words(Sheet(draft.paper.width, draft.paper.height, draft.items, draft.title))
        assert [words_of in told for words_of in above] == [system == "wood"] * 2


@pytest.mark.thorough
def test_a_sloping_ceiling_and_its_beam_are_drawn_as_they_lie(sample):
    made = design.run(
        parse_project(house(("slope", "9 ft", ""), line="").split("[[patio]]")[0] + SLOPED), sample("el-paso")
    )
    (draft,) = finished_pages(made, PAPERS["letter"], Locale("us", "en"))
    shapes = [i for i in draft.items if isinstance(i, Polyline) and i.layer == "LID"]
    edge = next(
        i for i in shapes if len({round(y, 6) for _, y in i.points}) == 4
    )  # neither end as high as another
    scale = 1000.0 / edge.view.scale
    (x0, y0), (x1, y1) = edge.points[:2]
    assert (y1 - y0) / scale == pytest.approx(5 * 0.3048)
    assert (x1 - x0) / scale == pytest.approx(
        (30**2 - 5**2) ** 0.5 * 0.3048
    )  # 30 ft by the tape, up the slope
    tips = [
        i for i in draft.items if isinstance(i, LineSegment) and i.layer == "TUBE" and i.view == edge.view
    ]
    for tip in tips:  # each begins on the ceiling's finished face
        share = (tip.start[0] - x0) / (x1 - x0)
        assert tip.start[1] == pytest.approx(y0 + share * (y1 - y0))
    beams = [i for i in shapes if i.view == edge.view and i is not edge]
    assert any(abs(i.points[0][1] - i.points[-1][1]) / scale == pytest.approx(4 * 0.0254) for i in beams)
    told = words(Sheet(216.0, 279.0, draft.items, ""))
    finished = 9 * 12 - made.project.patios[0].plaster.thickness / 0.0254
    assert f"{Locale('us', 'en').tape(finished * 0.0254)}" in told


def test_heights_are_to_the_finished_face_and_views_stand_beside_each_other():
    """Foam under the plaster was left out, and three views stood below each other beside white paper."""
    text = patio(
        "foam", "11 ft", 'plaster = { system = "one-coat" }', *(run(n, "18 ft", then=to) for n, to in ENDS)
    )
    made = solved(text_of(text))
    (draft,) = finished_pages(made, PAPERS["letter"], Locale("us", "en"))
    sheet = Sheet(draft.paper.width, draft.paper.height, draft.items, draft.title)
    assert "9'-10 1/2\"" in words(sheet)  # 10 ft less 1 in of foam and 1/2 in of plaster
    drawn = {item.view.name: item.view.origin for item in sheet.items if getattr(item, "view", None)}
    assert len({round(y) for _, y in drawn.values()}) < len(drawn)


def test_a_figure_wider_than_its_view_stays_on_the_paper():
    """Half of it hung over the left edge of a lid a foot deep, drawn small beside long runs."""
    made = solved(project_text(500))
    paper = PAPERS["letter" if made.project.units == "us" else "A4"]
    drafts = finished_pages(made, paper, Locale(made.project.units, "en"))
    assert all(paper.inside.holds(item.box()) for draft in drafts for item in draft.items)
