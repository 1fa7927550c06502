"""An uploaded drawing by Streamlit's own test runner: what is what, the questions, the project; refusals."""

from __future__ import annotations

import re
from base64 import b64decode
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from mistcalc import files
from mistcalc.page import store
from mistcalc.page.drawing_picture import DrawingPicture
from mistcalc.page.views import controls
from tests.files import test_plan_drawing as drawings
from tests.page.test_views import APP, PATIENCE, own_folder, run, shown  # noqa: F401

pytestmark = pytest.mark.thorough

DRAWN = Path(__file__).resolve().parents[1] / "files" / "drawings"


def uploaded(data: bytes, name: str = "plan.dxf") -> AppTest:
    app = AppTest.from_file(str(APP), default_timeout=PATIENCE)
    app.query_params["new"] = "drawing"
    run(app)
    app.file_uploader(key="drawing-file").set_value((name, data, "application/dxf"))
    return run(app)


def row(app: AppTest, name: str):
    return next(one for one in app.selectbox if re.search(rf"\d \w+ {re.escape(name)}:", one.label))


def test_an_office_drawing_is_guessed_changed_and_opened():
    app = uploaded(drawings.in_bytes(drawings.court()))
    guessed = {
        name: row(app, name).value for name in ("A-CLNG-SOFF", "A-WALL", "VIGUETAS", "E-LITE", "NOTES")
    }
    assert list(guessed.values()) == ["edge", "wall", "joist", "light", ""]
    said = shown(app)
    assert "Is the scale right?" in said and "Where do pump and tube go?" in said
    row(app, "E-LITE").set_value("speaker")
    next(one for one in app.text_input if one.label == "Its length by your tape").set_value("38 ft")
    app = run(app)
    assert "Is the scale right?" not in shown(app)
    app.button(key="start-open").click()
    app = run(app)
    made = files.parse_project(store.read(app.query_params["project"]))
    kinds = sorted(one.kind for one in made.patios[0].obstacles)
    assert kinds == ["fan", "speaker", "speaker"] and made.name == "plan"
    asked = files.project_from_drawing(
        drawings.in_bytes(drawings.court()), "plan.dxf", "plan",
        files.LayerMap({"e-lite": "speaker"}), ("A", "38 ft"),
    )  # fmt: skip
    assert store.read(app.query_params["project"]) == asked.text  # as the command writes it


def test_a_drawing_whose_names_say_nothing_waits_for_the_edge():
    app = uploaded((DRAWN / "porch.dxf").read_bytes())
    assert "Say which of them is the open edge" in shown(app)
    for name, role in (("l_green", "edge"), ("l_red", "wall"), ("l_yellow", "light")):
        row(app, name.replace("_", r"_")).set_value(role)
    app = run(app)
    assert app.button(key="start-open")


def test_a_length_that_does_not_fit_is_the_commands_own_sentence():
    app = uploaded(drawings.in_bytes(drawings.court()))
    next(one for one in app.text_input if one.label == "Its length by your tape").set_value("39 ft")
    assert "Run A is drawn 38 ft long, and you measured 39 ft" in shown(run(app))


@pytest.mark.parametrize(
    "data",
    [b"", b"\x00" * 4000, b"AC1032" + b"\x01" * 400, drawings.three_d(), drawings.paper_only(), b"0\nEOF\n",
     drawings.in_bytes(drawings.court())[:4000], b"9" * 21_000_000],
    ids=["empty", "zeros", "dwg", "3d", "paper", "eof", "cut", "huge"],
)  # fmt: skip
def test_a_hostile_file_is_one_sentence(data):
    app = uploaded(data)
    told = re.findall(r'class="refused" role="alert">(.*?)</div>', shown(app), re.S)
    assert len(told) == 1 and told[0].count("<p>") == 1 and "plan.dxf" in told[0]
    assert "Traceback" not in shown(app) and not [b for b in app.button if b.key == "start-open"]


def test_the_picture_numbers_what_has_lines_and_holds_no_name():
    named = drawings.in_bytes(drawings.court()).replace(b"NOTES", b"[x](y)$z$")
    overview = files.overview_of(named, "plan.dxf")
    drawn = b64decode(DrawingPicture(overview.groups).whole().partition(",")[2]).decode()
    numbers = re.findall(r">(\d+)</text>", drawn)
    assert [int(n) for n in numbers] == [n for n, group in enumerate(overview.groups, 1) if group.lines]
    assert "[x]" not in drawn
    app = uploaded(named)
    assert any(controls.plain("[x](y)$z$") in one.label for one in app.selectbox)
