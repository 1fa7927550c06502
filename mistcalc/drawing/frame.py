"""What surrounds a drawing: paper sizes, border, right strip with its title block, bar scale, scale.

Borders: 11x17 as ASME Y14.1 size B; A3 and A4 as ISO 5457 (20 mm to file on the left, 10 round); letter
takes the margins of 11x17, with less on the right, where nothing is filed.
All words come from the caller; nothing here speaks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from mistcalc.drawing import alerts, fonts
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.sheet import (
    BLACK,
    BOLD,
    HEAVY,
    MEDIUM,
    THIN,
    WHITE,
    Item,
    LineSegment,
    Pen,
    Polyline,
    Text,
)
from mistcalc.drawing.symbols import frame_box, revision
from mistcalc.drawing.text_and_tables import Flowed, Paragraph, flow_text, heading

STRIP = 52.0  # width of the right strip
FOOT = 10.0  # height of the strip along the foot that a small sheet may have instead
_PAD = 4.0  # inside the strip
SCALES_US = (48, 64, 96)  # 1/4, 3/16, 1/8 in to the foot
SCALES_METRIC = (50, 75, 100)


@dataclass(frozen=True)
class PaperSize:
    """A size of paper and its border [mm]. footed: its title block lies along the foot, not at the right."""

    name: str
    width: float
    height: float
    left: float
    right: float
    bottom: float
    top: float
    footed: bool = False

    @property
    def inside(self) -> Box:
        """All within the border."""
        return Box(self.left, self.bottom, self.width - self.right, self.height - self.top)

    @property
    def zone(self) -> Box:
        """The part to draw in: within the border, left of the strip or over it."""
        if self.footed:
            return self.inside._replace(bottom=self.bottom + FOOT)
        return self.inside._replace(right=self.width - self.right - STRIP)

    @property
    def room(self) -> Box:
        """The same clear of the frame, for what is written: less clear where paper is scarce."""
        return self.zone.grown(-4.0 if self.footed else -6.0)

    @property
    def strip(self) -> Box:
        return self.inside._replace(left=self.width - self.right - STRIP)

    def turned(self) -> PaperSize:
        """The same paper the other way up."""
        return replace(self, width=self.height, height=self.width)


PAPERS = {
    paper.name: paper
    for paper in (
        PaperSize("11x17", 431.8, 279.4, 15.75, 15.75, 9.65, 9.65),
        PaperSize("A3", 420.0, 297.0, 20.0, 10.0, 10.0, 10.0),
        PaperSize("letter", 215.9, 279.4, 15.75, 9.65, 9.65, 9.65),
        PaperSize("A4", 210.0, 297.0, 20.0, 10.0, 10.0, 10.0),
    )
}


def choose_scale(
    width: float, height: float, room: tuple[float, float], scales: Sequence[int] = SCALES_US
) -> int | None:
    """The largest of the usual scales at which `width` by `height` [m] fits `room` [mm]; None: none does."""
    for scale in sorted(scales):
        if 1000 * width / scale <= room[0] and 1000 * height / scale <= room[1]:
            return scale
    return None


def border(paper: PaperSize) -> list[Item]:
    """The frame 0.7, centring ticks 4 past it on each side, and the line of the right strip."""
    box = paper.inside
    corners = ((box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top))
    x, y = paper.width / 2, paper.height / 2
    ticks = (
        ((x, box.bottom), (x, box.bottom - 4)),
        ((x, box.top), (x, box.top + 4)),
        ((box.left, y), (box.left - 4, y)),
        ((box.right, y), (box.right + 4, y)),
    )
    items: list[Item] = [Polyline(corners, True, pen=HEAVY)]
    items += [LineSegment(start, end, pen=BOLD) for start, end in ticks]
    zone = paper.zone
    edge = (
        ((box.left, zone.bottom), (box.right, zone.bottom))
        if paper.footed
        else ((zone.right, box.bottom), (zone.right, box.top))
    )
    return [*items, LineSegment(*edge, pen=BOLD)]


@dataclass(frozen=True)
class StripSection:
    """A part of the strip: head and paragraphs; `more` says that {n} of them found no room here, `bare` that
    none of the {n} did.

    boxed: framed, with the warning triangle beside its head. elsewhere: it stands on another sheet too.
    """

    head: str
    paragraphs: tuple[Paragraph, ...]
    more: str = ""
    bare: str = ""
    boxed: bool = False
    elsewhere: bool = False


@dataclass(frozen=True)
class TitleBlock:
    """All words of the right strip, top to bottom. Every one is the caller's.

    status: a line, or two with a break between.
    revisions: first row is the heads, then a row each; facts: drawn, checked, scale, print ("" leaves a
    line to write on).
    """

    status: str
    code_label: str
    code: str
    code_note: str
    job: str
    job_note: str = ""
    sections: tuple[StripSection, ...] = ()
    revisions: tuple[tuple[str, str, str], ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    title: str = ""
    number: str = ""
    count: str = ""
    newest: int | None = None  # the row of `revisions` whose letter stands in a triangle, as on the drawing


def strip(paper: PaperSize, block: TitleBlock) -> tuple[list[Item], tuple[Paragraph, ...]]:
    """The right strip, and the paragraphs of its sections that found no room (put them on another sheet)."""
    box = paper.strip
    foot, items = _foot(box, block)
    left, width = box.left + _PAD, box.width - 2 * _PAD
    y = box.top - 3.0
    status_lines = block.status.split("\n")
    tall = 8.0 + 3.0 * (len(status_lines) - 1)
    items += frame_box((box.left + box.width / 2, y - tall / 2), width, tall)
    size = min(_shrunk(line, 3.5 if len(status_lines) == 1 else 2.5, width - 4) for line in status_lines)
    for n, line in enumerate(status_lines):
        low = y - tall / 2 - size / 2 + (len(status_lines) - 1 - 2 * n) * 0.75 * size
        status = fonts.fit(line, size, width - 4, True)
        items.append(Text((box.left + box.width / 2, low), status, size, True, align="middle"))
    y -= tall + 5.0
    size = _shrunk(block.code, 5.0, width)
    code = Paragraph(fonts.fit(block.code, size, width, True), size, bold=True, before=0.8)
    job = Paragraph(fonts.fit(block.job, 3.5, 2 * width, True), 3.5, bold=True)
    notes = [Paragraph(fonts.fit(note, 2.5, 4 * width)) for note in (block.code_note, block.job_note)]
    for words in ([Paragraph(fonts.fit(block.code_label, 2.5, width)), code, notes[0]], [job, notes[1]]):
        drawn, y = _part(box, words, y, foot)
        items += drawn
    left_over: list[Paragraph] = []
    for section in block.sections:
        room = Box(left, foot + 2.0, left + width, y)
        flowed = _boxed(section, room) if section.boxed else _section(section, room)
        items += flowed.items
        left_over += flowed.left_over
        y = flowed.bottom - (0.0 if section.boxed else 3.0)
        if flowed.items and y > foot and not section.boxed:
            items.append(_rule(box, y))
        y -= 3.5
    return items, tuple(left_over)


def foot_strip(paper: PaperSize, block: TitleBlock) -> list[Item]:
    """The title block along the foot: status, code, job and revision, title, number."""
    box = paper.inside
    middle, room = box.bottom + FOOT / 2, box.width - 2 * _PAD
    status = fonts.fit(block.status.replace("\n", " "), 2.5, 0.25 * room, True)
    wide = fonts.width(status, 2.5, True) + 4.0
    code, job = fonts.fit(block.code, 5.0, 0.2 * room, True), fonts.fit(block.job, 2.5, 0.26 * room, True)
    letter, day, _ = [row for row in block.revisions if row[0]][-1]
    revised = fonts.fit(f"{block.revisions[0][0]} {letter}  {day}", 2.5, 0.26 * room)
    number = fonts.fit(block.number, 5.0, 0.15 * room, True)
    x = box.left + _PAD + wide + 4.0
    right = box.right - _PAD - fonts.width(number, 5.0, True)
    told = x + fonts.width(code, 5.0, True) + 6.0
    titled = told + max(fonts.width(job, 2.5, True), fonts.width(revised, 2.5)) + 6.0
    return [
        *frame_box((box.left + _PAD + wide / 2, middle), wide, 6.0),
        Text((box.left + _PAD + 2.0, middle - 1.25), status, 2.5, True),
        Text((x, middle - 2.5), code, 5.0, True),
        Text((told, middle + 0.9), job, 2.5, True),
        Text((told, middle - 3.5), revised, 2.5),
        Text((titled, middle + 0.9), fonts.fit(block.title, 2.5, right - 6.0 - titled, True), 2.5, True),
        Text((titled, middle - 3.5), fonts.fit(block.count, 2.5, right - 6.0 - titled), 2.5),
        Text((right, middle - 2.5), number, 5.0, True),
    ]


def _section(section: StripSection, room: Box) -> Flowed:
    """A section as far as it fits; where it does not, its `more` is the last line."""
    head = alerts.head(section.head, 3.5) if section.boxed else heading(section.head, rule=False)
    whole = (head, *section.paragraphs)
    if room.height < 12.0:
        return Flowed([], room.top, section.paragraphs)
    flowed = flow_text(whole, [room], "SHEET")
    if not flowed.left_over:
        return flowed
    fewest = 0 if section.more else 1  # a bare head says nothing
    for count in range(len(section.paragraphs) - len(flowed.left_over), fewest - 1, -1):
        missing = section.paragraphs[count:]
        told = ((not count and section.bare) or section.more).replace("{n}", str(len(missing)))
        trial = (*whole[: count + 1], *([Paragraph(told, bold=True)] if told else []))
        again = flow_text(trial, [room], "SHEET")
        if not again.left_over:
            return Flowed(again.items, again.bottom, missing)
    return Flowed([], room.top, section.paragraphs)


def _boxed(section: StripSection, room: Box) -> Flowed:
    flowed = _section(section, Box(room.left + 0.5, room.bottom, room.right - 0.5, room.top - 2.0))
    if not flowed.items:
        return flowed
    bottom = flowed.bottom - 2.0
    outer = Box(room.left - 2.0, bottom, room.right + 2.0, room.top)
    return Flowed([*flowed.items, alerts.frame(outer)], bottom, flowed.left_over)


def _part(box: Box, words: Sequence[Paragraph], top: float, foot: float) -> tuple[list[Item], float]:
    """A fixed part of the strip and the rule under it; returns where the next begins."""
    room = Box(box.left + _PAD, foot, box.right - _PAD, top)
    flowed = flow_text([word for word in words if word.text], [room], "SHEET")
    return [*flowed.items, _rule(box, flowed.bottom - 3.0)], flowed.bottom - 6.5


def _foot(box: Box, block: TitleBlock) -> tuple[float, list[Item]]:
    """Sheet number, facts and revisions, built up from the foot of the strip; returns their upper edge."""
    left, width = box.left + _PAD, box.width - 2 * _PAD
    y = box.bottom
    sizes = (10.0, 8.0, 6.0, 5.0)  # smaller where a set has ten sheets and more
    size = next((s for s in sizes if fonts.width(block.number, s, True) <= width - 16), sizes[-1])
    items: list[Item] = [
        Text((left, y + 5), fonts.fit(block.number, size, width - 16, True), size, True),
        Text((box.right - _PAD, y + 5), fonts.fit(block.count, 2.5, 15), 2.5, align="right"),
        Text((left, y + 19.5), fonts.fit(block.title, 3.5, width, True), 3.5, True),
    ]
    y += 26.0
    items.append(_rule(box, y, MEDIUM))
    y += 3.5
    for label, value in reversed(block.facts):
        items.append(Text((left, y), fonts.fit(label, 2.5, 17), 2.5))
        if value:
            items.append(Text((left + 18, y), fonts.fit(value, 2.5, width - 18), 2.5))
        else:
            items.append(LineSegment((left + 18, y - 0.7), (box.right - _PAD, y - 0.7), pen=THIN))
        y += 5.6
    y += 0.6
    items.append(_rule(box, y, MEDIUM))
    for index, row in reversed(list(enumerate(block.revisions))):
        for x, room, words in zip((0.0, 7.6, 28.4), (7.4, 20.0, width - 25.4), row, strict=True):
            if index == block.newest and not x:
                continue
            items.append(Text((left + x, y + 1.8), fonts.fit(words, 2.5, room, index == 0), 2.5, index == 0))
        if index == block.newest:  # its letter, which the sheet has beside what changed
            items += revision((left + 1.2, y + 3.0), row[0], tall=5.4)
        y += 6.2
        items.append(_rule(box, y, THIN if index else MEDIUM))
    return y, items


def _rule(box: Box, y: float, pen: Pen = MEDIUM) -> LineSegment:
    return LineSegment((box.left, y), (box.right, y), pen=pen)


def _shrunk(words: str, height: float, room: float) -> float:
    """The height, less where the words would be too wide, but never under 2.5."""
    wide = fonts.width(fonts.clean(words), height, True)
    return height if wide <= room else max(2.5, height * room / wide)


def bar_length(scale: float, steps: int, step: float) -> float:
    """Printed length [mm] of a bar scale of `steps` of `step` metres: what its caption must state."""
    return 1000.0 * steps * step / scale


def bar_scale(
    at: Point, scale: float, steps: int, step: float, labels: Sequence[tuple[int, str]], caption: str = ""
) -> list[Item]:
    """A bar of alternating black and white steps from `at` (lower left), words under the steps named.

    The caption stands right of it and should state bar_length, so that a shrunk print shows.
    """
    x, y = at
    step_length = bar_length(scale, 1, step)
    items: list[Item] = []
    for index in range(steps):
        a, b = x + index * step_length, x + (index + 1) * step_length
        corners = ((a, y), (b, y), (b, y + 1.6), (a, y + 1.6))
        ink = WHITE if index % 2 else BLACK
        items.append(Polyline(corners, True, ink, layer="NOTE", pen=THIN))
    for index, words in labels:
        items.append(Text((x + index * step_length, y - 4.2), words, 2.5, align="middle", layer="NOTE"))
    if caption:
        items.append(Text((x + steps * step_length + 7, y - 0.4), caption, 2.5, layer="NOTE"))
    return items
