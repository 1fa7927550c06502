"""Judgements on a call-back: what the readings speak for, what to read next, where to begin."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from mistcalc.model.results import CallBack, CauseShare, Diagnosis, Finding, Level

FITS = 4.0  # deviations a reading: beyond it the readings are of no line the table knows
JUDGEMENT = "judgement"
CUPS = ("near", "far")  # readings taken at a nozzle
STEPS_SAID = 4  # of the isolation order


def callback_findings(diagnosis: Diagnosis, pump: bool) -> tuple[Finding, ...]:
    """What a fitter on a call-back should hear, in the order to hear it. pump: the line has one."""
    return _in_order(_said(diagnosis, pump))


def callback_visit(one: CallBack) -> tuple[Finding, ...]:
    """Which visit the answer is about."""
    code = "callback-visit" if one.sheet is not None else "callback-visit-no-sheet"
    return _in_order(
        [_finding(code, "warn", when=one.when.isoformat(" ", "minutes"), zone=one.readings.zone)]
    )


def callback_left_out(one: CallBack, names: Sequence[str]) -> tuple[Finding, ...]:
    """Readings of a visit that cannot be on this line."""
    when, zone = one.when.isoformat(" ", "minutes"), one.readings.zone
    told = []
    for name in names:
        if name in ("zone", "sheet"):
            told.append(_finding(f"callback-no-{name}", "warn", when=when, zone=zone))
        else:
            told.append(_finding("callback-left-out", "warn", when=when, reading=f"reading-{name}"))
    return _in_order(told)


def _in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """For whoever mends the line, in the order they are made."""
    return tuple(replace(f, audience=("installer",), topic="site") for f in findings)


def _said(diagnosis: Diagnosis, pump: bool) -> Iterator[Finding]:
    if diagnosis.misfit > FITS:
        yield Finding("callback-no-fit", "warn", "line", "misfit", diagnosis.misfit, FITS, "", JUDGEMENT)
    if not diagnosis.apart:
        causes = tuple(f"cause-{cause}" for cause in diagnosis.likely)
        yield _finding("callback-cannot-tell", "warn", causes=causes)
    shares = {one.cause: one for one in diagnosis.causes}
    for cause in diagnosis.likely:
        yield _cause(shares[cause], pump)
    if "leak" in diagnosis.likely and not diagnosis.isolation:
        yield _finding("callback-isolate-none", "note")
    elif "leak" in diagnosis.likely:
        order = tuple(" + ".join(step.valves) for step in diagnosis.isolation[:STEPS_SAID])
        if "creep" in diagnosis.cannot:
            yield _finding("callback-isolate-plugged", "note", order=order)
        else:
            yield _finding("callback-isolate", "note", order=order)
    if "plugged" in diagnosis.likely:
        yield _finding("callback-look", "note", marks=diagnosis.weak)
    if diagnosis.next is not None:
        told = diagnosis.next
        yield Finding(
            "callback-next",
            "note",
            "line",
            "entropy",
            told.bits,
            unit="bit",
            source="derived",
            values=(("reading", f"reading-{told.name}"), ("at", told.at), ("cup", told.name in CUPS)),
        )
    elif not diagnosis.apart:
        yield _finding("callback-no-next", "note")
    if not diagnosis.apart and "port" in diagnosis.cannot:
        yield _finding("callback-ask-port", "note")
    if diagnosis.likely != ("sound",):
        yield _finding("callback-again", "note")


def _finding(code: str, level: Level, **values: object) -> Finding:
    return Finding(code, level, "line", source=JUDGEMENT, values=tuple(values.items()))


def _cause(one: CauseShare, pump: bool) -> Finding:
    told = "main" if one.cause == "inlet" and not pump else one.cause
    values: list[tuple[str, object]] = [("share", one.share), ("small", one.cause == "sound")]
    middle = None
    if one.extent:
        low, middle, high = one.extent
        if one.cause == "plugged":
            values.append(("range", low < high))
        more = one.cause in ("worn", "part-worn")
        values += [("low", low - 1 if more else low), ("high", high - 1 if more else high)]
        middle = middle - 1 if more else middle
        values.append(("middle", middle))
    level: Level = "note" if one.cause == "sound" else "warn"
    return Finding(f"callback-{told}", level, "line", "fault", middle, None, "", JUDGEMENT, tuple(values))
