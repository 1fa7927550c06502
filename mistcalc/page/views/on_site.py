"""On site: the marks to a phone, what it sends back, and every hole as built beside the plan."""

from __future__ import annotations

from functools import partial

import streamlit as st

from mistcalc import design, files
from mistcalc.errors import DataError
from mistcalc.model.results import AsBuilt
from mistcalc.page import open_project, store
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import background_work, components, controls, next_set
from mistcalc.page.views.pressure_test import log_of
from mistcalc.report import marks_html

MOST_FILES = 20


def show(opened: OpenProject) -> None:
    work = background_work.crews_job(opened, opened.label("page.view_on-site"))
    if work is None:
        return
    job = work.made
    if not opened.read_only:
        _take(opened)
    log = log_of(opened)
    holes, findings = design.judge_holes(job, log)
    drilled = sum(hole.drilled for hole in holes if hole.plan is not None)
    marks = sum(len(layout.marks) for layout in job.layouts)
    key = "on_site.so_far" if holes else "on_site.nothing"
    components.headline(opened.label(key, drilled=drilled, count=marks))
    components.heading(opened.label("office.out" if opened.read_only else "on_site.out"))
    components.sentence(opened.label("office.out_do" if opened.read_only else "on_site.out_do"))
    page = marks_html(job, opened.locale)
    title = opened.label("on_site.take")
    controls.download(
        title, page, file_name="marks.html", mime="text/html", key="take-marks", type="primary",
        disabled=work.old,
    )  # fmt: skip
    if opened.read_only:
        return
    components.heading(opened.label("on_site.back"))
    components.sentence(opened.label("on_site.back_do"))
    controls.upload(
        opened.label("on_site.upload"),
        key=f"site-{opened.identity}",
        type=["jsonl", "json", "txt"],
        accept_multiple_files=True,
        max_upload_size=5,
    )
    if holes:
        components.heading(opened.label("on_site.built"))
        _table(opened, holes)
        components.findings(opened, findings)
        whole = store.site_log(opened.identity).read_bytes()
        controls.download(opened.label("on_site.log"), whole, file_name="site.jsonl", key="take-log")
    next_set.show(opened, log, 4 if holes else 3)


def _take(opened: OpenProject) -> None:
    """Put what was uploaded into the log, each file whole or not at all; a file taken before adds nothing."""
    uploads = st.session_state.get(f"site-{opened.identity}") or []
    for upload in uploads[:MOST_FILES]:
        try:
            entries = files.parse_site_log(upload.getvalue(), upload.name, opened.project.name)
            store.add_to_site_log(opened.identity, partial(files.append_site_log, entries=entries))
        except Exception as error:
            components.show_errors(open_project.error_sentences(error, opened))
    if len(uploads) > MOST_FILES:
        many = DataError("page-too-many-files", count=len(uploads), most=MOST_FILES)
        components.show_errors(open_project.error_sentences(many, opened))


def _table(opened: OpenProject, holes: tuple[AsBuilt, ...]) -> None:
    names = ("mark", "plan", "drilled", "measured", "off", "across")
    components.table(
        [opened.label(f"on_site.col_{name}") for name in names],
        [
            (
                hole.name,
                _tape(opened, hole.plan),
                _drilled(opened, hole),
                _tape(opened, hole.measured),
                _off(opened, hole.off_along),
                _off(opened, hole.off_across),
            )
            for hole in holes
        ],
    )


def _drilled(opened: OpenProject, hole: AsBuilt) -> str:
    if hole.cannot and not hole.drilled:
        return opened.label("on_site.drilled_cannot", why=hole.cannot)
    return opened.label(f"on_site.drilled_{'yes' if hole.drilled else 'no'}")


def _tape(opened: OpenProject, value: float | None) -> str:
    return "" if value is None else opened.locale.tape(value)


def _off(opened: OpenProject, value: float | None) -> str:
    return "" if value is None else opened.locale.number(value, "length")
