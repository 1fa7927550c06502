"""Cautions: what can hurt someone, shown wherever it applies. No threshold here judges a design.

Each caution defers to local code and licensed practice; `words` says so. Sources are named where a
public body gives the advice, else it is common practice. Editions must be checked with the authority.
"""

from __future__ import annotations

from mistcalc.model.project import Project
from mistcalc.model.results import Finding

INJECTION = 7e5  # Pa gauge: from about here a fine jet can pass the skin; common practice, no source
ELECTRICAL = ("light", "fan", "heater", "speaker", "screen", "outlet")
PRACTICE = "common practice"


def cautions(project: Project) -> tuple[Finding, ...]:
    """Every caution that applies to this job, as notes, the most urgent first."""
    plumbing = project.plumbing
    pump = plumbing.pump
    working = plumbing.working
    powered = tuple(o.name for p in project.patios for o in p.obstacles if o.kind in ELECTRICAL)
    sliders = tuple(o.name for p in project.patios for o in p.obstacles if o.kind == "door glass")
    plastered = any(patio.plaster.system != "none" for patio in project.patios)

    def caution(name: str, source: str = PRACTICE, **values: object) -> Finding:
        return Finding(f"caution-{name}", "note", project.name, source=source, values=tuple(values.items()))

    injection = Finding(
        "caution-injection", "note", project.name, "pressure", working, INJECTION, "Pa", PRACTICE
    )
    found = [
        injection if working >= INJECTION else None,
        caution("gas-test"),
        caution("trapped-water"),
        caution("electrical", "NEC 210.8", things=powered) if pump is not None or powered else None,
        caution("backflow", "IRC P2902, IPC 608"),
        caution("legionella", "ASHRAE Guideline 12"),
        caution("lungs"),
        caution("heat-illness"),
        caution("slip"),
        caution("wet-plaster" if plastered else "wet-wood"),
        caution("open-slider", things=sliders) if sliders else None,
        caution("freezing"),
        caution("water-rules"),
    ]
    return tuple(one for one in found if one is not None)
