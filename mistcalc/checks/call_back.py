"""Judgements on a call-back: what the readings speak for, what to read next, where to begin."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from mistcalc.checks.pump import INLET_STARVED
from mistcalc.checks.shared import JUDGEMENT
from mistcalc.model.fault_priors import MOST_PLUGGED
from mistcalc.model.project import Plumbing
from mistcalc.model.results import CauseShare, Diagnosis, Finding, Level, Readings, ServiceVisit
from mistcalc.model.site_readings import call_back

FITS = 4.0  # deviations a reading: beyond it the readings are of no line the table knows
STEPS_SAID = 4  # of the isolation order
NEVER_SURE = 1.0 - 1e-9  # the most told of one cause: what is not in the table has no chance here


def one_cause_fits(diagnosis: Diagnosis) -> bool:
    """Whether the chances are worth telling: they are those of one cause alone."""
    return diagnosis.misfit <= FITS


def diagnosis_findings(diagnosis: Diagnosis, pump: bool) -> tuple[Finding, ...]:
    """What a fitter on a call-back should hear, in the order to hear it. pump: the line has one."""
    return _in_order(_off(finding, pump) for finding in _said(diagnosis, pump))


def _off(finding: Finding, pump: bool) -> Finding:
    """With how the line is made safe before a hand goes to it."""
    off = ("off", "off-pumped" if pump else "off-mains"), ("pumped", pump)
    return replace(finding, values=(*finding.values, *off))


def service_visit_findings(service_visit: ServiceVisit) -> tuple[Finding, ...]:
    """Which visit the answer is about."""
    code = "call-back-visit" if service_visit.sheet is not None else "call-back-visit-no-sheet"
    return _in_order(
        [
            _finding(
                code,
                "warn",
                when=service_visit.when.isoformat(" ", "minutes"),
                zone=service_visit.readings.zone,
            )
        ]
    )


def seen_findings(readings: Readings, plumbing: Plumbing) -> tuple[Finding, ...]:
    """What is seen or heard beside the readings, with where to look; it moves no chance. On a line without a
    pump nothing cycles."""
    found = []
    if readings.cycles in ("running", "idle"):
        found.append(_finding(f"call-back-cycles-{readings.cycles}", "warn", inlet=INLET_STARVED))
    if readings.drips in ("few", "all"):
        held = "held" if plumbing.nozzle.opens_at else "open"
        found.append(_finding(f"call-back-drips-{readings.drips}", "warn", **{held: True}))
    return _in_order(_off(finding, plumbing.pump is not None) for finding in found)


def ignored_reading_findings(service_visit: ServiceVisit, names: Sequence[str]) -> tuple[Finding, ...]:
    """Readings of a visit that cannot be on this line."""
    when, zone = service_visit.when.isoformat(" ", "minutes"), service_visit.readings.zone
    findings = []
    for name in names:
        if name in ("zone", "sheet"):
            findings.append(_finding(f"call-back-no-{name}", "warn", when=when, zone=zone))
        else:
            findings.append(_finding("call-back-left-out", "warn", when=when, reading=f"reading-{name}"))
    return _in_order(findings)


def _in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """For whoever mends the line, in the order they are made."""
    return tuple(replace(f, audience=("installer",), topic="site") for f in findings)


def _said(diagnosis: Diagnosis, pump: bool) -> Iterator[Finding]:
    if not one_cause_fits(diagnosis):
        nearest = (("causes", tuple(f"cause-{cause}" for cause in diagnosis.likely)),)
        misfit = (diagnosis.misfit, FITS, "", JUDGEMENT, nearest)
        yield Finding("call-back-no-fit", "warn", "line", "misfit", *misfit)
        if "plugged" in diagnosis.likely:
            yield _finding("call-back-look", "note", marks=diagnosis.weak)
        return
    if not diagnosis.apart:
        causes = tuple(f"cause-{cause}" for cause in diagnosis.likely)
        yield _finding("call-back-cannot-tell", "warn", causes=causes)
    shares = {share.cause: share for share in diagnosis.causes}
    for cause in diagnosis.likely:
        yield _cause(shares[cause], pump)
    if "leak" in diagnosis.likely and not diagnosis.isolation:
        yield _finding("call-back-isolate-none", "note")
    elif "leak" in diagnosis.likely:
        order = tuple(" + ".join(step.valves) for step in diagnosis.isolation[:STEPS_SAID])
        if "creep" in diagnosis.cannot:
            yield _finding("call-back-isolate-plugged", "note", order=order)
        else:
            yield _finding("call-back-isolate", "note", order=order)
    if "plugged" in diagnosis.likely:
        yield _finding("call-back-look", "note", marks=diagnosis.weak)
    if diagnosis.next is not None:
        next_reading = diagnosis.next
        yield Finding(
            "call-back-next",
            "note",
            "line",
            "entropy",
            next_reading.bits,
            unit="bit",
            source="derived",
            values=(
                ("reading", f"reading-{next_reading.name}"),
                ("at", next_reading.at),
                ("cup", call_back(next_reading.name).by == "cup"),
            ),
        )
    elif not diagnosis.apart:
        yield _finding("call-back-no-next", "note")
    if not diagnosis.apart and "port" in diagnosis.cannot:
        yield _finding("call-back-ask-port", "note")
    if diagnosis.likely != ("sound",):
        yield _finding("call-back-again", "note")


def _finding(code: str, level: Level, **values: object) -> Finding:
    return Finding(code, level, "line", source=JUDGEMENT, values=tuple(values.items()))


def _cause(cause_share: CauseShare, pump: bool) -> Finding:
    cause = "main" if cause_share.cause == "inlet" and not pump else cause_share.cause
    share = min(cause_share.share, NEVER_SURE)
    values: list[tuple[str, object]] = [("share", share), ("small", cause_share.cause == "sound")]
    middle = None
    if cause_share.extent:
        low, middle, high = cause_share.extent
        if cause_share.cause == "plugged":
            values += [("range", low < high < MOST_PLUGGED), ("more", high >= MOST_PLUGGED)]
        if cause_share.cause in ("worn", "part-worn"):
            low, middle, high = low - 1, middle - 1, high - 1
        elif cause_share.cause == "scaled":
            low, middle, high = 1 - high, 1 - middle, 1 - low
        values += [("low", low), ("middle", middle), ("high", high)]
    level: Level = "note" if cause_share.cause == "sound" else "warn"
    return Finding(f"call-back-{cause}", level, "line", "fault", middle, None, "", JUDGEMENT, tuple(values))
