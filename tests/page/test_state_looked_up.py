"""What a control laid on the page is told of the values of all controls."""

from __future__ import annotations

import pytest
import streamlit as st
from streamlit.runtime.state.safe_session_state import SafeSessionState
from streamlit.testing.v1 import AppTest

from mistcalc.page import router, state_looked_up  # noqa: F401  as both ways to start the page import it


def script() -> None:
    import streamlit as st

    st.session_state.setdefault("kept", {"of": "ours"})
    st.session_state.setdefault("b", None)
    st.text_input("A", key="a", value="as it begins")
    st.text_input("B", key="b")
    st.radio("C", ["one", "two"], key="c")
    st.text_input("of nobody's key")


def test_what_is_looked_up_is_what_all_values_say():
    """The framework's own dictionary beside ours, of values typed, chosen, and never touched."""
    page = AppTest.from_function(script).run()
    page.text_input(key="a").input("typed").run()
    page.radio(key="c").set_value("two").run()
    ours = state_looked_up.LookedUp(page.session_state._state)
    theirs = state_looked_up._whole(page.session_state._state)
    assert dict(ours) == theirs == {"kept": {"of": "ours"}, "a": "typed", "b": None, "c": "two"}
    assert len(ours) == 4
    assert "nobody" not in ours
    with pytest.raises(KeyError):
        ours["nobody"]


def test_a_field_whose_value_was_set_to_nothing_is_empty():
    page = AppTest.from_function(script).run()
    assert page.text_input(key="b").value is None
    assert page.text_input(key="a").value == "as it begins"


def test_laying_a_control_does_not_ask_for_all_values(monkeypatch):
    """Else a view of many fields takes the square of their number."""
    asked = []
    monkeypatch.setattr(state_looked_up, "_whole", lambda state: asked.append(state) or {})
    assert isinstance(SafeSessionState.filtered_state, property)
    AppTest.from_function(script).run()
    assert not asked
    assert list(st.session_state) == []
    assert asked
