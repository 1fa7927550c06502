"""The project that lies open: read from the store, edited through `commit`, computed through the conductor.

The text on disk is the truth; each run of the page reads it again, so tabs never drift apart. Parsing is
remembered by text, and every stage of the conductor by its nouns, so reading again costs next to nothing.
"""

from __future__ import annotations

import os
import traceback
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import streamlit as st

from mistcalc import design, files
from mistcalc.errors import DataError, InputErrors, MistcalcError, raised_at
from mistcalc.model.project import Patio, Project
from mistcalc.model.results import Cooling, Design, Line, LineVerdict, Weather
from mistcalc.page import access, places, store, turns
from mistcalc.page.edits import Edit, SetValue, apply_edit, climate_named, rounded_to_tape
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import System
from mistcalc.words import languages, say

PROJECT_BYTES = 1_000_000  # a project file is about 10 kB
CLIMATE_BYTES = 20_000_000
LOOK_EVERY = 2.0  # s: whether the project was changed elsewhere
MOST_PASSES = 3  # of edits: what is assumed anew may be what an edit set
VIEWS = ("house", "lid", "line", "afternoon", "season", "options", "paper", "on-site")


@dataclass(frozen=True, slots=True)
class OpenProject:
    """The open project. `text` is its file, word for word."""

    identity: str
    text: str
    project: Project

    @property
    def locale(self) -> Locale:
        """The project's units and language."""
        return Locale(self.project.units, self.project.language)

    @property
    def label(self) -> Callable[..., str]:
        """Words in them: opened.label("page.undo")."""
        return self.locale.label

    @property
    def read_only(self) -> bool:
        """Whether it is read by a link: nothing is offered that changes it (the store refuses it anyway)."""
        return places.only_reads(self.identity)

    @property
    def patio(self) -> Patio:
        """The patio looked at now."""
        chosen = st.session_state.get("patio")
        return next((p for p in self.project.patios if p.name == chosen), self.project.patios[0])


def parsed(text: str) -> Project:
    """The project a text states. Raises InputErrors."""
    return files.parse_project(text)


def open_saved(identity: str) -> OpenProject:
    """Raises DataError where there is no such project, InputErrors where its text is no longer read."""
    st.session_state["seen"] = store.stamp(identity)  # before it is read: what comes between is not missed
    text = store.read(identity)
    return OpenProject(identity, text, parsed(text))


def open_to_read(link: places.Link, language: str | None, units: System | None) -> OpenProject:
    """By a link, in the language and units the reader chose; else a crew reads its own language. Raises as
    `open_saved` does."""
    opened = open_saved(f"{places.LINK}{link.token}")
    asked = opened.project
    crew = asked.crew_language if link.reader == "crew" else None
    spoken = language or crew or asked.language
    return replace(opened, project=replace(asked, language=spoken, units=units or asked.units))


@st.fragment(run_every=LOOK_EVERY)
def follow_others(identity: str) -> None:
    """What another tab, another person or another program has saved shows by itself, and so does a link that
    was withdrawn, or having signed out elsewhere."""
    out = access.login_asked() and not places.only_reads(identity) and access.person() is None
    if out or store.stamp(identity) != st.session_state.get("seen"):
        st.rerun(scope="app")


def commit(identity: str, edits: Iterable[Edit], gesture: str = "") -> None:
    """Apply edits to the project as it stands on disk and save it. Edits of one gesture are one undo step.

    Raises InputError or InputErrors, and saves nothing, where the project would not be one any more.
    """
    wanted = tuple(edits)
    joins = bool(gesture) and st.session_state.get("gesture") == gesture
    store.change(identity, lambda text: edited(text, wanted), keep_undo=not joins)
    st.session_state["gesture"] = gesture


def edited(text: str, edits: Sequence[Edit]) -> str:
    """The text after edits. What it leaves out is assumed anew. Raises as `commit` does."""
    said = {edit.value: edit.said for edit in edits if isinstance(edit, SetValue) and edit.said}
    for _ in range(MOST_PASSES):
        stated = project = parsed(text)
        for edit in edits:
            project = apply_edit(project, rounded_to_tape(project, edit))
        if project == stated:
            break
        text = files.rewrite(text, project, follow=True, said=said)
    parsed(text)
    return text


def change_supply(identity: str) -> None:
    """From a pump to house water alone, or back. Raises InputErrors, and saves nothing, where the project
    would not be one any more."""

    def make(text: str) -> str:
        after = files.other_supply(text)
        parsed(after)
        return after

    store.change(identity, make)
    st.session_state.pop("gesture", None)


# ------------------------------------------------------------------ what comes in from outside


def project_text(content: bytes, name: str) -> str:
    """Text of an uploaded project, once it is known to be one. Raises InputErrors or DataError."""
    if len(content) > PROJECT_BYTES:
        raise DataError("page-project-too-large", name=name, size=len(content), limit=PROJECT_BYTES)
    try:
        text = content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise DataError("page-project-not-text", name=name) from None
    parsed(text)
    return text


def take_climate(identity: str, content: bytes, name: str) -> Weather:
    """Keep an uploaded climate file, once it is read without fault, and name it in the project."""
    if len(content) > CLIMATE_BYTES:
        raise DataError("page-climate-too-large", name=name, size=len(content), limit=CLIMATE_BYTES)
    weather = files.read_climate(content, plain_name(name))
    store.put_climate(identity, plain_name(name), content)
    commit(identity, climate_named(parsed(store.read(identity)), plain_name(name), weather.elevation))
    return weather


def plain_name(name: str) -> str:
    """An uploaded file's name as mere words for the project file: no folder, no sign a shell would mind."""
    plain_text = "".join(
        sign for sign in Path(name.replace("\\", "/")).name if sign.isalnum() or sign in "._- "
    )
    return plain_text.strip(". ")[:60] or "uploaded climate file"


def climate_beside(text: str, folder: Path) -> tuple[str, bytes] | None:
    """The climate file a project file names beside itself, name and content; None for a sample or none."""
    climate = parsed(text).place.climate
    if climate is None:
        return None
    path = files.climate_path(climate, folder)
    return (climate, path.read_bytes()) if path.is_relative_to(folder.resolve()) else None


# ------------------------------------------------------------------ what follows


@lru_cache(maxsize=4)
def _weather(path: str, changed: int, name: str) -> Weather:
    return files.read_climate(Path(path), name)


def sample_weather(name: str) -> Weather:
    """A climate of ours, as the command line calls it: the name stands on sheets and in their code."""
    path = files.climate_path(name, None)
    return _weather(str(path), path.stat().st_mtime_ns, path.name)


def weather(opened: OpenProject) -> Weather | None:
    """The climate the project names: a sample of ours, else the uploaded file. None where typed in."""
    name = opened.project.place.climate
    if name is None:
        return None
    try:
        return sample_weather(name)
    except DataError:
        uploaded = store.climate(opened.identity, name)
        if uploaded is None:
            raise DataError("page-climate-missing", name=plain_name(name)) from None
        return _weather(str(uploaded), uploaded.stat().st_mtime_ns, plain_name(name))


def hottest(opened: OpenProject) -> float | None:
    """Dry bulb of the hottest afternoon [K]; None while no climate can be read, which another view says."""
    try:
        return design.hottest(weather(opened), opened.project.place)
    except MistcalcError:
        return None


Follows = tuple[Line, LineVerdict, tuple[Cooling, ...]]


def line_and_cooling(project: Project, weather: Weather | None, patio: Patio) -> Follows:
    """The figures people ask for after each change, the cooling under one patio: half of what the whole job
    takes. Raises MistcalcError."""
    layouts = tuple(laid for laid, _ in design.lay_all(project))
    airs = design.outdoor_conditions(weather, project.place)
    solved, found = design.solve_line(project.plumbing, layouts, design.hottest(weather, project.place))
    verdict, _ = design.installer(project, solved, found)
    laid = layouts[project.patios.index(patio)]
    heading = project.heading(patio.name)
    turns.give_way()  # to a hand that moved on since
    cooled, _ = design.afternoons(patio, laid, solved, project.plumbing, airs, heading)
    return solved, verdict, cooled


def full_design(opened: OpenProject) -> Design:
    """The whole job. Raises MistcalcError."""
    return design.run(opened.project, weather(opened))


def without_air(opened: OpenProject) -> Design:
    """What crews drill and test by, without the air under the lid. Raises MistcalcError."""
    return design.run_without_air(opened.project, weather(opened))


def with_season(opened: OpenProject, job: Design) -> Design:
    """The job with its typical year, as its sheets show it."""
    return design.with_season(job, weather(opened))


def with_bids(opened: OpenProject, job: Design) -> Design:
    """The job with its alternates beside it, where the project states any."""
    if not opened.project.alternates:
        return job
    return design.with_bids(job, files.alternate_projects(opened.project, opened.text), weather(opened))


def language() -> str:
    """Of whoever looks at the page: that of the project last opened, else the browser's, where we have it."""
    asked = st.session_state.get("language") or (st.context.locale or "").partition("-")[0]
    return asked if asked in languages() else "en"


def next_language(spoken: str) -> str:
    """The language a button offers to whoever reads another."""
    known = languages()
    return known[(known.index(spoken) + 1) % len(known)]


def error_sentences(error: Exception, opened: OpenProject | None = None) -> Sequence[str]:
    """One sentence a mistake; of a fault that is nobody's mistake, what the disk said or where it is ours.

    With MISTCALC_TRACEBACK=1 its trace goes to the terminal.
    """
    units, spoken = (opened.project.units, opened.project.language) if opened else ("us", language())
    if os.environ.get("MISTCALC_TRACEBACK") and not isinstance(error, MistcalcError):
        traceback.print_exception(error)
    if isinstance(error, OSError):
        error = DataError("page-disk", reason=error.strerror or type(error).__name__)
    elif not isinstance(error, MistcalcError):
        error = DataError("page-fault", kind=type(error).__name__, at=raised_at(error))
    text = say(error, units, spoken)
    return text.splitlines() if isinstance(error, InputErrors) else [text]
