"""Section of one stub, cut along the line: what hangs down through the plaster, and how far."""

from __future__ import annotations

from typing import NamedTuple

from mistcalc.drawing import fonts, running_dimensions, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import (
    BOLD,
    MEDIUM,
    THIN,
    WHITE,
    Hatch,
    Item,
    LineSegment,
    Pen,
    Polyline,
    Text,
    View,
)
from mistcalc.drawing.text_and_tables import Flowed, Paragraph
from mistcalc.model.hole_size import drill_size
from mistcalc.model.practice import LATH_FASTENERS
from mistcalc.model.project import Patio
from mistcalc.model.results import Design, Mark
from mistcalc.report.common.locale_text import Locale

SECTION_WIDTH = 80.0  # mm
SCALES = (2, 4, 8, 16)  # the first in all usual build-ups
LISTED = 58.0  # mm: the list of depths under the section, and a line more
PLASTER_PAST = 0.012  # m of plaster shown past the hole
STUB_IN = 18.0  # mm: from the section's right side to the axis of the stub
TUBE_UP = 0.085  # m: where the tube is drawn above the underside of framing; its true height is the fitter's
SHOWN, LESS_SHOWN = 0.16, 0.115  # m of a member's depth shown, and where the list stands beside it
BESIDE, LIST_DOWN = 8.0, 2.0  # between drawing and list; the list's head below the title's top [mm]
NEAREST, ROOM = 0.055, 0.110  # m: a joist whose centre is nearer, or whose far side is farther, is not shown
KEEP_OUT_PEN = Pen(0.5, (2.0, 1.0))
AXIS = Pen(0.25, (6.0, 1.2, 1.0, 1.2))


class StubSection(NamedTuple):
    """What was drawn, what of its words found no room, and its scale."""

    items: list[Item]
    left_over: tuple[Paragraph, ...]
    scale: int


def draw_stub_section(design: Design, patio: Patio, room: Box, locale: Locale) -> StubSection:
    """The section in the upper left of a room, the list of depths and what to do with the stub below it, or
    beside it where the room is wide enough for both."""
    marks = design.layout_of(patio.name).marks
    if not marks:
        return StubSection([], (), SCALES[0])
    whole, room = room, room._replace(right=min(room.right, room.left + SECTION_WIDTH))
    beside = whole.width >= 2 * SECTION_WIDTH + BESIDE
    head = locale.label("paper_section.title")
    items: list[Item] = [
        Text((room.left, room.top - 5.0), fonts.fit(head, 5.0, room.width, True), 5.0, True, layer="NOTE")
    ]
    wood = {run.name: run.framing.width / 2 for run in patio.rows}
    near = [
        m for m in marks
        if m.near == "member" and NEAREST < abs(m.near_offset) < ROOM - wood[m.run]
    ]  # fmt: skip
    mark = min(near, key=lambda m: abs(m.near_offset)) if near else marks[0]
    below = max(mark.stub_max, patio.plaster.sheathing + patio.plaster.thickness)
    shown = LESS_SHOWN if beside else SHOWN
    hole = drill_size(patio, design.line, locale.units)
    scale = _scale(room, 0.0 if beside else LISTED, shown + below, hole)
    note = locale.label("paper_section.scale", scale=scale)
    items.append(Text((room.left, room.top - 10.5), fonts.fit(note, 2.5, room.width), layer="NOTE"))
    framing = room.top - 26.0 - 1000 * shown / scale
    view = View(f"stub section {patio.name}", scale, (room.right - STUB_IN, framing))
    items += _Section(design, patio, mark, bool(near), view, shown, locale).items()
    foot = framing - 1000 * below / scale - 14.0
    listed = room._replace(top=foot)
    if beside:
        left = room.right + BESIDE
        listed = whole._replace(left=left, right=left + SECTION_WIDTH, top=whole.top - LIST_DOWN)
    flowed = _list(patio, mark, hole, listed, locale)
    return StubSection([*items, *flowed.items], flowed.left_over, scale)


def _scale(room: Box, under: float, deep: float, hole: float) -> int:
    """The largest usual scale at which so deep a section [m] has its room, with `under` mm below it, and so
    wide a hole."""
    tall = room.height - 40.0 - under
    beside = 1000.0 * (hole / 2 + PLASTER_PAST)
    return next((n for n in SCALES if 1000.0 * deep / n <= tall and beside / n <= STUB_IN), SCALES[-1])


class _Section:
    """Model metres: x along the line from the stub's axis, y up from the underside of framing."""

    def __init__(
        self, design: Design, patio: Patio, mark: Mark, joist: bool, view: View, shown: float, locale: Locale
    ) -> None:
        self.shown = shown
        plumbing = design.project.plumbing
        self.tube = plumbing.tube_on(mark.run)
        self.patio, self.mark, self.joist, self.view, self.locale = patio, mark, joist, view, locale
        self.run = next(run for run in patio.rows if run.name == mark.run)
        self.hole = drill_size(patio, design.line, locale.units)
        self.lath = patio.plaster.plastered  # lath fasteners reach up into the joists
        self.side = -1.0  # the joist is drawn on the left, whichever side it is on
        wide = abs(mark.near_offset) + self.run.framing.width / 2 + 0.006 if joist else 0.1
        self.left, self.right = -max(wide, 0.1), 0.030

    def mm(self, paper: float) -> float:
        """A length on paper in model metres."""
        return paper * self.view.scale / 1000.0

    def box(self, x0: float, y0: float, x1: float, y1: float, layer: str, pen: Pen = BOLD,
            fill: str | None = None, hatch: Hatch | None = None) -> Polyline:  # fmt: skip
        corners = tuple(self.view.paper(p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
        return Polyline(corners, True, fill, hatch, layer=layer, pen=pen, view=self.view)

    def stroke(self, a: tuple[float, float], b: tuple[float, float], layer: str, pen: Pen) -> LineSegment:
        return LineSegment(self.view.paper(a), self.view.paper(b), layer=layer, pen=pen, view=self.view)

    def write(self, at: tuple[float, float], words: str, align: str = "left", mask: bool = False) -> Text:
        return Text(self.view.paper(at), words, align=align, mask=mask, layer="NOTE", view=self.view)

    def items(self) -> list[Item]:
        return [*self.member(), *self.plaster(), *self.pipe(), *self.words()]

    def member(self) -> list[Item]:
        if not self.joist:
            return [self.stroke((self.left, 0.0), (self.right, 0.0), "FRAME", MEDIUM)]
        framing, centre = self.run.framing, self.side * abs(self.mark.near_offset)
        x0, x1 = centre - framing.width / 2, centre + framing.width / 2
        top = min(framing.depth, self.shown)
        low, high = self.view.paper((centre, top)), self.view.paper((0.0, top))
        level = (low[0], low[1] + 8.0)
        words = self.locale.number(abs(self.mark.near_offset), "length")
        across = running_dimensions.dimension(low, high, level, 0.0, words, view=self.view)
        return [
            self.box(x0, 0.0, x1, top, "FRAME"),
            self.stroke((x0, 0.0), (x1, top), "FRAME", THIN),
            self.stroke((x0, top), (x1, 0.0), "FRAME", THIN),
            across,
            *(
                [self.stroke((x0, LATH_FASTENERS), (x1, LATH_FASTENERS), "FRAME", KEEP_OUT_PEN)]
                if self.lath
                else []
            ),
        ]

    def plaster(self) -> list[Item]:
        plaster, items = self.patio.plaster, []
        hole = self.hole / 2
        y = 0.0
        for thick, hatch in ((plaster.sheathing, Hatch(2.2, 135.0)), (plaster.thickness, Hatch(1.2))):
            if thick > 0:
                for x0, x1 in ((self.left, -hole), (hole, max(self.right, hole + PLASTER_PAST))):
                    items.append(self.box(x0, y - thick, x1, y, "WALL", BOLD, None, hatch))
                y -= thick
        return list(items)

    def pipe(self) -> list[Item]:
        half, end = self.tube.outside / 2, self.mark.stub_nominal
        plug = 1.6 * half
        return [
            self.box(self.left - 0.008, TUBE_UP - half, half, TUBE_UP + half, "TUBE", BOLD, WHITE),
            self.box(-half, -end, half, TUBE_UP - half, "TUBE", BOLD, WHITE),
            self.box(-plug, -end - 0.006, plug, -end, "TUBE", BOLD, WHITE),
            self.stroke((0.0, self.shown + 0.012), (0.0, -self.mark.stub_max - 0.012), "TUBE", AXIS),
        ]

    def words(self) -> list[Item]:
        label, plaster = self.locale.label, self.patio.plaster
        half = self.tube.outside / 2
        items: list[Item] = []
        x = (
            -abs(self.mark.near_offset) + self.run.framing.width / 2 + self.mm(2.0)
            if self.joist
            else self.left
        )
        tube, over = label("paper_section.tube"), TUBE_UP + half + self.mm(3.0)
        narrow = self.joist and self.view.length(-half - x) < fonts.width(tube, 2.5) + 2.0
        spot = (x - self.run.framing.width - self.mm(4.0), over) if narrow else (x, over)
        items.append(self.write(spot, tube, "right" if narrow else "left"))
        if self.joist and self.lath:
            items += self.keep_out(x, self.view.length(-half - x) - 3.0)
        face = plaster.sheathing + plaster.thickness
        if face > 0:
            system = label(f"paper_plaster.{plaster.system}")
            room = self.view.length(-half - self.left) - 1.5
            at, align = (self.left, "left") if room >= 16.0 else (-half - self.mm(1.5), "right")
            for index, words in enumerate(fonts.wrap(system, 2.5, room if room >= 16.0 else 24.0)):
                items.append(self.write((at, -face - self.mm(5.0 + 4.25 * index)), words, align))
        end = self.mark.stub_nominal
        items.append(
            self.write((half * 1.6 + self.mm(3.0), -end - self.mm(3.75)), label("paper_section.plug"))
        )
        return items

    def keep_out(self, x: float, room: float) -> list[Item]:
        """What the dashed line is: between joist and stub, or left of the joist where more room is."""
        told = self.locale.label("paper_section.keep_out", length=LATH_FASTENERS)
        wood = x - self.run.framing.width - self.mm(4.0)
        aside = self.view.paper((wood, 0.0))[0] - (self.view.origin[0] + STUB_IN - SECTION_WIDTH)
        left = aside > room
        lines = fonts.wrap(told, 2.5, max(room, aside))
        at, align = (wood, "right") if left else (x, "left")
        low = min(LATH_FASTENERS + self.mm(7.0), TUBE_UP - self.tube.outside / 2 - self.mm(4.0))
        return [self.write((at, low - self.mm(4.25 * n)), words, align) for n, words in enumerate(lines)]


def _list(patio: Patio, mark: Mark, hole: float, room: Box, locale: Locale) -> Flowed:
    """Depths below framing as a list, big numbers on the right, then what to do; and what had no room."""
    label = locale.label
    drawn, y = text_and_tables.set_paragraph(
        text_and_tables.heading(label("paper_section.down")), (room.left, room.top), room.width
    )
    items = list(drawn)
    face = patio.plaster.sheathing + patio.plaster.thickness
    rows = [("finished_wood" if patio.plaster.system == "wood" else "finished", face)] if face > 0 else []
    rows += [("nominal", mark.stub_nominal), ("shortest", mark.stub_min), ("longest", mark.stub_max)]
    for key, value in rows:
        y -= 7.0
        items.append(Text((room.left, y), label(f"paper_section.{key}"), layer="NOTE"))
        number = locale.number(value, "length")
        items.append(Text((room.right, y), number, 3.5, True, align="right", layer="NOTE"))
    covered = face > 0 and patio.plaster.system != "wood"
    paragraphs = [
        Paragraph(label("paper.drill", hole=hole), bold=True),
        text_and_tables.heading(label("paper_section.plug_head")),
        Paragraph(label("paper_section.plug_note", plaster=covered, bare=not covered), before=2.0),
    ]
    paragraphs.append(Paragraph(label("paper_section.photo"), before=1.6))
    if patio.plaster.plastered:
        paragraphs.append(Paragraph(label("paper_section.height", length=LATH_FASTENERS), before=1.6))
    flowed = text_and_tables.flow_text(paragraphs, [room._replace(top=y - 6.0)])
    left = text_and_tables.under_head(flowed.left_over, paragraphs)
    return Flowed([*items, *flowed.items], flowed.bottom, left)
