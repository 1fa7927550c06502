"""How a trade's page is set: its key plan as large as the page takes it, values whole, days alike."""

from __future__ import annotations

import datetime
from dataclasses import replace
from itertools import combinations

import pytest

from mistcalc import design
from mistcalc.drawing.boxes import Box, along
from mistcalc.drawing.sheet import THIN, LineSegment, Sheet, Text
from mistcalc.model.project import Dates
from mistcalc.report import sheet_set
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.details import stub_detail
from mistcalc.report.trades.slip import Slip
from mistcalc.report.trades.slip_page import DETAIL, PLANS
from mistcalc.report.trades.trade_set import trade_sheets
from tests.report.jobs import job, patio, run, solved
from tests.report.jobs import text_of as text
from tests.report.test_sheet_set import overlaps

CORNER = {"then": "inside corner"}
SLOPES = {"rise": "4 ft", "then": "straight on"}


def sheets(lid: str, language: str = "en") -> dict[str, tuple[Sheet, ...]]:
    made = solved(text(lid))
    project = replace(made.project, dates=Dates(datetime.date(2027, 4, 12)))
    calendar, _ = design.dates(project)
    return trade_sheets(replace(made, project=project, calendar=calendar), Locale("us", language))


def ring() -> str:
    lengths = zip("ABCD", ("32 ft", "24 ft", "32 ft", "24 ft"), strict=True)
    return patio(
        "ring", "9 ft", 'plaster = { joints = "propose" }', *(run(r, n, **CORNER) for r, n in lengths)
    )


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_framer_finds_his_way_on_the_plan_of_a_ring(language):
    """It was 12 mm deep beside white paper; every number of his lists stands on it."""
    (sheet,) = sheets(ring(), language)["framer"]
    walls = [
        i for i in sheet.items if isinstance(i, LineSegment) and i.layer == "WALL" and i.view is not None
    ]
    ys = [end[1] for wall in walls for end in (wall.start, wall.end)]
    assert max(ys) - min(ys) >= 24.0
    boxed = [item.text for item in sheet.primitives() if isinstance(item, Text) and item.text.isdigit()]
    assert len(set(boxed)) > 6 and min(map(boxed.count, boxed)) > 1


@pytest.mark.parametrize("language", ["en", "es"])
def test_days_stand_in_one_height_and_none_is_parted_from_its_month(language):
    """ "viernes 9 abr" stood larger than "viernes 16 abr" beside it; "A más tardar viernes 9 / abr"."""
    month = {"en": "Apr", "es": "abr"}[language]
    texts = [item for item in sheets(ring(), language)["installer"][0].primitives() if isinstance(item, Text)]
    top = max(t.at[1] for t in texts if month in t.text and t.bold)
    assert len({t.height for t in texts if t.at[1] == top}) == 1
    assert not [t.text for t in texts if t.text.startswith(month)]


def test_a_value_stands_on_one_line():
    """A motor was "1-1/2 hp at / 230 V", a block "A / 0 mm"."""
    told = [item.text for item in sheets(ring())["electrician"][0].primitives() if isinstance(item, Text)]
    assert any(text.endswith(" hp at 230 V") or text.endswith(" hp at 115 V") for text in told)


def test_a_run_called_by_words_has_all_of_its_name_on_the_plan():
    slopes = patio(
        "slopes", "11 ft", run("West slope", "18 ft", **SLOPES), run("East slope", "20 ft", rise="-4 ft")
    )
    for of in sheets(slopes).values():
        told = [item.text for item in of[0].primitives() if isinstance(item, Text)]
        assert {"West slope", "East slope"} <= set(told)


@pytest.mark.parametrize("language", ["en", "es"])
def test_words_of_a_stub_stand_clear_of_one_another_at_every_height(language):
    made = solved(text(ring()))
    (lid,), mark = made.project.patios, made.layouts[0].marks[0]
    draw = stub_detail(lid, mark, made.project.plumbing.tube_on(mark.run), False, Locale("us", language))
    for height in PLANS:
        box = Box(0.0, 0.0, DETAIL, height - 1.0)
        texts = [item for item in draw(box) if isinstance(item, Text)]
        for a, b in combinations([t for t in texts if t.text.strip()], 2):
            apart = abs(a.at[1] - b.at[1]) >= (a if a.at[1] < b.at[1] else b).height
            beside = a.at[0] + a.width <= b.at[0] or b.at[0] + b.width <= a.at[0]
            assert apart or beside, f"{a.text!r} on {b.text!r} at {height:g} mm"


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("outside", [0.00635, 0.009525, 0.0127, 0.01905, 0.0254])
@pytest.mark.parametrize("masked", [False, True])
def test_plug_and_depths_stand_clear_of_one_another_for_every_size_of_tube(language, outside, masked):
    """ "tapón" stood on "1-1/8 in, 1-5/8 in", and what covers a thick tube's plug under it."""
    made = solved(text(ring()))
    (lid,), mark = made.project.patios, made.layouts[0].marks[0]
    tube = replace(made.project.plumbing.tube_on(mark.run), outside=outside)
    for height in (high for high in PLANS if high >= Slip.least_pictures):
        items = stub_detail(lid, mark, tube, masked, Locale("us", language))(Box(0, 0, DETAIL, height - 1))
        assert overlaps(Sheet(DETAIL, height, tuple(items))) == [], f"at {height:g} mm"


@pytest.mark.thorough
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_line_that_leads_to_a_number_strikes_no_other_name_through(language):
    """On the courtyard's framer's and plasterer's plans, and over the name of a datum."""
    led = 0
    voice = Locale("us", language)
    for made in (job("courtyard"), job("bayou"), solved(text(ring()))):
        trades = [sheet for of in trade_sheets(made, voice).values() for sheet in of]
        plans = [sheet for sheet in sheet_set.build(made, "us", language) if sheet.number == "R-1"]
        for sheet in (*trades, *plans):
            items = list(sheet.primitives())
            texts = [(n, item) for n, item in enumerate(items) if isinstance(item, Text)]
            for n, line in enumerate(items):
                lead = isinstance(line, LineSegment) and line.pen == THIN and line.view is not None
                if not lead or line.layer not in ("NOTE", "WARN"):
                    continue
                led += 1
                parts = along(line.start, line.end, 0.02)
                struck = [(at, item) for at, item in texts if any(part.meets(item.box()) for part in parts)]
                assert all(at > n for at, _ in struck), [item.text for _, item in struck]
                boxed = ("NOTE", "WARN")  # a number stands in a box filled white
                assert all(item.mask or item.layer in boxed for _, item in struck)
    assert led > 3
