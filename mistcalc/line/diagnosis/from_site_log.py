"""From lines of the site log to call-backs: what was read together on a running line, and what the line read
on the day it was handed over."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import fields, replace

from mistcalc.line.diagnosis.fault_table import FaultTable
from mistcalc.line.diagnosis.likely_causes import mistakes
from mistcalc.model.results import CommissioningReadings, Readings, ServiceVisit
from mistcalc.model.results.diagnosis import READINGS
from mistcalc.model.site_log import SiteEntry

TOGETHER = datetime.timedelta(hours=3)  # readings of one visit
NONE_WEAK = ("none", "no", "0", "")


def call_backs(entries: Sequence[SiteEntry]) -> tuple[ServiceVisit, ...]:
    """The last call-back of each zone in the log, in the order of time; a reading taken twice on a visit
    counts as it was read last."""
    visits = []
    for zone in sorted({e.mark for e in entries if e.field.startswith("call-back ")}):
        zone_entries = sorted((e for e in entries if e.mark == zone), key=lambda e: e.when)
        read = [e for e in zone_entries if e.field.startswith("call-back ")]
        last = read[-1].when
        visit = [e for e in read if last - e.when <= TOGETHER]
        values = {e.field.removeprefix("call-back "): _value(e) for e in visit}
        named = {name: value for name, value in values.items() if name in READINGS}
        visits.append(ServiceVisit(last, Readings(**named, zone=zone), _sheet(zone_entries, last)))  # type: ignore[arg-type]
    return tuple(sorted(visits, key=lambda one: one.when))


def _value(entry: SiteEntry) -> object:
    if entry.field == "call-back weak":
        text = str(entry.value).strip()
        return () if text.lower() in NONE_WEAK else tuple(filter(None, re.split(r"[,;\s]+", text)))
    if entry.field == "call-back wet":
        return str(entry.value).strip().lower()
    return entry.amount


def _sheet(site_entries: Sequence[SiteEntry], before: datetime.datetime) -> CommissioningReadings | None:
    """What was read when the line was handed over; None where gauge and meter were not both written."""
    read = {
        e.field.removeprefix("commissioning "): e.amount
        for e in site_entries
        if e.when <= before and _handed(e)
    }
    gauge, meter = read.get("gauge"), read.get("meter")
    if gauge is None or meter is None:
        return None
    return CommissioningReadings(gauge, meter, read.get("inlet"), read.get("near"), read.get("far"))


def _handed(entry: SiteEntry) -> bool:
    return entry.field.startswith("commissioning ")


def without_impossible_readings(table: FaultTable, readings: Readings) -> tuple[Readings, tuple[str, ...]]:
    """(the readings without those that cannot be on this line, names of what was left out)."""
    wrong = {mistake.where for mistake in mistakes(table, readings)}
    out = tuple(f.name for f in fields(readings) if f.name in wrong)
    return replace(readings, **dict.fromkeys(out)), out  # type: ignore[arg-type]
