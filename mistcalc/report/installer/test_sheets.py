"""Two sheets with blanks: the test by gauge, and the watch while plaster goes on. Their texts stay apart: the
test forbids gas, the watch stands on a cushion of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from mistcalc.drawing import fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import Item, Text
from mistcalc.drawing.text_and_tables import Cell, Paragraph, Row, TableColumn
from mistcalc.model.practice import PLASTICS
from mistcalc.model.results import (
    Design,
    FrostHours,
    LowPressureWatch,
    PressureTestKind,
    PressureTestStep,
    WorkingPressureTest,
)
from mistcalc.model.site_readings import names_of
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.line_kind import line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.installer.check_sheet import hold_points
from mistcalc.report.installer.checklist import trapped_water_sentences
from mistcalc.units import gauge_scale, parse

PAD, GUTTER, ROW, BETWEEN = 6.0, 8.0, 5.6, 5.0
NARROW = 250.0  # a sheet on which words and tables stand on pages of their own
WORDS = 0.40  # of a wide sheet
ANSWERS = ("holds", "temperature", "unsure", "again_short", "leak")
MOST_DAYS = 60
DANGERS = {"test": ("parts",), "watch": ("low", "hands")}  # of this work alone; the others are of every line


@dataclass(frozen=True)
class HeadedTable:
    """A table with its head. blanks: its rows are only to write in, and as many are drawn as find room."""

    head: str
    columns: tuple[TableColumn, ...]
    rows: tuple[Row, ...]
    blanks: bool = False


def pressure_test_sheets(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """The test, and the watch where there is plaster; one sheet each, two on small paper."""
    plan = design.hold
    if plan is None:
        return ()
    if not plan.allowed:
        sentence = locale.label("paper_test.none", rating=design.line.duty.tube_rating, gauge=plan.test.gauge)
        words = [Paragraph(sentence, 3.5, bold=True)]
        return tuple(_sheets(design, paper, locale, "test", "", words, ()))
    wide = _room(paper)[1].width
    tests = len(hold_points(design)) - 1  # the last is hand-over
    lead = locale.label(f"paper_test.lead_{('one', 'two', 'three')[tests - 1]}")
    drafts = _sheets(design, paper, locale, "test", lead, _test_words(design, plan.test, locale),
                     _test_tables(plan.test, tests, wide, locale))  # fmt: skip
    if plan.watch is not None:
        lead = locale.label("paper_watch.lead")
        words = _watch_words(design, plan.watch, plan.frost, locale)
        drafts += _sheets(design, paper, locale, "watch", lead, words,
                          _watch_tables(plan.watch, wide, locale))  # fmt: skip
    return tuple(drafts)


def _room(paper: PaperSize) -> tuple[Box, Box]:
    """Where words and where tables go: beside each other, or each on the whole of a sheet of its own."""
    zone = paper.zone.grown(-PAD)
    zone = zone._replace(top=zone.top - 12.0)
    if zone.width < NARROW:
        return zone, zone
    middle = zone.left + WORDS * zone.width
    return zone._replace(right=middle), zone._replace(left=middle + GUTTER)


def _sheets(
    design: Design, paper: PaperSize, locale: Locale, kind: PressureTestKind, lead: str,
    words: Sequence[Paragraph],
    tables: Sequence[HeadedTable],
) -> list[SheetDraft]:  # fmt: skip
    zone = paper.zone.grown(-PAD)
    key = f"paper_{kind}"
    test_dangers = [locale.label(f"{key}.{name}") for name in DANGERS[kind]]
    top = zone._replace(top=zone.top - 10.0)
    boxes, y = caution_boxes.boxed(design.findings, kind, top, locale, test_dangers)
    left, right = (room._replace(top=y - 4.0) for room in _room(paper))
    both = left != right
    flowed = text_and_tables.flow_text(words, [left] if both else _halves(left))
    drawn, tables = _stack(tables, right) if both else ([], tables)
    pages = [[*boxes, *flowed.items, *drawn]]
    while tables:  # small paper: tables on sheets of their own
        boxes, y = caution_boxes.brief(design.findings, kind, top, locale)
        drawn, rest = _stack(tables, _room(paper)[1]._replace(left=zone.left, top=y - 4.0))
        pages.append([*boxes, *drawn])
        if len(rest) == len(tables):
            break
        tables = rest
    title = locale.label(f"{key}.short")
    return [
        SheetDraft(paper, title, (*_head(paper, locale.label(f"{key}.title"), lead), *items), kind="hold",
             left_over=flowed.left_over if n == 0 else ())
        for n, items in enumerate(pages)
    ]  # fmt: skip


def _halves(box: Box) -> list[Box]:
    wide = (box.width - GUTTER) / 2
    return [box._replace(right=box.left + wide), box._replace(left=box.right - wide)]


def _head(paper: PaperSize, title_text: str, lead: str) -> list[Item]:
    zone = paper.zone.grown(-PAD)
    title = Text((zone.left, zone.top - 5.0), title_text, 5.0, True, layer="NOTE")
    x = zone.left + title.width + 8.0
    return [title, Text((x, zone.top - 5.0), fonts.fit(lead, 2.5, zone.right - x), layer="NOTE")]


def _stack(tables: Sequence[HeadedTable], room: Box) -> tuple[list[Item], Sequence[HeadedTable]]:
    """Tables under each other, each under its head, and those that found no room."""
    items: list[Item] = []
    y = room.top
    for number, table in enumerate(tables):
        head = text_and_tables.flow_text(
            [text_and_tables.heading(table.head, rule=False)], [room._replace(top=y)]
        )
        rows = 1 if table.blanks else len(table.rows)
        if head.bottom - 2.0 - ROW * (1 + rows) < room.bottom:
            return items, tables[number:]
        items += head.items
        drawn = text_and_tables.table(
            table.columns, table.rows, (room.left, head.bottom - 2.0), room.bottom, ROW
        )
        items += drawn.items
        y = drawn.bottom - BETWEEN
    return items, ()


def _plain(value: float, kind: str, locale: Locale) -> str:
    """A gauge without its unit, which the table's head tells; a dash for what no gauge shows."""
    return locale.number(value, kind).rsplit(" ", 1)[0] if value > 0.0 else "–"


def _aligned(gauges: Sequence[float], locale: Locale) -> list[str]:
    """Gauges of one table, all with as many decimals."""
    plain = [_plain(gauge, "pressure", locale) for gauge in gauges]
    places = max(len(text.partition(".")[2]) for text in plain)
    if places == 0:
        return plain
    return [text if text == "–" else f"{float(text):.{places}f}" for text in plain]


def _signed(change: float, locale: Locale) -> str:
    text = locale.number(abs(change), "degrees")
    return text if text == "0" else f"{'+' if change > 0 else '–'}{text}"


def _unit(locale: Locale) -> str:
    return "psi" if locale.units == "us" else "bar"


def _numbered(keys: Sequence[str], section: str, locale: Locale, **values: object) -> list[Paragraph]:
    return [
        Paragraph(locale.label(f"{section}.{key}", **values), sign=f"{n}", indent=6.0, before=1.6)
        for n, key in enumerate(keys, 1)
    ]


def _dashed(sentences: Sequence[str]) -> list[Paragraph]:
    return [Paragraph(words, sign="–", indent=3.5) for words in sentences]


# ------------------------------------------------------------------ the test


def _test_words(design: Design, test: WorkingPressureTest, locale: Locale) -> list[Paragraph]:
    label = locale.label
    hidden = design.hold is not None and design.hold.watch is not None
    plastic = ["plastic"] if design.project.plumbing.tube.material in PLASTICS else []
    leaks = test.tells_leaks
    below = ["below"] if leaks else []
    steps = (
        *("fill", "shade", *plastic, "pump", "read", "look", "again", "between", "down", *below),
        "after" if hidden else "after_open",
    )
    which = label("paper_test.which" if leaks else "paper_test.which_only")
    near = parse("2 degF" if locale.units == "us" else "1 K", "temperature_difference")
    paragraphs = [text_and_tables.heading(label("paper_test.do"), rule=False)]
    paragraphs += _numbered(
        steps, "paper_test", locale, gauge=test.gauge, near=near, which=which, **line_conditions(design)
    )
    paragraphs.append(text_and_tables.heading(label("paper_test.lines"), rule=False))
    free, most = test.per_volume
    warm, warm_air = test.per_kelvin
    paragraphs += _dashed(
        [
            label("paper_test.holds_water", volume=test.volume, air=test.air_most),
            label("paper_test.stiff", free=free, most=most),
            label("paper_test.warm", temperature=test.temperature, free=warm, most=warm_air),
            label(
                "paper_test.sees", sees=test.sees, near=test.errors.deviations * test.errors.gauge,
                scale=gauge_scale(test.gauge, design.project.units),
            ),
        ]
    )  # fmt: skip
    if warm > 0.0:
        paragraphs += _dashed(
            tuple(
                trapped_water_sentences(
                    design.project.plumbing, design.line, design.line_verdict.trapped, locale
                )
            )
        )
    return [*paragraphs, Paragraph(label("paper_test.code"), bold=True, before=2.0)]


def _steps(test: WorkingPressureTest, locale: Locale) -> tuple[PressureTestStep, ...]:
    return test.steps if locale.units == "us" else test.steps_metric


def _test_tables(test: WorkingPressureTest, tests: int, wide: float, locale: Locale) -> list[HeadedTable]:
    return [
        _test_record(test, tests, wide, locale),
        _test_bounds(test, wide, locale),
        _test_result(wide, locale),
    ]


def _test_record(test: WorkingPressureTest, tests: int, wide: float, locale: Locale) -> HeadedTable:
    label = locale.label
    names = [label(f"paper_test.{name}") for name in ("clock", "gauge", *names_of("test", "thermometer"))]
    heads = [label(f"paper_test.{attempt}", name=name) for attempt in ("first", "second") for name in names]
    first = 28.0
    columns = [TableColumn(first / 2, label("paper_test.test"), "middle", bold=True)]
    columns.append(TableColumn(first / 2, label("paper_test.minutes"), "middle", bold=True))
    columns += [TableColumn((wide - first) / 6, head, heavy=n == 3) for n, head in enumerate(heads)]
    rows = tuple(
        Row(("" if n else f"{number}", f"{seconds / 60:.0f}", *[""] * 6))
        for number in range(1, tests + 1)
        for n, seconds in enumerate(test.seconds)
    )
    return HeadedTable(label("paper_test.record"), tuple(columns), rows)


def _test_bounds(test: WorkingPressureTest, wide: float, locale: Locale) -> HeadedTable:
    label = locale.label
    steps, leaks = _steps(test, locale), test.tells_leaks
    changes = sorted({step.warming for step in steps})
    first = 30.0
    columns = [TableColumn(first, label("paper_test.start"), bold=True)]
    for change in changes:
        by = _signed(change, locale)
        head = label("paper_test.same") if by == "0" else label("paper_test.changed", by=by)
        columns.append(TableColumn((wide - first) / len(changes), head, "middle"))
    again, leak = (
        dict(zip(steps, _aligned([getattr(step, name) for step in steps], locale), strict=True))
        for name in ("again_below", "leak_below")
    )
    rows = []
    for start, steps_at_start in groupby(steps, key=lambda step: step.start):
        cells = [
            label("paper_test.cell", again=again[step], leak=leak[step]) if leaks else again[step]
            for step in steps_at_start
        ]
        rows.append(Row((locale.number(start, "temperature"), *cells)))
    head = label("paper_test.table" if leaks else "paper_test.table_again", unit=_unit(locale))
    return HeadedTable(head, tuple(columns), tuple(rows))


def _test_result(wide: float, locale: Locale) -> HeadedTable:
    label = locale.label
    columns = (
        TableColumn(12.0),
        TableColumn(58.0),
        TableColumn(wide - 12.0 - 58.0 - 60.0),
        TableColumn(30.0, label("paper_hold.signed")),
        TableColumn(30.0, label("paper_hold.date")),
    )
    rows = tuple(Row((Cell(sign=_tick), label(f"paper_test.{answer}"), "", "", "")) for answer in ANSWERS)
    return HeadedTable(label("paper_test.result"), columns, rows)


def _tick(at: tuple[float, float]) -> list[Item]:
    return symbols.tick_box(at, 4.2)


# ------------------------------------------------------------------ the watch


def _watch_words(
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
    rest = _numbered(
        ("fill", "wait", "draw", "start", "dawns", "look", "again"), "paper_watch", locale, **values
    )
    paragraphs += [Paragraph(p.text, sign=f"{n}", indent=6.0, before=1.6) for n, p in enumerate(rest, 2)]
    paragraphs.append(
        Paragraph(f"{label('paper_watch.stop')} ____________________", 3.5, bold=True, before=3.0)
    )
    paragraphs.append(Paragraph(label("paper_watch.noon"), before=2.0))
    paragraphs.append(text_and_tables.heading(label("paper_watch.lines"), rule=False))
    both, tube = watch.per_kelvin
    paragraphs += _dashed(
        [
            label("paper_watch.slope", both=both, tube=tube),
            label("paper_watch.per_ml", one=watch.per_volume, sees=watch.sees, stop=_stops(watch)),
        ]
    )
    paragraphs.append(text_and_tables.heading(label("paper_watch.frost"), rule=False))
    paragraphs += _dashed([_frost(frost, locale), label("paper_watch.frost_do", **line_conditions(design))])
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


def _watch_tables(watch: LowPressureWatch, wide: float, locale: Locale) -> list[HeadedTable]:
    return [_watch_bounds(watch, wide, locale), _watch_record(wide, locale)]


def _watch_bounds(watch: LowPressureWatch, wide: float, locale: Locale) -> HeadedTable:
    label = locale.label
    steps = watch.steps if locale.units == "us" else watch.steps_metric
    changes = sorted({step.vessel for step in steps})
    first = 24.0
    columns = [TableColumn(first, label("paper_watch.rows"), bold=True)]
    columns += [
        TableColumn(
            (wide - first) / len(changes), label("paper_watch.column", by=_signed(change, locale)), "middle"
        )
        for change in changes
    ]
    rows = []
    for change, steps_at_start in groupby(steps, key=lambda step: step.tube):
        cells = [
            label(
                "paper_watch.cell",
                again=_plain(step.again_below, "dial", locale),
                stop=_plain(step.stop_below, "dial", locale),
            )
            for step in steps_at_start
        ]
        rows.append(Row((label("paper_watch.row", by=_signed(change, locale)), *cells)))
    return HeadedTable(label("paper_watch.table", unit=_unit(locale)), tuple(columns), tuple(rows))


def _watch_record(wide: float, locale: Locale) -> HeadedTable:
    names = ("day", "gauge", "tube", "cushion", "moved", "moved_vessel", "least", "by")
    columns = tuple(TableColumn(wide / len(names), locale.label(f"paper_watch.{name}")) for name in names)
    return HeadedTable(
        locale.label("paper_watch.record"), columns, (Row(("",) * len(names)),) * MOST_DAYS, blanks=True
    )
