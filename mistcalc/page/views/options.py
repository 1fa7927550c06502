"""Options: other ways to build the same line as a ladder, least water lowest, rung above rung."""

from __future__ import annotations

import streamlit as st

from mistcalc import options
from mistcalc.errors import InputError
from mistcalc.model.results import OptionLadder, Wishes
from mistcalc.page import open_project
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import background_work, components, controls, ladder, two_ways
from mistcalc.report.owner.options_text import option_blocks, rung_steps
from mistcalc.report.owner.text_blocks import Prose
from mistcalc.units import parse

ASKED = (("water", "flow"), ("motor", "power"), ("floor", "share"), ("cost", None))


def show(opened: OpenProject) -> None:
    components.headline(opened.label("options_view.head"))
    mains = "" if opened.project.plumbing.pump is not None else "_mains"
    components.sentence(opened.label(f"options_view.lead{mains}"))
    wishes = _wishes(opened)
    if wishes is None:
        return
    weather, patio = open_project.weather(opened), opened.patio.name

    def tried() -> OptionLadder:
        return options.options_of(opened.project, weather, opened.project.units, wishes, patio)

    made = background_work.standing(opened, "options", tried, f"{wishes}{patio}")
    if made is None:
        return
    opened, told = made.opened, made.made
    _title, *blocks = option_blocks(told, opened.project, opened.locale)
    picture = st.container()
    pair = two_ways.show(opened, told, made.old)
    with picture:
        ladder.show(opened, told, pair)
    said = {opened.label("options.asked_none"), *dict(rung_steps(told, opened.locale)).values()}
    with controls.collapsible(opened.label("options_view.figures")):
        for block in blocks:
            if not isinstance(block, Prose):
                components.table(block.head, block.rows)
            elif not any(block.text.endswith(step) for step in said):
                (components.heading if block.heading else components.sentence)(block.text)


def _read(text: str, kind: str | None) -> float:
    return options.amount(text) if kind is None else parse(text, kind)


def _wishes(opened: OpenProject) -> Wishes | None:
    """What is typed as too much; None where something typed cannot be read, which is said beneath it."""
    values: dict[str, float | None] = {}
    pumped = opened.project.plumbing.pump is not None
    asked = [(name, kind) for name, kind in ASKED if pumped or name != "motor"]
    components.heading(opened.label("options_view.asked"))
    with st.container(key="fields-wishes"):
        typed = {name: _typed(opened, name) for name, _ in asked}
    for name, kind in asked:
        try:
            values[name] = _read(typed[name], kind) if typed[name].strip() else None
        except InputError as error:
            components.show_errors(open_project.error_sentences(error, opened))
            return None
    return Wishes(**values)


def _typed(opened: OpenProject, name: str) -> str:
    hint = opened.label(f"options_view.hint_{name}_{opened.project.units}")
    title = opened.label(f"options_view.{name}")
    return controls.text(title, key=f"wish-{name}-{opened.identity}", placeholder=hint)
