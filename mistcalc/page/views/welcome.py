"""No project is open: open a demo, one of yours from this computer, or upload one."""

from __future__ import annotations

import datetime

import streamlit as st

from mistcalc import files
from mistcalc.errors import MistcalcError
from mistcalc.page import desk, store
from mistcalc.page.views import parts
from mistcalc.words import label

RECENT = 6


def show(error: MistcalcError | None = None) -> None:
    st.html('<div class="job welcome"><b>mistcalc</b></div>')
    parts.headline(label("page.welcome"))
    if error is not None:
        parts.refuse(desk.mistakes(error))
    parts.sentence(label("page.welcome_lead"))
    _uploaded()
    if wrong := st.session_state.pop("refused", None):
        parts.refuse(wrong)
    parts.heading(label("page.examples"))
    for name in files.EXAMPLES:
        st.button(label(f"page.example_{name}"), key=f"example-{name}", on_click=_open_example, args=(name,))
    parts.side(label("page.examples_invented"))
    if mine := store.recent(RECENT):
        parts.heading(label("page.recent"))
        for identity, text, changed in mine:
            when = datetime.datetime.fromtimestamp(changed).strftime("%Y-%m-%d %H:%M")
            title = label("page.recent_one", name=_name(text), when=when)
            st.button(title, key=f"recent-{identity}", on_click=_open, args=(identity,))


def _uploaded() -> None:
    upload = st.file_uploader(
        label("page.upload_project"), key="upload-project", type=["toml"], max_upload_size=1
    )
    if upload is None:
        return
    try:
        identity = store.create(desk.project_text(upload.getvalue(), upload.name))
    except MistcalcError as error:
        parts.refuse(desk.mistakes(error))
        return
    _open(identity)
    st.rerun()


def _open_example(name: str) -> None:
    _open(store.create(files.example_text(name)))


def _open(identity: str) -> None:
    st.query_params["project"] = identity
    st.query_params["view"] = "house"


def _name(text: str) -> str:
    try:
        return desk.parsed(text).name
    except MistcalcError:
        return label("page.unreadable")
