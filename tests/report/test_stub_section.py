"""The section of a stub and what is to be done with it; the lists beside it: whole, where there is room."""

from __future__ import annotations

from functools import cache

import pytest

from mistcalc.drawing import fonts
from mistcalc.drawing.sheet import Sheet, Text
from mistcalc.report import sheet_set

from . import jobs
from .collisions import collisions

pytestmark = pytest.mark.thorough


LETTER = (('"11x17"', '"letter"'), (f"framing = {jobs._REGULAR}\n", ""))  # and joists that nobody has stated


@cache
def ring(language: str) -> tuple[Sheet, ...]:
    runs = [
        jobs.run(name, long, then="inside corner")
        for name, long in zip("ABCD", ("28 ft", "24 ft", "28 ft", "24 ft"), strict=True)
    ]
    text = jobs.text_of(jobs.patio("court", "9 ft", *runs))
    for stated, instead in LETTER:
        text = text.replace(stated, instead)
    return sheet_set.build(jobs.solved(text, "ring"), "us", language)


@cache
def slope() -> tuple[Sheet, ...]:
    framing = jobs._METRIC
    text = jobs._text(
        "slope", jobs.patio("lid", "3.6 m", jobs.run("A", "9.4 m", framing, rise="1.1 m")),
        units="metric", sheet="A3",
    )  # fmt: skip
    return sheet_set.build(jobs.solved(text, "slope"), "metric", "es")


def told(sheet: Sheet) -> str:
    return " ".join(" ".join(item.text for item in sheet.primitives() if isinstance(item, Text)).split())


NOTES = {
    "en": ("DOWN FROM FRAMING", "Plug every stub before it is covered", "Photograph each stub", "How high"),
    "es": ("HACIA ABAJO DESDE", "Ponga tapón a cada salida", "Tome foto de cada salida", "A qué altura"),
}  # fmt: skip


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_to_do_with_a_stub_stands_beside_its_section_on_small_paper(language: str) -> None:
    """Plug, photograph and keep clear of lath fasteners were told on no sheet where the list of depths
    reached the foot."""
    sheets = [sheet for sheet in ring(language) if NOTES[language][0] in told(sheet)]
    assert len(sheets) == 1
    assert all(words in told(sheets[0]) for words in NOTES[language])


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_run_s_steps_stand_together_on_its_plan(language: str) -> None:
    """Run A's fifth step stood six sheets on, among the notes."""
    head = {"en": "SET OUT, RUN {}", "es": "TRAZO, TRAMO {}"}[language]
    for name in "ABCD":
        found = [sheet for sheet in ring(language) if head.format(name) in told(sheet)]
        assert len(found) == 1
        signs = [item.text for item in found[0].primitives() if isinstance(item, Text)]
        assert all(step in signs for step in "12345")


LEGEND = {
    "en": ("SIGNS", "Mark: drill", "black bar", "Joist center", "Datum: its point"),
    "es": (
        "SIMBOLOGÍA",
        "Marca: perfore",
        "barra negra",
        "Centro de vigueta",
        "Punto cero (datum): la punta",
    ),
}


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_legend_is_whole_wherever_it_stands(language: str) -> None:
    """One of its signs stood under the fifth step of setting out, two more on no sheet of that run."""
    found = [[words in told(sheet) for words in LEGEND[language]] for sheet in ring(language)[:8]]
    assert any(map(any, found)) and all(any(one) == all(one) for one in found)


@pytest.mark.parametrize("language", ["en", "es"])
def test_only_a_sheet_with_the_section_is_at_its_scale(language: str) -> None:
    """Every sheet of the marks table had the section's scale in its title block."""
    scale = {"en": "stub section 1:2", "es": "salida 1:2"}[language]
    for sheet in (*ring(language), *(slope() if language == "es" else ())):
        assert (scale in told(sheet)) == (NOTES[language][0] in told(sheet))


def test_a_sloped_lid_s_section_stands_below_its_marks() -> None:
    """It stood alone on a large sheet, and the table half filled the one before."""
    builder = [sheet for sheet in slope() if sheet.number.startswith("R")]
    (with_section,) = (sheet for sheet in builder if NOTES["es"][0] in told(sheet))
    assert "TABLA DE MARCAS" in told(with_section) and all(w in told(with_section) for w in NOTES["es"])
    drawn = next(i for i in with_section.primitives() if isinstance(i, Text) and i.text == "SALIDA DE TUBO")
    last = [i for i in with_section.primitives() if isinstance(i, Text) and i.text.startswith("A14")]
    assert drawn.box().top < min(item.box().bottom for item in last)


def test_a_short_list_of_cuts_stands_under_its_bars() -> None:
    """Four columns of five lines had a large sheet to themselves, with room for them under the bars."""
    cuts = [sheet for sheet in slope() if "PLAN DE CORTES" in told(sheet)]
    assert len(cuts) == 1
    assert "MATERIALES" in told(cuts[0]) and fonts.clean("A13 a A14") in told(cuts[0])


def test_a_list_in_lower_rows_leaves_room_for_the_cuts() -> None:
    """Eight bars and their table had a large sheet to themselves, a quarter of it used."""
    heads = ("MATERIALS", "CUT PLAN")
    sheets = sheet_set.build(jobs.job("elbow"), "metric", "en")
    (both,) = (sheet for sheet in sheets if any(head in told(sheet) for head in heads))
    assert all(head in told(both) for head in heads) and collisions(both) == []
