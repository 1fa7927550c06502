"""The lid: marks, clashes and joists to scale, the strip to edit them, and what follows from each edit.

While a hand drags, only this fragment runs, and it calls `design.lay` and nothing else. What is let go of
is saved; once all is quiet the component says so and the rest of the page follows.
"""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import replace
from typing import get_args, get_type_hints

import streamlit as st

from mistcalc import design, units
from mistcalc.errors import InputError, MistcalcError
from mistcalc.model.project import Patio, Plaster, Project, Run
from mistcalc.model.results import Finding, Layout
from mistcalc.page import open_project
from mistcalc.page.edits import Edit, SetValue, accepted, apply_edit, joints_proposed, rounded_to_tape
from mistcalc.page.lid_data import component_data, row_title
from mistcalc.page.lid_messages import Moves, read_moves
from mistcalc.page.open_project import OpenProject
from mistcalc.page.plan_data import Signs
from mistcalc.page.views import background_work, components, controls
from mistcalc.page.views.sent_once import browser_part
from mistcalc.report.common.findings_by_reader import NumberedFinding, numbered_on, place_in_patio

FOLLOWS_AT_ONCE = 0.05  # s: what is remembered; the rest takes longer, and meanwhile a hand may move on
OPEN = 2  # findings that stand open over the plan

component = browser_part(
    "lid", "lid.css",
    "move_queue.js", "overview.js", "plan_board.js", "run_drawing.js", "hands.js", "lid.js",
)  # fmt: skip


def show(opened: OpenProject) -> None:
    st.session_state["beside-marks"] = beside_marks(opened)
    _edited(opened.identity)
    with st.container(key="lid-fields"):
        _fields(opened, opened.patio)
        _what_follows(opened)


@components.alone
def _edited(identity: str) -> None:
    """Headline, clashes and the component: all that follows a finger."""
    opened = open_project.open_saved(identity)
    if wrong := st.session_state.pop("refused", None):
        components.show_errors(wrong)
    if st.session_state.pop("settled", False):
        st.rerun(scope="app")
    project = st.session_state.get("preview") or opened.project
    patio = next((p for p in project.patios if p.name == opened.patio.name), opened.patio)
    layout, findings = design.lay(patio, house=project.house_names)
    components.headline(headline(opened, layout))
    told = numbered_on(layout, (*findings, *st.session_state["beside-marks"]), together=False)
    _clashes(opened, patio, [one for one in told if not one.note])
    if (edit := joints_proposed(opened.patio)) is not None:
        title = opened.label("plan.propose_joints")
        controls.button(title, key="propose-joints", on_click=_commit_at_once, args=(opened, edit))
    run_name = _chooser(opened)
    refused_of, refused = st.session_state.get("refused-move", ("", ()))
    data = {
        **component_data(layout, patio, run_name, opened.locale, project.plumbing, signs(told)),
        "place": f"mistcalc.lid.{identity}.{patio.name}",
        "ack": st.session_state.get("acknowledged"),
        "wrong": " ".join(refused) if refused_of == opened.text else "",
    }
    key = f"lid-{identity}"
    component(
        key=key,
        data=data,
        on_edit_change=lambda: take_message(identity, patio.name, st.session_state[key].edit),
    )
    if notes := [one for one in told if one.note]:
        with controls.collapsible(opened.label("page.notes_fold", count=len(notes))):
            for one in notes:
                components.findings(opened, [one.finding], one.number)


def take_message(identity: str, patio: str, message: object) -> None:
    """One message of the component: look at its moves, save those let go of, confirm its number.

    A message sent again changes nothing.
    """
    try:
        moves = read_moves(message, patio)
    except InputError:
        return  # not from our component: nothing to confirm
    if moves.row:
        st.session_state[_run_key(identity, patio)] = moves.row
    if moves.settled and st.session_state.get("quiet") != (moves.client, moves.settled):
        st.session_state["quiet"] = (moves.client, moves.settled)
        st.session_state["settled"] = True
    if not moves.moves:
        st.session_state["acknowledged"] = {"client": moves.client, "seq": moves.seq}
        return
    for about in ("preview", "refused-move"):
        st.session_state.pop(about, None)
    try:
        if edits := [move.edit for move in moves.moves if move.commit]:
            open_project.commit(identity, edits, moves.gesture)
        st.session_state["preview"] = _preview(identity, moves)
    except OSError as error:  # not confirmed: the browser keeps the move and sends it again
        _refuse(identity, error)
        return
    except Exception as fault:
        _refuse(identity, fault)
    st.session_state["acknowledged"] = {"client": moves.client, "seq": moves.seq}


def _refuse(identity: str, error: Exception) -> None:
    """Said beneath the plan, where the hand is, as long as the project stays what it is."""
    with contextlib.suppress(OSError, MistcalcError):
        opened = open_project.open_saved(identity)
        st.session_state["refused-move"] = (opened.text, open_project.error_sentences(error, opened))


def _preview(identity: str, moves: Moves) -> Project | None:
    """The project with moves only looked at; None where every move was let go of."""
    looked_at = [move.edit for move in moves.moves if not move.commit]
    if not looked_at:
        return None
    project = open_project.open_saved(identity).project
    for edit in looked_at:
        project = apply_edit(project, rounded_to_tape(project, edit))
    return project


def _chooser(opened: OpenProject) -> str:
    """Which patio, where there are several, and which row of which run."""
    components.choose_patio(opened)
    rows = {
        row.name: row_title(run, row.name, opened.locale) for run in opened.patio.runs for row in run.rows
    }
    names = list(rows)
    if len(names) == 1:
        return names[0]
    key = _run_key(opened.identity, opened.patio.name)
    if st.session_state.get(key) not in rows:
        st.session_state.pop(key, None)
    title = opened.label("page.run_to_edit")
    return (
        controls.radio_buttons(title, names, format_func=rows.__getitem__, key=key, horizontal=True)
        or names[0]
    )


def _run_key(identity: str, patio: str) -> str:
    return f"run-{identity}-{patio}"


def headline(opened: OpenProject, layout: Layout) -> str:
    """Marks, pitch and whether every hole misses the wood, in one sentence or two."""
    holes = layout.holes
    pitch = f"page.marks_{layout.pattern}"
    sentences = [opened.label(pitch, count=len(layout.marks), pitch=layout.pitch)]
    stops = (("page.marks_stop", holes.stop), ("page.marks_stop_drilled", holes.stop_drilled))
    stopped = [opened.label(key, marks=some) for key, some in stops if some]
    wood = {"missed": "page.marks_clear", "partly": "page.marks_clear_part"}.get(holes.wood)
    runs = next(patio.runs for patio in opened.project.patios if patio.name == layout.patio)
    assumed = opened.project.runs_on_assumed_joists(layout.patio)
    if wood == "page.marks_clear" and assumed:
        wood = f"page.marks_clear_assumed{'_runs' if len(assumed) < len(runs) else ''}"
    if wood and not stopped:
        sentences.append(opened.label(wood, unknown=holes.unknown, of=len(layout.marks), runs=assumed))
    return " ".join([*sentences, *stopped])


def beside_marks(opened: OpenProject) -> tuple[Finding, ...]:
    """What else the builder hears, of wood, holes and dates: as it was when a hand last rested."""
    laid = design.lay_all(opened.project)
    layouts = tuple(layout for layout, _ in laid)
    line, found = design.solve_line(opened.project.plumbing, layouts, open_project.hottest(opened))
    return *found, *design.builder_findings(opened.project, layouts, line)


def signs(told: Sequence[NumberedFinding]) -> Signs:
    """The number that stands at each thing on the plan: the same as in the list and on the sheets."""
    numbers = {thing: one.number for one in reversed(told) if one.look for thing in one.things}
    return tuple(numbers.items())


def _clashes(opened: OpenProject, patio: Patio, told: Sequence[NumberedFinding]) -> None:
    """Findings of the lid, worst first; beyond the first few they are folded, so that the plan stays near."""
    for place, one in enumerate(told[:OPEN]):
        _clash(opened, patio, place, one)
    if len(told) > OPEN:
        with controls.collapsible(opened.label("page.look_fold", count=len(told) - OPEN)):
            for place, one in enumerate(told[OPEN:], OPEN):
                _clash(opened, patio, place, one)


def _clash(opened: OpenProject, patio: Patio, place: int, one: NumberedFinding) -> None:
    """Where a smallest fix is known, a button that does it."""
    finding = one.finding
    thing, edit = place_in_patio(finding, patio.name), accepted(patio, finding)
    with st.container(key=f"clash-{place}", horizontal=True, vertical_alignment="center"):
        components.findings(opened, [finding], one.number)
        if edit is not None:
            move, key = opened.label("page.move_thing", name=thing), f"fix-{finding.code}-{thing}"
            controls.button(move, key=key, on_click=_commit_at_once, args=(opened, edit))


def _commit_at_once(opened: OpenProject, edit: Edit) -> None:
    """Pressed, not drawn: no hand has yet to come to rest, so the fields and figures below follow now."""
    components.commit(opened, [edit])
    if "refused" not in st.session_state:  # that is said first, by this part
        st.session_state["settled"] = True


# ------------------------------------------------------------------ plain fields


def _fields(opened: OpenProject, patio: Patio) -> None:
    here = ("patios", patio.name)
    components.heading(opened.label("page.typed"))
    with st.container(key="fields-ceiling"):
        _finish(opened, patio)
    with controls.collapsible(opened.label("page.spacing")), st.container(key="fields-marks"):
        for name in ("pitch", "closest", "widest", "from_wall"):
            components.quantity(opened, opened.label(f"page.{name}"), (*here, "marks", name), "length")
        path = (*here, "line_behind_edge")
        components.quantity(opened, opened.label("page.line_behind_edge"), path, "length")
    with controls.collapsible(opened.label("page.joists")), st.container(key="fields-joists"):
        for run in patio.runs:
            _framing(opened, patio, run)
    if not patio.obstacles:
        return
    with (
        controls.collapsible(opened.label("page.things_fold", count=len(patio.obstacles))),
        st.container(key="fields-things"),
    ):
        for thing in patio.obstacles:
            for name in ("along", "back", "clearance"):
                title = opened.label(f"page.thing_{name}", name=thing.name)
                components.quantity(opened, title, (*here, "obstacles", thing.name, name), "length")


def _finish(opened: OpenProject, patio: Patio) -> None:
    """What the ceiling is covered with, and how thick; a thickness nobody stated goes with it."""
    here = ("patios", patio.name, "plaster")
    components.choice(
        opened,
        opened.label("start.ceiling"),
        (*here, "system"),
        get_args(get_type_hints(Plaster)["system"]),
        lambda name: opened.label(f"paper_plaster.{name}").capitalize(),
    )
    if patio.plaster.covered or patio.plaster.thickness:
        components.quantity(opened, opened.label("page.thickness"), (*here, "thickness"), "length")


def _framing(opened: OpenProject, patio: Patio, run: Run) -> None:
    here = ("patios", patio.name, "runs", run.name, "framing")
    if not run.framing.as_framed:
        spacing = opened.label("page.joist_spacing", run=run.name)
        first = opened.label("page.joist_first", run=run.name)
        components.quantity(opened, spacing, (*here, "spacing"), "length")
        components.quantity(opened, first, (*here, "first"), "length")
    title = opened.label("page.joists_as_framed", run=run.name)

    def as_framed(text: str) -> list[Edit]:
        parts = (part for part in units.with_points(text).split(";") if part.strip())
        centres = tuple(units.parse(part, "length") for part in parts)
        if not centres:
            raise InputError("page-no-centres", title)
        return [SetValue(here, replace(run.framing, centres=centres, spacing=None, first=None))]

    shown = "; ".join(components.spelled(c, "length", opened.project.units) for c in run.framing.centres)
    hint = opened.label(f"page.joists_hint_{opened.project.units}")
    components.field(opened, title, repr((patio.name, run.name, "centres")), shown, as_framed, hint)


def _what_follows(opened: OpenProject) -> None:
    """The two figures people ask for after a change of the lid: cooling in the seats, and the pump."""
    components.heading(opened.label("page.what_follows"))
    patio = opened.patio

    def follows() -> open_project.Follows:
        return open_project.line_and_cooling(opened.project, open_project.weather(opened), patio)

    def work(saying: str) -> open_project.Follows | None:
        of = f"seats of {patio.name}"
        return background_work.in_background(opened, "job", follows, of, FOLLOWS_AT_ONCE, saying)

    def told(made: open_project.Follows) -> list[tuple[str, str]]:
        line, verdict, cooled = made
        seats = [
            (
                opened.label("page.seats_on", afternoon=day.afternoon),
                components.span(opened, *day.band("seats", (0.1, 0.9))),
            )
            for day in cooled
        ]
        return [*seats, *components.pump_rows(opened, line, verdict)]

    of = f"{opened.identity}/{patio.name}"
    background_work.figures(opened, work, told, opened.label("page.cooling_meant"), of)
