"""What belongs together stands on one sheet: the marks of a run, those of a second tape, a legend, a list."""

from __future__ import annotations

import re

import pytest

from mistcalc.drawing.sheet import Sheet, Text
from mistcalc.report import sheet_set
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
