"""Two sheets with blanks: the test by gauge, and the watch while plaster goes on. Their texts stay apart: the
test forbids gas, the watch stands on a cushion of it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from mistcalc.drawing import symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import Item, Text
from mistcalc.drawing.text_and_tables import Cell, Paragraph, Row, TableColumn
from mistcalc.model.practice import PLASTICS
from mistcalc.model.results import Design, PressureTestKind, PressureTestStep, WorkingPressureTest
from mistcalc.model.site_readings import names_of
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.calendar_text import hold_points
from mistcalc.report.common.line_kind import line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.installer.line_facts import trapped_water_sentences
from mistcalc.report.installer.steps_and_tables import (
    HeadedTable,
    dashed,
    numbered_steps,
    plain_gauge,
    pressure_unit,
    signed_change,
    stack_tables,
    with_heads_in_full,
)
from mistcalc.report.installer.watch_sheet import MOST_DAYS, watch_tables, watch_words
from mistcalc.units import gauge_scale, parse

GUTTER = 8.0
COLUMN = 75.0  # of words on small paper
WORDS = 0.40  # of a wide sheet
FIRST = 0.16  # of a table's width
ANSWERS = ("holds", "temperature", "unsure", "again_short", "leak")
BLANKS = {"leak": 0.9, "signed": 1.0, "date": 0.5}  # columns to write in; their shares of what is to spare
DANGERS = {"test": ("parts",), "watch": ("low", "hands")}  # of this work alone; the others are of every line


def pressure_test_sheets(
    design: Design, paper: PaperSize, locale: Locale, days: int = MOST_DAYS
) -> tuple[SheetDraft, ...]:
    """The test, and the watch where there is plaster; one sheet each, two on small paper. days: of the watch,
    lines for readings."""
    plan = design.hold
    if plan is None:
        return ()
    if not plan.allowed:
        sentence = locale.label("paper_test.none", rating=design.line.duty.tube_rating, gauge=plan.test.gauge)
        words = [Paragraph(sentence, 3.5, bold=True)]
        return tuple(_sheets(design, paper, locale, "test", "", words, ()))
    room = _room(paper)[1]
    tests = len(hold_points(design)) - 1  # the last is hand-over
    lead = locale.label(f"paper_test.lead_{('one', 'two', 'three')[tests - 1]}")
    drafts = _sheets(design, paper, locale, "test", lead, _test_words(design, plan.test, locale),
                     _test_tables(plan.test, tests, room.width, locale))  # fmt: skip
    if plan.watch is not None:
        lead = locale.label("paper_watch.lead")
        words = watch_words(design, plan.watch, plan.frost, locale)
        tables = watch_tables(plan.watch, room.width, locale, days)
        drafts += _sheets(design, paper, locale, "watch", lead, words, tables)
    return tuple(drafts)


def _room(paper: PaperSize) -> tuple[Box, Box]:
    """Where words and where tables go: beside each other, or each on the whole of a sheet of its own."""
    zone = paper.room
    zone = zone._replace(top=zone.top - 12.0)
    if paper.footed:
        return zone, zone
    middle = zone.left + WORDS * zone.width
    return zone._replace(right=middle), zone._replace(left=middle + GUTTER)


def _sheets(
    design: Design, paper: PaperSize, locale: Locale, kind: PressureTestKind, lead: str,
    words: Sequence[Paragraph],
    tables: Sequence[HeadedTable],
) -> list[SheetDraft]:  # fmt: skip
    zone = paper.room
    key = f"paper_{kind}"
    test_dangers = [locale.label(f"{key}.{name}") for name in DANGERS[kind]]
    top = zone._replace(top=zone.top - 10.0)
    boxes, y = caution_boxes.boxed(design.findings, kind, top, locale, test_dangers)
    left, right = (room._replace(top=y - 4.0) for room in _room(paper))
    if paper.footed:
        flowed = text_and_tables.level(words, text_and_tables.split(left, COLUMN, GUTTER))
        drawn: list[Item] = []
    else:
        flowed = text_and_tables.flow_text(words, [left])
        drawn, tables = stack_tables(tables, right)
    pages = [[*boxes, *flowed.items, *drawn]]
    while tables:  # small paper: tables on sheets of their own
        again, y = caution_boxes.again(design.findings, kind, top, locale)
        drawn, rest = stack_tables(tables, zone._replace(top=y - 4.0))
        pages.append([*again, *drawn])
        if len(rest) == len(tables):
            break
        tables = rest
    title = locale.label(f"{key}.short")
    return [
        SheetDraft(paper, title, (*_head(paper, locale.label(f"{key}.title"), lead), *items), kind="hold",
             left_over=() if n else flowed.left_over)
        for n, items in enumerate(pages)
    ]  # fmt: skip


def _head(paper: PaperSize, title_text: str, lead: str) -> list[Item]:
    zone = paper.room
    title = Text((zone.left, zone.top - 5.0), title_text, 5.0, True, layer="NOTE")
    return [title, *text_and_tables.beside_title(title, lead, zone.right)]


def _aligned(gauges: Sequence[float], locale: Locale) -> list[str]:
    """Gauges of one table, all with as many decimals."""
    plain = [plain_gauge(gauge, "pressure", locale) for gauge in gauges]
    places = max(len(text.partition(".")[2]) for text in plain)
    if places == 0:
        return plain
    return [text if text == "–" else f"{float(text):.{places}f}" for text in plain]


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
    paragraphs += numbered_steps(
        steps, "paper_test", locale, gauge=test.gauge, near=near, which=which, **line_conditions(design)
    )
    paragraphs.append(text_and_tables.heading(label("paper_test.lines"), rule=False))
    free, most = test.per_volume
    warm, warm_air = test.per_kelvin
    paragraphs += dashed(
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
        paragraphs += dashed(
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
        _test_result(tests, wide, locale),
    ]


def _test_record(test: WorkingPressureTest, tests: int, wide: float, locale: Locale) -> HeadedTable:
    label = locale.label
    names = [label(f"paper_test.{name}") for name in ("clock", "gauge", *names_of("test", "thermometer"))]
    heads = [label(f"paper_test.{attempt}", name=name) for attempt in ("first", "second") for name in names]
    first = 2 * max(text_and_tables.head_width(label(f"paper_test.{name}")) for name in ("test", "minutes"))
    columns = [TableColumn(first / 2, label("paper_test.test"), "middle", bold=True)]
    columns.append(TableColumn(first / 2, label("paper_test.minutes"), "middle", bold=True))
    columns += [TableColumn((wide - first) / 6, head, heavy=n == 3) for n, head in enumerate(heads)]
    rows = tuple(
        Row(("" if n else f"{number}", f"{seconds / 60:.0f}", *[""] * 6))
        for number in range(1, tests + 1)
        for n, seconds in enumerate(test.seconds)
    )
    return HeadedTable(label("paper_test.record"), with_heads_in_full(columns), rows)


def _test_bounds(test: WorkingPressureTest, wide: float, locale: Locale) -> HeadedTable:
    label = locale.label
    steps, leaks = _steps(test, locale), test.tells_leaks
    changes = sorted({step.warming for step in steps})
    first = FIRST * wide
    columns = [TableColumn(first, label("paper_test.start"), bold=True)]
    for change in changes:
        by = signed_change(change, locale)
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
    head = label("paper_test.table" if leaks else "paper_test.table_again", unit=pressure_unit(locale))
    return HeadedTable(head, with_heads_in_full(columns), tuple(rows))


def _test_result(tests: int, wide: float, locale: Locale) -> HeadedTable:
    """A row a test: a box an answer, where a leak was found, and who signs."""
    label = locale.label
    heads = {name: label(f"paper_test.{name}") for name in ("test", *ANSWERS)}
    heads |= {name: label(f"paper_hold.{name}") for name in ("signed", "date")}
    widths = {name: text_and_tables.head_width(head) for name, head in heads.items()}
    spare = max(wide - sum(widths.values()), 0.0) / sum(BLANKS.values())
    widths = {name: width + spare * BLANKS.get(name, 0.0) for name, width in widths.items()}
    columns = tuple(
        TableColumn(width, heads[name], "left" if name in BLANKS else "middle", bold=True)
        for name, width in widths.items()
    )
    boxes = tuple(Cell(sign=_tick) for _ in ANSWERS[:-1])
    leak = Cell(" ", _tick, 6.0)
    rows = tuple(Row((str(number), *boxes, leak, "", "")) for number in range(1, tests + 1))
    return HeadedTable(label("paper_test.result"), columns, rows)


def _tick(at: tuple[float, float]) -> list[Item]:
    return symbols.tick_box(at, 4.2)
