"""Holes as they were drilled, beside the plan: what is off by more than is held, and what is still to do;
and what of the site log no longer counts.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from mistcalc.checks.shared import JUDGEMENT, NEAR, heard, on_patio
from mistcalc.model.practice import MARK_ACROSS, MARK_ALONG
from mistcalc.model.results import AsBuilt, Finding, Level
from mistcalc.model.site_log import CurrentLog, SiteEntry, strike_of
from mistcalc.units import parse

SOURCE = "site log"
JOIST_THERE = "joist in the way"  # why a mark could not be drilled, as the phone has it
ROUNDED = parse("1/16 in", "length")  # so far a tape's text may be from the place it tells


def as_built_findings(
    holes: Sequence[AsBuilt], revision: str, clear: Mapping[str, float], assumed: Collection[str] = ()
) -> tuple[Finding, ...]:
    """What asks for somebody's care, then how far the work has come. revision: code of the plan as it is.
    clear: from joist to hole, as each patio asks [m]. assumed: runs whose joists nobody stated, which no hole
    is told to miss."""
    found = [
        finding
        for hole in holes
        for finding in _of_hole(hole, clear.get(hole.patio, 0.0), hole.run in assumed)
    ]
    return heard([*found, *_of_all(holes, revision)], "builder", topic="built")


def undrilled_findings(holes: Iterable[AsBuilt]) -> tuple[Finding, ...]:
    """Marks of a plan that could not be drilled, each with why and what to do."""
    return heard([on_patio(_undrilled(hole), hole.patio) for hole in holes if hole.cannot], "builder")


def _undrilled(hole: AsBuilt) -> Finding:
    wood = hole.cannot == JOIST_THERE
    return _of_mark("built-cannot", "warn", hole, why=hole.cannot, joist=wood, other=not wood)


def _of_hole(hole: AsBuilt, clear: float, assumed: bool) -> Iterator[Finding]:
    if hole.wood_clear is not None and hole.wood_clear < clear - NEAR:
        where = "in_wood" if hole.wood_clear < 0.0 else "near_wood"
        near = _of_mark("built-near-wood", "fail", hole, found=hole.measured, **{where: True}, advice=True)
        yield replace(near, provided=hole.wood_clear, required=clear, unit="m")
    if hole.plan is None:
        yield _of_mark("built-no-such-mark", "warn", hole, along=hole.along)
    if hole.cannot:
        yield _undrilled(hole)
    if hole.moved is not None and abs(hole.moved) > ROUNDED + NEAR:
        values = {"set_out": hole.set_out, "plan": hole.plan, "sheets": hole.revision}
        yield _of_mark("built-plan-moved", "warn", hole, **values)
    if hole.off_along is not None and abs(hole.off_along) > MARK_ALONG + NEAR:
        values = {"found": hole.measured, "place": hole.set_out if hole.set_out is not None else hole.plan}
        values["advice"] = True
        if hole.wood_clear is None:
            values["wood_unknown"] = True
        elif hole.wood_clear >= clear - NEAR:  # else it is told to stop there
            values |= {"wood_unknown": True} if assumed else {"wood": hole.wood_clear}
        off = _of_mark("built-off-along", "warn", hole, **values)
        yield replace(off, provided=abs(hole.off_along), required=MARK_ALONG, unit="m", source=JUDGEMENT)
    if hole.off_across is not None and abs(hole.off_across) > MARK_ACROSS + NEAR:
        off = _of_mark("built-off-across", "warn", hole, found=hole.back, place=hole.plan_back)
        yield replace(off, provided=abs(hole.off_across), required=MARK_ACROSS, unit="m", source=JUDGEMENT)
    for text, photo in hole.notes:
        yield _of_mark("built-note", "note", hole, text=text, photo=photo)


def _of_mark(code: str, level: Level, hole: AsBuilt, **values: object) -> Finding:
    where = f"{hole.patio}/{hole.name}" if hole.patio else SOURCE
    return Finding(code, level, where, source=SOURCE, values=(("mark", hole.name), *values.items()))


def _of_all(holes: Sequence[AsBuilt], revision: str) -> Iterator[Finding]:
    planned = [hole for hole in holes if hole.plan is not None]
    drilled = [hole for hole in planned if hole.drilled]
    measured = [hole for hole in drilled if hole.measured is not None]
    counts = (("drilled", len(drilled)), ("of", len(planned)), ("measured", len(measured)))
    yield Finding("built-so-far", "note", SOURCE, source=SOURCE, values=counts)
    left = tuple(hole.name for hole in planned if not hole.drilled and not hole.cannot)
    unmeasured = tuple(hole.name for hole in drilled if hole.measured is None)
    if left:
        yield Finding("built-not-drilled", "note", SOURCE, source=SOURCE, values=(("marks", left),))
    if unmeasured:
        yield Finding("built-not-measured", "note", SOURCE, source=SOURCE, values=(("marks", unmeasured),))
    if others := tuple(sorted({hole.revision for hole in holes} - {revision, ""})):
        values = (("codes", others), ("code", revision))
        yield Finding("built-other-sheets", "note", SOURCE, source=SOURCE, values=values)


def struck_findings(log: CurrentLog) -> tuple[Finding, ...]:
    """Strikes that meet no line first, then every line struck out, with when and by whom."""
    idle = [_of_strike("site-strike-idle", "warn", str(strike.value), strike) for strike in log.idle]
    return (
        *idle,
        *(_of_strike("site-struck", "note", strike_of(strike.entry), strike.by) for strike in log.struck),
    )


def _of_strike(code: str, level: Level, line: str, by: SiteEntry) -> Finding:
    values = (
        ("line", line),
        ("when", by.when.isoformat(" ", "minutes")),
        ("who", by.who),
        ("place", by.mark),
    )
    return Finding(code, level, "site log", source="site log", values=values)
