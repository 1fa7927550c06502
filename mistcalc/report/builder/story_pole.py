"""The story pole: a run at full size on strips to be cut out and taped together, read against the framing.

Strips of whole 9 in (250 mm), three on a letter or A4 page, or one long one from a roll. Between two strips
stands a join line, drawn on both, with a little of the neighbor past it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from mistcalc.drawing import fonts, frame, pdf, symbols
from mistcalc.drawing.sheet import BOLD, FINE, MEDIUM, THIN, Item, LineSegment, Pen, Sheet, Text
from mistcalc.model.project import Run
from mistcalc.model.results import Design, Layout, Mark
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name

Paper = Literal["sheets", "roll"]

STRIP, FOOT = 43.0, 20.5  # height of the strip itself, and of what is written under it [mm]
EDGE, PAST = 9.0, 6.0  # kept clear at the edge of a page; drawn past a join line
LONGEST = 5000.0  # of a page of a roll [mm]: readers of PDF take 200 in at most
JOIN_PEN = Pen(0.35, (4.0, 2.0))
# rows down from the upper edge: base of the tape's figures, middle of a mark's sign, bases of its name and
# distance, middle of a joist's bar
FIGURES, SIGN, NAME, DISTANCE, JOIST = 16.5, 21.0, 27.5, 33.5, 38.6


@dataclass(frozen=True)
class _Ruler:
    """Ticks 12, 8 and 5 long, the step between two of the shortest, how many of those make the longer ones,
    and the bar that shows whether the print is true. mm."""

    step: float
    longs: tuple[int, int]
    tile: float
    bar: float


RULERS = {
    "us": _Ruler(12.7, (24, 2), 9 * 25.4, 6 * 25.4),  # feet, inches, halves
    "metric": _Ruler(5.0, (20, 2), 250.0, 150.0),
}


def story_pole_pdf(design: Design, paper: Paper, locale: Locale) -> bytes:
    """All runs that have a mark, as a PDF at 1:1."""
    return pdf.write(pole_sheets(design, paper, locale), job_name(design.project, locale))


def pole_sheets(design: Design, paper: Paper, locale: Locale) -> tuple[Sheet, ...]:
    tiles: list[_Tile] = []
    for layout in design.layouts:
        for line in layout.lid.rows:
            marks = layout.marks_of(line.name)
            run = next(
                r
                for p in design.project.patios
                if p.name == layout.patio
                for r in p.rows
                if r.name == line.name
            )
            if marks:
                tiles += _tiles(layout, run, tuple(marks), paper, locale)
    return tuple(_pages(design, tiles, paper, locale))


@dataclass(frozen=True)
class _Tile:
    """From `low` to `high` [mm from the datum] of a run; the `number`th of `count`."""

    layout: Layout
    run: Run
    marks: tuple[Mark, ...]
    low: float
    high: float
    number: int
    count: int

    @property
    def first(self) -> bool:
        return self.number == 1

    @property
    def last(self) -> bool:
        return self.number == self.count


def _tiles(
    layout: Layout, run: Run, marks: tuple[Mark, ...], paper: Paper, locale: Locale
) -> Iterator[_Tile]:
    ruler = RULERS[locale.units]
    tile = ruler.tile if paper == "sheets" else ruler.tile * int((LONGEST - 2 * (EDGE + PAST)) / ruler.tile)
    start = min(0.0, math.floor(1000.0 * marks[0].along / tile) * tile)
    end = max(1000.0 * run.length, 1000.0 * marks[-1].along + 10.0)
    count = max(1, math.ceil((end - start) / tile - 1e-9))
    for n in range(count):
        low = start + n * tile
        yield _Tile(layout, run, marks, low, min(low + tile, end), n + 1, count)


def _pages(design: Design, tiles: list[_Tile], paper: Paper, locale: Locale) -> Iterator[Sheet]:
    size = frame.PAPERS["letter" if locale.units == "us" else "A4"].turned()
    ruler, title = RULERS[locale.units], locale.label("paper_pole.title")
    if paper == "roll":
        for n, tile in enumerate(tiles, 1):
            wide = max(tile.high - tile.low, ruler.tile) + 2 * (EDGE + PAST)
            tall = STRIP + FOOT + 2 * EDGE
            drawn = tuple(_band(design, tile, EDGE + PAST, tall - EDGE, locale))
            yield Sheet(wide, tall, drawn, title, str(n))
        return
    each = int((size.height - 2 * EDGE) / (STRIP + FOOT))
    left = (size.width - ruler.tile) / 2
    for n in range(0, len(tiles), each):
        items: list[Item] = []
        for row, tile in enumerate(tiles[n : n + each]):
            items += _band(design, tile, left, size.height - EDGE - row * (STRIP + FOOT), locale)
        yield Sheet(size.width, size.height, tuple(items), title, str(n // each + 1))


# ------------------------------------------------------------------ one strip


def _band(design: Design, tile: _Tile, left: float, top: float, locale: Locale) -> Iterator[Item]:
    """A tile with its zero at `left`, its reading edge at `top`."""

    def x_of(along: float) -> float:
        return left + along - tile.low

    low = tile.low - (0.0 if tile.first else PAST)
    high = tile.high + (0.0 if tile.last else PAST)
    for y, pen in ((top, BOLD), (top - STRIP, THIN)):
        yield LineSegment((x_of(low), y), (x_of(high), y), pen=pen)
    shown = [mark for mark in tile.marks if low <= 1000.0 * mark.along <= high]
    yield from _joists(tile, low, high, left, top)
    yield from _ticks(tile, low, high, left, top, locale)
    yield from _joins(tile, left, top, locale)
    for mark in shown:
        yield from _mark(tile, mark, x_of(1000.0 * mark.along), (left, top), locale)
    yield from _under(design, tile, left, top - STRIP, locale)


def _ticks(tile: _Tile, low: float, high: float, left: float, top: float, locale: Locale) -> Iterator[Item]:
    ruler = RULERS[locale.units]
    at_marks = [1000.0 * mark.along for mark in tile.marks]
    for n in range(math.ceil(low / ruler.step - 1e-6), math.floor(high / ruler.step + 1e-6) + 1):
        at = n * ruler.step
        long, middle = ruler.longs
        x, deep = left + at - tile.low, 12.0 if n % long == 0 else 8.0 if n % middle == 0 else 5.0
        yield LineSegment((x, top), (x, top - deep), pen=MEDIUM if deep > 8.0 else FINE)
        if n % long == 0 and tile.low <= at < tile.high:
            words = locale.number(at / 1000.0, "tape")
            room = 3.0 + fonts.width(words, 3.5, True)
            crowded = any(0.0 < mark - at < room for mark in at_marks)
            back = crowded or at + room > tile.high
            if back and at - room < tile.low:
                continue  # the mark beside it tells its own distance
            spot = (x - 1.5 if back else x + 1.5, top - FIGURES)
            yield Text(spot, words, 3.5, True, align="right" if back else "left")


def _joists(tile: _Tile, low: float, high: float, left: float, top: float) -> Iterator[Item]:
    """Joists as solid bars of their true width, control joints as long dash-dot-dot with their names."""
    for member in tile.layout.lid.members:
        if member.run == tile.run.name and member.along is not None:
            ends = [1000.0 * (member.along + side * member.width / 2) for side in (-1, 1)]
            a, b = max(ends[0], low), min(ends[1], high)
            if b > a:
                yield from symbols.joist_bar((left + (a + b) / 2 - tile.low, top - JOIST), b - a)
    for joint in tile.run.joints:
        at = 1000.0 * joint.along
        if low <= at <= high:
            x = left + at - tile.low
            yield from symbols.joint((x, top), (x, top - STRIP))
            if at + 10.0 < tile.high:
                yield Text((x + 1.2, top - DISTANCE), joint.name, 2.5)


def _joins(tile: _Tile, left: float, top: float, locale: Locale) -> Iterator[Item]:
    """Where this strip meets its neighbors; at the ends of the run, the datum and the run's end."""
    ends = ((left, tile.first, tile.number - 1, 1), (left + tile.high - tile.low, tile.last, tile.number, -1))
    for x, end, number, side in ends:
        yield LineSegment((x, top), (x, top - STRIP - (0.0 if end else 4.0)), pen=BOLD if end else JOIN_PEN)
        if not end:
            words = locale.label("paper_pole.join", number=number)
            yield Text(
                (x + 1.5 * side, top - STRIP - 4.0), words, 2.5, True, align="left" if side > 0 else "right"
            )
    if tile.low <= 0.0 < tile.high:
        yield from symbols.datum((left - tile.low, top - STRIP / 2), 180.0)
        words = locale.label("paper_pole.datum", surface=tile.run.hooked_on)
        room = (1000.0 * tile.marks[0].along if tile.marks[0].along > 0 else tile.high) - 12.0
        yield Text(
            (left - tile.low + 8.0, top - STRIP / 2 - 1.2),
            fonts.fit(words, 2.5, min(room, tile.high - 10.0)),
            2.5,
        )


def _mark(tile: _Tile, mark: Mark, x: float, corner: tuple[float, float], locale: Locale) -> Iterator[Item]:
    """A line across the strip, the sign of a hole, its name and how far it is."""
    left, top = corner
    yield LineSegment((x, top), (x, top - STRIP), pen=BOLD)
    yield from symbols.mark((x, top - SIGN), mark.drilled, mark.locked)
    if not tile.low - 1e-6 <= 1000.0 * mark.along <= tile.high + 1e-6:
        return  # the neighbor's
    held = tile.layout.holes
    stop = mark.name in held.stop or mark.name in held.stop_drilled
    name = f"{mark.name} {locale.label('paper.stop')}" if stop else mark.name
    right = left + tile.high - tile.low - 1.5
    words = locale.tape(mark.along)
    widest = max(fonts.width(name, 5.0, True), fonts.width(words, 3.5, True))
    back = x + 3.2 + widest > right and x - left > right - x
    room = (x - left if back else right - x) - 3.2
    place, align = (x - 3.2 if back else x + 3.2), "right" if back else "left"
    yield Text((place, top - NAME), fonts.fit(name, 5.0, room, True), 5.0, True, align=align)
    yield Text((place, top - DISTANCE), fonts.fit(words, 3.5, room, True), 3.5, True, align=align)


def _under(design: Design, tile: _Tile, left: float, y: float, locale: Locale) -> Iterator[Item]:
    """Whose strip it is; a bar to measure the print by; what the signs are."""
    label, ruler = locale.label, RULERS[locale.units]
    told = label(
        "paper_pole.strip", job=job_name(design.project, locale), code=design.code, run=tile.run.name,
        number=tile.number, count=tile.count,
    )  # fmt: skip
    if design.line_verdict.fails:
        told = f"{label('paper.do_not_build')}   {told}"
    wide = max(tile.high - tile.low, ruler.tile)
    joined = fonts.width(label("paper_pole.join", number=tile.count), 2.5, True)
    aside = max(16.0, joined + 4.0)  # clear of the joins' numbers on both sides
    yield Text((left + aside, y - 4.0), fonts.fit(told, 2.5, wide - 2 * aside), 2.5)
    yield from frame.bar_scale((left, y - 9.5), 1.0, 6, ruler.bar / 6000.0, ())
    caption = label("paper_pole.bar_us" if locale.units == "us" else "paper_pole.bar_metric")
    yield Text((left + ruler.bar + 3.0, y - 9.5), fonts.fit(caption, 2.5, wide - ruler.bar - 3.0), 2.5)
    signs = "signs_assumed" if tile.run.name in design.project.rows_on_assumed_joists else "signs"
    for row, words in ((14.2, label(f"paper_pole.{signs}")), (18.2, label("caution_do.drilling"))):
        yield Text((left, y - row), fonts.fit(words, 2.5, wide), 2.5)
