"""A typed field and a hand on the plan set the same value: what a browser still holds is not typed again."""

from __future__ import annotations

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from mistcalc import files
from mistcalc.page import store
from mistcalc.page.views import components

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
    assert 'back  = "2 ft 3 in"' in store.read(identity)
