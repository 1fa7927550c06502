"""Judgements on where rows lie: moved off wood, in each other's way, on the house wall."""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.checks.shared import NEAR
from mistcalc.model.project import Patio, Run
from mistcalc.model.results import Finding, RunLine


def row_place_findings(patio: Patio, row: Run, line: RunLine, first: RunLine) -> Iterator[Finding]:
    """row, line: as stated and as laid; first: the first row of the run, which may be the same."""
    second = patio.runs[patio.number_of(row.name)].second_row
    stated = second.back if line.of and second else patio.line_behind_edge
    want, where = patio.marks, f"{patio.name}/{row.name}"
    if abs(line.back - stated) > NEAR:
        wood = "joist" if row.framing.lies == "along" else "beam"
        yield Finding(
            "line-shifted", "note", where, "behind edge", line.back, stated, "m",
            "geometry", (("run", row.name), (wood, True)),
        )  # fmt: skip
    if not line.of:
        return
    apart, left = line.back - first.back, patio.depth_over(patio.number_of(row.name)) - line.back
    values = (("row", row.name), ("run", first.name))
    if apart < want.closest - NEAR:
        need = want.closest
        yield Finding("rows-too-close", "warn", where, "between rows", apart, need, "m", "project", values)
    if patio.back == "wall" and left < want.from_wall - NEAR:
        need = want.from_wall
        yield Finding("row-near-wall", "warn", where, "row to wall", left, need, "m", "project", values)
