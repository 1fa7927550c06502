"""A project from an architect's drawing: what is on it, what is what, what was read, what is to be asked.

Read as `mistcalc new --from` reads it, and nothing is saved before "Open this design".
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import streamlit as st

from mistcalc import files, units
from mistcalc.errors import InputError
from mistcalc.page import open_project
from mistcalc.page.drawing_picture import DrawingPicture
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import components, controls, no_project, so_far
from mistcalc.report.common.locale_text import Locale

UPLOAD_MB = 20
FIRST = 12  # layers that stand open; the others are folded away
MOST = 60
LEAVE_OUT = ""
ROLES = (LEAVE_OUT, "edge", "wall", "joist", *files.THINGS)

Said = tuple[tuple[str, str], ...]


def show() -> None:
    locale = Locale("us", open_project.language())
    no_project.show_name(locale.label, locale.language, "drawing")
    components.headline(locale.label("start.drawing_head"))
    components.side(locale.label("start.drawing_lead"))
    upload = controls.upload(
        locale.label("start.drawing_file"), key="drawing-file", type=["dxf"], max_upload_size=UPLOAD_MB
    )
    if upload is not None:
        try:
            _read(upload.getvalue(), open_project.plain_name(upload.name), upload.file_id, locale)
        except Exception as error:
            components.show_errors(open_project.error_sentences(error))
    controls.button(locale.label("start.back"), key="start-back", on_click=st.query_params.clear)


class GroupPictures(NamedTuple):
    whole: str
    alone: tuple[str, ...]  # of each layer or block shown


@lru_cache(maxsize=2)
def _overview(data: bytes, source: str) -> tuple[files.DrawingOverview, GroupPictures]:
    """What is on a drawing, and its pictures: drawn once, however often an answer changes."""
    if len(data) > UPLOAD_MB * 1_000_000:
        raise InputError("drawing-huge-file", source, size=len(data), most=UPLOAD_MB * 1_000_000)
    overview = files.overview_of(data, source)
    if overview.ours:
        return overview, GroupPictures("", ())
    groups = overview.groups[:MOST]
    picture = DrawingPicture(groups)
    return overview, GroupPictures(picture.whole(), tuple(picture.alone(group) for group in groups))


@lru_cache(maxsize=4)
def _project(
    data: bytes, source: str, name: str, layers: Said, blocks: Said, unit: str | None, **more: Any
) -> files.FromDrawing:
    said = files.LayerMap(dict(layers), dict(blocks), unit)
    return files.project_from_drawing(data, source, name, said, **more)


def _read(data: bytes, source: str, upload: str, locale: Locale) -> None:
    overview, pictures = _overview(data, source)
    with st.container(key="drawing"):
        seen, asked = st.columns([1, 1], gap="large")
        with asked:
            roles = _roles(overview, pictures, upload, locale)
        if not overview.ours:
            words = locale.label("start.drawing_picture", count=len(roles), source=source)
            with seen:
                st.html(f'<img class="drawing" alt="{components.safe(words)}" src="{pictures.whole}">')
        with seen:
            more = _questions(overview, source, upload, locale)
    if not overview.ours and not any(role == "edge" for _, role in roles):
        components.side(locale.label("start.drawing_no_edge"))
        return
    layers = tuple(
        (group.name.lower(), role or "nothing")
        for group, role in roles
        if group.by == "layer" and role != (group.guess or LEAVE_OUT)
    )
    blocks = tuple((group.name.lower(), role) for group, role in roles if group.by == "block" and role)
    made = _project(data, source, layers=layers, blocks=blocks, language=locale.language, **more)
    _told(made, more["near"])


def _roles(
    overview: files.DrawingOverview, pictures: GroupPictures, upload: str, locale: Locale
) -> list[tuple[files.DrawnGroup, str]]:
    """A row for each layer or block, with what it is; the guess stands first."""
    if overview.ours:
        components.side(locale.label("start.drawing_ours"))
        return []
    components.heading(locale.label("start.drawing_what"))
    shown = list(enumerate(zip(overview.groups, pictures.alone, strict=False), 1))
    out = [(group, _role(n, group, picture, upload, locale)) for n, (group, picture) in shown[:FIRST]]
    if len(shown) > FIRST:
        with controls.collapsible(locale.label("start.drawing_more", count=len(overview.groups) - FIRST)):
            for n, (group, picture) in shown[FIRST:]:
                out.append((group, _role(n, group, picture, upload, locale)))
            if len(overview.groups) > MOST:
                components.side(locale.label("start.drawing_beyond", count=len(overview.groups) - MOST))
    return out


def _role(n: int, group: files.DrawnGroup, picture: str, upload: str, locale: Locale) -> str:
    title = locale.label(f"start.drawing_{group.by}", number=n, name=group.name, count=group.count)
    first = group.guess if group.guess in ROLES else "edge" if group.guess == "outline" else LEAVE_OUT
    with st.container(key=f"drawn-row-{n}", horizontal=True, vertical_alignment="center"):
        st.html(f'<img class="drawn" alt="" src="{picture}">', width="content")
        return str(
            controls.dropdown(
                title,
                ROLES,
                index=ROLES.index(first),
                key=f"drawn-{upload}-{n}",
                format_func=lambda role: locale.label(f"drawn.{role}" if role else "start.drawing_leave"),
            )
        )


def _questions(overview: files.DrawingOverview, source: str, upload: str, locale: Locale) -> dict[str, Any]:
    name = controls.text(
        locale.label("start.name"), key=f"drawing-name-{upload}", value=Path(source).stem or source
    )
    unit = None
    if not overview.ours:
        known = tuple(files.UNITS_BY_NAME)
        title = locale.label("start.drawing_unit")
        first = known.index(overview.unit) if overview.unit in known else None
        unit = controls.dropdown(title, known, index=first, key=f"drawing-unit-{upload}")
    components.side(locale.label("start.drawing_scale_side"))
    with st.container(key="fields-drawing-scale"):
        run = controls.text(locale.label("start.drawing_run"), key=f"drawing-run-{upload}", value="A")
        title = locale.label("start.drawing_length")
        length = controls.measure(title, key=f"drawing-length-{upload}").strip()
    if length:
        units.parse(length, "length")
    near = controls.dropdown(
        locale.label("start.air_town_field"),
        files.climate_sample_names(),
        index=None,
        format_func=files.climate_place,
        key="drawing-town",
    )
    return {
        "name": name.strip() or source,
        "unit": unit if unit != overview.unit else None,
        "scale": (run.strip(), length) if length else None,
        "near": near,
    }


def _told(made: files.FromDrawing, near: str | None) -> None:
    project = open_project.parsed(made.text)
    opened = OpenProject("", made.text, project)
    label = opened.label
    with st.container(key="drawn-so-far"):
        components.heading(label("start.so_far"))
        weather = open_project.sample_weather(near) if near else None
        so_far.follows(opened, False, weather, f"drawing of {project.name}")
        if near is None:
            components.side(label("start.drawing_air"))
        components.heading(label("from_drawing.ask_head"))
        for n, question in enumerate(made.questions, 1):
            components.sentence(f"{n}. {question}")
        with controls.collapsible(label("from_drawing.read_head")):
            for told in made.read:
                components.side(told)
        so_far.ways_on(opened, made.text)
