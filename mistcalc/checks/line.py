"""Judgements on the line as a whole and its nozzles. Tube, pump set and water have files of their own.

Every threshold is in this package; numbers come from the line room.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import hypot

from mistcalc.checks.pump import VERDICTS, pump_checks, pump_findings, supply_short
from mistcalc.checks.shared import DERIVED, FEW, PRACTICE, at_far_mark, far_mark, heard, on_patio
from mistcalc.checks.tube import heat_findings, joints_check, shut_in_bursts, tube_check, tube_findings
from mistcalc.checks.valves import check_valve_findings, zone_isolation_findings
from mistcalc.checks.water import filter_check, water_findings
from mistcalc.model.fault_priors import SURE, DiagnosisAssumptions
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import Finding, Line, LineVerdict, MarkFlow, PumpCheck
from mistcalc.units import System, drill_size_for, parse

SPREAD_MOST = 0.10  # 1 - qmin/qmax: good irrigation practice
SPEED_MOST = parse("8 ft/s", "speed")  # Copper Tube Handbook, cold water
GRAVITY = 9.80665  # m/s2
TELLING = parse("1/2 psi", "pressure")  # a smaller loss is not worth a sentence; judgement
HOLDS = 0.95  # of the pressure it is meant to have: a supply with less is the weak one; judgement

MEASURED = ("water.static", "water.residual", "water.at_flow")
BY_WATER_POINT = ("inlet", "far", "drop")  # items of the check that hang on all of those


def line_findings(plumbing: Plumbing, line: Line, hottest: float | None = None) -> tuple[Finding, ...]:
    """What the installer should hear about the line, failing findings first. hottest: as for `tube_heat`."""
    if not line.marks:
        return heard([Finding("line-empty", "fail", "line", "marks", 0.0, 1.0, "", DERIVED)], "installer")
    findings = [
        *zone_isolation_findings(line),
        *_nozzles(plumbing, line),
        *check_valve_findings(line),
        *heat_findings(plumbing, hottest),
        *tube_findings(plumbing, line),
        *pump_findings(plumbing, line),
        *_no_pump(plumbing, line),
        *_emptying(plumbing, line),
        *water_findings(plumbing, line),
    ]
    return heard((at_far_mark(finding, line) for finding in findings), "installer")


def line_checks(plumbing: Plumbing, line: Line, assumed: Sequence[str] = ()) -> tuple[PumpCheck, ...]:
    """Every item of the installer's check with its verdict; empty for a line without nozzles. assumed: key
    paths the project does not state: what hangs on a pressure that nobody measured does not pass."""
    if not line.marks:
        return ()
    unmeasured = {item for item, paths in _hangs(plumbing).items() if any(path in assumed for path in paths)}
    checks = (
        *pump_checks(plumbing, line),
        tube_check(plumbing, line),
        *joints_check(plumbing, line),
        filter_check(plumbing, line),
    )
    return tuple(
        replace(check, verdict="not-stated")
        if check.item in unmeasured and check.verdict == "pass"
        else check
        for check in checks
    )


def line_verdict(
    plumbing: Plumbing,
    line: Line,
    findings: Sequence[Finding],
    assumed: Sequence[str],
    basis: DiagnosisAssumptions,
) -> LineVerdict:
    """The verdict on line and pump: the worst of the items' and of `line_findings`. assumed: as for
    `line_checks`; basis: what is thought of sound lines and of gauges."""
    items, working = line_checks(plumbing, line, assumed), plumbing.working
    levels = {finding.level for finding in findings}
    verdicts: set[str] = {item.verdict for item in items}
    verdicts |= {verdict for level, verdict in VERDICTS.items() if level in levels}
    worst = next((word for word in ("no", "look-again", "not-stated") if word in verdicts), "pass")
    rating, judgement, errors = line.duty.tube_rating, basis.judgement, basis.errors
    return LineVerdict(
        word="some-not-stated" if worst == "not-stated" else worst,  # type: ignore[arg-type]
        fails="fail" in levels,
        items=items,
        tube_holds=rating >= working,
        trapped=shut_in_bursts(plumbing, line),
        meter=SURE * hypot(judgement.spread[0], errors.meter),
        cup=SURE * hypot(judgement.spread[0], judgement.between_nozzles, errors.cup),
        feed_tells=line.duty.feed_friction > TELLING,
        zones_tell=tuple(zone.name for zone in line.zones if zone.solver_loss > TELLING),
    )


def _hangs(plumbing: Plumbing) -> dict[str, tuple[str, ...]]:
    """Items that hang on what the water point was measured to give, by key paths; behind a tank, only its own
    static pressure does."""
    paths: dict[str, tuple[str, ...]] = {"static": MEASURED[:1]}
    return paths if plumbing.water.tank is not None else paths | dict.fromkeys(BY_WATER_POINT, MEASURED)


def hole_findings(patio: Patio, line: Line, system: System) -> tuple[Finding, ...]:
    """Holes too tight for a tube that grows: one finding a run, for whoever drills. What is needed is rounded
    up to a bit that is sold where the job is written in `system`."""
    findings = []
    for run in line.duty.tube.runs:
        bit = drill_size_for(run.hole, system)
        if run.patio == patio.name and run.far_mark and patio.marks.hole < bit - 1e-6:
            values = (
                ("needs", run.hole),
                ("mark", run.far_mark),
                ("run", run.run),
                ("movement", run.movement),
                ("coldest", line.duty.tube.coldest),
                ("hottest", line.duty.tube_rating_temperature),
            )
            where = f"{patio.name}/{run.run}"
            sizes = ("hole", patio.marks.hole, bit, "m", PRACTICE)
            findings.append(on_patio(Finding("hole-tight", "warn", where, *sizes, values), patio.name))
    return heard(findings, "builder")


def _no_pump(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    """A pump left out of the file by mistake makes quite another line: say which one this is."""
    if plumbing.pump is None:
        water = plumbing.water
        osmosis = water.tank is None and not water.pressure_known
        by = (("lift", water.tank is not None), ("osmosis", osmosis))
        values = (*by, ("main", not any(true for _, true in by)))
        gauge = line.supply_gauge
        yield Finding("line-on-mains", "note", "line", "pressure", gauge, None, "Pa", "project", values)


def _nozzles(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    dry = [mark for mark in line.marks if mark.state == "shut" and not mark.opens_at]
    shut = [mark for mark in line.marks if mark.state == "shut" and mark.opens_at]
    part = [mark for mark in line.marks if mark.state == "part open"]
    if dry:
        yield _not_open("nozzle-dry", line, dry, 0.0)
    if shut:
        yield _not_open("nozzle-shut", line, shut, _lowest(shut).opens_at, _cure(plumbing, line, shut))
    if part:
        cure = _cure(plumbing, line, part)
        yield _not_open("nozzle-part-open", line, part, _lowest(part).wide_at, cure)
    worst = max(line.zones, key=lambda zone: zone.flow_spread)
    if worst.flow_spread > SPREAD_MOST:
        least = min((m for m in line.marks if m.zone == worst.name), key=lambda m: m.flow)
        starved = supply_short(plumbing, line)
        values = (
            ("zone", worst.name if len(line.zones) > 1 else ""),
            ("cu", worst.uniformity_cu),
            ("du", worst.uniformity_du),
            ("tube", not starved),
            ("starved", starved),
            ("patio", least.patio),
        )
        sizes = ("flow spread", worst.flow_spread, SPREAD_MOST, "1", "irrigation practice")
        yield Finding("flow-spread", "warn", f"{least.patio}/{least.name}", *sizes, values)
    if line.duty.fastest > SPEED_MOST:
        sizes = ("speed", line.duty.fastest, SPEED_MOST, "m/s", "Copper Tube Handbook")
        yield Finding("speed-high", "warn", f"line/{line.duty.fastest_at}", *sizes)


def _lowest(marks: list[MarkFlow]) -> MarkFlow:
    return min(marks, key=lambda m: m.pressure_gauge)


def _cure(plumbing: Plumbing, line: Line, marks: list[MarkFlow]) -> tuple[str, float]:
    """(what to change so that the lowest of these opens wide, the pressure [Pa] that says so).

    friction: the tube takes so much. starved: the pump holds only so much. main: the main gives only so much
    at this flow. raise: the supply would have to be at so much.
    """
    lowest = _lowest(marks)
    needs = lowest.wide_at or 0.0
    supply = next((z.supply_gauge for z in line.zones if z.name == lowest.zone), line.supply_gauge)
    height = {node.name: node.elevation for node in line.nodes}
    node = f"{lowest.patio}/{lowest.name}"
    up = height.get(node, height.get(lowest.name, 0.0)) - height.get(line.supply_node, 0.0)
    lift = line.water.density * GRAVITY * up
    friction = supply - lift - lowest.pressure_gauge
    if supply - lift >= needs:
        return "friction", friction
    aim = plumbing.working
    if aim * HOLDS - lift < needs or supply >= HOLDS * aim:
        return "raise", needs + lift + max(friction, 0.0)
    return ("starved" if plumbing.pump is not None else "main"), supply


def _not_open(
    code: str, line: Line, marks: list[MarkFlow], needs: float | None, *cure: tuple[str, float]
) -> Finding:
    """needs: the pressure that the lowest of these is short of, Pa. cure: what to change."""
    lowest = _lowest(marks)
    names = tuple(mark.name for mark in marks)
    values = (
        ("marks", names),
        ("few", names if len(names) <= FEW else ()),
        ("count", len(names)),
        ("of", len(line.marks)),
        ("opens_at", lowest.opens_at or 0.0),
        *cure,
    )
    where = f"{lowest.patio}/{lowest.name}"
    return Finding(code, "fail", where, "pressure", lowest.pressure_gauge, needs, "Pa", DERIVED, values)


def _emptying(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    """Does it run empty after use, and not through the nozzles?"""
    full = line.duty.filling
    if not plumbing.drains:
        many = len(full.zones) > 1
        lows = tuple(zone.low_point for zone in full.zones if zone.low_point) if many else ()
        values: tuple[tuple[str, object], ...] = (("low", full.low_point), ("zones", lows))
        where = f"line/{full.low_point}"
        yield Finding("drain-none", "note", where, "drain", 0.0, full.left_volume, "m3", PRACTICE, values)
    for zone in full.zones if plumbing.drains else ():
        name = zone.zone if len(full.zones) > 1 else ""
        values = (("zone", name), ("low", zone.low_point), ("at", zone.drains))
        if not zone.drains and zone.low_point:
            where = f"line/{zone.low_point}"
            yield Finding("drain-zone", "warn", where, "drain", 0.0, zone.left, "m3", PRACTICE, values)
        elif not zone.low and zone.low_point:
            yield Finding("drain-not-low", "warn", "line/drain", "drain", source=DERIVED, values=values)
    if plumbing.drains and full.feed_low:
        where, values = f"line/{full.feed_low}", (("low", full.feed_low),)
        yield Finding("drain-feed", "warn", where, "drain", 0.0, full.feed_left, "m3", PRACTICE, values)
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
