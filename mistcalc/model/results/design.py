"""The whole job in one noun."""

from __future__ import annotations

from dataclasses import dataclass, field

from mistcalc.model.project import Project
from mistcalc.model.results.air import Air
from mistcalc.model.results.as_built import AsBuilt
from mistcalc.model.results.calendar import Calendar
from mistcalc.model.results.carpentry import Carpentry
from mistcalc.model.results.change import PlanChange
from mistcalc.model.results.cooling import Cooling, CoolingMap, MistVerdict, Wetness
from mistcalc.model.results.cut_plan import CutPlan
from mistcalc.model.results.finding import Finding
from mistcalc.model.results.first_cost import BidColumn, FirstCost, Part
from mistcalc.model.results.layout import Layout
from mistcalc.model.results.line import Line
from mistcalc.model.results.line_sizing import LineVerdict, WaterUse
from mistcalc.model.results.pressure_test import PressureTestPlan
from mistcalc.model.results.season import Season
from mistcalc.model.results.sun import PatioSun


@dataclass(frozen=True, repr=False)
class Design:
    """The whole job: what was stated and all that follows from it."""

    project: Project
    air_source: str
    afternoons: tuple[Air, ...]
    layouts: tuple[Layout, ...]
    line: Line
    line_verdict: LineVerdict
    use: WaterUse
    cooling: tuple[Cooling, ...]  # patios x afternoons
    parts: tuple[Part, ...]
    findings: tuple[Finding, ...]
    code: str  # short content code: stale paper shows
    hold: PressureTestPlan | None = None
    pictures: tuple[CoolingMap, ...] = ()  # one for each of `cooling`, in its order
    wetness: tuple[Wetness, ...] = ()  # one for each of `pictures`
    verdicts: tuple[MistVerdict, ...] = ()  # one for each of `cooling`, in its order
    calendar: Calendar | None = None  # where the project states a day or a step of it
    cut_plans: tuple[CutPlan, ...] = ()  # one for each kind of tube
    bids: tuple[BidColumn, ...] = ()  # this job, then its alternates; empty where it states none
    first_cost: FirstCost | None = None  # of `parts`, at the project's prices
    carpentry: Carpentry = field(default_factory=Carpentry)
    change: PlanChange | None = None  # since the set before; None: laid afresh
    sun: tuple[PatioSun, ...] = ()  # one a patio; none: there is no climate file
    built: tuple[AsBuilt, ...] = ()  # every hole as the site log has it; (): it says nothing of any
    season: Season | None = None  # a typical year; None: not asked for, or there is no climate file

    def __repr__(self) -> str:
        """In a line: the fields would fill a book."""
        marks = sum(len(layout.marks) for layout in self.layouts)
        return f"Design({self.project.name!r}, {self.code!r}, {marks} marks, {len(self.findings)} findings)"

    def layout_of(self, patio: str) -> Layout:
        return next(layout for layout in self.layouts if layout.patio == patio)

    def cooling_of(self, patio: str, afternoon: str) -> Cooling:
        return next(c for c in self.cooling if c.patio == patio and c.afternoon == afternoon)

    def picture_of(self, patio: str, afternoon: str) -> tuple[CoolingMap, Wetness] | None:
        """The patio in plan on one afternoon, and where it is wet; None where it was not drawn."""
        pairs = zip(self.pictures, self.wetness, strict=True)
        return next((p for p in pairs if (p[0].patio, p[0].afternoon) == (patio, afternoon)), None)

    def verdict_of(self, patio: str, afternoon: str) -> MistVerdict:
        return next(v for v in self.verdicts if (v.patio, v.afternoon) == (patio, afternoon))

    def sun_of(self, patio: str) -> PatioSun | None:
        return next((sun for sun in self.sun if sun.patio == patio), None)

    @property
    def failed(self) -> bool:
        return any(f.level == "fail" for f in self.findings)
