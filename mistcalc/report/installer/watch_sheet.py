"""The sheet of the watch while plaster goes on: what to do, what to write, what a gauge may show."""

from __future__ import annotations

from itertools import groupby

from mistcalc.drawing import text_and_tables
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.model.results import Design, FrostHours, LowPressureWatch
from mistcalc.report.common.line_kind import line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.installer.steps_and_tables import (
    HeadedTable,
    dashed,
    numbered_steps,
    plain_gauge,
    pressure_unit,
    signed_change,
    with_heads_in_full,
)
from mistcalc.units import parse

MOST_DAYS = 60  # lines for readings: all that a sheet takes
FEWER_DAYS = 20  # three weeks, where notes need the room


def watch_words(
    design: Design, watch: LowPressureWatch, frost: FrostHours | None, locale: Locale
) -> list[Paragraph]:
    label = locale.label
    ten = parse("10 degF", "temperature_difference")
    dial = locale.number(7e5, "pressure") if locale.units == "metric" else "100 psi"
    values = {
        "gas": watch.gas, "gauge": watch.gauge, "draw": watch.draw, "fall": watch.draw_fall,
        "room": watch.draw_room, "low": watch.temperature - ten, "high": watch.temperature + ten,
        "leak": watch.leak_below,
    }  # fmt: skip
    paragraphs = [text_and_tables.heading(label("paper_watch.do"), rule=False)]
    paragraphs.append(Paragraph(label("paper_watch.vessel", dial=dial, **values), sign="1", indent=6.0))
    rest = numbered_steps(
        ("fill", "wait", "draw", "start", "dawns", "look", "again"), "paper_watch", locale, **values
    )
    paragraphs += [Paragraph(p.text, sign=f"{n}", indent=6.0, before=1.6) for n, p in enumerate(rest, 2)]
    paragraphs.append(
        Paragraph(f"{label('paper_watch.stop')} ____________________", 3.5, bold=True, before=3.0)
    )
    paragraphs.append(Paragraph(label("paper_watch.noon"), before=2.0))
    paragraphs.append(text_and_tables.heading(label("paper_watch.lines"), rule=False))
    both, tube = watch.per_kelvin
    paragraphs += dashed(
        [
            label("paper_watch.slope", both=both, tube=tube),
            label("paper_watch.per_ml", one=watch.per_volume, sees=watch.sees, stop=_stops(watch)),
        ]
    )
    paragraphs.append(text_and_tables.heading(label("paper_watch.frost"), rule=False))
    paragraphs += dashed([_frost(frost, locale), label("paper_watch.frost_do", **line_conditions(design))])
    return [*paragraphs, Paragraph(label("paper_watch.code"), bold=True, before=2.0)]


def _stops(watch: LowPressureWatch) -> float:
    """Water gone [m3] where the gauge stands at the number that stops plaster, as warm as at the start."""
    return (watch.gauge - watch.same.stop_below) / watch.per_volume


def _frost(frost: FrostHours | None, locale: Locale) -> str:
    label = locale.label
    if frost is None:
        return label("paper_watch.frost_unknown")
    if frost.first is None or frost.soon is None or frost.late is None:
        months = [(n, hours) for n, hours in enumerate(frost.months, 1) if hours]
        hours_by_month = tuple(f"{label(f'word.month-{n}')} {hours}" for n, hours in months) or ("0",)
        return label("paper_watch.frost_months", below=frost.below, told=hours_by_month)
    dates = {"first": frost.first.isoformat(), "late": frost.late.isoformat(), "below": frost.below}
    if not frost.hours_late:
        return label("paper_watch.frost_none", **dates)
    return label(
        "paper_watch.frost_some", until=frost.soon.isoformat(), soon=frost.hours_soon,
        hours=frost.hours_late, **dates,
    )  # fmt: skip


def watch_tables(watch: LowPressureWatch, wide: float, locale: Locale, days: int) -> list[HeadedTable]:
    """Bounds, and blanks for readings of so many days."""
    return [_watch_bounds(watch, wide, locale), _watch_record(wide, locale, days)]


def _watch_bounds(watch: LowPressureWatch, wide: float, locale: Locale) -> HeadedTable:
    label = locale.label
    steps = watch.steps if locale.units == "us" else watch.steps_metric
    changes = sorted({step.vessel for step in steps})
    first = 24.0
    columns = [TableColumn(first, label("paper_watch.rows"), bold=True)]
    columns += [
        TableColumn(
            (wide - first) / len(changes),
            label("paper_watch.column", by=signed_change(change, locale)),
            "middle",
        )
        for change in changes
    ]
    rows = []
    for change, steps_at_start in groupby(steps, key=lambda step: step.tube):
        cells = [
            label(
                "paper_watch.cell",
                again=plain_gauge(step.again_below, "dial", locale),
                stop=plain_gauge(step.stop_below, "dial", locale),
            )
            for step in steps_at_start
        ]
        rows.append(Row((label("paper_watch.row", by=signed_change(change, locale)), *cells)))
    return HeadedTable(label("paper_watch.table", unit=pressure_unit(locale)), tuple(columns), tuple(rows))


def _watch_record(wide: float, locale: Locale, days: int) -> HeadedTable:
    names = ("day", "gauge", "tube", "cushion", "moved", "moved_vessel", "least", "by")
    columns = [TableColumn(wide / len(names), locale.label(f"paper_watch.{name}")) for name in names]
    rows = (Row(("",) * len(names)),) * days
    return HeadedTable(locale.label("paper_watch.record"), with_heads_in_full(columns), rows, blanks=True)
