"""Why a mark is where it is, in sentences: its row, the wood, its neighbors, what it is too near."""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.model.project import Patio, Run
from mistcalc.model.results import Layout, Mark
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import next_to

NEARBY = 0.6  # m: wood farther off is no reason
PLACED = ("fixed", "drilled", "kept")  # for reasons of its own, whatever the row does


def why_here(mark: Mark, patio: Patio, layout: Layout, locale: Locale) -> str:
    """Where a mark is among its neighbors, and why it is there."""
    return " ".join(
        (*_where(mark, layout, locale), *_row(mark, layout, locale), *_limits(mark, patio, layout, locale))
    )


def _where(mark: Mark, layout: Layout, locale: Locale) -> Iterator[str]:
    """What the tape passes next to it, and the marks before and after."""
    row = layout.marks_of(mark.run)
    place = row.index(mark)
    phrases = [near] if (near := next_to(mark, locale, center=True)) else []
    if place:
        last = row[place - 1]
        phrases.append(locale.label("plan.from_last", gap=mark.along - last.along, last=last.name))
    if place + 1 < len(row):
        after = row[place + 1]
        phrases.append(locale.label("plan.to_next", gap=after.along - mark.along, next=after.name))
    if phrases:
        yield locale.label("plan.mark_note", name=mark.name, told="; ".join(phrases))


def _row(mark: Mark, layout: Layout, locale: Locale) -> Iterator[str]:
    """What the row as a whole holds to, or who put the mark there."""
    key = mark.why if mark.why in PLACED else layout.pattern
    pitch = next((run.pitch for run in layout.lid.rows if run.name == mark.run), None) or layout.pitch
    yield locale.label(f"plan.why_{key}", pitch=pitch, run=mark.run)
    if key in ("equal", "own") and not layout.holes.stop:
        yield locale.label("plan.why_start")


def _limits(mark: Mark, patio: Patio, layout: Layout, locale: Locale) -> Iterator[str]:
    """The wood beside its hole, the end of the run, and each thing it is too near."""
    if mark.member_clear is not None and mark.member_clear <= NEARBY:
        least = patio.marks.clear_of_members
        yield locale.label("plan.why_wood", clear=mark.member_clear, least=least)
    run = next(run for run in patio.rows if run.name == mark.run)
    here = [m.along for m in layout.marks if m.run == mark.run]
    for end, along in (("datum", min(here)), ("far", max(here))):
        if mark.along == along and _kind(run, end) == "wall":
            distance = mark.along if end == "datum" else run.length - mark.along
            yield locale.label("plan.why_wall", distance=distance, least=patio.marks.from_wall)
    for clash in layout.clashes:
        if clash.mark == mark.name and clash.rule in ("clearance", "sweep", "body", "joint"):
            told = {"thing": clash.against, "provided": clash.provided, "required": clash.required}
            yield locale.label("plan.why_near", **told)


def _kind(run: Run, end: str) -> str:
    """What stands at the datum's end of a run, or at the other."""
    return run.starts_at if (end == "datum") == (run.datum.end == "start") else run.ends_at
