"""No project is open: open a demo, one of yours from this computer, or upload one."""

from __future__ import annotations

import contextlib
import datetime
from collections.abc import Sequence

import streamlit as st

from mistcalc import files
from mistcalc.errors import DataError, MistcalcError
from mistcalc.page import access, open_project, places, store
from mistcalc.page.views import components, controls, no_project, sign_in

RECENT = 6
RECENT_SIGNED_IN = 200  # nobody there opens the data folder to find an older one


def show(wrong: Sequence[str] = (), unread: str | None = None) -> None:
    """wrong: why the project asked for does not stand here. unread: its id, where it is kept all the same."""
    label = no_project.show_head()
    sign_in.way_out(label, "welcome")
    components.headline(label("page.welcome"))
    if wrong:
        components.show_errors(wrong)
        _take_away(unread, label("page.download_project"))
    controls.button(label("start.new"), key="start-new", type="primary", on_click=_start)
    components.side(label("start.new_side"))
    no_project.offer_drawing(label)
    components.side(label("start.drawing_side"))
    components.heading(label("page.welcome_lead"))
    _uploaded(label("page.upload_project"))
    if refused := st.session_state.pop("refused", None):
        components.show_errors(refused)
    components.heading(label("page.examples"))
    for name in files.EXAMPLES:
        controls.button(
            label(f"page.example_{name}"), key=f"example-{name}", on_click=_open_example, args=(name,)
        )
    components.side(label("page.examples_invented"))
    asked = access.login_asked()
    if mine := store.recent(RECENT_SIGNED_IN if asked else RECENT, access.owner()):
        components.heading(label("office.mine" if asked else "page.recent"))
        for identity, text, changed in mine:
            when = datetime.datetime.fromtimestamp(changed).strftime("%Y-%m-%d %H:%M")
            title = label("page.recent_one", name=_name(text) or label("page.unreadable"), when=when)
            key = f"recent-{places.in_address(identity)}"
            controls.button(title, key=key, on_click=_open, args=(identity,))


def _take_away(identity: str | None, title: str) -> None:
    """A project that cannot be opened here, as it is kept."""
    with contextlib.suppress(OSError, ValueError, DataError):
        if identity is not None and store.known(identity):
            text = store.read(identity)
            controls.download(title, text, file_name="project.toml", mime="text/plain", key="take-unread")


def _start() -> None:
    st.query_params["new"] = "1"


def _uploaded(title: str) -> None:
    upload = controls.upload(title, key="upload-project", type=["toml"], max_upload_size=1)
    if upload is None:
        return
    try:
        text = open_project.project_text(upload.getvalue(), upload.name)
        identity = store.create(text, person=access.owner())
    except Exception as error:
        components.show_errors(open_project.error_sentences(error))
        return
    _open(identity)
    st.rerun()


def _open_example(name: str) -> None:
    _open(store.create(files.example_text(name, open_project.language()), person=access.owner()))


def _open(identity: str) -> None:
    st.query_params["project"] = places.in_address(identity)
    st.query_params["view"] = "house"


def _name(text: str) -> str:
    try:
        return open_project.parsed(text).name
    except MistcalcError:
        return ""
