"""Where a line lets its pressure down and empties: its drains, and those with a test port, if any."""

from __future__ import annotations

from mistcalc.model.results import Design

Outlets = dict[str, tuple[str, ...]]


def outlets(design: Design) -> Outlets:
    """Values for a sentence about emptying: places of drains, those with a test port among them, and `none`,
    not empty where the line has no drain at all."""
    drains = design.project.plumbing.drains
    return {
        "drains": tuple(str(drain.at) for drain in drains),
        "ports": tuple(str(drain.at) for drain in drains if drain.test_port),
        "none": () if drains else ("none",),
    }
