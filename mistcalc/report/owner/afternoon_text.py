"""One afternoon in words, the same on paper, page and terminal: the range, the winds, what to find out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mistcalc.model.results import KNOWABLE, Air, Cooling, Design, WindClass
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import compass_point

NONE = "–"  # a wind too seldom to tell of


@dataclass(frozen=True)
class WindRow:
    """A kind of wind, how often it blows, and how much cooler the seats are in it."""

    kind: str  # `WindClass.name`
    name: str
    often: str
    cooler: str
    cell: str  # all of it but the name, short, for a table of several afternoons


def sentence(design: Design, cooled: Cooling, locale: Locale) -> str:
    """The one sentence of an afternoon: the range at the seats, of what, and whether it is worth it."""
    return _told("", design, cooled, locale)


def short(design: Design, cooled: Cooling, locale: Locale) -> str:
    """The same where a heading has told that it is about the air at the seats, and against what."""
    return _told("short_", design, cooled, locale)


def _told(length: str, design: Design, cooled: Cooling, locale: Locale) -> str:
    verdict, control = design.verdict_of(cooled.patio, cooled.afternoon), design.project.control
    low, middle, high = cooled.band("seats")
    typed = air_of(design, cooled).hours_used == 0 and verdict.call in ("run", "little", "damp", "fan")
    return locale.label(
        f"told.{length}{'one_' if typed else ''}{verdict.call}", span=(low, high), middle=middle,
        day=day_name(cooled, locale), stopped=often(verdict.stopped, locale),
        humidity=control.humidity_stop, wind=control.wind_stop,
    )  # fmt: skip


def behind(design: Design, cooled: Cooling, locale: Locale) -> str:
    """Which hours the range is of."""
    air = air_of(design, cooled)
    if air.rare is not None:
        values = {"count": air.hours_used, "rare": air.rare, "dry": air.middle("temperature")}
        return locale.label("told.rare_hours", day=cooled.afternoon, **values)
    count = air.hours_used
    return (
        locale.label("told.hours", count=count, day=cooled.afternoon) if count else locale.label("told.hour")
    )


def wind_rows(cooled: Cooling, locale: Locale) -> tuple[WindRow, ...]:
    """What a person can look up with a hand before the face: calm, light air, breeze, and the side from which
    the wind carries the mist away. A wind that never comes has no row."""
    return tuple(_row(wind, locale) for wind in cooled.winds if wind.share > 0.0)


def wind_table(days: Sequence[Cooling], locale: Locale) -> tuple[list[str], list[list[str]]]:
    """(head, rows): a row a kind of wind, a column an afternoon; no rows where no wind was told apart."""
    rows_by_day = [{row.kind: row for row in wind_rows(day, locale)} for day in days]
    rows_by_day = [
        rows if len(rows) > 1 else {} for rows in rows_by_day
    ]  # one kind of wind alone parts nothing
    kinds = dict.fromkeys(kind for rows in rows_by_day for kind in rows)
    head = [locale.label("told.col_wind"), *(day_name(day, locale) for day in days)]
    cells = {kind: [rows[kind].cell if kind in rows else NONE for rows in rows_by_day] for kind in kinds}
    shown_rows = {kind: row for kind, row in cells.items() if set(row) != {NONE}}
    return head, [[locale.label(f"told.row_{kind}"), *row] for kind, row in shown_rows.items()]


def _row(wind_class: WindClass, locale: Locale) -> WindRow:
    side = letters = ""
    if wind_class.side is not None:
        name = compass_point(wind_class.side)
        side, letters = locale.label(f"word.{name}"), locale.label(f"told.side_{name}")
    cooler = (
        locale.label("told.seldom")
        if wind_class.band is None
        else locale.span(wind_class.band[0], wind_class.band[-1])
    )
    named = locale.label(f"told.{wind_class.name}", side=side)
    cell = NONE
    if wind_class.band is not None:
        ends = {
            "low": wind_class.band[0],
            "high": wind_class.band[-1],
            "tenths": round(10 * wind_class.share),
        }
        alike = locale.number(ends["low"], "degrees") == locale.number(ends["high"], "degrees")
        cell = locale.label("told.cell_one" if alike else "told.cell", side=letters, **ends).strip()
    return WindRow(wind_class.name, named, often(wind_class.share, locale), cooler, cell)


def often(share: float, locale: Locale) -> str:
    """A share as people count: "3 in 10"."""
    tenths = round(10 * share)
    if tenths in (0, 10):
        return locale.label("told.hardly" if tenths == 0 else "told.almost")
    return locale.label("told.tenths", count=tenths)


def range_causes(cooled: Cooling, locale: Locale) -> str:
    """What the weather makes of the range, and what nobody knows of the patio; empty where there is none."""
    if not cooled.drivers:
        return ""
    weather = cooled.weather_share
    return locale.label("told.split", weather=weather) if weather > 0.0 else locale.label("told.split_one")


def worth_measuring(design: Design, cooled: Cooling, locale: Locale) -> tuple[str, tuple[str, ...]]:
    """(a heading with the range's width now, one sentence a thing worth finding out, best first)."""
    low, _, high = cooled.band("seats")
    wanted = design.verdict_of(cooled.patio, cooled.afternoon).find_out
    sentences = [locale.label(f"told.know_{w.name}", left=w.left) for w in cooled.worth if w.name in wanted]
    names = [name for name in KNOWABLE if name not in wanted]
    if "wind" in names:  # then neither half of it alone
        names = [name for name in names if name not in ("wind_speed", "wind_direction")]
    idle = [locale.label(f"told.short_{name}") for name in names]
    if sentences and idle:
        sentences.append(locale.label("told.know_nothing", things=idle))
    return locale.label("told.knowing", now=high - low), tuple(sentences)


def day_name(cooled: Cooling, locale: Locale) -> str:
    return locale.label(f"afternoon.{cooled.afternoon}")


def air_of(design: Design, cooled: Cooling) -> Air:
    return next(air for air in design.afternoons if air.name == cooled.afternoon)
