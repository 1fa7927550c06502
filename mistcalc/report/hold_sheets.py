"""Two sheets with blanks: the test by gauge, and the watch while plaster goes on. Their texts stay apart: the
test forbids gas, the watch stands on a cushion of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from mistcalc.drawing import flow, fonts, symbols
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.flow import Cell, Column, Paragraph, Row
from mistcalc.drawing.frame import Paper
from mistcalc.drawing.sheet import Item, Text
from mistcalc.model.practice import PLASTICS
from mistcalc.model.results import Design, FrostHours, GaugeTest, GaugeWatch, HoldKind, HoldTestStep
from mistcalc.report import warned
from mistcalc.report.check_sheet import hold_points
from mistcalc.report.leaf import Leaf
from mistcalc.report.line_check import shut_in
from mistcalc.report.true_of import kind_of
from mistcalc.report.voice import Voice
from mistcalc.units import gauge_scale

PAD, GUTTER, ROW, BETWEEN = 6.0, 8.0, 5.6, 5.0
NARROW = 250.0  # a sheet on which words and tables stand on pages of their own
WORDS = 0.40  # of a wide sheet
ANSWERS = ("holds", "temperature", "unsure", "again_short", "leak")
MOST_DAYS = 60
DANGERS = {"test": ("parts",), "watch": ("low", "hands")}  # of this work alone; the others are of every line


@dataclass(frozen=True)
class Table:
    """A table with its head. blanks: its rows are only to write in, and as many are drawn as find room."""

    head: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    blanks: bool = False


def hold_leaves(design: Design, paper: Paper, voice: Voice) -> tuple[Leaf, ...]:
    """The test, and the watch where there is plaster; one sheet each, two on small paper."""
    plan = design.hold
    if plan is None:
        return ()
    if not plan.allowed:
        told = voice.label("paper_test.none", rating=design.line.duty.tube_rating, gauge=plan.test.gauge)
        words = [Paragraph(told, 3.5, bold=True)]
        return tuple(_leaves(design, paper, voice, "test", "", words, ()))
    wide = _room(paper)[1].width
    tests = len(hold_points(design)) - 1  # the last is hand-over
    lead = voice.label(f"paper_test.lead_{('one', 'two', 'three')[tests - 1]}")
    leaves = _leaves(design, paper, voice, "test", lead, _test_words(design, plan.test, voice),
                     _test_tables(plan.test, tests, wide, voice))  # fmt: skip
    if plan.watch is not None:
        lead = voice.label("paper_watch.lead")
        words = _watch_words(design, plan.watch, plan.frost, voice)
        leaves += _leaves(design, paper, voice, "watch", lead, words,
                          _watch_tables(plan.watch, wide, voice))  # fmt: skip
    return tuple(leaves)


def _room(paper: Paper) -> tuple[Box, Box]:
    """Where words and where tables go: beside each other, or each on the whole of a sheet of its own."""
    zone = paper.zone.grown(-PAD)
    zone = zone._replace(top=zone.top - 12.0)
    if zone.width < NARROW:
        return zone, zone
    middle = zone.left + WORDS * zone.width
    return zone._replace(right=middle), zone._replace(left=middle + GUTTER)


def _leaves(
    design: Design, paper: Paper, voice: Voice, kind: HoldKind, lead: str, words: Sequence[Paragraph],
    tables: Sequence[Table],
) -> list[Leaf]:  # fmt: skip
    zone = paper.zone.grown(-PAD)
    key = f"paper_{kind}"
    own = [voice.label(f"{key}.{name}") for name in DANGERS[kind]]
    top = zone._replace(top=zone.top - 10.0)
    boxes, y = warned.boxed(design.findings, kind, top, voice, own)
    left, right = (room._replace(top=y - 4.0) for room in _room(paper))
    both = left != right
    flowed = flow.flow(words, [left] if both else _halves(left))
    drawn, tables = _stack(tables, right) if both else ([], tables)
    pages = [[*boxes, *flowed.items, *drawn]]
    while tables:  # small paper: tables on sheets of their own
        boxes, y = warned.brief(design.findings, kind, top, voice)
        drawn, rest = _stack(tables, _room(paper)[1]._replace(left=zone.left, top=y - 4.0))
        pages.append([*boxes, *drawn])
        if len(rest) == len(tables):
            break
        tables = rest
    title = voice.label(f"{key}.short")
    return [
        Leaf(paper, title, (*_head(paper, voice.label(f"{key}.title"), lead), *items), kind="hold",
             left_over=flowed.left_over if n == 0 else ())
        for n, items in enumerate(pages)
    ]  # fmt: skip


def _halves(box: Box) -> list[Box]:
    wide = (box.width - GUTTER) / 2
    return [box._replace(right=box.left + wide), box._replace(left=box.right - wide)]


def _head(paper: Paper, told: str, lead: str) -> list[Item]:
    zone = paper.zone.grown(-PAD)
    title = Text((zone.left, zone.top - 5.0), told, 5.0, True, layer="NOTE")
    x = zone.left + title.width + 8.0
    return [title, Text((x, zone.top - 5.0), fonts.fit(lead, 2.5, zone.right - x), layer="NOTE")]


def _stack(tables: Sequence[Table], room: Box) -> tuple[list[Item], Sequence[Table]]:
    """Tables under each other, each under its head, and those that found no room."""
    items: list[Item] = []
    y = room.top
    for number, table in enumerate(tables):
        head = flow.flow([flow.heading(table.head, rule=False)], [room._replace(top=y)])
        rows = 1 if table.blanks else len(table.rows)
        if head.bottom - 2.0 - ROW * (1 + rows) < room.bottom:
            return items, tables[number:]
        items += head.items
        drawn = flow.table(table.columns, table.rows, (room.left, head.bottom - 2.0), room.bottom, ROW)
        items += drawn.items
        y = drawn.bottom - BETWEEN
    return items, ()


def _plain(value: float, kind: str, voice: Voice) -> str:
    """A gauge without its unit, which the table's head tells; a dash for what no gauge shows."""
    return voice.number(value, kind).rsplit(" ", 1)[0] if value > 0.0 else "–"


def _aligned(gauges: Sequence[float], voice: Voice) -> list[str]:
    """Gauges of one table, all with as many decimals."""
    plain = [_plain(gauge, "pressure", voice) for gauge in gauges]
    places = max(len(text.partition(".")[2]) for text in plain)
    if places == 0:
        return plain
    return [text if text == "–" else f"{float(text):.{places}f}" for text in plain]


def _signed(change: float, voice: Voice) -> str:
    text = voice.number(abs(change), "degrees")
    return text if text == "0" else f"{'+' if change > 0 else '–'}{text}"


def _unit(voice: Voice) -> str:
    return "psi" if voice.units == "us" else "bar"


def _numbered(keys: Sequence[str], section: str, voice: Voice, **values: object) -> list[Paragraph]:
    return [
        Paragraph(voice.label(f"{section}.{key}", **values), sign=f"{n}", indent=6.0, before=1.6)
        for n, key in enumerate(keys, 1)
    ]


def _dashed(told: Sequence[str]) -> list[Paragraph]:
    return [Paragraph(words, sign="–", indent=3.5) for words in told]


# ------------------------------------------------------------------ the test


def _test_words(design: Design, test: GaugeTest, voice: Voice) -> list[Paragraph]:
    label = voice.label
    hidden = design.hold is not None and design.hold.watch is not None
    plastic = ["plastic"] if design.project.plumbing.tube.material in PLASTICS else []
    leaks = test.tells_leaks
    below = ["below"] if leaks else []
    steps = (
        *("fill", "shade", *plastic, "pump", "read", "look", "again", "between", "down", *below),
        "after" if hidden else "after_open",
    )
    which = label("paper_test.which" if leaks else "paper_test.which_only")
    near = 2 * 5 / 9 if voice.units == "us" else 1.0
    told = [flow.heading(label("paper_test.do"), rule=False)]
    told += _numbered(steps, "paper_test", voice, gauge=test.gauge, near=near, which=which, **kind_of(design))
    told.append(flow.heading(label("paper_test.lines"), rule=False))
    free, most = test.per_volume
    warm, warm_air = test.per_kelvin
    told += _dashed(
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
        told += _dashed(
            tuple(shut_in(design.project.plumbing, design.line, design.line_verdict.trapped, voice))
        )
    return [*told, Paragraph(label("paper_test.code"), bold=True, before=2.0)]


def _steps(test: GaugeTest, voice: Voice) -> tuple[HoldTestStep, ...]:
    return test.steps if voice.units == "us" else test.steps_metric


def _test_tables(test: GaugeTest, tests: int, wide: float, voice: Voice) -> list[Table]:
    return [
        _test_record(test, tests, wide, voice),
        _test_bounds(test, wide, voice),
        _test_result(wide, voice),
    ]


def _test_record(test: GaugeTest, tests: int, wide: float, voice: Voice) -> Table:
    label = voice.label
    names = [label(f"paper_test.{name}") for name in ("clock", "gauge", "tube")]
    heads = [label(f"paper_test.{attempt}", name=name) for attempt in ("first", "second") for name in names]
    first = 28.0
    columns = [Column(first / 2, label("paper_test.test"), "middle", bold=True)]
    columns.append(Column(first / 2, label("paper_test.minutes"), "middle", bold=True))
    columns += [Column((wide - first) / 6, head, heavy=n == 3) for n, head in enumerate(heads)]
    rows = tuple(
        Row(("" if n else f"{number}", f"{seconds / 60:.0f}", *[""] * 6))
        for number in range(1, tests + 1)
        for n, seconds in enumerate(test.seconds)
    )
    return Table(label("paper_test.record"), tuple(columns), rows)


def _test_bounds(test: GaugeTest, wide: float, voice: Voice) -> Table:
    label = voice.label
    steps, leaks = _steps(test, voice), test.tells_leaks
    changes = sorted({step.warming for step in steps})
    first = 30.0
    columns = [Column(first, label("paper_test.start"), bold=True)]
    for change in changes:
        by = _signed(change, voice)
        head = label("paper_test.same") if by == "0" else label("paper_test.changed", by=by)
        columns.append(Column((wide - first) / len(changes), head, "middle"))
    again, leak = (
        dict(zip(steps, _aligned([getattr(step, name) for step in steps], voice), strict=True))
        for name in ("again_below", "leak_below")
    )
    rows = []
    for start, own in groupby(steps, key=lambda step: step.start):
        cells = [
            label("paper_test.cell", again=again[step], leak=leak[step]) if leaks else again[step]
            for step in own
        ]
        rows.append(Row((voice.number(start, "temperature"), *cells)))
    head = label("paper_test.table" if leaks else "paper_test.table_again", unit=_unit(voice))
    return Table(head, tuple(columns), tuple(rows))


def _test_result(wide: float, voice: Voice) -> Table:
    label = voice.label
    columns = (
        Column(12.0),
        Column(58.0),
        Column(wide - 12.0 - 58.0 - 60.0),
        Column(30.0, label("paper_hold.signed")),
        Column(30.0, label("paper_hold.date")),
    )
    rows = tuple(Row((Cell(sign=_tick), label(f"paper_test.{answer}"), "", "", "")) for answer in ANSWERS)
    return Table(label("paper_test.result"), columns, rows)


def _tick(at: tuple[float, float]) -> list[Item]:
    return symbols.tick_box(at, 4.2)


# ------------------------------------------------------------------ the watch


def _watch_words(
    design: Design, watch: GaugeWatch, frost: FrostHours | None, voice: Voice
) -> list[Paragraph]:
    label = voice.label
    ten = 10 * 5 / 9
    dial = voice.number(7e5, "pressure") if voice.units == "metric" else "100 psi"
    values = {
        "gas": watch.gas, "gauge": watch.gauge, "draw": watch.draw, "fall": watch.draw_fall,
        "room": watch.draw_room, "low": watch.temperature - ten, "high": watch.temperature + ten,
        "leak": watch.leak_below,
    }  # fmt: skip
    told = [flow.heading(label("paper_watch.do"), rule=False)]
    told.append(Paragraph(label("paper_watch.vessel", dial=dial, **values), sign="1", indent=6.0))
    rest = _numbered(
        ("fill", "wait", "draw", "start", "dawns", "look", "again"), "paper_watch", voice, **values
    )
    told += [Paragraph(p.text, sign=f"{n}", indent=6.0, before=1.6) for n, p in enumerate(rest, 2)]
    told.append(Paragraph(f"{label('paper_watch.stop')} ____________________", 3.5, bold=True, before=3.0))
    told.append(Paragraph(label("paper_watch.noon"), before=2.0))
    told.append(flow.heading(label("paper_watch.lines"), rule=False))
    both, tube = watch.per_kelvin
    told += _dashed(
        [
            label("paper_watch.slope", both=both, tube=tube),
            label("paper_watch.per_ml", one=watch.per_volume, sees=watch.sees, stop=_stops(watch)),
        ]
    )
    told.append(flow.heading(label("paper_watch.frost"), rule=False))
    told += _dashed([_frost(frost, voice), label("paper_watch.frost_do", **kind_of(design))])
    return [*told, Paragraph(label("paper_watch.code"), bold=True, before=2.0)]


def _stops(watch: GaugeWatch) -> float:
    """Water gone [m3] where the gauge stands at the number that stops plaster, as warm as at the start."""
    return (watch.gauge - watch.same.stop_below) / watch.per_volume


def _frost(frost: FrostHours | None, voice: Voice) -> str:
    label = voice.label
    if frost is None:
        return label("paper_watch.frost_unknown")
    if frost.first is None or frost.soon is None or frost.late is None:
        months = [(n, hours) for n, hours in enumerate(frost.months, 1) if hours]
        told = tuple(f"{label(f'word.month-{n}')} {hours}" for n, hours in months) or ("0",)
        return label("paper_watch.frost_months", below=frost.below, told=told)
    dates = {"first": frost.first.isoformat(), "late": frost.late.isoformat(), "below": frost.below}
    if not frost.hours_late:
        return label("paper_watch.frost_none", **dates)
    return label(
        "paper_watch.frost_some", until=frost.soon.isoformat(), soon=frost.hours_soon,
        hours=frost.hours_late, **dates,
    )  # fmt: skip


def _watch_tables(watch: GaugeWatch, wide: float, voice: Voice) -> list[Table]:
    return [_watch_bounds(watch, wide, voice), _watch_record(wide, voice)]


def _watch_bounds(watch: GaugeWatch, wide: float, voice: Voice) -> Table:
    label = voice.label
    steps = watch.steps if voice.units == "us" else watch.steps_metric
    changes = sorted({step.vessel for step in steps})
    first = 24.0
    columns = [Column(first, label("paper_watch.rows"), bold=True)]
    columns += [
        Column(
            (wide - first) / len(changes), label("paper_watch.column", by=_signed(change, voice)), "middle"
        )
        for change in changes
    ]
    rows = []
    for change, own in groupby(steps, key=lambda step: step.tube):
        cells = [
            label(
                "paper_watch.cell",
                again=_plain(step.again_below, "dial", voice),
                stop=_plain(step.stop_below, "dial", voice),
            )
            for step in own
        ]
        rows.append(Row((label("paper_watch.row", by=_signed(change, voice)), *cells)))
    return Table(label("paper_watch.table", unit=_unit(voice)), tuple(columns), tuple(rows))


def _watch_record(wide: float, voice: Voice) -> Table:
    names = ("day", "gauge", "tube", "cushion", "moved", "moved_vessel", "least", "by")
    columns = tuple(Column(wide / len(names), voice.label(f"paper_watch.{name}")) for name in names)
    return Table(
        voice.label("paper_watch.record"), columns, (Row(("",) * len(names)),) * MOST_DAYS, blanks=True
    )
