"""SVG, PDF and DXF of the same sheets, read back by other programs.

Distances: 38 ft at 1:48 is 241.3 mm by definition; a print is accepted true to 0.2 mm, half the width
of a pencil line.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import xml.etree.ElementTree as ET
from collections import Counter
from io import BytesIO, StringIO

import ezdxf
import numpy as np
import pypdf
import pytest
from PIL import Image

from mistcalc.drawing import dxf, pdf, svg
from mistcalc.drawing.sheet import (
    BLACK,
    WHITE,
    Arc,
    Circle,
    Dimension,
    Hatch,
    LineSegment,
    Pen,
    Polyline,
    Sheet,
    Text,
    View,
)

HOSTILE = (
    "<script>alert(1)</script>",
    "]]> & &amp; &#x3c; \"quoted\" 'so'",
    "%%d %%u 100%% %%%",
    "\\U+0041 \\M+1 \\P \\fArial; {\\H3x; open",
    "caret ^J ^I ^ ^^",
    "0\nEOF\r\n  0\nSECTION",
    "nul\x00 esc\x1b bell\x07 bidi\u202eabc\u2066",
    ") Tj ET (escape \\) \\( BT",
    "x" * 100_000,
    "<>",
    "雨 \ud800 \U000e0041",
    "",
    "   ",
)


def written(sheet: Sheet) -> Counter[str]:
    """Letters the sheet holds, without spaces."""
    return Counter("".join("".join(t.text.split()) for t in sheet.primitives() if isinstance(t, Text)))


def svg_texts(document: str) -> list[str]:
    root = ET.fromstring(document)
    return [element.text or "" for element in root.iter("{http://www.w3.org/2000/svg}text")]


def dxf_texts(doc) -> list[str]:
    found = []
    spaces = [doc.modelspace(), *(doc.paperspace(n) for n in doc.layout_names() if n != "Model")]
    blocks = [block for block in doc.blocks if block.name.startswith("*D")]
    for space in (*spaces, *blocks):
        found += [text.plain_text() for text in space.query("TEXT MTEXT")]
    return found


def read_dxf(text: str):
    doc = ezdxf.read(StringIO(text))
    audit = doc.audit()
    assert not audit.errors and not audit.fixes
    return doc


def letters(texts: list[str]) -> Counter[str]:
    return Counter("".join("".join(text.split()) for text in texts))


def pages(data: bytes) -> list[str]:
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(data)).pages]


def rasterise(data: bytes, folder, dots: int) -> np.ndarray:
    """First page as grey levels, by poppler."""
    if shutil.which("pdftoppm") is None:
        assert not os.environ.get("MISTCALC_REQUIRE_BROWSER"), "poppler-utils is required here"
        pytest.skip("pdftoppm (poppler-utils) is not installed")
    (folder / "sheet.pdf").write_bytes(data)
    command = [
        "pdftoppm",
        "-r",
        str(dots),
        "-gray",
        "-singlefile",
        str(folder / "sheet.pdf"),
        str(folder / "sheet"),
    ]
    subprocess.run(command, check=True)
    return np.asarray(Image.open(folder / "sheet.pgm"))


def test_all_three_hold_the_same_writing(sheets):
    want = sum((written(sheet) for sheet in sheets), Counter())
    assert sum((letters(svg_texts(svg.write(sheet))) for sheet in sheets), Counter()) == want
    assert letters(pages(pdf.write(sheets))) == want
    assert letters(dxf_texts(read_dxf(dxf.write(sheets)))) == want


def test_a_searched_distance_is_found_in_the_pdf(sheets):
    first, second = pages(pdf.write(sheets))
    for words in ("A18", "37'-0\"", "B10", "20'-4\"", "DATUM A", "7KM 4Q2", "check 38'-0\""):
        assert words in first
    assert "36'-11 1/8\"" in second


def test_the_same_sheets_give_the_same_bytes(sheets):
    assert svg.write(sheets[0]) == svg.write(sheets[0])
    assert pdf.write(sheets) == pdf.write(sheets)
    assert dxf.write(sheets) == dxf.write(sheets)


def test_only_our_font_is_in_the_pdf_and_it_is_embedded(sheets):
    seen = set()
    for page in pypdf.PdfReader(BytesIO(pdf.write(sheets))).pages:
        for font in page["/Resources"]["/Font"].values():
            font = font.get_object()
            seen.add(str(font["/BaseFont"]).split("+")[-1])
            assert "/FontFile2" in font["/FontDescriptor"], font["/BaseFont"]
    assert seen == {"DejaVuSansCondensed", "DejaVuSansCondensed-Bold"}


def test_pages_are_the_size_of_their_paper(sheets):
    for page in pypdf.PdfReader(BytesIO(pdf.write(sheets))).pages:
        size = [float(side) * 25.4 / 72 for side in (page.mediabox.width, page.mediabox.height)]
        assert size == pytest.approx([17 * 25.4, 11 * 25.4], abs=0.01)


def test_the_svg_carries_its_font_and_fetches_nothing(sheets):
    document = svg.write(sheets[0])
    assert document.count("@font-face") == 2 and "url(data:font/woff;base64," in document
    assert "http" not in document.replace("http://www.w3.org/2000/svg", "")
    root = ET.fromstring(document)
    assert root.attrib["width"] == "431.800mm" and root.attrib["viewBox"].endswith("431.800 279.400")
    assert "@font-face" not in svg.write(sheets[0], embed=False)


def ruler() -> tuple[Sheet, View]:
    """Upright ticks 38 ft apart and level ones 21 ft apart, at 1:48."""
    view = View("plan", 48, (50.0, 60.0))
    ends = [view.paper((x, 0)) for x in (0.0, 38 * 0.3048)], [view.paper((0, y)) for y in (0.0, 21 * 0.3048)]
    items: list[LineSegment | Dimension] = [
        LineSegment((x, y), (x, y + 5), layer="MARK", pen=Pen(0.5), view=view) for x, y in ends[0]
    ]
    items += [LineSegment((x - 10, y), (x - 5, y), layer="MARK", pen=Pen(0.5), view=view) for x, y in ends[1]]
    text = Text((100, 40), "38'-0\"", 3.5, True, 0, "middle", True, layer="DIM-MARK", view=view)
    items.append(Dimension(*ends[0], (0, 41), 0, writing=(text,), layer="DIM-MARK", view=view))
    return Sheet(431.8, 279.4, tuple(items), "Ruler", "R-9"), view


def middle_of_marks(dark: np.ndarray, dots: int) -> list[float]:
    """Middles [mm] of the dark stretches of a profile, weighted by darkness."""
    where = np.flatnonzero(dark > 0.2)
    groups = np.split(where, np.flatnonzero(np.diff(where) > 1) + 1)
    return [float(np.average(group + 0.5, weights=dark[group])) * 25.4 / dots for group in groups]


def test_distances_on_the_rasterised_pdf_are_true(tmp_path):
    dots = 200
    sheet, _ = ruler()
    picture = 1.0 - rasterise(pdf.write([sheet]), tmp_path, dots) / 255.0

    def row(mm: float) -> int:
        return round((279.4 - mm) * dots / 25.4)

    across = middle_of_marks(picture[row(64) : row(62)].mean(axis=0), dots)
    assert across == pytest.approx([50.0, 291.3], abs=0.2)
    assert across[1] - across[0] == pytest.approx(241.3, abs=0.2)
    column = slice(round(41 * dots / 25.4), round(44 * dots / 25.4))
    down = middle_of_marks(picture[:, column].mean(axis=1), dots)
    assert down[1] - down[0] == pytest.approx(133.35, abs=0.2)  # 21 ft at 1:48


@pytest.mark.parametrize(("unit", "code", "feet"), [("ft", 2, 1.0), ("mm", 4, 304.8)])
def test_distances_in_the_dxf_are_the_real_ones(unit, code, feet):
    doc = read_dxf(dxf.write([ruler()[0]], unit))
    assert doc.header["$INSUNITS"] == code  # DXF reference: 2 feet, 4 millimetres
    (dimension,) = doc.modelspace().query("DIMENSION")
    assert dimension.get_measurement() == pytest.approx(38 * feet, rel=1e-9)
    assert dimension.dxf.text == "38'-0\""
    xs = sorted({round(line.dxf.start.x, 6) for line in doc.modelspace().query('LINE[layer=="MARK"]')})
    assert max(xs) == pytest.approx(38 * feet, abs=1e-6) and 0.0 in xs


def test_marks_and_measurements_of_the_demonstration_read_back(sheets):
    """The demonstration lays A at 3 ft by 2 ft to 37 ft and B at 28 in by 24 in (typed in its builder)."""
    doc = read_dxf(dxf.write(sheets))
    circles = [c for c in doc.modelspace().query('CIRCLE[layer=="MARK"]') if abs(c.dxf.center.y - 0.5) < 1e-6]
    assert sorted(c.dxf.center.x for c in circles) == pytest.approx(
        [3.0 + 2 * i for i in range(18)], abs=1e-6
    )
    running = [
        d for d in doc.modelspace().query("DIMENSION") if not d.dxf.text.startswith(("check", "1 1/2"))
    ]
    measured = sorted(d.get_measurement() for d in running)
    assert measured == pytest.approx(
        sorted([3.0 + 2 * i for i in range(18)] + [28 / 12 + 2 * i for i in range(10)])
    )
    (stud,) = [d for d in doc.modelspace().query("DIMENSION") if d.dxf.text == '1 1/2"']
    assert stud.get_measurement() == pytest.approx(0.125, rel=1e-6)  # feet, from the 1:2 section


def test_the_dxf_has_the_layers_and_only_colour_seven(sheets):
    doc = read_dxf(dxf.write(sheets))
    wanted = ["MARK", "MARK-NAME", "DIM-MARK", "DATUM", "TUBE", "FRAME", "JOINT"]
    wanted += ["OBST", "BLOCKED", "WALL", "LID", "NOTE", "WARN", "SHEET"]
    assert set(wanted) <= {layer.dxf.name for layer in doc.layers}
    assert all(doc.layers.get(name).color == 7 for name in wanted)
    for space in (doc.modelspace(), doc.paperspace("R-1"), doc.paperspace("R-2")):
        for entity in space:
            assert entity.dxf.get("color", 256) in (7, 256)
            assert entity.dxf.layer in wanted or entity.dxftype() == "VIEWPORT"


def test_each_sheet_is_a_layout_that_sees_its_view_at_scale(sheets):
    doc = read_dxf(dxf.write(sheets))
    windows = [v for v in doc.paperspace("R-1").query("VIEWPORT") if v.dxf.id != 1]
    assert [round(v.dxf.view_height / v.dxf.height * 304.8, 6) for v in windows] == [48.0]
    windows = [v for v in doc.paperspace("R-2").query("VIEWPORT") if v.dxf.id != 1]
    assert [round(v.dxf.view_height / v.dxf.height * 304.8, 6) for v in windows] == [2.0]


def every_primitive() -> Sheet:
    square = ((10.0, 10.0), (30.0, 10.0), (30.0, 20.0), (10.0, 20.0))
    hexagon = ((60.0, 20.0), (65.0, 25.0), (75.0, 25.0), (80.0, 20.0), (75.0, 15.0), (65.0, 15.0))
    items = (
        LineSegment((0, 0), (50, 50), pen=Pen(0.18, (3, 1.2))),
        Polyline(square, True, BLACK),
        Text((20, 14), "STOP 3", 2.5, True, 0, "middle", pen=Pen(ink=WHITE)),
        Polyline(hexagon, True, BLACK),
        Polyline(((40.0, 10.0), (50.0, 10.0), (45.0, 30.0)), True, hatch=Hatch()),
        Circle((70, 50), 5, BLACK),
        Arc((70, 70), 8, 30, 300),
        Text((20, 60), "turned", 3.5, False, 37, "right", True),
        Dimension((10, 80), (60, 80), (0, 90), writing=(Text((35, 92), "50", align="middle"),)),
    )
    return Sheet(100, 100, items, "All", "X")


def test_every_primitive_is_drawn_by_every_writer(tmp_path):
    sheet = every_primitive()
    root = ET.fromstring(svg.write(sheet, embed=False))
    kinds = Counter(element.tag.split("}")[1] for element in root.iter())
    assert kinds["text"] == 3 and kinds["circle"] == 1
    doc = read_dxf(dxf.write([sheet], "mm"))
    kinds = Counter(e.dxftype() for e in doc.paperspace("X"))
    assert (kinds["ARC"], kinds["CIRCLE"], kinds["DIMENSION"], kinds["HATCH"]) == (1, 1, 1, 3)
    assert kinds["SOLID"] == 0  # the fill under white writing is an outline here: colour 7 on 7 would hide it
    picture = 1.0 - rasterise(pdf.write([sheet]), tmp_path, 100) / 255.0

    def ink(x0, y0, x1, y1):
        rows = slice(round((100 - y1) / 0.254), round((100 - y0) / 0.254))
        return float(picture[rows, round(x0 / 0.254) : round(x1 / 0.254)].mean())

    assert ink(66, 16, 74, 24) > 0.98  # filled hexagon
    assert ink(67, 47, 73, 53) > 0.98  # filled disc
    assert 0.5 < ink(11, 11, 29, 19) < 0.98  # white writing on black
    assert 0.03 < ink(42, 11, 48, 18) < 0.4  # hatch
    # the arc leaves the gap from 300 to 30 degrees open: right of its centre
    assert ink(77, 66, 79.5, 73) == 0.0 and ink(60.5, 68, 63, 72) > 0.02


def test_svg_and_pdf_show_the_same_arc():
    d = [
        e.attrib["d"]
        for e in ET.fromstring(svg.write(every_primitive(), embed=False)).iter()
        if "A8" in e.attrib.get("d", "")
    ]
    assert d == ["M76.928 74.000A8.000 8.000 0 1 1 74.000 63.072"]  # 8 cos 30 = 6.928, 8 sin 60 = 6.928


def test_hostile_text_stays_text_everywhere():
    view = View("plan", 48, (10, 10))
    items = [Text((10, 20 + 5 * i), text) for i, text in enumerate(HOSTILE)]
    items += [Text((100, 20 + 5 * i), text, mask=True, view=view) for i, text in enumerate(HOSTILE)]
    label = tuple(Text((10, 100), text) for text in HOSTILE[:3])
    dimension = Dimension((0, 0), (50, 0), (0, 10), writing=(Text((9, 9), "<> \\A1; {"), *label))
    sheet = Sheet(431.8, 279.4, (*items, dimension), "<b>\x00&\"'", "../..\\R:1?*")
    want = written(sheet)
    document = svg.write(sheet)
    root = ET.fromstring(document)
    assert letters(svg_texts(document)) == want
    tags = {element.tag.split("}")[1] for element in root.iter()}
    assert tags <= {"svg", "title", "style", "rect", "g", "path", "circle", "text"}
    assert letters(pages(pdf.write([sheet], title="(\\) \x00<b>"))) == want
    doc = read_dxf(dxf.write([sheet]))
    assert letters(dxf_texts(doc)) == want
    (read,) = doc.paperspace(doc.layout_names()[1]).query("DIMENSION")
    assert read.get_measurement() == pytest.approx(50.0)
    assert "<>" not in read.dxf.text


def test_a_file_needs_a_sheet():
    for write in (pdf.write, dxf.write):
        with pytest.raises(ValueError, match="needs a sheet"):
            write([])
