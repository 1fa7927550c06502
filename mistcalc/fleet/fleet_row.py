"""A row of a fleet: a lot and the design it is, or why it has none."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.errors import MistcalcError
from mistcalc.model.lot import Lot
from mistcalc.model.quantities import Radian


@dataclass(frozen=True, slots=True)
class FleetRow:
    lot: Lot
    key: str = ""  # of the design
    family: str = ""  # of the same design, whichever way round
    facing: Radian = 0.0  # where the open edge of the plan's first run looks, clockwise from north
    climate: str = ""  # its name as stated; "": afternoons of the plan's own
    error: MistcalcError | None = None
