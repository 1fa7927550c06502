"""One afternoon in words, the same on paper, page and terminal: the range, the winds, what to find out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import degrees

from mistcalc.model.results import KNOWABLE, Air, Cooling, Design, WindClass
from mistcalc.report.map_scale import COMPASS
from mistcalc.report.voice import Voice

NONE = "–"  # a wind too seldom to tell of


@dataclass(frozen=True)
class WindRow:
    """A kind of wind, how often it blows, and how much cooler the chairs are in it."""

    kind: str  # `WindClass.name`
    name: str
    often: str
    cooler: str
    cell: str  # all of it but the name, short, for a table of several afternoons


def sentence(design: Design, cooled: Cooling, voice: Voice) -> str:
    """The one sentence of an afternoon: the range at the chairs, of what, and whether it is worth it."""
    return _told("", design, cooled, voice)


def short(design: Design, cooled: Cooling, voice: Voice) -> str:
    """The same where a heading has told that it is about the air at the chairs, and against what."""
    return _told("short_", design, cooled, voice)


def _told(length: str, design: Design, cooled: Cooling, voice: Voice) -> str:
    verdict, control = design.verdict_of(cooled.patio, cooled.afternoon), design.project.control
    low, middle, high = cooled.band("seats")
    typed = air_of(design, cooled).hours_used == 0 and verdict.call in ("run", "little", "damp", "fan")
    return voice.label(
        f"told.{length}{'one_' if typed else ''}{verdict.call}", span=(low, high), middle=middle,
        day=day_name(cooled, voice), stopped=often(verdict.stopped, voice),
        humidity=control.humidity_stop, wind=control.wind_stop,
    )  # fmt: skip


def behind(design: Design, cooled: Cooling, voice: Voice) -> str:
    """Which hours the range is of."""
    count = air_of(design, cooled).hours_used
    return voice.label("told.hours", count=count, day=cooled.afternoon) if count else voice.label("told.hour")


def wind_rows(cooled: Cooling, voice: Voice) -> tuple[WindRow, ...]:
    """What a person can look up with a hand before the face: calm, light air, breeze, and the side from which
    the wind carries the mist away. A wind that never comes has no row."""
    return tuple(_row(told, voice) for told in cooled.winds if told.share > 0.0)


def wind_table(days: Sequence[Cooling], voice: Voice) -> tuple[list[str], list[list[str]]]:
    """(head, rows): a row a kind of wind, a column an afternoon; no rows where no wind was told apart."""
    found = [{row.kind: row for row in wind_rows(day, voice)} for day in days]
    found = [rows if len(rows) > 1 else {} for rows in found]  # one kind of wind alone parts nothing
    kinds = dict.fromkeys(kind for rows in found for kind in rows)
    head = [voice.label("told.col_wind"), *(day_name(day, voice) for day in days)]
    cells = {kind: [rows[kind].cell if kind in rows else NONE for rows in found] for kind in kinds}
    told = {kind: row for kind, row in cells.items() if set(row) != {NONE}}
    return head, [[voice.label(f"told.row_{kind}"), *row] for kind, row in told.items()]


def _row(told: WindClass, voice: Voice) -> WindRow:
    side = letters = ""
    if told.side is not None:
        name = COMPASS[round(degrees(told.side) / 45.0) % 8]
        side, letters = voice.label(f"paper_compass.{name}"), voice.label(f"told.side_{name}")
    cooler = voice.label("told.seldom") if told.band is None else voice.span(told.band[0], told.band[-1])
    named = voice.label(f"told.{told.name}", side=side)
    cell = NONE
    if told.band is not None:
        ends = {"low": told.band[0], "high": told.band[-1], "tenths": round(10 * told.share)}
        one = voice.number(ends["low"], "degrees") == voice.number(ends["high"], "degrees")
        cell = voice.label("told.cell_one" if one else "told.cell", side=letters, **ends).strip()
    return WindRow(told.name, named, often(told.share, voice), cooler, cell)


def often(share: float, voice: Voice) -> str:
    """A share as people count: "3 in 10"."""
    tenths = round(10 * share)
    if tenths in (0, 10):
        return voice.label("told.hardly" if tenths == 0 else "told.almost")
    return voice.label("told.tenths", count=tenths)


def split(cooled: Cooling, voice: Voice) -> str:
    """What the weather makes of the range, and what nobody knows of the patio; empty where there is none."""
    if not cooled.drivers:
        return ""
    weather = cooled.weather_share
    return voice.label("told.split", weather=weather) if weather > 0.0 else voice.label("told.split_one")


def find_out(design: Design, cooled: Cooling, voice: Voice) -> tuple[str, tuple[str, ...]]:
    """(a heading with the range's width now, one sentence a thing worth finding out, best first)."""
    low, _, high = cooled.band("seats")
    wanted = design.verdict_of(cooled.patio, cooled.afternoon).find_out
    told = [voice.label(f"told.know_{w.name}", left=w.left) for w in cooled.worth if w.name in wanted]
    idle = [voice.label(f"told.short_{name}") for name in KNOWABLE if name not in wanted]
    if told and idle:
        told.append(voice.label("told.know_nothing", things=idle))
    return voice.label("told.knowing", now=high - low), tuple(told)


def day_name(cooled: Cooling, voice: Voice) -> str:
    return voice.label(f"afternoon.{cooled.afternoon}")


def air_of(design: Design, cooled: Cooling) -> Air:
    return next(air for air in design.afternoons if air.name == cooled.afternoon)
