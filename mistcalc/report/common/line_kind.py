"""Which sentences about a line are true of it: pumped or on the mains, with drains or without."""

from __future__ import annotations

from mistcalc.model.results import Design

LineKind = dict[str, tuple[str, ...]]


def line_conditions(design: Design) -> LineKind:
    """Values for a sentence: places of `drains`; `none`, `pumped`, `mains` are empty where it is not so."""
    plumbing = design.project.plumbing
    pumped, drains = plumbing.pump is not None, tuple(str(drain.at) for drain in plumbing.drains)

    def told(name: str, so: bool) -> tuple[str, ...]:
        return (name,) if so else ()

    return {
        "drains": drains,
        "none": told("none", not drains),
        "pumped": told("pumped", pumped),
        "mains": told("mains", not pumped),
    }
