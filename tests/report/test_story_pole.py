"""The story pole measured on the rasterized page, as a person would with a scale: true to 0.2 mm."""

from __future__ import annotations

import io
import shutil
import subprocess
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from mistcalc.drawing import pdf
from mistcalc.drawing.boxes import around
from mistcalc.drawing.sheet import Text
from mistcalc.report.builder.story_pole import EDGE, FOOT, PAST, RULERS, STRIP, pole_sheets
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.output_folder import _pole, contents

from .jobs import job

DPI = 300
DOT = 25.4 / DPI
TRUE = 0.2  # mm: two dots of the raster and a little


def raster(sheets, page: int, folder) -> np.ndarray:
    """A page as ink (True) or paper, upper row first."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm is not here")
    (folder / "pole.pdf").write_bytes(pdf.write(sheets))
    ask = ["pdftoppm", "-r", str(DPI), "-gray", "-png", "-f", str(page), "-l", str(page)]
    subprocess.run([*ask, folder / "pole.pdf", folder / "page"], check=True)
    (picture,) = folder.glob("page*.png")
    return np.asarray(Image.open(picture).convert("L")) < 128


def upright_lines(ink: np.ndarray, top: float) -> list[float]:
    """Middles [mm] of the lines that cross a whole strip whose ruled edge is `top` mm below the page's."""
    rows = ink[round((top + 1.0) / DOT) : round((top + STRIP - 1.0) / DOT)]
    solid = np.flatnonzero(rows.mean(axis=0) > 0.97)
    groups = np.split(solid, np.flatnonzero(np.diff(solid) > 1) + 1) if solid.size else []
    return [(group.mean() + 0.5) * DOT for group in groups]


@pytest.mark.thorough
@pytest.mark.parametrize(("name", "units", "page"), [("courtyard", "us", 2), ("terraza", "metric", 3)])
def test_marks_lie_where_the_tape_says(name, units, page, tmp_path):
    design, ruler = job(name), RULERS[units]
    sheets = pole_sheets(design, "sheets", Locale(units, "en"))
    ink = raster(sheets, page, tmp_path)
    left = (sheets[0].width - ruler.tile) / 2
    marks = [1000 * mark.along for mark in design.layouts[0].marks if mark.run == "A"]
    found = 0
    for band in range(3):
        low = (3 * (page - 1) + band) * ruler.tile
        wanted = [left + at - low for at in marks if low - PAST <= at <= low + ruler.tile + PAST]
        lines = upright_lines(ink, EDGE + band * (STRIP + FOOT))
        assert lines == pytest.approx(wanted, abs=TRUE)
        found += len(wanted)
    assert found >= 2


@pytest.mark.thorough
@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_bar_is_as_long_as_it_says(units, tmp_path):
    ruler = RULERS[units]
    assert pytest.approx({"us": 152.4, "metric": 150.0}[units]) == ruler.bar
    sheets = pole_sheets(job("courtyard"), "sheets", Locale(units, "en"))
    ink = raster(sheets, 1, tmp_path)
    row = np.flatnonzero(ink[round((EDGE + STRIP + 9.5 - 0.0) / DOT)])  # its lower line, from end to end
    left = (sheets[0].width - ruler.tile) / 2
    inside = row[(row * DOT > left - 1.0) & (row * DOT < left + ruler.bar + 1.0)]
    assert (inside.max() - inside.min() + 1) * DOT == pytest.approx(ruler.bar, abs=TRUE + 0.25)  # and its pen


def texts_of(sheets) -> list[str]:
    return [item.text for sheet in sheets for item in sheet.items if isinstance(item, Text)]


def test_strips_follow_each_other_and_name_every_mark():
    """Where a strip ends the next begins, so each join is drawn twice; no mark is missing."""
    for name, units in (("courtyard", "us"), ("terraza", "metric"), ("two patios", "us"), ("stops", "us")):
        design = job(name)
        for paper in ("sheets", "roll"):
            texts = texts_of(pole_sheets(design, paper, Locale(units, "en")))
            joins = [text for text in texts if text.startswith("join ")]
            assert all(joins.count(one) % 2 == 0 for one in joins)
            named = [text.removesuffix(" STOP") for text in texts]
            for mark in (mark for layout in design.layouts for mark in layout.marks):
                assert named.count(mark.name) in (1, 2)  # twice where it stands on a join
            strips = sum(text.startswith("Find wires") for text in texts)
            assert sum(design.code in text for text in texts) == strips


@pytest.mark.thorough
@pytest.mark.parametrize("language", ["en", "es"])
def test_whose_strip_it_is_keeps_clear_of_the_numbers_of_its_joins(language):
    """From the tenth join on the code of the set ran into its number: unión 108T2."""
    for sheet in pole_sheets(job("terraza"), "sheets", Locale("metric", language)):
        texts = [item for item in sheet.items if isinstance(item, Text) and item.height == 2.5]
        for n, one in enumerate(texts):
            assert not any(one.box().meets(other.box(), 0.5) for other in texts[n + 1 :]), one.text


def test_what_must_not_be_drilled_says_so():
    design = job("stops")
    stops = {name for layout in design.layouts for name in (*layout.holes.stop, *layout.holes.stop_drilled)}
    told = {text for text in texts_of(pole_sheets(design, "sheets", Locale("us", "en"))) if "STOP" in text}
    assert stops and told == {f"{name} STOP" for name in stops}


def test_pages_are_letter_or_a4_and_rolls_no_longer_than_readers_take():
    for units, size in (("us", (279.4, 215.9)), ("metric", (297.0, 210.0))):
        sheets = pole_sheets(job("courtyard"), "sheets", Locale(units, "en"))
        assert {(sheet.width, sheet.height) for sheet in sheets} == {size}
        for sheet in sheets:  # nothing past the paper, or where printers do not reach
            box = around(corner for item in sheet.items for corner in item.box().corners)
            assert box.left > 5.0 and box.right < size[0] - 5.0
            assert box.bottom > 5.0 and box.top < size[1] - 5.0
    assert all(sheet.width <= 5000.0 for sheet in pole_sheets(job("courtyard"), "roll", Locale("us", "en")))


@pytest.mark.thorough
def test_it_is_written_where_it_is_asked_for():
    design = job("two patios")
    assert "story-pole.pdf" not in contents(design, "us", "en")
    bare = replace(design, layouts=tuple(replace(layout, marks=()) for layout in design.layouts))
    assert _pole(bare, "roll", Locale("us", "en")) == {}  # nothing to lay on it
    made = contents(design, "us", "en", "sheets")["story-pole.pdf"]
    assert len(PdfReader(io.BytesIO(made)).pages) == len(pole_sheets(design, "sheets", Locale("us", "en")))
