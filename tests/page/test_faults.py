"""A disk that refuses and a fault of ours end in a sentence of our own, with the work as it was saved.

Each control and each view meets each kind of fault; Streamlit's own box is never seen.
"""

from __future__ import annotations

import errno
import html
import re
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path
from types import SimpleNamespace

import pytest
from streamlit.testing.v1 import AppTest

from mistcalc import design, files
from mistcalc.errors import InputErrors
from mistcalc.page import open_project, places, store
from mistcalc.page.open_project import VIEWS
from mistcalc.page.views import background_work, hour_by_hour, lid

pytestmark = pytest.mark.thorough

APP = Path(__file__).resolve().parents[2] / "app.py"
FAULTS: dict[str, tuple[Exception, str]] = {
    "full": (OSError(errno.ENOSPC, "No space left on device"), "No space left on device"),
    "closed": (PermissionError(errno.EACCES, "Permission denied"), "Permission denied"),
    "ours": (ZeroDivisionError("division by zero"), "a fault in mistcalc, not in your project"),
    "deep": (RecursionError("maximum recursion depth"), "a fault in mistcalc, not in your project"),
}


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))


@pytest.fixture(params=FAULTS)
def fault(request) -> tuple[Callable[..., None], str]:
    """What raises it, and what is said of it."""
    raised, said = FAULTS[request.param]

    def fail(*_: object, **__: object) -> None:
        raise raised

    return fail, said


def shown(app: AppTest) -> str:
    assert not app.exception
    assert not any(sign in element.proto.body for element in app.get("html") for sign in ("<a ", "http"))
    return " ".join(element.proto.body for element in app.get("html"))


def opened(view: str) -> tuple[AppTest, str]:
    identity = store.create(files.example_text("bayou"))
    app = AppTest.from_file(str(APP), default_timeout=120)
    app.query_params["project"], app.query_params["view"] = identity, view
    return app, identity


@pytest.mark.parametrize("view", VIEWS)
def test_a_fault_in_a_view_leaves_the_frame_and_the_project_to_take_away(view, fault, monkeypatch):
    fail, said = fault
    monkeypatch.setattr("mistcalc.page.router.SHOW", dict.fromkeys(VIEWS, fail))
    app, _ = opened(view)
    app.run()
    assert said in shown(app)
    assert [button.label for button in app.get("download_button")] == ["Download the project file"]
    assert any(str(button.key) == "undo" for button in app.button)


@pytest.mark.parametrize("place", ["mistcalc.page.open_project.open_saved", "mistcalc.page.router._head"])
def test_a_fault_before_any_view_is_said(place, fault, monkeypatch):
    fail, said = fault
    app, _ = opened("lid")
    monkeypatch.setattr(place, fail)
    app.run()
    assert said in shown(app)


def test_a_fault_on_the_first_page_is_said(fault, monkeypatch):
    fail, said = fault
    monkeypatch.setattr(store, "recent", fail)
    app = AppTest.from_file(str(APP), default_timeout=120)
    app.run()
    assert said in shown(app)


def test_a_project_of_a_newer_version_is_said_and_can_be_taken_away():
    text = re.sub(r"(?m)^format\s*=.*", "format = 99", files.example_text("bayou"))
    with pytest.raises(InputErrors) as uploaded:
        open_project.project_text(text.encode(), "house.toml")
    (said,) = open_project.error_sentences(uploaded.value)
    assert "A newer mistcalc wrote this file: it has format 99" in said
    app = AppTest.from_file(str(APP), default_timeout=120)
    identity = app.query_params["project"] = store.create(text)
    assert said.partition(": ")[2] in html.unescape(shown(app.run()))
    assert [button.label for button in app.get("download_button")] == ["Download the project file"]
    assert store.read(identity) == text


def test_another_patios_hot_afternoon_is_not_shown_while_ones_own_is_worked_out(monkeypatch):
    drawn: list[tuple[str, list[bool]]] = []
    found = iter([("grid",), None, None])
    monkeypatch.setattr(hour_by_hour, "st", SimpleNamespace(session_state={}))
    monkeypatch.setattr(hour_by_hour, "_side", lambda opened: None)
    monkeypatch.setattr(
        hour_by_hour, "_data", lambda opened, job, patio, day, grid: {"of": patio.name, "stated": [1]}
    )
    monkeypatch.setattr(
        hour_by_hour, "component", lambda key, data: drawn.append((data["of"], data["stated"]))
    )
    monkeypatch.setattr(background_work, "in_background", lambda *given, **how: next(found))
    monkeypatch.setattr(background_work, "meanwhile", lambda *given: nullcontext(""))
    for name in ("court", "side", "court"):
        opened = SimpleNamespace(identity="0" * 16, patio=SimpleNamespace(name=name), read_only=True)
        hour_by_hour.show(opened, None, SimpleNamespace(afternoon="hot"))
    assert drawn == [("court", [False])] * 2  # and who only reads moves no seat


@pytest.mark.parametrize("key", ["undo", "units", "leave-wide", "go-house-wide"])
def test_a_fault_in_a_button_of_the_frame_is_said_and_nothing_is_lost(key, fault, monkeypatch):
    fail, said = fault
    monkeypatch.setattr("mistcalc.page.router.SHOW", dict.fromkeys(VIEWS, lambda opened: None))
    app, identity = opened("lid")
    before = store.read(identity)
    store.change(identity, lambda text: text + "\n# more\n")
    app.run()
    names = {"leave-wide": "_leave", "go-house-wide": "_go"}
    if key in names:
        monkeypatch.setattr(f"mistcalc.page.router.{names[key]}", fail)
        app.run()
    for name in ("undo", "change"):
        monkeypatch.setattr(store, name, fail)
    app.button(key=key).click().run()
    assert said in shown(app)
    assert store.read(identity) == before + "\n# more\n"


def test_a_field_that_cannot_be_saved_says_so_and_keeps_what_was_typed(fault, monkeypatch):
    fail, said = fault
    app, identity = opened("house")
    app.run()
    before = store.read(identity)
    monkeypatch.setattr("mistcalc.page.store.files.write_file", fail)
    field = next(widget for widget in app.text_input if widget.label == "Elevation")
    field.set_value("1234 m").run()
    assert said in shown(app)
    assert next(widget for widget in app.text_input if widget.label == "Elevation").value == "1234 m"
    assert store.read(identity) == before
    monkeypatch.undo()


def test_a_demo_that_cannot_be_kept_is_said(fault, monkeypatch):
    fail, said = fault
    app = AppTest.from_file(str(APP), default_timeout=120)
    app.run()
    monkeypatch.setattr(store, "create", fail)
    app.button(key="example-bayou").click().run()
    assert said in shown(app)


def test_a_fault_in_the_fragment_of_the_lid_is_said(fault, monkeypatch):
    fail, said = fault
    monkeypatch.setattr(lid, "headline", fail)
    monkeypatch.setattr(lid, "_what_follows", lambda opened: None)
    app, _ = opened("lid")
    app.run()
    assert said in shown(app)


def test_a_drag_that_cannot_be_saved_is_not_confirmed_and_one_of_no_use_is(fault, monkeypatch):
    """What is not confirmed the browser keeps and sends again; a fault of ours would meet it each time."""
    fail, said = fault
    identity = store.create(files.example_text("courtyard"))
    patio = open_project.open_saved(identity).project.patios[0]
    mark = design.lay(patio)[0].marks[3]
    move = {"kind": "mark", "name": mark.name, "run": mark.run, "along": mark.along, "commit": True}
    state: dict[str, object] = {}
    monkeypatch.setattr("streamlit.session_state", state)
    monkeypatch.setattr(store, "change", fail)
    lid.take_message(identity, patio.name, {"client": "c", "seq": 7, "moves": [move]})
    assert said in " ".join(state["refused-move"][1])  # type: ignore[index]
    assert ("acknowledged" in state) == ("fault in mistcalc" in said)


def test_work_that_fails_beside_the_script_is_said(fault, monkeypatch):
    fail, said = fault
    monkeypatch.setattr(open_project, "full_design", fail)
    app, _ = opened("paper")
    app.run()
    assert said in shown(app)


def test_one_project_that_cannot_be_read_does_not_hide_the_others():
    good, bad = store.create(files.example_text("bayou")), store.create("x")
    (places.data_folder() / "projects" / bad / "project.toml").write_bytes(b"\xff\xfe")
    assert [identity for identity, _, _ in store.recent(5)] == [good]
