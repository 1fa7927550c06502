"""A typed field and a hand on the plan set the same value: what a browser still holds is not typed again."""

from __future__ import annotations

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from mistcalc import files
from mistcalc.page import store
from mistcalc.page.views import components, house, line

APP = Path(__file__).resolve().parents[2] / "app.py"
PLACE = ("patios", "court", "obstacles", "L2", "back")


def test_an_old_value_that_comes_back_late_undoes_nothing(tmp_path, monkeypatch: pytest.MonkeyPatch):
    """The light was moved on the plan; a browser on a slow line sends its fields as they were before."""
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    only = {"lid": lambda opened: components.quantity(opened, "Back", PLACE, "length")}
    monkeypatch.setattr("mistcalc.page.router.SHOW", only)
    identity = store.create(files.example_text("courtyard"))
    app = AppTest.from_file(str(APP), default_timeout=120)
    app.query_params["project"], app.query_params["view"] = identity, "lid"
    app.run()
    held, old = app._tree, app.text_input[0]
    assert old.value == "27 in"
    store.change(identity, lambda text: text.replace('back  = "2 ft 3 in"', 'back  = "4 ft"'))
    app.run()
    assert app.text_input[0].value == "48 in"
    old.set_value("27 in")
    app._tree = held
    app.run()
    assert 'back  = "4 ft"' in store.read(identity)
    app.text_input[0].set_value("27 in").run()  # typed by a hand it still counts
    assert 'back  = "27 in"' in store.read(identity)


def test_a_thing_taken_away_and_brought_back_stands_in_its_fields_again(tmp_path, monkeypatch):
    """As by Undo and Redo: what its fields showed before is shown again, and nothing counts as typed."""
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    there = [True]

    def show(opened):
        if there[0]:
            components.quantity(opened, "Back", PLACE, "length")

    monkeypatch.setattr("mistcalc.page.router.SHOW", {"lid": show})
    identity = store.create(files.example_text("courtyard"))
    before = store.read(identity)
    app = AppTest.from_file(str(APP), default_timeout=120)
    app.query_params["project"], app.query_params["view"] = identity, "lid"
    app.run()
    for there[0] in (False, False, True):
        app.run()
    assert app.text_input[0].value == "27 in"
    assert store.read(identity) == before


def test_what_comes_back_to_the_page_is_neither_typed_nor_chosen(tmp_path, monkeypatch: pytest.MonkeyPatch):
    """The browser sends once more what it holds of a view that was left: the line stays on its pump, what was
    assumed stays assumed."""
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    there = [True]

    def show(opened):
        if there[0]:
            line._supply(opened)
            house._looks(opened)
            components.quantity(opened, "At", ("plumbing", "nozzle", "at"), "pressure")

    monkeypatch.setattr("mistcalc.page.router.SHOW", {"lid": show})
    identity = store.create(files.example_text("bayou"))
    before = store.read(identity)
    app = AppTest.from_file(str(APP), default_timeout=120)
    app.query_params["project"], app.query_params["view"] = identity, "lid"
    app.run()
    held = app._tree
    for one in (*app.radio, *app.selectbox, *app.text_input):
        one.set_value(one.value)
    for there[0] in (False, False, True):
        app.run()
        app._tree = held
    app.run()
    assert store.read(identity) == before
    app.radio[0].set_value("mains").run()  # chosen by a hand it counts
    assert "#~ [pump]" in store.read(identity)


@pytest.mark.parametrize(
    ("path", "kind", "typed", "shown"),
    [
        (("plumbing", "water", "at_flow"), "flow", "2 L/min", "2 L/min"),  # was 120 L/h
        (("plumbing", "nozzle", "flow"), "flow", "110 mL/min", "110 mL/min"),
        (("plumbing", "water", "hardness"), "concentration", "12 gpg", "12 gpg"),  # 205.41673254325135 mg/L
        (("plumbing", "water", "static"), "pressure", "4,5 bar", "4.5 bar"),
        (("patios", "court", "height"), "length", "2,9 m", "2.9 m"),
        (("patios", "court", "height"), "length", "9' 6 1/2\"", "9 ft 6-1/2 in"),
        (("patios", "court", "height"), "length", "9 pies", "9 ft"),
    ],
)
def test_what_is_typed_comes_back_in_its_unit_on_the_page_and_in_the_file(
    path, kind, typed, shown, tmp_path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    only = {"lid": lambda opened: components.quantity(opened, "It", path, kind)}
    monkeypatch.setattr("mistcalc.page.router.SHOW", only)
    identity = store.create(files.example_text("courtyard"))
    app = AppTest.from_file(str(APP), default_timeout=120)
    app.query_params["project"], app.query_params["view"] = identity, "lid"
    app.run()
    app.text_input[0].set_value(typed).run()
    assert app.text_input[0].value == shown
    assert f'= "{shown}"' in store.read(identity)


@pytest.mark.parametrize(("typed", "offered"), [("22", "22 in"), ("2", "2 ft")])
def test_a_bare_number_is_offered_with_the_unit_that_makes_it_likely(
    typed, offered, tmp_path, monkeypatch: pytest.MonkeyPatch
):
    """22 in the field of a spacing of 24 in was answered 'Write "22 ft" or "22 m"'."""
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    pitch = ("patios", "court", "marks", "pitch")
    only = {"lid": lambda opened: components.quantity(opened, "It", pitch, "length")}
    monkeypatch.setattr("mistcalc.page.router.SHOW", only)
    identity = store.create(files.example_text("courtyard"))
    app = AppTest.from_file(str(APP), default_timeout=120)
    app.query_params["project"], app.query_params["view"] = identity, "lid"
    app.run()
    app.text_input[0].set_value(typed).run()
    told = " ".join(element.proto.body for element in app.get("html"))
    assert f"Write &quot;{offered}&quot;." in told or f'Write "{offered}".' in told
