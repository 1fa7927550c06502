"""A measuring day to give away: readings and all of the patio that they depend on, no name, place or date.

It is read back like any other measuring day: what is in it stands in lines after "#" at its head.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable

import numpy as np

from mistcalc.model.measuring_day import AFTER_LAST, OUTSIDE, SETTLED, MeasuringDay, Record, WindNote
from mistcalc.model.results import Design
from mistcalc.units import from_si

DAY = "2000-01-01"  # stands for the day, which is not told
HEIGHT_STEP = 100.0  # m: how closely the height above the sea is told
FORMAT = "measuring day 1"


def anonymous_measuring_day(design: Design, day: MeasuringDay) -> str:
    """CSV, commas and decimal points, degC; seats by number; winds clockwise from the heading of +x."""
    seats = [seat.name for seat in design.layout_of(day.patio).lid.seats]
    head = [f"# {line}" if line else "#" for line in [*_description(design, day, seats), *_case(design, day)]]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    first, last = day.rounds[0][0] - 2 * SETTLED, day.rounds[-1][1] + AFTER_LAST
    writer.writerow(["time", *(name for n, record in enumerate(day.records) for name in _columns(n, record))])
    times = sorted({float(t) for record in day.records for t in record.time if first <= t <= last})
    cells = [_cells(record, times) for record in day.records]
    for row, time in enumerate(times):
        writer.writerow([f"{DAY}T{_clock(time)}", *(cell for columns in cells for cell in columns[row])])
    return "\n".join(head) + "\n" + out.getvalue()


def _case(design: Design, day: MeasuringDay) -> list[str]:
    """What the patio is, in meters, for whoever compares."""
    patio = next(p for p in design.project.patios if p.name == day.patio)
    lid, plumbing = design.layout_of(day.patio).lid, design.project.plumbing
    marks = [m for m in design.line.marks if m.patio == day.patio and m.flow > 0]
    gauge = float(np.mean([m.pressure_gauge for m in marks])) if marks else 0.0
    elevation = round(design.project.place.elevation / HEIGHT_STEP) * HEIGHT_STEP
    size = plumbing.nozzle.drop_median or plumbing.nozzle.drop_sauter
    return [
        "",
        "[case]",
        f'format = "{FORMAT}"',
        f"elevation_m = {elevation:.0f}",
        f"ceiling_m = {patio.height:.2f}",
        f"outline_m = {_points(lid.outline)}",
        f"open_edges_m = [{', '.join(_points(edge) for edge in lid.open_edges)}]",
        f"nozzles_m = {_points([m.point for m in design.layout_of(day.patio).marks])}",
        f"nozzles_open = {len(marks)}",
        f"water_mL_min = {from_si(sum(m.flow for m in marks), 'mL/min', 'flow'):.0f}",
        f"gauge_bar = {from_si(gauge, 'bar', 'pressure'):.1f}",
        f"drop_um = {size * 1e6:.0f}" if size else 'drop_um = "not stated"',
        f"seats_m = {_points([seat.point for seat in lid.seats])}",
    ]


def _description(design: Design, day: MeasuringDay, seats: list[str]) -> list[str]:
    """The lines that say what the columns are."""
    bearing = design.project.heading(day.patio)
    lines = [
        'unit = "degC"',
        'clock = "same as the watch"',
        'time = "time"',
        f"mist = {_list(f'{_clock(a)} to {_clock(b)}' for a, b in day.rounds)}",
        f"wind = {_list(_wind(note, bearing) for note in day.winds)}",
    ]
    if day.humidity is not None:
        lines.append(f'humidity = "{100 * day.humidity:.0f} %"')
    for n, record in enumerate(day.records):
        columns = _columns(n, record)
        at = OUTSIDE if record.at == OUTSIDE else f"seat {seats.index(record.at) + 1 if seats else 1}"
        lines += ["[[sensor]]", f'at = "{at}"', f'column = "{columns[0]}"']
        lines += [f'humidity = "{columns[1]}"'] if len(columns) > 1 else []
        lines += [f"looked = {_list(record.looked)}"] if record.looked else []
    return lines


def _columns(n: int, record: Record) -> tuple[str, ...]:
    return (f"sensor {n + 1} degC", *(() if record.humidity is None else (f"sensor {n + 1} RH %",)))


def _cells(record: Record, times: list[float]) -> list[tuple[str, ...]]:
    """A row for each time: the record's own reading of that moment, or nothing."""
    at = {float(t): i for i, t in enumerate(record.time)}
    rows = []
    for time in times:
        i = at.get(time)
        row = ["" if i is None else f"{from_si(record.temperature[i], 'degC', 'temperature'):.2f}"]
        if record.humidity is not None:
            there = i is not None and np.isfinite(record.humidity[i])
            row.append(f"{100 * record.humidity[i]:.1f}" if there else "")
        rows.append(tuple(row))
    return rows


def _wind(note: WindNote, bearing: float) -> str:
    if note.side is None:
        return "calm"
    angle = note.side if note.in_plan else note.side - bearing
    return f"{note.speed:.2f} m/s from {round(math.degrees(angle)) % 360} deg of plan"


def _list(texts: Iterable[str]) -> str:
    """A TOML list of plain texts."""
    return "[" + ", ".join(f'"{text}"' for text in texts) + "]"


def _clock(seconds: float) -> str:
    whole = round(seconds)
    return f"{whole // 3600 % 24:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}"


def _points(points: object) -> str:
    return "[" + ", ".join(f"[{x:.2f}, {y:.2f}]" for x, y in points) + "]"  # type: ignore[attr-defined]
