"""What the words on one sheet of a plan speak of."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.model.project import Patio
from mistcalc.model.results import Design
from mistcalc.report.builder.plan_canvas import PlanCanvas
from mistcalc.report.builder.runs_in_plan import PlanRun, PlanWindow
from mistcalc.report.common.findings_by_reader import NumberedFinding
from mistcalc.report.common.locale_text import Locale


@dataclass(frozen=True)
class PlanNotesInput:
    """What the notes of one sheet speak of."""

    design: Design
    patio: Patio
    runs: tuple[PlanRun, ...]
    part: PlanWindow
    findings: tuple[NumberedFinding, ...]
    scale: int
    sketch: PlanCanvas
    locale: Locale

    @property
    def shown(self) -> list[PlanRun]:
        return [plan_run for plan_run in self.runs if self.part.run in ("", plan_run.run.name)]
