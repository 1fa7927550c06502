"""What the files of this package share: sources said in a word, and where a finding stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from mistcalc.model.results import Audience, Finding, Line, Topic

PRACTICE, JUDGEMENT, DERIVED = "common practice", "judgement", "derived"
NEAR = 1e-6  # m
FEW = 6  # marks or nozzles a sentence names one by one


def far_mark(line: Line) -> str:
    """Path of the nozzle with the least pressure."""
    far = min(line.marks, key=lambda m: m.pressure_gauge)
    return f"{far.patio}/{far.name}"


def heard(findings: Iterable[Finding], *audience: Audience, topic: Topic = "design") -> tuple[Finding, ...]:
    """The findings with whom they are for, worst first; one that says so itself stays as it is."""
    addressed = (f if f.audience else replace(f, audience=audience, topic=topic) for f in findings)
    return tuple(sorted(addressed, key=lambda f: f.rank))


def on_patio(finding: Finding, patio: str) -> Finding:
    """The finding with its patio's name told apart: a name may hold a slash, as the path to it does."""
    return replace(finding, values=(*finding.values, ("patio", patio)))


def at_far_mark(finding: Finding, line: Line) -> Finding:
    """`on_patio` for a finding whose place is `far_mark`; any other as it is."""
    far = min(line.marks, key=lambda m: m.pressure_gauge)
    return on_patio(finding, far.patio) if finding.where == f"{far.patio}/{far.name}" else finding
