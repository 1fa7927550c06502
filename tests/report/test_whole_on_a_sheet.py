"""What belongs together stands on one sheet: the marks of a run, those of a second tape, a legend, a list."""

from __future__ import annotations

import re

import pytest

from mistcalc import files
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import Sheet, Text
from mistcalc.report import sheet_set
from mistcalc.report.common.locale_text import Locale
from tests.report import jobs
from tests.report.jobs import job, patio, run, solved, text_of
from tests.report.test_sheet_set import overlaps, words

CORNER = {"then": "inside corner"}


def texts(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.primitives() if isinstance(item, Text)]


def ring(name: str, language: str) -> tuple[Sheet, ...]:
    lengths = zip("ABCD", ("32 ft", "24 ft", "32 ft", "24 ft"), strict=True)
    text = text_of(patio(name, "9 ft", *(run(r, n, **CORNER) for r, n in lengths)))
    made = solved(re.sub(r'sheet = "[^"]+"', 'sheet = "letter"', text))
    return sheet_set.build(made, "us", language)


@pytest.mark.thorough
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_ring_on_letter_has_each_run_on_a_sheet_and_nothing_alone(language):
    """Two of four runs went on from sheet to sheet; three sentences had a sheet of notes to themselves."""
    sheets = ring("ring", language)
    more = {"en": "continued", "es": "continúa"}[language]
    tables = [sheet for sheet in sheets if any(text in ("FROM DATUM", "DESDE CERO") for text in texts(sheet))]
    assert tables and not [sheet.number for sheet in tables if more in texts(sheet)]
    assert all("Lentes" in words(sheet) or "Eye protection" in words(sheet) for sheet in tables)
    legend = {"en": "SIGNS", "es": "SIMBOLOGÍA"}[language]
    mark = {"en": "Mark: drill", "es": "Marca: perfore"}[language]
    for sheet in sheets:
        if legend in texts(sheet) and mark in words(sheet):
            assert "vigueta" in words(sheet).lower() or "joist" in words(sheet).lower(), sheet.number
    assert not [overlaps(sheet) for sheet in sheets if overlaps(sheet)]


@pytest.mark.thorough
def test_a_second_tape_a_little_too_long_for_a_sheet_stands_on_it_all_the_same():
    """Four marks of 34 stood on a second sheet of their own."""
    datum = '{ surface = "west wall", second = "east wall" }'
    long = patio(
        "long", "13 ft", run("A", "38 ft", datum=datum).rstrip() + '\nsecond_row = { back = "7 ft" }\n'
    )
    made = solved(text_of(long))
    count = len(made.layouts[0].marks)
    seconds = [
        sheet for sheet in sheet_set.build(made, "us", "en") if "FROM THE SECOND DATUM" in texts(sheet)
    ]
    assert 30 < count < 40 and len(seconds) == 1


def test_what_a_list_of_materials_says_of_itself_stands_on_it():
    """How it is counted and whose prices they are stood under the line diagram or on a sheet of notes."""
    for name in ("courtyard", "bayou"):
        for language, said in (("en", "whole lengths"), ("es", "piezas enteras")):
            sheets = sheet_set.build(job(name), "us", language)
            told = [sheet.title for sheet in sheets if said in words(sheet)]
            assert told and all("aterial" in title or "ompra" in title for title in told), told


def covered(sheet: Sheet) -> float:
    """Share of a sheet of notes with something on it or within 4 mm; its frame and title block left out."""
    inside = Box(20.0, 24.0, sheet.width - 20.0, sheet.height - 14.0)
    step, whole = 3.0, 0
    boxes = [item.box().grown(4.0) for item in sheet.items]
    boxes = [box for box in boxes if box.width < 0.8 * sheet.width]
    across, up = int(inside.width / step), int(inside.height / step)
    for n in range(across * up):
        x, y = inside.left + step * (n % across), inside.bottom + step * (n // across)
        whole += any(box.left <= x <= box.right and box.bottom <= y <= box.top for box in boxes)
    return whole / (across * up)


METRIC = '{ lies = "across", spacing = "400 mm", first = "390 mm", width = "40 mm" }'
VAULT = jobs._text(
    "vault",
    patio(
        "vault",
        "3.5 m",
        run("A", "4 m", METRIC, rise="0.8 m", then="straight on"),
        run("B", "4 m", METRIC, rise="-0.8 m"),
        jobs.thing("L1", "light", "B", "2 m", "1.5 m"),
    ),
    units="metric",
    sheet="A3",
)


@pytest.mark.thorough
@pytest.mark.parametrize("language", ["en", "es"])
def test_no_sheet_of_notes_is_nearly_empty(language):
    """A legend of nine signs had a sheet of 11x17, in Spanish three signs one of letter, whatever stood open
    on the sheets before."""
    made = [job(name) for name in jobs.DEMOS] + [solved(VAULT)]
    sets = [sheet_set.build(one, one.project.units, language) for one in made]
    sets += [ring("ring", language)]
    title = Locale("us", language).label("paper.notes_short")
    notes = [sheet for sheets in sets for sheet in sheets if sheet.title == title]
    assert [(sheet.number, covered(sheet)) for sheet in notes if covered(sheet) < 1 / 3] == []
    assert len(notes) <= 1  # the courtyard's signs and questions
    assert all(min(sheet.width, sheet.height) < 250.0 for sheet in notes)


@pytest.mark.thorough
@pytest.mark.parametrize("language", ["en", "es"])
def test_steps_of_a_run_are_not_parted_from_their_head_on_its_second_sheet(language):
    """There stood head and drill alone; the steps, which its first sheet has, were told again elsewhere."""
    text = re.sub(r'sheet = "[^"]+"', 'sheet = "letter"', files.example_text("courtyard"))
    sheets = sheet_set.build(solved(text), "us", language)
    voice = Locale("us", language)
    head, step = voice.label("paper.set_out_run", run="A"), voice.label("paper.read")
    told = [sheet for sheet in sheets if head in texts(sheet)]
    assert told and all(step[:20] in words(sheet) for sheet in told)
