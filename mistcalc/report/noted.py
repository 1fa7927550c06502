"""What the words on one sheet of a plan speak of."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.model.project import Patio
from mistcalc.model.results import Design
from mistcalc.report.lie import Lie, Part
from mistcalc.report.sketch import Sketch
from mistcalc.report.subjects import Numbered
from mistcalc.report.voice import Voice


@dataclass(frozen=True)
class Noted:
    """What the notes of one sheet speak of."""

    design: Design
    patio: Patio
    runs: tuple[Lie, ...]
    part: Part
    findings: tuple[Numbered, ...]
    scale: int
    sketch: Sketch
    voice: Voice

    @property
    def shown(self) -> list[Lie]:
        return [lie for lie in self.runs if self.part.run in ("", lie.run.name)]
