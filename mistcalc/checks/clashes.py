"""Judgements on marks that stand too near to something: one finding a thing, naming its marks;
and on where rows lie: moved off wood, in each other's way, on the house wall.
"""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.checks.ceiling_holes import after, joist_over
from mistcalc.checks.shared import JUDGEMENT, NEAR
from mistcalc.model.project import Obstacle, Patio, Run
from mistcalc.model.results import Clash, Finding, Fix, Layout, RunLine

_HARD = {
    "member": "mark-on-member",
    "joint": "mark-near-joint",
    "sweep": "mark-in-sweep",
    "body": "mark-under",
}
_DRILLED = {
    "member": "drilled-in-member",
    "joint": "drilled-near-joint",
    "sweep": "drilled-in-sweep",
    "body": "drilled-under",
}


def clash_findings(patio: Patio, layout: Layout) -> Iterator[Finding]:
    """Marks too near to wood, joints, other things or each other; a judged clearance alone only warns."""
    run_of = {m.name: m.run for m in layout.marks}
    drilled = {m.name for m in layout.marks if m.drilled}
    things = {o.name: o for o in patio.obstacles}
    fixes = {f.move: f for f in layout.fixes if f.purpose == "clearance"}
    groups: dict[tuple[str, str, bool], list[Clash]] = {}
    for clash in layout.clashes:
        if clash.rule in ("spacing", "setback", "bare end"):
            continue
        against = run_of[clash.mark] if clash.rule == "member" else clash.against
        groups.setdefault((clash.rule, against, clash.hard and clash.mark in drilled), []).append(clash)
    for (rule, against, done), group in groups.items():
        worst = min(group, key=lambda c: c.provided)
        marks = tuple(dict.fromkeys(c.mark for c in group))
        values: tuple[tuple[str, object], ...] = (("marks", marks), ("name", against))
        if against in things and rule in ("sweep", "body", "clearance"):
            values = (("kind", things[against].kind), *values)
            move = fixes.get(against)
            if move is not None and joist_over(things[against], layout, after(things[against], move)):
                values = (*values, ("still_on_joist", True))
        if rule == "clearance" and against not in fixes:
            values = (*values, ("stays", True))
        if rule == "member":
            values = (*values, ("in_wood" if worst.provided < 0.0 else "near_wood", True), ("advice", True))
        code, level = "clearance-judgement", "warn"
        if rule != "clearance":
            code, level = (_DRILLED if done else _HARD)[rule], "fail"
        yield Finding(
            code, level, f"{patio.name}/{against}", "clearance", worst.provided, worst.required, "m",  # type: ignore[arg-type]
            JUDGEMENT if rule == "clearance" else "project", values, fix_values(fixes.get(against)),
            alike=_alike(things[against], worst, fixes.get(against)) if rule == "clearance" else (),
        )  # fmt: skip
    for clash in layout.clashes:
        if clash.rule == "spacing":
            code = "gap-too-close" if clash.provided < clash.required else "gap-too-wide"
            values = (("marks", (clash.against, clash.mark)),)
        elif clash.rule == "setback":
            code, values = "mark-near-end", (("marks", (clash.mark,)), ("end", clash.against))
        elif clash.rule == "bare end":
            code, values = "end-bare", (("marks", (clash.mark,)), ("end", clash.against))
        else:
            continue
        where = f"{patio.name}/{clash.mark}"
        yield Finding(code, "warn", where, clash.rule, clash.provided, clash.required, "m", "project", values)


def _alike(thing: Obstacle, clash: Clash, fix: Fix | None) -> tuple[object, ...]:
    """Things of one kind on one run that need the same room, and would move the same way."""
    return (thing.kind, thing.run, clash.required, fix.toward if fix is not None else "")


def fix_values(fix: Fix | None) -> tuple[tuple[str, object], ...]:
    """A fix as a finding holds it."""
    return () if fix is None else (("move", fix.move), ("toward", fix.toward), ("by", fix.by))


def row_place_findings(patio: Patio, row: Run, line: RunLine, first: RunLine) -> Iterator[Finding]:
    """row, line: as stated and as laid; first: the first row of the run, which may be the same."""
    second = patio.runs[patio.number_of(row.name)].second_row
    stated = second.back if line.of and second else patio.line_behind_edge
    want, where = patio.marks, f"{patio.name}/{row.name}"
    if abs(line.back - stated) > NEAR:
        wood = "joist" if row.framing.lies == "along" else "beam"
        yield Finding(
            "line-shifted", "note", where, "behind edge", line.back, stated, "m",
            "geometry", (("run", row.name), (wood, True)),
        )  # fmt: skip
    if not line.of:
        return
    apart, left = line.back - first.back, patio.depth_over(patio.number_of(row.name)) - line.back
    values = (("row", row.name), ("run", first.name))
    if apart < want.closest - NEAR:
        need = want.closest
        yield Finding("rows-too-close", "warn", where, "between rows", apart, need, "m", "project", values)
    if patio.back == "wall" and left < want.from_wall - NEAR:
        need = want.from_wall
        yield Finding("row-near-wall", "warn", where, "row to wall", left, need, "m", "project", values)
