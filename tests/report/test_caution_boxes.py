"""What can hurt stands boxed above the work: every sheet with a hands-on step, read back from its SVG."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from functools import cache

import pytest
from pypdf import PdfReader

from mistcalc import design, files
from mistcalc.drawing import pdf, svg
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Sheet
from mistcalc.model.results import Design
from mistcalc.report import sheet_set
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.care_page import care_pages
from mistcalc.report.trades.trade_set import trade_sheets
from tests.report.jobs import job

pytestmark = pytest.mark.thorough

SVG = "{http://www.w3.org/2000/svg}"
# What a hand does on a sheet, by the words that tell it to: each must have its box above.
STEPS = {
    "Ceiling plan": "DATUM",
    "Marks table": "Tick when drilled",
    "Line and pump": "WATER POINT",
    "Line on the mains": "WATER POINT",
    "Test by gauge": "Plug every stub",
    "Watch": "After the test: let the pressure down",
}
LOCKED = "Power off and locked, water shut"
SHUT = "Water shut by hand and tagged"
DEMOS = (("courtyard", LOCKED), ("bayou", LOCKED), ("terraza", SHUT))


@cache
def designed(name: str) -> Design:
    project = files.parse_project(files.example_text(name))
    place = project.place.climate
    return design.run(project, files.read_climate(files.climate_path(place, None)) if place else None)


@cache
def built(name: str) -> tuple[Sheet, ...]:
    job = designed(name)
    return sheet_set.build(job, job.project.units, "en")


def writing(sheet: Sheet) -> list[tuple[float, float, str]]:
    """(down the sheet, across, text) of every writing of its SVG, in millimetres; its y runs up."""
    found = []
    for text in ET.fromstring(svg.write(sheet, embed=False)).iter(f"{SVG}text"):
        *_, x, y = (float(n) for n in re.findall(r"-?[\d.]+", text.attrib["transform"]))
        found.append((-y, x, text.text or ""))
    return found


def boxes(sheet: Sheet) -> list[tuple[float, float, float, float]]:
    """Left, top, right, bottom of every closed frame of 0.7 [mm, y down]."""
    found = []
    for path in ET.fromstring(svg.write(sheet, embed=False)).iter(f"{SVG}path"):
        if (
            path.get("stroke-width") == "0.700"
            and path.attrib["d"].endswith("Z")
            and "fill" not in path.attrib
        ):
            numbers = [float(n) for n in re.findall(r"-?[\d.]+", path.attrib["d"])]
            xs, ys = numbers[::2], [-n for n in numbers[1::2]]
            if len(xs) == 4:
                found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


def joined(told: list[tuple[float, float, str]]) -> str:
    return " ".join(text for _, _, text in told)


def in_box(sheet: Sheet, word: str) -> str:
    """All writing within the frame round `word`; its last line is cut where the frame ends."""
    told = writing(sheet)
    at = [(y, x) for y, x, text in told if text == word]
    assert at, f"{sheet.title}: no {word}"
    y, x = at[0]
    around = [b for b in boxes(sheet) if b[0] < x < b[2] and b[1] < y < b[3]]
    assert around, f"{sheet.title}: {word} stands in no frame"
    left, top, right, bottom = min(around, key=lambda b: (b[2] - b[0]) * (b[3] - b[1]))
    return joined([t for t in told if left < t[1] < right and top < t[0] < bottom])


@pytest.mark.parametrize(("name", "first"), DEMOS)
def test_every_sheet_with_a_hands_on_step_has_its_box_above_it(name, first):
    seen = set()
    for sheet in built(name):
        step = STEPS.get(sheet.title)
        told = writing(sheet)
        if step is None or not any(text.startswith(step) for _, _, text in told):
            continue  # a further sheet of the same table
        seen.add(sheet.title)
        words = [y for y, _, text in told if text in ("DANGER", "CAUTION")]
        steps = [y for y, _, text in told if text.startswith(step)]
        assert words, sheet.title
        whole = " ".join(
            in_box(sheet, word) for word in ("DANGER", "CAUTION") if word in joined(told).split()
        )
        if sheet.title in ("Ceiling plan", "Marks table"):  # in the strip, beside the step and not below it
            assert "circuits off and tested dead" in whole and "ladder" in whole
            continue
        assert min(words) < min(steps), sheet.title
        assert first in whole, sheet.title
        assert "Eye protection" in whole
        if sheet.title == "Test by gauge":
            assert "Test with water, never with air or gas" in whole
    assert {"Ceiling plan", "Marks table", "Test by gauge"} < seen


@pytest.mark.parametrize(("name", "first"), DEMOS)
def test_the_owner_s_pages_name_what_can_hurt_before_the_season_s_work(name, first):
    last = [
        sheet for sheet in built(name) if any(t == "Before use and each season" for _, _, t in writing(sheet))
    ]
    care = next(sheet for sheet in last if any(text == "DANGER" for _, _, text in writing(sheet)))
    told = writing(care)
    season = next(y for y, _, text in told if text == "EACH SEASON")
    assert max(y for y, _, text in told if text in ("DANGER", "CAUTION")) < season
    whole = in_box(care, "DANGER") + in_box(care, "CAUTION")
    for said in (
        first,
        "open no fitting",
        "ladder",
        "Call whoever put it in",
        "bleach",
        "Legionella",
        "heat stroke",
        "Children",
    ):
        assert said in whole, said
    if name != "terraza":
        assert "high-pressure injection" in whole
    assert "stand" in whole  # clear of hot first water
    assert "drilling overhead" not in whole and "tested dead" not in whole  # a fitter's, on his own sheets
    assert len(in_box(care, "DANGER").split()) < 120


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("name", "paper"), [("courtyard", "letter"), ("bayou", "letter"), ("terraza", "A4")])
def test_what_an_owner_hangs_on_the_wall_is_one_page(name, paper, language):
    """In Spanish it went on to a second page with a few lines."""
    made = job(name)
    assert len(care_pages(made, PAPERS[paper], Locale(made.project.units, language))) == 1


def test_on_small_paper_every_sheet_of_the_work_says_it_again_and_no_table_is_lost():
    for sheet in built("bayou"):
        if sheet.title in STEPS and sheet.title != "Ceiling plan" and sheet.title != "Marks table":
            assert LOCKED in in_box(sheet, "DANGER"), sheet.number
    whole = " ".join(joined(writing(sheet)) for sheet in built("bayou"))
    for answer in ("Holds", "warm: temperature explains it", "unsure: read again", "LEAK: found at"):
        assert answer in whole


@pytest.mark.parametrize("name", [name for name, _ in DEMOS])
def test_the_owner_s_first_page_says_what_to_read_first(name):
    page = next(s for s in built(name) if any(t == "How much cooler in your seat" for _, _, t in writing(s)))
    assert "Before use and each season" in in_box(page, "DANGER")


@pytest.mark.parametrize(("name", "first"), DEMOS)
def test_no_owner_is_sent_up_a_ladder_to_a_nozzle(name, first):
    """Nozzle work is asked for, never told: each sentence of the card that takes one out says whose it is."""
    pages = [p.extract_text() for p in PdfReader(io.BytesIO(pdf.write(built(name)))).pages]
    card = " ".join(" ".join(p.split()) for p in pages if "EACH SEASON" in p or "Before use" in p)
    assert "unscrew" not in card
    for item in card.split("–"):
        if (
            re.search(r"nozzles? (out|fitted)|nozzle out|nozzles out", item)
            and "Leave the nozzles in" not in item
        ):
            assert "Ask for" in item, item


def test_wherever_nozzles_come_out_the_line_is_locked_out_and_on_mains_pressure():
    """Flushing: pump off, on mains pressure. A cup is filled by hose, no hand near the nozzle."""
    made = [*built("courtyard"), *trade_sheets(designed("courtyard"), Locale("us", "en"))["installer"]]
    whole = " ".join(joined(writing(sheet)) for sheet in made)
    assert "Line locked out and nozzles out: flush on mains pressure alone" in whole
    assert "hose tied over the nozzle; run it; open end in the cup; locked out: hose off" in whole
    assert "by hose into a cup" in whole and not re.search(r"B1 into a cup", whole)


def test_a_pergola_has_no_plaster_to_lie_behind_and_no_watch():
    whole = " ".join(joined(writing(sheet)) for sheet in built("terraza"))
    assert "behind the plaster" not in whole and "Start the watch" not in whole
    assert "behind the plaster" in " ".join(joined(writing(sheet)) for sheet in built("courtyard"))
