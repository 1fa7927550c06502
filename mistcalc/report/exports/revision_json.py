"""The part of plan.json that a later revision reads: sets before, names no longer used, things; and what
changed.

Nothing here computes: every number is in the Design.
"""

from __future__ import annotations

from mistcalc.model.earlier_set import SetRevision
from mistcalc.model.results import Design, MarkChange, ThingChange, things_of


def revision_trees(design: Design) -> dict[str, object]:
    """The keys `revisions` to `changes`."""
    change, stated = design.change, design.project.revision
    before = () if change is None else change.revisions
    this = SetRevision(stated.letter, design.code, stated.date, stated.status)
    pairs = zip(design.project.patios, design.layouts, strict=True)
    things = [thing for patio, laid in pairs for thing in things_of(patio, laid)]
    return {
        "revisions": [_revision(one) for one in (*before, this)],
        "retired": [] if change is None else list(change.retired),
        "things": [
            {"kind": t.kind, "patio": t.patio, "run": t.run, "name": t.name,
             "along_m": t.along, "back_m": t.back}
            for t in things
        ],
        "changes": None if change is None else {
            "since": change.before.letter,
            "standing": change.standing,
            "marks": [_mark(one) for one in change.marks],
            "things": [_thing(one) for one in change.things],
        },
    }  # fmt: skip


def _revision(one: SetRevision) -> dict[str, object]:
    day = None if one.date is None else one.date.isoformat()
    return {"letter": one.letter, "code": one.code, "date": day, "status": one.status}


def _mark(one: MarkChange) -> dict[str, object]:
    return {
        "name": one.name,
        "patio": one.patio,
        "run": one.run,
        "was_along_m": one.was,
        "along_m": one.now,
        "drilled": one.drilled,
        "why": one.why,
        "against": one.against,
        "provided_m": one.provided,
        "required_m": one.required,
    }


def _thing(one: ThingChange) -> dict[str, object]:
    return {
        "kind": one.kind,
        "patio": one.patio,
        "run": one.run,
        "name": one.name,
        "was_along_m": one.was,
        "along_m": one.now,
        "was_back_m": one.back_was,
        "back_m": one.back_now,
    }
