"""What a new revision changes of the set of sheets before it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mistcalc.model.earlier_set import LidThing, SetRevision, ThingKind
from mistcalc.model.project import Patio
from mistcalc.model.quantities import Metre
from mistcalc.model.reprs import ShortRepr
from mistcalc.model.results.layout import Layout

ChangeReason = Literal[
    "drilled",  # the hole is there
    "drilled on member", "drilled on joint", "drilled on thing",  # and it should keep off that
    "fixed",  # the project file says so
    "member", "joint", "sweep", "body",  # what would be hit at the old place
    "close", "wide",  # too near, or too far from, another mark
    "end",  # in the setback from an end, or beyond it
    "line",  # the line itself lies otherwise
    "added",  # a new mark
    "run",  # its run is gone
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class ThingChange:
    """Something that stands elsewhere than the set before had it; None: it was not there, or is no more."""

    kind: ThingKind
    patio: str
    run: str
    name: str
    was: Metre | None  # along; of a run its length
    now: Metre | None
    back_was: Metre | None = None
    back_now: Metre | None = None


@dataclass(frozen=True, slots=True)
class MarkChange:
    """A mark that stands elsewhere than the set before had it; `was` None: it is new, `now` None: it is
    gone."""

    name: str
    patio: str
    run: str
    was: Metre | None
    now: Metre | None
    why: ChangeReason
    drilled: bool = False
    against: str = ""  # what it keeps off: a joint, a thing, another mark
    provided: Metre = 0.0  # room there would be at the old place, or there is where it was drilled
    required: Metre = 0.0
    clear: Metre | None = None  # edge of the hole to the nearest wood, where it now is
    cause: ThingChange | None = None  # what moved, so that it had to


@dataclass(frozen=True, slots=True, repr=False)
class PlanChange(ShortRepr):
    """All that changed since the set before, patio by patio, run by run."""

    revisions: tuple[SetRevision, ...]  # before this one, oldest first
    marks: tuple[MarkChange, ...]
    things: tuple[ThingChange, ...]
    standing: int  # marks that stand where they stood
    retired: tuple[str, ...]  # names of marks there are no more: never used again

    @property
    def before(self) -> SetRevision:
        return self.revisions[-1]

    @property
    def of(self) -> int:
        """Marks of this revision."""
        return self.standing + sum(change.now is not None for change in self.marks)

    def of_patio(self, patio: str) -> tuple[MarkChange, ...]:
        return tuple(change for change in self.marks if change.patio == patio)


def things_of(patio: Patio, laid: Layout) -> tuple[LidThing, ...]:
    """Runs, members across them, joints and obstacles of a patio as it is laid."""
    backs = {line.name: line.back for line in laid.lid.rows}
    things = [LidThing("run", patio.name, r.name, "", r.length, backs[r.name]) for r in patio.rows]
    things += [
        LidThing("member", patio.name, m.run, "", m.along) for m in laid.lid.members if m.along is not None
    ]
    things += [LidThing("joint", patio.name, j.run, j.joint.name, j.joint.along) for j in laid.lid.joints]
    things += [LidThing(o.kind, patio.name, o.run, o.name, o.along, o.back) for o in laid.lid.obstacles]
    return tuple(things)
