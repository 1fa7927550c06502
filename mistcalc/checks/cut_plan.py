"""Judgements on how tube is cut: what cannot be reached once the ceiling is closed."""

from __future__ import annotations

from collections.abc import Sequence

from mistcalc.checks.shared import PRACTICE, heard
from mistcalc.model.results import CutPlan, Finding


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
