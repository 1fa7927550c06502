"""Labels are words whatever is in them, and what a control does ends in our own words if it fails."""

from __future__ import annotations

import ast
from pathlib import Path
from types import SimpleNamespace

import pytest

import mistcalc.page
from mistcalc.page.views import controls

PAGE = Path(mistcalc.page.__file__).parent
# All of Streamlit's calls that show a text as markup, or that do something when they are used.
MARKUP = {
    "button", "caption", "chat_input", "checkbox", "color_picker", "data_editor", "date_input",
    "download_button", "error", "expander", "feedback", "file_uploader", "form_submit_button",
    "header", "image", "info", "latex", "link_button", "markdown", "menu_button", "metric",
    "multiselect", "number_input", "page_link", "pills", "popover", "radio", "segmented_control",
    "select_slider", "selectbox", "slider", "status", "subheader", "success", "tabs", "text_area",
    "text_input", "time_input", "title", "toast", "toggle", "warning", "write",
}  # fmt: skip


def test_only_one_module_calls_streamlits_controls():
    seen = 0
    for path in PAGE.rglob("*.py"):
        for call in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(call, ast.Call) and isinstance(call.func, ast.Attribute):
                if isinstance(call.func.value, ast.Name) and call.func.value.id == "st":
                    seen += 1
                    assert path.name == "controls.py" or call.func.attr not in MARKUP, (
                        path.name,
                        call.lineno,
                    )
                assert path.name == "controls.py" or call.func.attr != "popover", (path.name, call.lineno)
    assert seen > 30


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Light L2", "Light L2"),
        ("Tom's & Co (north) #2, 24\" x 3", "Tom's & Co (north) #2, 24\" x 3"),
        ("Smith_Jones_3", "Smith_Jones_3"),
        ("Marks (or: none)", "Marks (or: none)"),
        ("![i](x)", "!\\[i](x)"),
        ("two\nlines  and\ttabs", "two lines and tabs"),
        ("a*b", "a\\*b"),
        (":material/home:", ":\u2060material/home:"),
        ("1. one", "1\u2060. one"),
        ("<b>", "\\<b>"),
        ("a < b", "a < b"),
        ("&lt;", "\\&lt;"),
    ],
)
def test_what_is_no_markup_is_left_alone_for_readers_aloud(text, shown):
    """A control is also called by its label, signs and all: no more of them than need be."""
    assert controls.plain(text) == shown


@pytest.mark.parametrize(
    ("drawn_in", "ran", "acts"),
    [(None, None, 1), (None, ["timer"], 0), ("lid", ["lid"], 1), ("lid", ["timer"], 0), ("lid", None, 1)],
)
def test_a_press_that_a_timer_carries_along_counts_once(drawn_in, ran, acts, monkeypatch):
    """A run of a timer's fragment alone leaves a button that stands elsewhere to the press that follows."""
    monkeypatch.setattr(controls, "get_script_run_ctx", lambda: SimpleNamespace(fragment_ids_this_run=ran))
    thread = SimpleNamespace(fragment_id=drawn_in)
    monkeypatch.setattr(controls, "ThreadState", SimpleNamespace(get=lambda: thread))
    presses: list[int] = []
    controls.counted_once(presses.append)(1)
    assert len(presses) == acts
