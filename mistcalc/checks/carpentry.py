"""Judgements on what the framer is asked for: holes that a member does not take, beams in the tube's way,
and couplings that nobody reaches once the ceiling is closed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mistcalc.checks.shared import PRACTICE, heard, on_patio
from mistcalc.model.practice import BORE_EDGE, BORE_SHARE
from mistcalc.model.results import BoredBack, BoredRun, Carpentry, CutPlan, Finding

IRC = "IRC R502.8.1"


def carpentry_findings(carpentry: Carpentry) -> tuple[Finding, ...]:
    """For builder and trades: what cannot be bored as it stands."""
    found = (on_patio(finding, patio) for patio, finding in _all(carpentry))
    return heard(found, "builder", "trades")


def _all(carpentry: Carpentry) -> Iterator[tuple[str, Finding]]:
    every: tuple[BoredRun | BoredBack, ...] = (*carpentry.bores, *carpentry.bores_back)
    for bored in every:
        if bored.up is None:
            need = max(bored.hole / BORE_SHARE, bored.hole + 2 * BORE_EDGE)
            values = (("run", bored.run), ("hole", bored.hole), ("edge", BORE_EDGE))
            where = f"{bored.patio}/{bored.run}"
            yield (
                bored.patio,
                Finding("bore-none", "warn", where, "depth", bored.depth, need, "m", IRC, values),
            )
    for block in carpentry.blocking:
        if block.why in ("beam", "outlooker", "pocket"):
            told = (
                ("run", block.run), ("along", block.alongs[0]), ("kind", block.why), ("name", block.name),
            )  # fmt: skip
            where = f"{block.patio}/{block.name}"
            yield block.patio, Finding(f"tube-in-{block.why}", "warn", where, source=PRACTICE, values=told)


def coupling_findings(plans: Sequence[CutPlan]) -> tuple[Finding, ...]:
    """Couplings above a closed ceiling, each with its place."""
    found = []
    for plan in plans:
        for joint in plan.joints:
            if joint.hidden:
                values: tuple[tuple[str, object], ...] = (("patio", joint.hidden), ("run", joint.run))
                values = (*values, ("along", joint.along), ("piece", joint.piece))
                found.append(
                    Finding(
                        "coupling-hidden", "warn", f"{joint.hidden}/{joint.run}", "length of one piece",
                        joint.length, plan.tube.stick, "m", PRACTICE, values,
                    )
                )  # fmt: skip
    return heard(found, "builder", "installer")
