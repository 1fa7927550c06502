"""Which sentences about a line are true of it: pumped or on the mains, with drains or without."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from mistcalc.model.project import Project
from mistcalc.model.results import Finding, Line

LineKind = dict[str, tuple[str, ...]]


class LineJob(Protocol):
    """What of a job is about its line: a `Design` has it, and so has a line solved alone."""

    @property
    def project(self) -> Project: ...

    @property
    def line(self) -> Line: ...

    @property
    def findings(self) -> tuple[Finding, ...]: ...


@dataclass(frozen=True)
class LineAlone:
    """A line without the air round it, while that is still being worked out."""

    project: Project
    line: Line
    findings: tuple[Finding, ...]


def line_conditions(design: LineJob) -> LineKind:
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
