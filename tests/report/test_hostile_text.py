"""No text of a project is read as anything but text, by whatever opens what we write."""

from __future__ import annotations

import csv
import functools
import io
import json
import re
import unicodedata
import xml.etree.ElementTree as ET

import ezdxf
import pytest
from pypdf import PdfReader

from mistcalc import design, files, report
from mistcalc.drawing.sheet import Dimension, Text
from mistcalc.model.results import Design
from mistcalc.report import sheet_set
from tests import hostile
from tests.short_year import one_month

pytestmark = pytest.mark.thorough

SVG = "{http://www.w3.org/2000/svg}"
DRAWN = {"svg", "title", "style", "rect", "g", "path", "circle", "text"}


@functools.cache
def job(example: str) -> Design:
    project = files.parse_project(one_month(hostile.project_text(example)))
    return design.run(project, files.read_climate(files.climate_path("el-paso", None)))


@functools.cache
def written(example: str) -> dict[str, bytes]:
    made = report.contents(job(example))
    return {name: told.encode() if isinstance(told, str) else told for name, told in made.items()}


def every(ending: str) -> list[tuple[str, bytes]]:
    found = [pair for one in files.EXAMPLES for pair in written(one).items() if pair[0].endswith(ending)]
    assert found
    return found


def test_the_hostile_project_holds_all_that_is_meant():
    told = " ".join(hostile.texts("courtyard"))
    assert all(meant[-20:] in told for meant in hostile.MEANT)


def test_an_svg_holds_drawing_and_nothing_that_acts_or_fetches():
    for name, content in every(".svg"):
        for element in ET.fromstring(content).iter():
            assert element.tag in {SVG + tag for tag in DRAWN}, name
            for key, value in element.attrib.items():
                assert not key.startswith("on") and "href" not in key, name
                assert hostile.OUTSIDE not in value or key == "aria-label", name
            if element.tag == f"{SVG}style":
                sources = re.findall(r"url\(([^)]{0,30})", element.text or "")
                assert all(source.startswith("data:font/woff;base64,") for source in sources), name


def test_a_pdf_holds_no_link_and_no_script():
    for _, content in every(".pdf"):
        reader = PdfReader(io.BytesIO(content))
        held = [reader.get_object(number) for number in range(1, int(reader.trailer["/Size"]))]
        assert len(held) > 3 * len(reader.pages)
        for one in held:
            acts = {"/URI", "/JS", "/A", "/AA", "/OpenAction", "/Launch", "/Annots"}
            assert not isinstance(one, dict) or not acts & set(one)


@pytest.mark.parametrize("example", files.EXAMPLES)
def test_a_dxf_says_what_the_sheets_say_and_no_code_is_obeyed(example, tmp_path):
    """What the library reads back, its codes decoded, is letter for letter what stands on the sheets."""
    (tmp_path / "lid.dxf").write_bytes(written(example)["lid.dxf"])
    doc = ezdxf.readfile(tmp_path / "lid.dxf")
    assert not doc.audit().errors and not doc.audit().fixes
    wanted = set()
    for sheet in sheet_set.build(job(example), job(example).project.units, "en"):
        for item in sheet.items:
            parts = item.parts() if isinstance(item, Dimension) else [item]
            wanted |= {_flat(part.text) for part in parts if isinstance(part, Text)}
    found = set()
    for layout in [*doc.layouts, *doc.blocks]:
        for entity in layout:
            if entity.dxftype() == "MTEXT":
                assert entity.dxf.char_height > 0 and "\\H" not in re.sub(r"\\\\", "", entity.text)
                found.add(_flat(entity.plain_text()))
            elif entity.dxftype() == "TEXT":
                found.add(_flat(entity.plain_text()))
    assert found - {""} <= wanted
    assert any(mark in text for text in found for mark in ("\\H9x", "%%u", "![i]"))


def _flat(text: str) -> str:
    """Without the thin space that breaks a code, and with one kind of blank."""
    return " ".join(text.replace("\u2009", "").split())


def test_no_cell_of_a_csv_starts_a_formula():
    for name, content in every(".csv"):
        for row in csv.reader(io.StringIO(content.decode("utf-8"))):
            for cell in row:
                assert not re.match(r"\s*[=+@\-\t\r＝＋－＠]", cell) or _number(cell), (name, cell)
                assert not any(unicodedata.category(sign) == "Cc" for sign in cell), (name, cell)


def _number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def test_json_holds_the_names_to_the_letter():
    told = json.loads(written("courtyard")["plan.json"])
    assert {mark["run"] for mark in told["marks"]} == {
        run.name for run in job("courtyard").project.patios[0].runs
    }


def test_the_network_file_has_its_own_sections_and_no_more():
    for _, content in every(".inp"):
        lines = content.decode("ascii").splitlines()
        heads = [line for line in lines if line.startswith("[")]
        assert heads[0] == "[TITLE]" and heads[-1] == "[END]" and len(heads) == len(set(heads))
        assert all(re.fullmatch(r"\[[A-Z]+\]", head) for head in heads)
        assert all("[" not in line for line in lines if not line.startswith("["))


def test_a_summary_moves_no_terminals_cursor():
    for _, content in every(".txt"):
        text = content.decode("utf-8")
        assert all(sign == "\n" or sign.isprintable() for sign in text)
