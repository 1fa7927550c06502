"""What the lid component is told: one Layout as plain data, in metres, for `lid.js` to draw.

Pure functions of nouns. No markup is made here and none is made from project text there.
"""

from __future__ import annotations

import math
from typing import Any

from mistcalc.model.project import Patio, Run
from mistcalc.model.results import Layout, Mark, PlacedObstacle, Point, RunLine
from mistcalc.page.edits import mark_range, obstacle_range
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import next_to
from mistcalc.report.common.screens import drawable_screens
from mistcalc.units import System, parse
from mistcalc.units.tape_table import tape_texts

Data = dict[str, Any]
PAGE: dict[System, float] = {"us": parse("1 in", "length"), "metric": 0.025}  # m: a press of Page up
ROOM = 0.3  # m shown beyond what lies past the run


def component_data(layout: Layout, patio: Patio, run_name: str, locale: Locale) -> Data:
    """Everything the component draws for one run of one patio. Lengths m; `along` from the run's datum."""
    run = next(run for run in patio.runs if run.name == run_name)
    line = next(line for line in layout.lid.runs if line.name == run_name)
    numbers = warning_numbers(layout)
    ends = mark_range(patio, run, layout.lid.runs)
    marks = [_mark(mark, ends, layout, locale) for mark in layout.marks if mark.run == run_name]
    things = [
        _thing(placed, patio, run, numbers, layout, locale)
        for placed in layout.lid.obstacles
        if placed.run == run_name
    ]
    members = [m for m in layout.lid.members if m.run == run_name and m.along is not None]
    across = [line.joint for line in layout.lid.joints if line.run == run_name]
    joints = [{"name": joint.name, "along": joint.along} for joint in across]
    low, high = _extent(run, [thing["along"] for thing in things] + [joint.along for joint in across])
    return {
        "run": run_name,
        "grid": patio.marks.grid,
        "page_steps": round(PAGE[locale.units] / patio.marks.grid) or 1,
        "pitch": line.pitch or patio.marks.pitch,
        "datum_left": line.datum_at_start,
        "datum_at_start": line.datum_at_start,
        "low": low,
        "high": high,
        "ends": [0.0, run.length],
        "marks": marks,
        "things": things,
        "members": [{"along": m.along, "width": m.width} for m in members if low <= (m.along or 0) <= high],
        "joints": joints,
        "blocked": [{"from": b.start, "to": b.end} for b in layout.blocked if b.run == run_name],
        "tape": tape_texts(
            min([low, *(item["low"] for item in (*marks, *things))]),
            max([high, *(item["high"] for item in (*marks, *things))]),
            patio.marks.grid,
            locale.units,
        ),
        "plan": plan_data(layout, patio, locale),
        "words": _words(layout, patio, run, locale),
    }


def warning_numbers(layout: Layout) -> dict[str, int]:
    """Number of each thing that marks come too near to, in the order of the row: the triangle's figure."""
    numbers: dict[str, int] = {}
    for clash in layout.clashes:
        if not clash.hard:
            numbers.setdefault(clash.against, len(numbers) + 1)
    return numbers


def stopped(layout: Layout) -> frozenset[str]:
    """Marks that must not be drilled."""
    return frozenset((*layout.holes.stop, *layout.holes.stop_drilled))


def _extent(run: Run, others: list[float]) -> tuple[float, float]:
    """The run, and as far past it as anything placed from its datum lies."""
    beyond = [along for along in others if not -1e-9 <= along <= run.length + 1e-9]
    low, high = min([0.0, *(a - ROOM for a in beyond)]), max([run.length, *(a + ROOM for a in beyond)])
    return low, high


def _mark(mark: Mark, ends: tuple[float, float], layout: Layout, locale: Locale) -> Data:
    stop = mark.name in stopped(layout)
    return {
        "kind": "mark",
        "name": mark.name,
        "run": mark.run,
        "along": mark.along,
        "text": locale.tape(mark.along),
        "low": min(ends[0], mark.along),
        "high": max(ends[1], mark.along),
        "fixed": mark.locked or mark.drilled,
        "drilled": mark.drilled,
        "stop": stop,
        "label": locale.label("page.handle", name=mark.name, fixed=mark.locked, stop=stop),
        "note": mark_note(mark, layout, locale),
    }


def mark_note(mark: Mark, layout: Layout, locale: Locale) -> str:
    """Where a mark is among its neighbours: what the tape passes next to it, and the mark before."""
    phrases = []
    if near := next_to(mark, locale):
        phrases.append(near)
    before = [m for m in layout.marks if m.run == mark.run and m.along < mark.along]
    if before:
        last = max(before, key=lambda m: m.along)
        phrases.append(locale.label("page.from_last", gap=mark.along - last.along, last=last.name))
    if mark.locked or mark.drilled:
        phrases.append(locale.label("page.drilled_stays" if mark.drilled else "page.fixed_stays"))
    return locale.label("page.mark_note", name=mark.name, told="; ".join(phrases)) if phrases else ""


def _thing(
    placed: PlacedObstacle,
    patio: Patio,
    run: Run,
    numbers: dict[str, int],
    layout: Layout,
    locale: Locale,
) -> Data:
    low, high = obstacle_range(patio, run)
    named = {"name": placed.name, "kind": placed.kind}
    stop, near = (
        tuple(c.mark for c in layout.clashes if c.against == placed.name and c.hard is hard)
        for hard in (True, False)
    )
    return {
        "kind": "thing",
        "name": placed.name,
        "run": placed.run,
        "along": placed.along,
        "text": locale.tape(placed.along),
        "low": low,
        "high": high,
        "fixed": False,
        "drilled": False,
        "reach": placed.keeps_off,
        "warning": numbers.get(placed.name, 0),
        "stop": bool(stop),
        "label": locale.label("page.handle_thing", near=near, stop=stop, **named),
        "note": locale.label("page.thing_note", back=placed.back, **named),
    }


def plan_data(layout: Layout, patio: Patio, locale: Locale) -> Data:
    """What overview.js draws of the whole lid."""
    lid, numbers = layout.lid, warning_numbers(layout)
    beside = [end for screen in drawable_screens(layout) for end in screen.line]
    xs, ys = ([point[i] for point in (*lid.outline, *beside)] for i in (0, 1))
    stop = stopped(layout)
    stated = {run.name: run for run in patio.runs}
    return {
        "box": [min(xs), min(ys), max(xs), max(ys)],
        "outlines": lid.loops,
        "walls": lid.walls,
        "screens": [screen.line for screen in drawable_screens(layout)],
        "members": [member.line for member in lid.members],
        "joints": [joint.line for joint in lid.joints],
        "tubes": [run.tube for run in lid.runs],
        "marks": [{"at": mark.point, "stop": mark.name in stop} for mark in layout.marks],
        "seats": [{"at": seat.point, "name": seat.name} for seat in lid.seats],
        "things": [
            {
                "name": thing.name,
                "at": thing.point,
                "outline": thing.outline,
                "radius": thing.radius or 0.0,
                "kind": thing.kind,
                "warning": thing.name in numbers,
            }
            for thing in lid.obstacles
        ],
        "runs": [
            {
                "name": run.name,
                "edge": run.edge,
                "label": locale.label(
                    "page.run_label",
                    name=run.name,
                    length=stated[run.name].length,
                    count=sum(mark.run == run.name for mark in layout.marks),
                ),
                **_label_place(run),
            }
            for run in lid.runs
        ],
    }


def _label_place(run: RunLine) -> Data:
    """Outside the open edge (the house is on the left of the walk, so outside is on the right)."""
    (x1, y1), (x2, y2) = run.edge
    length = math.hypot(x2 - x1, y2 - y1) or 1.0
    right: Point = ((y2 - y1) / length, -(x2 - x1) / length)
    off = 0.75
    at = ((x1 + x2) / 2 + off * right[0], (y1 + y2) / 2 + off * right[1])
    anchor = "middle" if abs(right[0]) < 0.5 else "start" if right[0] > 0 else "end"
    return {"label_at": at, "anchor": anchor}


def _words(layout: Layout, patio: Patio, run: Run, locale: Locale) -> dict[str, str]:
    keys = ("saved", "not_saved", "back", "on", "free", "choose", "hint", "stop")
    words = {key: locale.label(f"page.{key}", step=patio.marks.grid) for key in keys}
    words["heading"] = locale.label("page.run_heading", name=run.name)
    words["datum"] = locale.label("page.datum", name=run.name)
    words["overview"] = locale.label(
        "page.overview", patio=patio.name, count=len(layout.marks), runs=len(patio.runs)
    )
    return words
