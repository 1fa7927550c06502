"""What was done of the plan: each hole as the site log has it, beside the plan as it now is."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.model.quantities import Metre


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """One mark. Distances along are from its run's datum, at framing; `back` is behind the open edge.

    A mark that the plan no longer has keeps what the log says of it, without a run.
    """

    name: str
    patio: str = ""
    run: str = ""
    plan: Metre | None = None  # along, in the plan as it now is; None: the plan has no such mark
    plan_back: Metre | None = None
    drilled: bool = False
    set_out: Metre | None = None  # along, by the plan it was drilled from
    measured: Metre | None = None  # along, as somebody measured the hole
    back: Metre | None = None  # as somebody measured it
    wood_clear: Metre | None = None  # from the measured hole's edge to the nearest joist; None: not known
    cannot: str = ""  # why it could not be drilled, in a word of the program or somebody's own
    notes: tuple[tuple[str, str], ...] = ()  # (text, number of a photo) in the order of time
    revision: str = ""  # code of the sheets it was drilled from

    @property
    def along(self) -> Metre | None:
        """Where the hole is, by the best that is known of it; None: there is none."""
        if not self.drilled:
            return None
        known = (place for place in (self.measured, self.set_out, self.plan) if place is not None)
        return next(known, None)

    @property
    def off_along(self) -> Metre | None:
        """How far past its place it was found; None: nobody measured."""
        place = self.set_out if self.set_out is not None else self.plan
        return None if self.measured is None or place is None else self.measured - place

    @property
    def off_across(self) -> Metre | None:
        """How far toward the house from its place it was found; None: nobody measured."""
        return None if self.back is None or self.plan_back is None else self.back - self.plan_back

    @property
    def moved(self) -> Metre | None:
        """How far the plan has it past where it was drilled by an earlier plan; None: nothing to compare."""
        return None if self.set_out is None or self.plan is None else self.plan - self.set_out
