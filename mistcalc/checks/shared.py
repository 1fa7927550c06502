"""What the files of this package share: sources said in a word, and where a finding stands."""

from __future__ import annotations

from typing import Literal

from mistcalc.model.results import Line

Verdict = Literal["pass", "look-again", "no"]

PSI = 6894.757293168  # Pa
PRACTICE, JUDGEMENT, DERIVED = "common practice", "judgement", "derived"


def far_mark(line: Line) -> str:
    """Path of the nozzle with the least pressure."""
    far = min(line.marks, key=lambda m: m.pressure_gauge)
    return f"{far.patio}/{far.name}"
