"""marks.html read back: every mark at its place, nothing from outside, a person's words never markup."""

from __future__ import annotations

import dataclasses
import json
import re

import pytest

from mistcalc import units
from mistcalc.drawing.quick_response import quick_code
from mistcalc.model.site_readings import names_of
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.phone.mark_data import CANNOT, NUDGE, STEP, page_data
from mistcalc.report.phone.marks_page import SCRIPTS, _source, marks_html
from tests import builders, hostile

LOCALES = [Locale("us", "en"), Locale("metric", "en")]


def data_in(page: str) -> dict:
    (told,) = re.findall(r'<script type="application/json" id="data">(.*?)</script>', page, re.S)
    return json.loads(told)


@pytest.mark.parametrize("locale", LOCALES)
def test_every_mark_is_there_at_its_place(locale):
    job = builders.design()
    told = data_in(marks_html(job, locale))
    marks = [mark for layout in job.layouts for mark in layout.marks]
    assert [(one["name"], units.parse(one["exact"], "length")) for one in told["marks"]] == [
        (mark.name, mark.along) for mark in marks
    ]
    for one, said, mark in zip(told["marks"], told["languages"][0]["marks"], marks, strict=True):
        assert one["along"] * STEP[locale.units] == pytest.approx(mark.along, abs=1e-6)
        assert said["tape"] == units.tape(mark.along, locale.units)
        assert one["joist"] * STEP[locale.units] == pytest.approx(mark.near_offset, abs=1e-6)


@pytest.mark.parametrize("locale", LOCALES)
def test_past_its_datum_a_mark_says_that_the_tape_is_pulled_the_other_way(locale):
    job = builders.design()
    layout = job.layouts[0]
    past = dataclasses.replace(layout.marks[0], along=-0.2032)
    turned = dataclasses.replace(layout, marks=(past, *layout.marks[1:]))
    job = dataclasses.replace(job, layouts=(turned, *job.layouts[1:]))
    first, *others = data_in(marks_html(job, locale))["languages"][0]["marks"]
    assert (first["tape"], first["turned"]) == (units.tape(0.2032, locale.units), "other way")
    assert "-" not in first["inches"] + first["mm"]
    assert not any(one["turned"] for one in others)


@pytest.mark.parametrize("locale", LOCALES)
def test_what_the_tape_reads_is_what_a_project_file_reads(locale):
    """What a hand sets, the site log takes: each text of the table is parsed to the step it stands for."""
    table = page_data(builders.design(), locale.units, "en")["tape"]
    steps = table["steps"]
    for stretch, (begin, number) in enumerate(table["stretches"]):
        for n, ending in enumerate(table["endings"][number]):
            exact = (stretch * steps + n) * STEP[locale.units]
            assert units.parse(begin + ending, "length") == pytest.approx(exact, abs=1e-9)


def test_a_tap_is_an_eighth_or_five_millimeters():
    assert {system: NUDGE[system] * STEP[system] for system in NUDGE} == {
        "us": pytest.approx(0.0254 / 8),
        "metric": pytest.approx(0.005),
    }


def test_the_same_job_gives_the_same_page():
    assert marks_html(builders.design(), LOCALES[0]) == marks_html(builders.design(), LOCALES[0])


def test_a_page_asks_for_nothing_outside_itself():
    page = marks_html(builders.design(), LOCALES[0])
    assert re.findall(r"[a-z]+://[^\"'\s)]*", page) == ["http://www.w3.org/2000/svg"]  # a name, never fetched
    assert not re.search(r"\b(src|href|action)=", page)
    assert "default-src 'none'" in page


@pytest.mark.thorough
@pytest.mark.parametrize(
    "text", [*hostile.MEANT, "</script><script>alert(1)</script>", "<!--<script>", "\u2028$title"]
)
def test_what_a_person_wrote_stays_text(text):
    project = dataclasses.replace(builders.project(), name=text)
    (layout,) = builders.design().layouts
    marks = tuple(dataclasses.replace(mark, name=f"{text}{n}") for n, mark in enumerate(layout.marks))
    job = builders.design(project=project, layouts=(dataclasses.replace(layout, marks=marks),))
    page = marks_html(job, LOCALES[0])
    assert page.count("<script") == page.count("</script>") == 2
    assert data_in(page)["project"] == text
    assert data_in(page)["marks"][0]["name"] == f"{text}0"
    if re.search("[<&]", text):
        assert text not in re.sub("<script.*?</script>", "", page, flags=re.S)


def test_no_script_is_long_and_none_sets_markup():
    for name in SCRIPTS:
        source = _source(name)
        assert len(source.splitlines()) < 350, name
        assert not re.search(
            r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|fetch\(", source
        ), name


def test_scripts_write_fields_the_site_log_knows():
    fields = set(re.findall(r'"(mark [a-z]+)"', "".join(map(_source, SCRIPTS))))
    assert fields == {f"mark {name}" for name in names_of("mark")}
    assert len(CANNOT) == 4


# ------------------------------------------------------------------ the code for a camera


SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"


def read_quick_code(size: int, dark: set[tuple[int, int]]) -> str:
    """A reader of a small QR code, after ISO/IEC 18004, from memory: version 1, one block of data."""
    assert size == 21
    bits = [(8, y) for y in (0, 1, 2, 3, 4, 5, 7, 8)] + [(x, 8) for x in (7, 5, 4, 3, 2, 1, 0)]
    told = sum(((x, y) in dark) << n for n, (x, y) in enumerate(bits)) ^ 0b101010000010010
    mask = told >> 10 & 7
    turned = (
        lambda i, j: (i + j) % 2, lambda i, j: i % 2, lambda i, j: j % 3, lambda i, j: (i + j) % 3,
        lambda i, j: (i // 2 + j // 3) % 2, lambda i, j: i * j % 2 + i * j % 3,
        lambda i, j: (i * j % 2 + i * j % 3) % 2, lambda i, j: ((i + j) % 2 + i * j % 3) % 2,
    )[mask]  # fmt: skip

    def of_data(x: int, y: int) -> bool:
        return not (x == 6 or y == 6 or (x < 9 and y < 9) or (x < 9 and y > 12) or (x > 12 and y < 9))

    stream, up = [], True
    for right in (20, 18, 16, 14, 12, 10, 8, 5, 3, 1):
        for y in range(20, -1, -1) if up else range(21):
            stream += [((x, y) in dark) ^ (not turned(y, x)) for x in (right, right - 1) if of_data(x, y)]
        up = not up
    text = "".join(str(int(bit)) for bit in stream)
    assert text[:4] == "0010"  # figures, capitals and a few signs
    count, rest, read = int(text[4:13], 2), text[13:], ""
    while len(read) < count:
        wide = 11 if count - len(read) > 1 else 6
        pair, rest = int(rest[:wide], 2), rest[wide:]
        read += SIGNS[pair // 45] + SIGNS[pair % 45] if wide == 11 else SIGNS[pair]
    return read


@pytest.mark.parametrize("code", ["7KM 4Q2", "NEH HYY", "222 222"])
def test_the_code_for_a_camera_reads_as_the_sheets_code(code):
    drawn = quick_code(code)
    dark = {(int(x), int(y)) for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", drawn["path"])}
    assert read_quick_code(drawn["size"], dark) == code
