"""Signing in and out, where the page asks for it. Names and passwords are the identity provider's affair."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import streamlit as st

from mistcalc.page import access
from mistcalc.page.login_gate import FAILURES
from mistcalc.page.views import components, controls, no_project


def show(broken: Sequence[str] = ()) -> None:
    """broken: why nobody can sign in. Where the last try failed the address says how."""
    label = no_project.show_head()
    components.headline(label("office.sign_in_head"))
    if broken:
        components.show_errors(broken)
        return
    if (failed := st.query_params.get("sign-in")) in FAILURES:
        components.show_errors([label(f"office.sign_in_{failed}")])
    components.sentence(label("office.sign_in_lead"))
    controls.button(label("office.sign_in"), key="sign-in", type="primary", on_click=access.sign_in)
    if refused := st.session_state.pop("refused", None):
        components.show_errors(refused)


def way_out(label: Callable[..., str], where: str, **how: Any) -> None:
    """The button that signs out, for who is signed in."""
    if access.login_asked() and (known := access.person()) is not None:
        title = label("office.sign_out", name=known.shown)
        controls.button(title, key=f"sign-out-{where}", on_click=access.sign_out, **how)
