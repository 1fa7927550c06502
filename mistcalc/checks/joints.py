"""Judgements on control joints and plaster panels as the project states them.

ASTM C1063 (as quoted in the trade; check the adopted edition): ceiling panels at most 100 sq ft, at most
18 ft between joints, length at most 2.5 times width, and a joint where the framing changes direction.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from mistcalc.checks.shared import heard, on_patio
from mistcalc.model.plaster_panels import LARGEST_PANEL, LONGEST_PANEL, NARROWEST_PANEL, SLACK, within_limits
from mistcalc.model.project import Patio, Run
from mistcalc.model.results import Finding, Layout
from mistcalc.model.run_extents import change_of_framing

AT_CORNER = 0.05  # m: a joint this near the change of framing is taken to be at it; judgement
ONCE = ("no_joist", "joints", "count", "square")  # told of a panel by the first limit it breaks
MOST_PIECES = 9  # of one panel, for which joists are named; judgement
C1063 = "ASTM C1063"
UNSTATED = {  # of a panel too large, long or narrow: what is told where no joint is stated
    "panel-large": "joints-unstated",
    "panel-long": "joints-unstated-long",
    "panel-narrow": "joints-unstated-narrow",
}


def joint_findings(patio: Patio, layout: Layout) -> tuple[Finding, ...]:
    """Panels too large, long or narrow; joints off members; a change of framing without a joint."""
    if not patio.plaster.plastered:
        return ()
    if any(run.joints for run in patio.runs):
        findings = (*_panels(patio, layout), *_changes(patio), *_off_members(patio, layout))
        return heard(findings, "builder", "trades")
    panels = _panels(patio, layout)
    if not panels:
        return ()
    return heard((_unstated(patio, panels),), "builder", "trades")


def _unstated(patio: Patio, panels: Sequence[Finding]) -> Finding:
    """No joint stated: one word about it, by the first limit broken and what breaks it most."""
    code = next(code for code in UNSTATED if any(panel.code == code for panel in panels))
    worst = max((panel for panel in panels if panel.code == code), key=lambda panel: panel.provided or 0.0)
    return replace(worst, code=UNSTATED[code], where=patio.name, values=(("wants_joints", True),))


def proposed_joint_findings(patio: Patio, layout: Layout) -> tuple[Finding, ...]:
    """Joints that the project does not state and asked for: for whoever plasters to agree to."""
    stated = {(run.name, joint.name) for run in patio.runs for joint in run.joints}
    new = [line.joint for line in layout.lid.joints if (line.run, line.joint.name) not in stated]
    if not new:
        return ()
    blocked = tuple(joint.name for joint in new if joint.on == "blocking")
    values = (("count", len(new)), ("blocked", blocked))
    finding = Finding("joints-proposed", "note", patio.name, source=C1063, values=values)
    return heard((on_patio(finding, patio.name),), "builder", "trades")


def _panels(patio: Patio, layout: Layout) -> list[Finding]:
    out: list[Finding] = []
    for (name, area, ratio), span in zip(layout.panels, layout.panel_spans, strict=True):
        where = f"{patio.name}/{name}"
        longest = math.sqrt(area * ratio)  # a panel is a rectangle
        values = (("panel", name), *_place(patio, layout, span))
        candidates = (
            Finding("panel-large", "warn", where, "area", area, LARGEST_PANEL, "m2", C1063, values),
            Finding("panel-long", "warn", where, "length", longest, LONGEST_PANEL, "m", C1063, values),
            Finding(
                "panel-narrow", "warn", where, "length over width", ratio, NARROWEST_PANEL, "1", C1063, values
            ),
        )
        broken = [
            finding
            for finding in candidates
            if (finding.provided or 0.0) > (finding.required or 0.0) * (1 + SLACK)
        ]
        again = tuple(value for value in values if value[0] not in ONCE)
        out += [finding if n == 0 else replace(finding, values=again) for n, finding in enumerate(broken)]
    return out


def _place(patio: Patio, layout: Layout, span: tuple[str, float, float]) -> tuple[tuple[str, object], ...]:
    """Where a panel lies, whether the corner square is in it, and the joists where joints would do."""
    name, start, end = span
    n, run = next((n, run) for n, run in enumerate(patio.runs) if run.name == name)
    square = start < -AT_CORNER or end > run.length + AT_CORNER
    at = _joists_for_joints(patio.depth_over(n), layout, span)
    values = (("run", name), ("start", start), ("end", end), ("square", square), ("spot", (start + end) / 2))
    return (*values, ("no_joist", not at), ("joints", at), ("count", len(at)))


def _joists_for_joints(depth: float, layout: Layout, span: tuple[str, float, float]) -> tuple[float, ...]:
    """The fewest joists across, as evenly apart as they lie, that cut a panel into pieces within all three
    limits; none where no few joints across would."""
    name, start, end = span
    joists = sorted(
        m.along for m in layout.lid.members
        if m.run == name and m.along is not None and start + AT_CORNER < m.along < end - AT_CORNER
    )  # fmt: skip
    for pieces in range(2, min(len(joists) + 1, MOST_PIECES) + 1):
        even = (start + (end - start) * n / pieces for n in range(1, pieces))
        at = tuple(dict.fromkeys(min(joists, key=lambda j: abs(j - wanted)) for wanted in even))
        if all(within_limits(b - a, depth) for a, b in pairwise((start, *at, end))):
            return at
    return ()


def _from_start(run: Run, along: float) -> float:
    return along if run.datum.end == "start" else run.length - along


def _changes(patio: Patio) -> list[Finding]:
    out = []
    for n, (before, after) in enumerate(zip(patio.runs, (*patio.runs[1:], patio.runs[0]), strict=True)):
        if not (_framed(before) and _framed(after)):
            continue
        change = change_of_framing(patio, n)
        if change is None:
            continue
        run, at = change
        if not any(abs(_from_start(run, j.along) - at) <= AT_CORNER for j in run.joints):
            along = _from_start(run, at)
            values = (
                ("run", run.name), ("along", along), ("spot", along), ("before", before.name),
                ("after", after.name),
            )  # fmt: skip
            where = f"{patio.name}/{run.name}"
            out.append(Finding("joint-missing", "warn", where, "along", None, along, "m", C1063, values))
    return out


def _framed(run: Run) -> bool:
    return run.framing.as_framed or run.framing.spacing is not None


def _off_members(patio: Patio, layout: Layout) -> list[Finding]:
    """A joint said to be on a member with no member at it: blocking is wanted there."""
    changes = [change_of_framing(patio, n) for n in range(len(patio.runs))]
    out = []
    for run in patio.runs:
        across = [m for m in layout.lid.members if m.run == run.name and m.along is not None]
        if not across:
            continue
        for joint in run.joints:
            at = _from_start(run, joint.along)
            if joint.on != "member" or any(
                c and c[0] is run and abs(c[1] - at) <= AT_CORNER for c in changes
            ):
                continue
            member = min(across, key=lambda m: abs((m.along or 0.0) - joint.along))
            off = abs((member.along or 0.0) - joint.along)
            if off > member.width / 2 + SLACK:
                values = (("joint", joint.name), ("along", joint.along), ("run", run.name))
                out.append(
                    Finding(
                        "joint-off-member", "warn", f"{patio.name}/{joint.name}", "joint to member centre",
                        off, member.width / 2, "m", C1063, values,
                    )
                )  # fmt: skip
    return out
