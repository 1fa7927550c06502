"""The part of plan.json that a later revision reads: sets before, names no longer used, things; and what
changed.

Nothing here computes: every number is in the Design.
"""

from __future__ import annotations

from mistcalc.model.earlier_set import SetRevision
from mistcalc.model.results import Design, MarkChange, ThingChange, things_of
from mistcalc.report.exports.keyed_fields import told


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
            told(thing, "kind patio run name along_m back_m") for thing in things
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
    return told(one, "name patio run was=was_along_m now=along_m drilled why against provided_m required_m")


def _thing(one: ThingChange) -> dict[str, object]:
    return told(one, "kind patio run name was=was_along_m now=along_m back_was=was_back_m back_now=back_m")
