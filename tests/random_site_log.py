"""Random site logs of a job: lines as a crew's phone or a hand writes them, from a seed.

The readings come from `mistcalc.model.site_readings`: a new one is drawn with nothing to do. Most are near
what the line shows, so that tests, watches and call-backs have an answer; some are anything that can be
written.
"""

from __future__ import annotations

import datetime
import json
import random

from mistcalc import units
from mistcalc.model.results import Design
from mistcalc.model.results.diagnosis import SEEN
from mistcalc.model.site_readings import SITE_READINGS, Occasion, Reading

START = datetime.datetime(2027, 3, 1, 6)
WHYS = ("joist in the way", "light in the way", "wire", "otra cosa")
NOTES = ("tape hooked at the post", "Ñandú, 3 p.m.", "x" * 80, "see photo")


def site_log_text(seed: int, job: Design) -> str:
    """Some visits, each of one occasion; lines in any order, some twice, some struck out."""
    pick = random.Random(seed)
    occasions = tuple(dict.fromkeys(reading.occasion for reading in SITE_READINGS))
    lines: list[dict[str, object]] = []
    for _ in range(pick.choice((1, 2, 4, 8, 16))):
        lines += _visit(pick, job, pick.choice(occasions))
    if lines and pick.random() < 0.3:
        told = pick.choice(lines)
        named = f"{told['when']} {told['field']} {told['value']}"
        strike = {"when": _later(pick), "field": "strike", "value": named, "mark": told.get("mark", "")}
        lines.append(strike)
    lines += pick.sample(lines, min(len(lines), pick.choice((0, 0, 1, 3))))
    pick.shuffle(lines)
    return "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines)


def _visit(pick: random.Random, job: Design, occasion: Occasion) -> list[dict[str, object]]:
    when = START + datetime.timedelta(hours=pick.uniform(0, 24 * 60))
    marks = [mark for layout in job.layouts for mark in layout.marks]
    places = [mark.name for mark in marks] if occasion == "mark" else [zone.name for zone in job.line.zones]
    place = pick.choice((pick.choice(places or [""]), "" if occasion != "mark" else "Z99", "Z99"))
    often, lines = pick.choice((0.3, 0.7, 1.0)), []
    for reading in SITE_READINGS:
        for nth in range(pick.choice((1, 1, 1, 3)) if reading.occasion == occasion else 0):
            if pick.random() < often:  # of two in one moment the one written below the other would count
                when += datetime.timedelta(minutes=pick.choice((1 if nth else 0, 1, 9, 60, 300)))
                value = _value(pick, job, reading, place)
                lines.append(
                    {"when": when.isoformat(), "field": reading.field, "value": value, "mark": place}
                    | pick.choice(({}, {"who": "Ana"}, {"who": "J.", "revision": job.code, "photo": "1.jpg"}))
                )
    return lines


def _later(pick: random.Random) -> str:
    return (START + datetime.timedelta(days=pick.randint(61, 90))).isoformat()


def _value(pick: random.Random, job: Design, reading: Reading, place: str) -> str:
    if reading.by == "look":
        return _seen(pick, job, reading)
    usual = _usual(pick, job, reading, place)
    amount = usual * pick.choice((1.0, 1.0, 0.995, 0.98, 0.8, 0.5, 1.02, 1.2, 0.0))
    if pick.random() < 0.05:
        amount = pick.uniform(reading.least, reading.most)
    amount = min(max(amount, reading.least), reading.most)
    if reading.by == "tape":
        return units.tape(amount, "us")
    system: units.System = pick.choice(("us", "metric"))
    return units.spell(amount, reading.kind, system)


def _seen(pick: random.Random, job: Design, reading: Reading) -> str:
    if reading.name == "weak":
        names = [mark.name for mark in job.line.marks]
        return ", ".join(pick.sample(names, min(len(names), pick.choice((1, 2, 5))))) or "none"
    if reading.name in SEEN:
        return pick.choice((*SEEN[reading.name], "maybe"))
    return pick.choice(WHYS if reading.name == "cannot" else NOTES)


def _usual(pick: random.Random, job: Design, reading: Reading, place: str) -> float:
    """About what a sound line shows, SI."""
    line, plumbing = job.line, job.project.plumbing
    if reading.by == "tape":
        mark = next((m for layout in job.layouts for m in layout.marks if m.name == place), None)
        return 1.0 if mark is None else mark.back if reading.name == "back" else mark.along
    if reading.by == "thermometer":
        return pick.uniform(278.0, 330.0)
    if reading.occasion == "test" and job.hold is not None:
        return float(job.hold.test.gauge)
    if reading.occasion == "watch":
        return float(units.parse("60 psi", "pressure"))
    if reading.by == "gauge":
        return plumbing.water.static if reading.name == "inlet" else line.supply_gauge
    if reading.by == "cup":
        return max((mark.flow for mark in line.marks), default=1e-6)
    return 1e-8 if reading.name == "creep" else line.total_flow
