"""What was read on site: call-backs, tests, watches and measuring days, each judged beside the design.

For doors; nothing here is part of `run`.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from mistcalc import checks, cooling, layout, line, outdoor_air
from mistcalc.errors import InputError
from mistcalc.model.fault_priors import DiagnosisAssumptions
from mistcalc.model.hole_size import drill_size, reaches_farther
from mistcalc.model.measuring_day import MeasuringDay
from mistcalc.model.project import (
    Place,
    Plumbing,
    Project,
)
from mistcalc.model.results import (
    AsBuilt,
    CommissioningReadings,
    Design,
    Diagnosis,
    ExpectedReading,
    Finding,
    GaugeReading,
    Layout,
    Line,
    PressureBounds,
    PressureTest,
    PressureTestPlan,
    PressureTestVerdict,
    Readings,
    ServiceVisit,
)
from mistcalc.model.site_log import SiteEntry, apply_strikes
from mistcalc.model.site_readings import entries_of

Findings = tuple[Finding, ...]
Answered = tuple[tuple[ServiceVisit, Diagnosis | None], ...]


@lru_cache(maxsize=4)
def fault_table(
    plumbing: Plumbing,
    basis: DiagnosisAssumptions,
    solved: Line,
    zone: str = "",
    sheet: CommissioningReadings | None = None,
) -> line.FaultTable:
    """What each cause makes of this line's readings; seconds of work. zone: "" is the largest.
    sheet: what the line read when it was handed over."""
    case = line.fault_case(plumbing, solved, zone, sheet)
    return line.build_fault_table(case, basis.judgement, basis.errors)


@lru_cache(maxsize=16)
def sound_readings(project: Project, solved: Line) -> tuple[ExpectedReading, ...]:
    """What the line's largest zone shows when nothing is wrong, of everything that can be read on it."""
    case = line.fault_case(project.plumbing, solved)
    return line.expected_readings(line.sound_table(case, project.call_back.errors))


def judge_call_backs(
    project: Project, solved: Line, entries: tuple[SiteEntry, ...]
) -> tuple[Answered, Findings]:
    """The last call-back of each zone in a site log. What cannot be is left out and said; where nothing is
    left, or no one cause fits, there is no diagnosis. For doors; not in `run`."""
    answered: list[tuple[ServiceVisit, Diagnosis | None]] = []
    findings: list[Finding] = []
    for service_visit in line.call_backs(apply_strikes(entries).kept):
        diagnosis, visit_findings = _answer(project, solved, service_visit)
        answered.append((service_visit, diagnosis))
        findings.extend(visit_findings)
    return tuple(answered), tuple(findings)


def _answer(project: Project, solved: Line, service_visit: ServiceVisit) -> tuple[Diagnosis | None, Findings]:
    plumbing, basis = project.plumbing, project.call_back
    zone, sheet = service_visit.readings.zone, service_visit.sheet
    findings: list[Finding] = []
    try:
        table = fault_table(plumbing, basis, solved, zone, sheet)
    except InputError as mistake:
        if mistake.code in ("call-back-zone", "call-back-empty"):
            return None, checks.ignored_reading_findings(service_visit, ("zone",))
        findings.extend(checks.ignored_reading_findings(service_visit, ("sheet",)))
        table = fault_table(plumbing, basis, solved, zone)
    readings, out = line.without_impossible_readings(table, service_visit.readings)
    findings.extend(checks.ignored_reading_findings(service_visit, out))
    seen = checks.seen_findings(readings, plumbing)
    if replace(readings, cycles=None, drips=None) == Readings(zone=zone):
        if seen:
            findings.extend(checks.service_visit_findings(service_visit))
        return None, (*findings, *seen)
    diagnosis = line.diagnose(table, readings)
    diagnosis_findings = checks.diagnosis_findings(diagnosis, plumbing.pump is not None)
    told = diagnosis if checks.one_cause_fits(diagnosis) else None
    return told, (*findings, *checks.service_visit_findings(service_visit), *seen, *diagnosis_findings)


def judge_holes(job: Design, entries: tuple[SiteEntry, ...]) -> tuple[tuple[AsBuilt, ...], Findings]:
    """Every hole as the site log has it, beside the plan; nothing where no line is of a mark. For doors."""
    told = tuple(entries_of("mark", apply_strikes(entries).kept))
    if not told:
        return (), ()
    bits, wanted = {}, {}
    for patio in job.project.patios:  # marks keep clear with the hole as stated: a wider bit leaves less
        bits[patio.name] = drill_size(patio, job.line, job.project.units)
        wider = reaches_farther(patio, job.line, job.project.units)
        wanted[patio.name] = patio.marks.clear_of_members - wider
    holes = tuple(
        layout.beside_wood(hole, job.layout_of(hole.patio), bits[hole.patio]) if hole.patio else hole
        for hole in layout.drilled_holes(job.layouts, told)
    )
    return holes, checks.as_built_findings(holes, job.code, wanted, job.project.rows_on_assumed_joists)


def with_holes(job: Design, entries: tuple[SiteEntry, ...]) -> Design:
    """The job with every hole as the site log has it, for the record of what is in the ceiling. A revision
    says which marks that could not be drilled still stand where they stood; no joist that was found there is
    told to be missed. For doors."""
    built, _ = judge_holes(job, entries)
    job = replace(job, built=built)
    if job.change is None:  # where the crew's own sheets had them is not known here
        return job
    moved = {change.name for change in job.change.marks}
    still = [hole for hole in built if hole.cannot and hole.name not in moved]
    layouts = tuple(_with_joists_met(laid, still) for laid in job.layouts)
    return replace(job, layouts=layouts, findings=(*checks.undrilled_findings(still), *job.findings))


def _with_joists_met(laid: Layout, undrilled: list[AsBuilt]) -> Layout:
    met = sum(hole.cannot == checks.JOIST_THERE and hole.patio == laid.patio for hole in undrilled)
    if not met or laid.holes.wood == "unstated":
        return laid
    return replace(laid, holes=replace(laid.holes, wood="partly", unknown=laid.holes.unknown + met))


def struck_out(entries: tuple[SiteEntry, ...]) -> Findings:
    """Lines of a site log that were struck out and count no more, and strikes that meet none. For doors."""
    return checks.struck_findings(apply_strikes(entries))


def judge_pressure_tests(
    plumbing: Plumbing, solved: Line, place: Place, plan: PressureTestPlan, entries: tuple[SiteEntry, ...]
) -> tuple[tuple[PressureTestVerdict, ...], Findings]:
    """The tests and watches written in a site log. For doors; not in `run`."""
    holds, gaps = line.pressure_tests(apply_strikes(entries).kept, plumbing, solved, place.elevation)
    verdicts: list[PressureTestVerdict] = []
    last: dict[tuple[str, str, int], tuple[PressureTest, PressureBounds]] = {}
    states: dict[str, checks.WatchState] = {}
    starts: dict[str, GaugeReading] = {}
    for pressure_test in holds:  # those of one series stand in the order of time
        state = None
        if pressure_test.kind == "watch":
            if pressure_test.number == 1 and pressure_test.start != starts.get(pressure_test.place):
                states.pop(pressure_test.place, None)  # a new series: it begins anew
            state, starts[pressure_test.place] = (
                states.get(pressure_test.place, checks.WatchState()),
                pressure_test.start,
            )
        begun = state is None or state.begun
        bounds = line.pressure_bounds(plumbing, solved, place.elevation, plan, pressure_test, begun)
        earlier = (
            last.get((pressure_test.kind, pressure_test.place, pressure_test.number - 1))
            if pressure_test.before > 0.0
            else None
        )
        verdicts.append(
            checks.judge_pressure_hold(pressure_test, bounds, checks.limit_of(pressure_test), earlier, state)
        )
        last[pressure_test.kind, pressure_test.place, pressure_test.number] = (pressure_test, bounds)
        if state is not None:
            states[pressure_test.place] = state.after(verdicts[-1])
    return tuple(verdicts), checks.pressure_test_findings(verdicts, gaps, plumbing.pump is not None)


def judge_day(job: Design, day: MeasuringDay) -> Findings:
    """What a measuring day says of its patio, and the patio's ranges told again with it. For doors."""
    bearing, plumbing = job.project.heading(day.patio), job.project.plumbing
    outside = cooling.measured_outdoor_air(day, bearing)
    air = outdoor_air.measured_air(job.project.place, *outside, day.source)
    drops = cooling.measured_cooling(day, float(air.air_pressure[0]))
    judged = checks.sensors(drops)
    patio = next(patio for patio in job.project.patios if patio.name == day.patio)
    before = [cooled for cooled in job.cooling if cooled.patio == day.patio]
    laid = job.layout_of(day.patio)
    calibrated = cooling.calibrate(patio, laid, job.line, plumbing, air, bearing, judged.dry, before)
    return checks.day_findings(day, drops, judged, calibrated)
