"""A new revision of a set of sheets: what is drilled is kept where it was drilled, its letter, what
changed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from mistcalc import layout
from mistcalc.errors import InputError
from mistcalc.model.earlier_set import EarlierMark, EarlierSet, next_letter
from mistcalc.model.practice import MARK_ALONG
from mistcalc.model.project import FixedMark, Patio, Project, Revision, Run, SecondRow
from mistcalc.model.results import AsBuilt, Layout, MarkChange, PlanChange, ThingChange
from mistcalc.model.site_log import SiteEntry, apply_strikes
from mistcalc.model.site_readings import entries_of

KEEP = "--keep"


def revised(project: Project, before: EarlierSet, entries: Iterable[SiteEntry] = ()) -> Project:
    """The project as the next revision of a set: with its letter, and every hole that the set or the site log
    (`entries`) has drilled as a mark fixed where it is. One within 1/4 in of its mark has the mark's place.

    Raises InputError: keep-other-house, keep-unknown-mark, keep-retired-mark, keep-drilled-run,
    keep-drilled-elsewhere.
    """
    if before.project != project.name:
        raise InputError("keep-other-house", KEEP, theirs=before.project, ours=project.name)
    told = tuple(entries_of("mark", apply_strikes(tuple(entries)).kept))
    stated = {mark.name: (run.name, mark) for p in project.patios for run in p.rows for mark in run.fixed}
    runs = {(patio.name, run.name) for patio in project.patios for run in patio.rows}
    holes: dict[tuple[str, str], list[FixedMark]] = {}
    for hole in layout.drilled_holes((before,), told):
        run, mark = stated.get(hole.name, ("", None))
        if not hole.drilled or (mark is not None and mark.drilled and hole.measured is None):
            continue
        if hole.plan is None:
            if mark is None:
                code = "keep-retired-mark" if hole.name in before.retired else "keep-unknown-mark"
                raise InputError(code, KEEP, mark=hole.name, letter=before.revision.letter)
            continue
        if (hole.patio, hole.run) not in runs:
            raise InputError("keep-drilled-run", KEEP, mark=hole.name, run=hole.run)
        if mark is not None and run != hole.run:
            raise InputError("keep-drilled-elsewhere", KEEP, mark=hole.name, run=hole.run, other=run)
        holes.setdefault((hole.patio, hole.run), []).append(FixedMark(hole.name, _place(hole), drilled=True))
    patios = tuple(_with_holes(patio, holes) for patio in project.patios)
    return replace(project, patios=patios, revision=_next_revision(project.revision, before))


def _place(hole: AsBuilt) -> float:
    """Where a hole is; its mark's place where it is as near as a mark is held."""
    assert hole.plan is not None and hole.along is not None
    return hole.plan if abs(hole.along - hole.plan) <= MARK_ALONG + 1e-9 else hole.along


def _with_holes(patio: Patio, holes: dict[tuple[str, str], list[FixedMark]]) -> Patio:
    def fixed(row: Run | SecondRow) -> tuple[FixedMark, ...]:
        here = (*row.fixed, *holes.get((patio.name, row.name), ()))
        return tuple({mark.name: mark for mark in here}.values())

    runs = (
        replace(run, fixed=fixed(run), second_row=row and replace(row, fixed=fixed(row)))
        for run in patio.runs
        for row in (run.second_row,)
    )
    return replace(patio, runs=tuple(runs))


def _next_revision(stated: Revision, before: EarlierSet) -> Revision:
    """The letter the file states if it is a new one, else the next; its date if that is a new one too."""
    used = {revision.letter for revision in before.revisions}
    letter = stated.letter if stated.letter not in used else next_letter(before.revision.letter)
    while letter in used:
        letter = next_letter(letter)
    old_date = letter != stated.letter and stated.date == before.revision.date
    return replace(stated, letter=letter, date=None if old_date else stated.date)


def change_since(before: EarlierSet, project: Project, layouts: tuple[Layout, ...]) -> PlanChange:
    """What the layouts of a project change of the set before it."""
    marks: list[MarkChange] = []
    things: list[ThingChange] = []
    for patio, laid in zip(project.patios, layouts, strict=True):
        changes, moved = layout.changes_since(before, patio, laid)
        guessed = project.rows_on_assumed_joists  # no hole is told to miss those
        marks += [replace(one, clear=None) if one.run in guessed else one for one in changes]
        things += moved
    patios = {patio.name for patio in project.patios}
    lost = [mark for mark in before.marks if mark.patio not in patios]
    marks += [MarkChange(m.name, m.patio, m.run, m.along, None, "run", m.drilled) for m in lost]
    names = {mark.name for laid in layouts for mark in laid.marks}
    retired = tuple(dict.fromkeys(name for name in (*before.retired, *before.names) if name not in names))
    moved_names = {change.name for change in marks}
    return PlanChange(before.revisions, tuple(marks), tuple(things), len(names - moved_names), retired)


def marks_before(before: EarlierSet | None, patio: str) -> tuple[EarlierMark, ...]:
    return () if before is None else tuple(mark for mark in before.marks if mark.patio == patio)
