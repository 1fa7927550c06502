"""Judgements on the line as a whole and its nozzles. Tube, pump set and water have files of their own.

Every threshold is in this package; numbers come from the line room.
"""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.checks.check_valves import check_valve_findings
from mistcalc.checks.pump import pump_checks, pump_findings
from mistcalc.checks.shared import DERIVED, PRACTICE, at_far_mark, far_mark
from mistcalc.checks.tube import tube_check, tube_findings
from mistcalc.checks.water import filter_check, water_findings
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import Finding, Level, Line, MarkFlow, PumpCheck

SPREAD_MOST = 0.10  # 1 - qmin/qmax: good irrigation practice
FEW = 6  # nozzles a sentence names one by one
SPEED_MOST = 8 * 0.3048  # m/s; Copper Tube Handbook, cold water

_ORDER = {"fail": 0, "warn": 1, "note": 2}


def line_findings(plumbing: Plumbing, line: Line) -> tuple[Finding, ...]:
    """What the installer should hear about the line, failing findings first."""
    if not line.marks:
        return (Finding("line-empty", "fail", "line", "marks", 0.0, 1.0, "", DERIVED),)
    found = [
        *_nozzles(line),
        *check_valve_findings(line),
        *tube_findings(plumbing, line),
        *pump_findings(plumbing, line),
        *_emptying(plumbing, line),
        *water_findings(plumbing, line),
    ]
    told = (at_far_mark(finding, line) for finding in found)
    return tuple(sorted(told, key=lambda f: _ORDER[f.level]))


def line_checks(plumbing: Plumbing, line: Line) -> tuple[PumpCheck, ...]:
    """Every item of the installer's check with its verdict; empty for a line without nozzles."""
    if not line.marks:
        return ()
    return (*pump_checks(plumbing, line), tube_check(plumbing, line), filter_check(plumbing, line))


def hole_findings(patio: Patio, line: Line) -> tuple[Finding, ...]:
    """Holes too tight for a tube that grows: one finding a run, for whoever drills."""
    found = []
    for run in line.duty.tube.runs:
        if run.patio == patio.name and run.far_mark and patio.marks.hole < run.hole - 1e-6:
            values = (
                ("mark", run.far_mark),
                ("run", run.run),
                ("movement", run.movement),
                ("coldest", line.duty.tube.coldest),
                ("hottest", line.duty.tube_rating_temperature),
            )
            where = f"{patio.name}/{run.run}"
            sizes = ("hole", patio.marks.hole, run.hole, "m", PRACTICE)
            found.append(Finding("hole-tight", "warn", where, *sizes, values))
    return tuple(found)


def _nozzles(line: Line) -> Iterator[Finding]:
    dry = [mark for mark in line.marks if mark.state == "shut" and not mark.opens_at]
    shut = [mark for mark in line.marks if mark.state == "shut" and mark.opens_at]
    part = [mark for mark in line.marks if mark.state == "part open"]
    if dry:
        yield _not_open("nozzle-dry", "fail", line, dry, 0.0)
    if shut:
        yield _not_open("nozzle-shut", "fail", line, shut, _lowest(shut).opens_at)
    if part:
        yield _not_open("nozzle-part-open", "warn", line, part, _lowest(part).wide_at)
    if line.flow_spread > SPREAD_MOST:
        values = (("cu", line.uniformity_cu), ("du", line.uniformity_du))
        sizes = ("flow spread", line.flow_spread, SPREAD_MOST, "1", "irrigation practice")
        yield Finding("flow-spread", "warn", far_mark(line), *sizes, values)
    if line.duty.fastest > SPEED_MOST:
        sizes = ("speed", line.duty.fastest, SPEED_MOST, "m/s", "Copper Tube Handbook")
        yield Finding("speed-high", "warn", f"line/{line.duty.fastest_at}", *sizes)


def _lowest(marks: list[MarkFlow]) -> MarkFlow:
    return min(marks, key=lambda m: m.pressure_gauge)


def _not_open(code: str, level: Level, line: Line, marks: list[MarkFlow], needs: float | None) -> Finding:
    """needs: the pressure that the lowest of these is short of, Pa."""
    lowest = _lowest(marks)
    names = tuple(mark.name for mark in marks)
    values = (
        ("marks", names),
        ("few", names if len(names) <= FEW else ()),
        ("count", len(names)),
        ("of", len(line.marks)),
        ("opens_at", lowest.opens_at or 0.0),
    )
    where = f"{lowest.patio}/{lowest.name}"
    return Finding(code, level, where, "pressure", lowest.pressure_gauge, needs, "Pa", DERIVED, values)


def _emptying(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    """Does it run empty after use, and not through the nozzles?"""
    full = line.duty.filling
    low = ("low", full.low_point)
    if plumbing.drain is None:
        where = f"line/{full.low_point}"
        yield Finding("drain-none", "note", where, "drain", 0.0, full.left_volume, "m3", PRACTICE, (low,))
    elif not full.drain_low:
        values = (low, ("at", str(plumbing.drain.at)))
        yield Finding("drain-not-low", "warn", "line/drain", "drain", source=DERIVED, values=values)
    if full.dribbling:
        few = full.dribbling if len(full.dribbling) <= FEW else ()
        marks = (
            ("marks", full.dribbling), ("count", len(full.dribbling)), ("of", len(line.marks)), ("few", few),
        )  # fmt: skip
        opens = line.opens_at or 0.0
        yield Finding(
            "nozzles-dribble",
            "note",
            far_mark(line),
            "standing water",
            full.standing,
            opens,
            "Pa",
            DERIVED,
            marks,
        )
