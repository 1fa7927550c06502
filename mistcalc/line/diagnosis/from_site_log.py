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
from mistcalc.model.results.diagnosis import SEEN
from mistcalc.model.site_log import SiteEntry
from mistcalc.model.site_readings import entries_of

TOGETHER = datetime.timedelta(hours=3)  # readings of one visit
NONE_WEAK = ("none", "no", "0", "")


def call_backs(entries: Sequence[SiteEntry]) -> tuple[ServiceVisit, ...]:
    """The last call-back of each zone in the log, in the order of time; a reading taken twice on a visit
    counts as it was read last."""
    visits = []
    readings = entries_of("call-back", entries)
    for zone in sorted({entry.mark for entry in readings}):
        read = sorted((entry for entry in readings if entry.mark == zone), key=lambda e: e.when)
        last = read[-1].when
        values = {readings[e]: _value(readings[e], e) for e in read if last - e.when <= TOGETHER}
        sheet = _sheet([entry for entry in entries if entry.mark == zone], last)
        visits.append(ServiceVisit(last, Readings(**values, zone=zone), sheet))  # type: ignore[arg-type]
    return tuple(sorted(visits, key=lambda one: one.when))


def _value(name: str, entry: SiteEntry) -> object:
    if name == "weak":
        text = str(entry.value).strip()
        return () if text.lower() in NONE_WEAK else tuple(filter(None, re.split(r"[,;\s]+", text)))
    return str(entry.value).strip().lower() if name in SEEN else entry.amount


def _sheet(site_entries: Sequence[SiteEntry], before: datetime.datetime) -> CommissioningReadings | None:
    """What was read when the line was handed over; None where gauge and meter were not both written."""
    handed = entries_of("commissioning", sorted(site_entries, key=lambda e: e.when))
    read = {name: entry.amount for entry, name in handed.items() if entry.when <= before}
    if read.get("gauge") is None or read.get("meter") is None:
        return None
    return CommissioningReadings(**read)  # type: ignore[arg-type]


def without_impossible_readings(table: FaultTable, readings: Readings) -> tuple[Readings, tuple[str, ...]]:
    """(the readings without those that cannot be on this line, names of what was left out)."""
    wrong = {mistake.where for mistake in mistakes(table, readings)}
    out = tuple(f.name for f in fields(readings) if f.name in wrong)
    return replace(readings, **dict.fromkeys(out)), out  # type: ignore[arg-type]
