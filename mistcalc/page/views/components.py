"""Pieces every view is made of: safe text, refusals, plain fields with units, rows of facts, findings."""

from __future__ import annotations

import base64
import functools
import html
import re
from collections.abc import Callable, Collection, Iterable, Sequence
from typing import Any

import streamlit as st

from mistcalc import units, words
from mistcalc.errors import InputError, InputErrors
from mistcalc.model.results import Finding, Line, LineVerdict, Work
from mistcalc.page import open_project, turns
from mistcalc.page.edits import Edit, SetValue
from mistcalc.page.nouns_by_name import Path, get
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import controls
from mistcalc.report.common import caution_boxes, findings_by_reader
from mistcalc.report.common.screen_picture import ScreenPicture
from mistcalc.report.owner.range_axis import DegreeAxis

INCHES_ALONE = 1.25  # m: 4 ft and a little
# ISO 3864-1: a triangle with an exclamation mark, on the one yellow of the page. A picture: Streamlit takes
# drawings out of markup.
ALERT_SIGN = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 21">'
    '<path d="M12 1.5 23 20H1z" fill="#fee838" stroke="#111111" stroke-width="2" stroke-linejoin="round"/>'
    '<path d="M12 7.5v6M12 15.5v2.2" fill="none" stroke="#111111" stroke-width="2.2"/></svg>'
)
AS_TOLD = ("flow", "power")  # kinds that come in more than one unit of a system
OTHERS = {"m", "um", "L/min", "mL/min", "gpg", "kW"}  # units that people type besides a system's own
EASY = 13  # signs of a value that is easy to read and to type


def safe(text: object) -> str:
    """Text of a project or file as text, whatever signs are in it."""
    return html.escape(str(text), quote=True)


def alone(draw: Callable[..., None]) -> Callable[..., None]:
    """A part of a view that runs again by itself: no one above catches a fault, so it is said in place."""

    @st.fragment
    @functools.wraps(draw)
    def part(*given: Any) -> None:
        try:
            with turns.run_of_page():
                draw(*given)
        except Exception as fault:
            show_errors(open_project.error_sentences(fault))

    return part


def headline(text: str) -> None:
    st.html(f"<h1>{safe(text)}</h1>")


def heading(text: str) -> None:
    st.html(f"<h2>{safe(text)}</h2>")


def sentence(text: str) -> None:
    st.html(f"<p>{safe(text)}</p>")


def side(text: str) -> None:
    """A sentence that explains; quieter than a fact."""
    st.html(f'<p class="side">{safe(text)}</p>')


def notice(text: str) -> None:
    """What holds for the whole page, boxed at its top."""
    st.html(f'<div class="notice" role="note"><p>{safe(text)}</p></div>')


def show_errors(sentences: Sequence[str]) -> None:
    """What is wrong and what to do instead, a line a mistake."""
    lines = "".join(f"<p>{safe(line)}</p>" for line in sentences)
    st.html(f'<div class="refused" role="alert">{lines}</div>')


def facts(rows: Iterable[tuple[str, str]], old: str = "") -> None:
    """Pairs of a name and a value, a rule under each. old: the words for it where they hold no more."""
    lines = "".join(f"<tr><th scope=row>{safe(name)}</th><td>{safe(value)}</td></tr>" for name, value in rows)
    table = f'<table class="facts old" aria-label="{safe(old)}">' if old else '<table class="facts">'
    st.html(f"{table}{lines}</table>")


def table(head: Sequence[str], rows: Iterable[Sequence[str]], struck: Collection[int] = ()) -> None:
    """A plain table that scrolls sideways on a phone. The first column names the row. struck: numbers of rows
    to cross out."""
    top = "".join(f"<th scope=col>{safe(name)}</th>" for name in head)
    escaped_rows = [
        [f"<s>{safe(cell)}</s>" if number in struck and cell else safe(cell) for cell in row]
        for number, row in enumerate(rows)
    ]
    body = "".join(
        f"<tr><th scope=row>{first}</th>{''.join(f'<td>{cell}</td>' for cell in rest)}</tr>"
        for first, *rest in escaped_rows
    )
    st.html(f'<div class="scroll" tabindex="0"><table class="rows"><tr>{top}</tr>{body}</table></div>')


def drawings(pictures: Iterable[ScreenPicture], told: str, noted: bool = True) -> None:
    """The paper's own drawings, which slide sideways where they would be too small to read. noted: what
    had no room on them is said beneath."""
    for picture in pictures:
        source = base64.b64encode(picture.drawn.encode()).decode()
        drawn = f'<img alt="{safe(told)}" src="data:image/svg+xml;base64,{source}">'
        st.html(f'<div class="scroll diagram" tabindex="0">{drawn}</div>')
        for note in picture.notes if noted else ():
            side(note)


def findings(opened: OpenProject, judgements: Iterable[Finding], number: int = 0) -> None:
    """Judgements, worst first: a failing one heavier and with its word, never by colour alone. number: the
    plan's sign of it."""
    for finding in sorted(judgements, key=lambda f: f.rank):
        shown = f"\N{NO-BREAK SPACE}{number}" if number else ""
        word = safe(opened.label(f"level.{finding.level}")) + shown
        text = safe(opened.locale.say(finding, in_file=False))
        st.html(f'<div class="finding {finding.level}"><b>{word}</b><p>{text}</p></div>')


def commit(opened: OpenProject, edits: list[Edit], gesture: str = "") -> None:
    """Save edits, or say at the top of the page why not."""
    try:
        open_project.commit(opened.identity, edits, gesture)
    except Exception as error:
        st.session_state["refused"] = open_project.error_sentences(error, opened)


def quantity(opened: OpenProject, title: str, path: Path, kind: str, optional: bool = False) -> None:
    """A plain field for one value with its unit, read as a project file is read."""

    system = opened.project.units
    # As it was typed last, in these units: who types L/min reads L/min.
    typed: dict[object, tuple[object, str]] = st.session_state.setdefault("typed", {})
    place = (opened.identity, path, system)

    def read(text: str) -> list[Edit]:
        text = units.with_points(text)
        now = get(opened.project, path)
        value = None if optional and not text.strip() else units.parse_beside(text, kind, system, now)
        typed[place] = value, text
        return [SetValue(path, value, text if value is not None else "")]

    value = get(opened.project, path)
    at, text = typed.get(place, (None, ""))
    shown = "" if value is None else spelled(value, kind, system)
    if value is not None and at == value and re.search("[a-z]", text, re.IGNORECASE):
        shown = units.spell(value, kind, system, like=text)
    field(opened, title, repr(path), shown, read)


def choice(
    opened: OpenProject, title: str, path: Path, options: Sequence[str], told: Callable[[str], str]
) -> None:
    """One value out of several, each told in words."""
    now = str(get(opened.project, path))
    key = f"{path!r}-{opened.identity}-{now}"  # with the choice in it: after an undo it shows the old one

    def chosen() -> None:
        commit(opened, [SetValue(path, st.session_state[key])])

    controls.dropdown(title, options, index=options.index(now), format_func=told, key=key, on_change=chosen)


def spelled(value: float, kind: str, system: units.System) -> str:
    """A value as it would be typed: in the system's own unit, or, where that takes too many digits, in the
    unit that spells it shortest ("1190 m", "27 um"). Either reads back to the same value. Short lengths
    are inches, as the trade says them: 16 in joists, a 24 in pitch. What a tape shows stays so."""
    short = kind == "length" and system == "us" and abs(value) < INCHES_ALONE
    like = units.show(value, kind, system) if kind in AS_TOLD else "1 in" if short else None
    usual_text = units.spell(value, kind, system, like=like)
    on_tape = kind == "length" and "." not in usual_text
    if len(usual_text) <= EASY or on_tape or kind not in units.KINDS:
        return usual_text
    known = units.KINDS[kind]
    usual = {known.us, known.metric, *(OTHERS & set(known.units))}
    others = (units.spell(value, kind, system, like=f"1 {unit}") for unit in sorted(usual))
    return min((usual_text, *others), key=len)


def field(
    opened: OpenProject, title: str, key: str, shown: str, edits: Callable[[str], list[Edit]], hint: str = ""
) -> None:
    """A text field that shows `shown` and commits edits(text); what cannot be read stays, said beneath."""
    state = st.session_state
    place = f"field:{opened.identity}:{key}"
    # One entry for all fields: Streamlit goes through every entry again for each field it lays.
    about = state.setdefault("fields", {}).setdefault(place, {"turn": 0})
    if about.get("shown") != shown or f"{place}:{about['turn']}" not in state:
        # A field that was away for a while, as of a thing brought back by Undo, comes back empty. And a
        # value changed by anything else than this field makes it a new one: what the browser still holds of
        # the old one would else come back as typed, and undo the change.
        if not about.pop("typed", False):
            about["turn"] += 1
        state[f"{place}:{about['turn']}"] = about["shown"] = shown
        about.pop("wrong", None)
    key = f"{place}:{about['turn']}"

    def changed() -> None:
        if key != f"{place}:{about['turn']}":
            return
        about.pop("wrong", None)
        if state[key] == about.get("shown"):
            return  # sent again by the browser, typed by nobody: what was assumed stays assumed
        wanted: list[Edit] = []
        try:
            wanted = edits(state[key])
            open_project.commit(opened.identity, wanted)
        except InputErrors as error:
            about["wrong"] = _at_field(opened, error, wanted, title)
        except Exception as error:
            about["wrong"] = open_project.error_sentences(error, opened)
        else:
            about["typed"] = True
            about.pop("shown", None)  # a value spelled another way is shown as the file has it

    controls.text(title, key=key, on_change=changed, placeholder=hint or None)
    if wrong := about.get("wrong"):
        show_errors(wrong)


def named(mistake: InputError, title: str) -> InputError:
    """The same mistake, of the field with that title over it and not of a key and a line of the file."""
    return InputError(mistake.code, **{**mistake.placeless, "key": title})


def _at_field(opened: OpenProject, error: InputErrors, wanted: Sequence[Edit], title: str) -> Sequence[str]:
    """What was typed is wrong by itself: said of its field. Wrong with something else of the file: where."""
    keys = {str(edit.path[-1]) for edit in wanted if isinstance(edit, SetValue)}
    if any(mistake.where.rpartition(".")[2] not in keys for mistake in error.mistakes):
        return open_project.error_sentences(error, opened)
    project = opened.project
    return [words.say(named(mistake, title), project.units, project.language) for mistake in error.mistakes]


def span(opened: OpenProject, low: float, high: float) -> str:
    """A range of temperature difference in the project's units."""
    return opened.locale.span(low, high)


def range_shape(shares: Sequence[float], solid: bool) -> str:
    """A hexagon: points at the first and last of four shares (percent of the axis), full height between."""
    first, thick, thin, last = shares
    width = max(last - first, 0.6)
    left, right = (f"{100 * (x - first) / width:.1f}%" for x in (thick, thin))
    inside = f"{left} 0, {right} 0, 100% 50%, {right} 100%, {left} 100%, 0 50%"
    return (
        f'<div class="shape{" solid" if solid else ""}" '
        f'style="left:{first:.2f}%;width:{width:.2f}%;clip-path:polygon({inside})">'
        f'<div style="clip-path:polygon({inside})"></div></div>'
    )


def ticks(axis: DegreeAxis[Any]) -> str:
    """The degrees of an axis under its shapes."""
    places = "".join(
        f'<span style="left:{100 * axis.share(tick):.1f}%">{tick:g}</span>' for tick in axis.ticks
    )
    return f'<div class="ticks">{places}</div>'


def quantity_text(opened: OpenProject, value: float | None, kind: str) -> str:
    return opened.locale.number(value, kind)


def alerts(
    opened: OpenProject, all_findings: Iterable[Finding], where: Work, more: Sequence[str] = ()
) -> None:
    """What can hurt a hand at one kind of work, boxed grade by grade; it stands before the work.

    more: dangers of this work alone.
    """
    locale = opened.locale
    source = base64.b64encode(ALERT_SIGN.encode()).decode()
    sign = f'<img alt="" width="28" height="24" src="data:image/svg+xml;base64,{source}"> '
    for grade, of in findings_by_reader.cautions_for_work(all_findings, where):
        word = safe(opened.label(f"level.{grade}"))
        added = more if findings_by_reader.dangerous(grade) else ()
        list_items = "".join(
            f"<li>{safe(text)}</li>"
            for text in (*added, *(caution_boxes.short(caution, locale) for caution in of))
        )
        st.html(f'<div class="alert {grade}" role="note"><b>{sign}{word}</b><ul>{list_items}</ul></div>')


def cautions(opened: OpenProject, all_findings: Iterable[Finding]) -> None:
    """Every caution that applies, in whole sentences, folded; the boxes before the work say what to do."""
    with controls.collapsible(opened.label("page.all_cautions")):
        findings(opened, findings_by_reader.cautions(all_findings))


def pump_rows(opened: OpenProject, line: Line, verdict: LineVerdict) -> list[tuple[str, str]]:
    """What the line asks of its pump, or of the mains; last the verdict of the installer's check."""
    duty = line.duty
    rows = [
        (opened.label("page.total_flow"), quantity_text(opened, line.total_flow, "flow")),
        (
            opened.label("page.far_pressure", mark=line.far_mark),
            opened.label("page.of", value=line.far_gauge, whole=line.supply_gauge),
        ),
        (opened.label("page.flow_spread"), quantity_text(opened, line.flow_spread, "share")),
    ]
    if duty.pick_flow is not None:
        key = "page.pump_nameplate" if duty.from_nameplate else "page.pump_pick"
        rows.append((opened.label(key), quantity_text(opened, duty.pick_flow, "flow")))
    if duty.used_share is not None:
        rows.append((opened.label("page.pump_used"), quantity_text(opened, duty.used_share, "share")))
    rows.append((opened.label("page.pump_verdict"), opened.label(f"verdict.{verdict.word}")))
    return rows


def choose_patio(opened: OpenProject) -> None:
    """Which patio is looked at, where there are several."""
    if len(opened.project.patios) > 1:
        names = [patio.name for patio in opened.project.patios]
        controls.radio_buttons(opened.label("page.patio"), names, key="patio", horizontal=True)
