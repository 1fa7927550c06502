"""What people state: one Project, as the reader makes it from a project file.

Every value is SI (metre, kelvin, pascal, m3/s, radian); the annotation of a field is its unit.
Water pressures are gauge. The reader has already put in defaults (and listed their key paths in
`Project.assumed`) and catalogue values, so rooms never look anything up. Frozen and made of tuples:
two equal projects hash alike, which is what makes every stage cacheable.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import Annotated, Literal

from mistcalc.model.content_digest import ADDED
from mistcalc.model.fault_priors import DiagnosisAssumptions
from mistcalc.model.project.control import NO_HUMIDITY_STOP, NO_WIND_STOP, WEEKDAYS, Control, side_of
from mistcalc.model.project.patio import (
    Corner,
    Datum,
    EdgeBeam,
    End,
    FixedMark,
    Framing,
    House,
    Joint,
    MarkRules,
    Obstacle,
    ObstacleKind,
    Patio,
    Plaster,
    Run,
    Screen,
    Seat,
    SecondRow,
)
from mistcalc.model.project.place import COMPASS, RARER, TYPICAL_YEAR, Place, TypedAfternoon
from mistcalc.model.project.plumbing import (
    Drain,
    MarkPlumbing,
    Nameplate,
    Nozzle,
    Piece,
    Plumbing,
    Pump,
    Spot,
    Tank,
    Tap,
    Tube,
    Water,
    Zone,
)
from mistcalc.model.project.tariff import Adder, Tariff, Tariffs, Tier
from mistcalc.model.quantities import Metre, Radian
from mistcalc.model.reprs import ShortRepr


@dataclass(frozen=True, slots=True)
class Revision:
    letter: str = "A"
    date: datetime.date | None = None  # printed; the clock is never read
    status: str = "for rough-in"
    keep: str = field(default="", metadata=ADDED)  # folder, beside the file, of the set the crew works from


@dataclass(frozen=True, slots=True)
class Alternate:
    """The same job with some keys of its file changed, to be bid beside it."""

    name: str
    change: tuple[tuple[str, str | int | float | bool], ...]  # key path, and what stands there instead


@dataclass(frozen=True, slots=True)
class PartPrice:
    """How a part of the materials list is sold."""

    name: str  # as `model.parts.price_name` has it
    outside: Metre | None = None  # of this size of tube alone; None: of any
    price: Annotated[float, "currency each"] | None = None  # of a pack, where it comes in packs
    pack: int | None = None  # pieces; None: singly


@dataclass(frozen=True, slots=True)
class Prices:
    currency: str = "USD"
    water: Annotated[float, "currency/m3"] | None = None
    electricity: Annotated[float, "currency/J"] | None = None
    tube: Annotated[float, "currency/m"] | None = None
    nozzle: Annotated[float, "currency each"] | None = None
    parts: tuple[PartPrice, ...] = ()
    years: float | None = None  # over which the owner spreads what the parts cost


@dataclass(frozen=True, slots=True)
class DateStep:
    """A step of the close-in as stated; None: as usual (`model.close_in`)."""

    name: str
    trade: str | None = None
    days: int | None = None  # working days
    after: tuple[str, ...] | None = None  # "brown coat + 7 days"


@dataclass(frozen=True, slots=True)
class Dates:
    scratch_coat: datetime.date | None = None
    work_days: tuple[str, ...] | None = None  # "Mon"; None: Monday to Friday
    days_off: tuple[datetime.date, ...] = ()
    steps: tuple[DateStep, ...] = ()


@dataclass(frozen=True, slots=True)
class Paper:
    sheet: Literal["11x17", "letter", "A3", "A4"] = "11x17"


@dataclass(frozen=True, slots=True)
class HouseNames:
    """What the house calls its runs and its fixed marks, and what marks of earlier sets were called: no other
    mark may be called so."""

    runs: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    earlier: tuple[str, ...] = ()


ALONE = HouseNames()


@dataclass(frozen=True, slots=True, repr=False)
class Project(ShortRepr):
    format: int
    name: str
    about: str
    units: Literal["us", "metric"]
    language: str
    revision: Revision
    place: Place
    patios: tuple[Patio, ...]
    plumbing: Plumbing
    control: Control
    prices: Prices = field(default_factory=Prices)
    mirrored_from: str = field(default="", metadata=ADDED)  # the plan this is the other way round of
    defaults: Literal["us", "metric"] | None = field(default=None, metadata=ADDED)  # else those of `units`
    crew_language: str | None = field(default=None, metadata=ADDED)  # of what crews carry, beside `language`
    tariff: Tariffs | None = field(default=None, metadata=ADDED)
    dates: Dates = field(default_factory=Dates)
    paper: Paper = field(default_factory=Paper)
    call_back: DiagnosisAssumptions = field(default_factory=DiagnosisAssumptions)
    alternates: tuple[Alternate, ...] = field(default=(), metadata=ADDED)
    assumed: tuple[str, ...] = ()  # key paths the file did not state, e.g. "line.tube.kerf"

    def heading(self, patio: str) -> Radian:
        """Of +x in a patio's plan, clockwise from north: of its first run, but for `Patio.tilt`."""
        return self.place.bearing + next(each.axis for each in self.patios if each.name == patio)

    def runs_on_assumed_joists(self, patio: str) -> tuple[str, ...]:
        """Runs of a patio whose joists lie where a default of ours has them: nobody has looked."""
        rows = self.rows_on_assumed_joists
        return tuple(
            r.name for each in self.patios if each.name == patio for r in each.runs if r.name in rows
        )

    @property
    def rows_on_assumed_joists(self) -> frozenset[str]:
        """Rows under joists that lie where a default of ours has them."""
        return frozenset(
            row.name
            for patio in self.patios
            for run in patio.runs
            for row in run.rows
            for key in ("spacing", "first")
            if f"patio[{patio.name}].run[{run.name}].framing.{key}" in self.assumed
        )

    @property
    def house_names(self) -> HouseNames:
        runs = [row for patio in self.patios for row in patio.rows]
        return HouseNames(tuple(r.name for r in runs), tuple(m.name for r in runs for m in r.fixed))
