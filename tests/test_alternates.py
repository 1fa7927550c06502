"""Alternates: each column is what the changed file itself would give; a bad path is one mistake."""

from __future__ import annotations

import dataclasses

import pytest

from mistcalc import design, files
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Text
from mistcalc.errors import InputErrors
from mistcalc.files import alternate_projects, parse_project, rewrite
from mistcalc.model.content_digest import fingerprint
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.installer.bid_sheet import bid_sheets
from tests.line.houses import house, runs

PORCH = house(
    ("porch", "9 ft", runs(("A", "24 ft", ""))),
    line='[prices]\ntube = "4 per ft"\nnozzle = "6 each"\n[pump]\nset_pressure = "1000 psi"\n',
)
WIDE = """
[[alternate]]
name = "wide"
change = { "patio.marks.pitch" = "36 in", "pump.set_pressure" = "800 psi" }
"""


def bids(text: str):
    project = parse_project(text)
    job = design.run(project, WEATHER)
    return job, design.with_bids(job, alternate_projects(project, text), WEATHER).bids


WEATHER = files.read_climate(files.climate_path("el-paso", None))


@pytest.mark.thorough
def test_a_column_is_what_the_changed_file_gives():
    job, (stated, wide) = bids(PORCH + WIDE)
    by_hand = PORCH.replace('depth = "10 ft"', 'depth = "10 ft"\nmarks = { pitch = "36 in" }')
    by_hand = by_hand.replace('"1000 psi"', '"800 psi"')
    other = design.run(parse_project(by_hand), WEATHER)
    for column, whole in ((stated, job), (wide, other)):
        assert column.marks == len(whole.layouts[0].marks)
        assert column.nozzle_flow == pytest.approx(whole.line.total_flow)
        assert column.far_gauge == pytest.approx(whole.line.far_gauge)
        assert column.cost == whole.first_cost and column.verdict == whole.line_verdict.word
    assert stated.name == "" and not stated.changes
    assert dict(wide.changes) == {"patio.marks.pitch": "36 in", "pump.set_pressure": "800 psi"}
    assert wide.marks < stated.marks and wide.nozzle_flow < stated.nozzle_flow
    assert wide.cost.complete.total < stated.cost.complete.total


@pytest.mark.thorough
def test_the_sheet_tells_every_column_and_says_what_differs():
    job, columns = bids(PORCH + WIDE)
    (sheet,) = bid_sheets(dataclasses.replace(job, bids=columns), PAPERS["11x17"], Locale("us", "en"))
    texts = [item.text for item in sheet.items if isinstance(item, Text)]
    assert {"As stated", "wide", "Pitch wanted: 36 in", "Set pressure: 800 psi"} <= set(texts)
    for column in columns:
        assert f"${column.cost.complete.total:,}" in texts and str(column.marks) in texts
    assert bid_sheets(job, PAPERS["11x17"], Locale("us", "en")) == ()


def test_what_differs_is_told_as_the_page_calls_it_and_a_rare_key_as_the_file_has_it():
    job, (stated, wide) = bids(PORCH + WIDE)
    changes = (("patio[porch].marks.pitch", "36 in"), ("patio.plaster.trim", "1 in"))
    columns = (stated, dataclasses.replace(wide, changes=changes))
    for language, plain in (("en", "Pitch wanted, porch: 36 in"), ("es", "Separación deseada, porch: 36 in")):
        told = dataclasses.replace(job, bids=columns)
        (sheet,) = bid_sheets(told, PAPERS["11x17"], Locale("us", language))
        texts = {item.text for item in sheet.items if isinstance(item, Text)}
        assert {plain, "patio.plaster.trim = 1 in"} <= texts, sorted(texts)


@pytest.mark.thorough
def test_what_one_small_sheet_cannot_hold_stands_on_the_next():
    job, (stated, wide) = bids(PORCH + WIDE)
    changed = tuple((f"patio[porch].run[A].key_{n}", f"{n} ft") for n in range(12))
    columns = (
        stated,
        *(dataclasses.replace(wide, name=f"one of long names {n}", changes=changed) for n in range(4)),
    )
    sheets = bid_sheets(dataclasses.replace(job, bids=columns), PAPERS["letter"].turned(), Locale("us", "en"))
    texts = [item.text for sheet in sheets for item in sheet.items if isinstance(item, Text)]
    assert len(sheets) > 1
    assert sum(text.replace(" ", "").endswith("=11ft") or text == "11 ft" for text in texts) == 4
    assert f"${stated.cost.complete.total:,}" in texts and not any("…" in text for text in texts)


@pytest.mark.parametrize(
    ("change", "code", "where"),
    [
        ('"patio.marks.ptch" = "36 in"', "key-unknown", "marks.ptch"),
        ('"line.piece.length" = "36 ft"', "many-not-one", "line.piece"),  # there is no piece
        ('"patio[yard].marks.pitch" = "36 in"', "alternate-path", "alternate[odd].change"),
        ('"patio[porch].marks.pitch" = "a yard"', "quantity-unreadable", "patio[porch].marks.pitch"),
        ('"patio.marks.pitch" = 36', "unit-missing", "marks.pitch"),
        ('"patio.marks.pitch" = "300 in"', "out-of-range", "marks.pitch"),
        ('"patio.marks" = {}', "changes-wanted", "alternate[odd].change"),
        ("", "changes-wanted", "alternate[odd].change"),
        ('"." = "x"', "key-unknown", "alternate[odd].change"),
        ('"" = "x"', "changes-wanted", "alternate[odd].change"),
        ('"dates.scratch_coat" = 2027-04-12', "changes-wanted", "alternate[odd].change"),
    ],
)
def test_a_bad_change_is_one_mistake_at_its_alternate(change, code, where):
    text = PORCH + f'[[alternate]]\nname = "odd"\nchange = {{ {change} }}\n'
    with pytest.raises(InputErrors) as caught:
        parse_project(text)
    (mistake,) = caught.value.mistakes
    assert mistake.code == code and where in mistake.where and "odd" in mistake.where
    assert mistake.where == mistake.where.rstrip(": ")  # of a key without a name too
    assert mistake.line is not None and mistake.line > len(PORCH.splitlines())


def test_without_alternates_a_job_keeps_its_code_and_with_them_it_is_rewritten_whole():
    plain, more = parse_project(PORCH), parse_project(PORCH + WIDE)
    assert fingerprint(plain) != fingerprint(more) and plain.alternates == ()
    assert rewrite(PORCH + WIDE, more) == PORCH + WIDE
    assert parse_project(rewrite(PORCH, more)).alternates == more.alternates
    assert parse_project(rewrite(PORCH + WIDE, plain)).alternates == ()
