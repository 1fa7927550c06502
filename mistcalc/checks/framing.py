"""Judgements on the framing as the project states it: bays, and lists of members as the tape found them.

A list may have a slip of pen or tape in it, or may be a part of what is up there. Where it says nothing, no
hole is said to miss the wood.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from statistics import median

from mistcalc.checks.shared import FEW, JUDGEMENT, NEAR
from mistcalc.model.project import Framing, Patio, Run
from mistcalc.model.results import Finding, Mark
from mistcalc.model.run_extents import framed_from_start, from_datum, lid_along
from mistcalc.units import parse

MOST_APART = parse("8 ft", "length")  # of joists, beams or purlins over a lid; judgement
WIDE_BAY = 1.6  # times the usual one: a member was left out of the list, or is missing; judgement
Told = tuple[tuple[str, object], ...]
CLOSE = 2  # steps of the tape: two members laid side by side may be read so much nearer than they are wide


def framing_findings(patio: Patio, n: int, marks: Sequence[Mark], more: Sequence[Mark]) -> Iterator[Finding]:
    """What to say of the framing over the patio's run number `n`, which has these marks; `more`: those of its
    second row."""
    run, want = patio.runs[n], patio.marks
    framing, where = run.framing, f"{patio.name}/{run.name}"
    need = want.hole + 2 * want.clear_of_members
    if not framing.as_framed and framing.spacing is None:
        values: Told = (("run", run.name), ("unknown", tuple(m.name for m in (*marks, *more))))
        yield Finding("no-members-stated", "note", where, source="project", values=values)
        return
    if framing.as_framed:
        yield from _listed(patio, n, (*marks, *more), where)
    elif framing.spacing is not None and framing.spacing > MOST_APART + NEAR:
        far = Finding(
            "joists-far-apart", "warn", where, "spacing", framing.spacing, MOST_APART, "m", JUDGEMENT
        )
        yield replace(far, values=(("run", run.name),))
    if not framing.as_framed and framing.lies == "across":
        yield from _late(framing, run.name, (*marks, *more), where)
    bays = bays_of(framing)
    if framing.lies == "across" and bays and max(bays) < need - NEAR:
        values = (("run", run.name), ("hole", want.hole), ("clear", want.clear_of_members))
        yield Finding("bay-too-narrow", "fail", where, "bay", max(bays), need, "m", "project", values)
    gaps = {round(b.along - a.along, 6) for a, b in pairwise(marks)}
    if framing.lies == "across" and framing.spacing is not None and len(gaps) == 1:
        yield from _start(framing, gaps.pop(), want.hole / 2 + want.clear_of_members, marks, where)


def _late(framing: Framing, run: str, marks: Sequence[Mark], where: str) -> Iterator[Finding]:
    """A first joist farther from the datum than one bay, and none stated before it: no hole there is known to
    miss one."""
    first, spacing = framing.first, framing.spacing
    if first is None or spacing is None or first <= WIDE_BAY * spacing + NEAR:
        return
    bare = tuple(mark.name for mark in marks if mark.along < first - spacing)
    values: Told = (("run", run), ("unknown", bare))
    yield Finding("joists-late", "warn", where, "first", first, spacing, "m", "project", values)


def bays_of(framing: Framing) -> list[float]:
    """Clear widths between neighbouring members, metres."""
    if framing.as_framed:
        return [b - a - framing.width for a, b in pairwise(sorted(framing.centres))]
    return [] if framing.spacing is None else [framing.spacing - framing.width]


def _start(
    framing: Framing, pitch: float, clear: float, marks: Sequence[Mark], where: str
) -> Iterator[Finding]:
    """Say it where a row that misses every member would hit some if started mid-bay."""
    assert framing.spacing is not None
    spacing, step = (round(v * 1e5) for v in (framing.spacing, pitch))
    if spacing <= 0 or any((m.member_clear or 0.0) < 0 for m in marks):
        return
    turn = spacing // math.gcd(spacing, step)
    reach = (framing.width / 2 + clear) * 1e5 - 1
    places = [(spacing / 2 + k * step) % spacing for k in range(turn)] if turn <= 1000 else []
    hits = sum(min(at, spacing - at) < reach for at in places)
    if hits:
        offset = min((abs(m.near_offset) for m in marks if m.near == "member"), default=None)
        values = (("pitch", pitch), ("spacing", framing.spacing), ("hits", hits), ("of", turn))
        yield Finding(
            "start-off-mid-bay", "note", where, "off a centre", offset, None, "m", "geometry", values,
            alike=values,
        )  # fmt: skip


# ------------------------------------------------------------------ as framed


def _listed(patio: Patio, n: int, marks: Sequence[Mark], where: str) -> Iterator[Finding]:
    """Slips in a list of members, and where it leaves off."""
    run = patio.runs[n]
    framing, across = run.framing, run.framing.lies == "across"
    lid, framed = _extents(patio, n) if across else ((0.0, patio.depth_over(n)),) * 2
    places = sorted(c for c in framing.centres if lid[0] - NEAR <= c <= lid[1] + NEAR)
    yield from _slips(framing, lid, where, run.name, patio.marks.grid)
    at = {m.name: m.along if across else m.back for m in marks}
    usual = _usual_bay(framing)
    for low, high in pairwise(places):
        if usual and high - low > WIDE_BAY * usual + NEAR:
            values: Told = (("run", run.name), ("start", low), ("end", high), ("usual", usual))
            values += _spot(run, (low + high) / 2)
            inside = tuple(name for name, along in at.items() if low < along < high)
            yield _silent("bay-wide", where, high - low, WIDE_BAY * usual, values, inside)
    first, last = (places[0], places[-1]) if places else (lid[0], lid[0])
    reaches = WIDE_BAY * usual + NEAR if usual else 0.0
    bare = first - framed[0] > reaches, framed[1] - last > reaches
    if any(bare):  # past the run's own ends the wood is another run's
        outside = tuple(n for n, x in at.items() if (bare[0] and x < first) or (bare[1] and x > last))
        values = (("run", run.name), ("start", first), ("end", last), *_spot(run, first if bare[0] else last))
        yield _silent("framing-part", where, last - first, framed[1] - framed[0], values, outside)


def _spot(run: Run, place: float) -> Told:
    """Where a sign of it stands on a plan: on the tape, or so far behind the edge where the list runs so."""
    if run.framing.lies == "across":
        return (("spot", place),)
    return ("spot", run.length / 2), ("spot_back", place)


def _silent(
    code: str,
    where: str,
    provided: float,
    required: float,
    given: Told,
    marks: tuple[str, ...],
) -> Finding:
    values = (*given, ("unknown", marks), ("few", marks if len(marks) <= FEW else ()))
    many = (("many", len(marks)),) if len(marks) > FEW else ()
    first_last = (("first", marks[0]), ("last", marks[-1])) if many else ()
    return Finding(
        code, "warn", where, "length", provided, required, "m", "project", (*values, *many, *first_last)
    )


def _extents(patio: Patio, n: int) -> tuple[tuple[float, float], tuple[float, float]]:
    """From where to where along the tape there is lid over a run, and where the members are its own."""
    run = patio.runs[n]
    return lid_along(patio, n), from_datum(framed_from_start(patio, n), run.length, run.datum.end)


def _usual_bay(framing: Framing) -> float | None:
    """The middle one of the distances from member to member; members side by side are one."""
    bays = [b - a for a, b in pairwise(sorted(framing.centres)) if b - a > 1.5 * framing.width]
    return median(bays) if bays else None


def _slips(
    framing: Framing, lid: tuple[float, float], where: str, run: str, grid: float
) -> Iterator[Finding]:
    """Members listed twice, one in the other, out of order, or beyond the lid."""
    centres, places = framing.centres, sorted(framing.centres)
    side_by_side = framing.width - CLOSE * grid
    for previous, other in pairwise(places):
        if other - previous < max(side_by_side, NEAR):
            code = "joist-twice" if other - previous < grid + NEAR else "joists-overlap"
            values: Told = (("run", run), ("other", previous))
            yield Finding(code, "warn", where, "along", other, framing.width, "m", "project", values)
    if list(centres) not in (places, places[::-1]):
        falls = sum(b < a for a, b in pairwise(centres))
        listed = centres if 2 * falls < len(centres) else centres[::-1]  # written from the far end
        out = next((a, b) for a, b in pairwise(listed) if b < a)
        values = (("run", run), ("before", out[0]))
        yield Finding("joist-out-of-order", "warn", where, "along", out[1], None, "m", "project", values)
    low, high = lid[0] - framing.width - NEAR, lid[1] + framing.width + NEAR
    beyond = [c for c in places if not low <= c <= high]
    if beyond:
        values = (("run", run), ("low", lid[0]), ("high", lid[1]), ("more", len(beyond) - 1))
        yield Finding("joist-beyond", "warn", where, "along", beyond[0], lid[1], "m", "project", values)
