"""The one detail of a trade's page: a bore through a joist, a stub, a ceiling box, water in its order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mistcalc.drawing import fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.sheet import (
    BOLD,
    HEAVY,
    MEDIUM,
    THIN,
    WHITE,
    Dimension,
    Hatch,
    Item,
    LineSegment,
    Pen,
    Polyline,
    Text,
)
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.practice import LATH_FASTENERS
from mistcalc.model.project import Patio, Tube
from mistcalc.model.results import BoredBack, BoredRun, Mark
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.slip import Detail

SCALES = {"us": (2, 4, 8, 12, 16, 24), "metric": (2, 5, 10, 20)}
AXIS = Pen(0.25, (6.0, 1.2, 1.0, 1.2))
KEEP_OUT = Hatch(2.2, 45.0, HEAVY)  # seven tenths wide: thinner does not outlive two copies


def _titled(box: Box, head: str, note: str) -> tuple[list[Item], Box]:
    """Head and note along the top of a box, and what is left of it."""
    words = [Paragraph(head, 3.5, bold=True, before=0.0), Paragraph(note, before=1.0)]
    flowed = text_and_tables.flow_text(words, [box])
    return flowed.items, box._replace(top=flowed.bottom - 1.5)


def _scale(metres: float, room: float, scales: Sequence[int]) -> int:
    """The largest usual scale at which a length finds room."""
    return next((scale for scale in scales if 1000 * metres / scale <= room), scales[-1])


ROOMY = 7.4  # of a depth and its words: from there on the depth is in large type [mm]
LEFT_OF_JOIST = 23.0  # room of the words beside it [mm]
PLUG, WIDEST_PLUG = 1.6, 10.0  # a plug's width in tubes; as drawn, its name beside it [mm]
OVER_BAND = 10.5  # from the underside of a joist to what stands over the two lines about its band [mm]


def bore_detail(bored: BoredRun | BoredBack, width: float, lath: bool, locale: Locale) -> Detail:
    """A joist cut across, seen along itself: the hole, its height, and the band for lath fasteners alone."""
    label = locale.label

    def draw(box: Box) -> list[Item]:
        hole = Text((0.0, 0.0), label("paper_trade.hole", hole=bored.hole), 3.5, True, layer="NOTE")
        beside = box.width - LEFT_OF_JOIST - 2.0 - hole.width  # what the hole's own words leave the joist
        sizes = ((bored.depth, box.height - 15.0), (width, beside))
        scale = max(_scale(metres, room, SCALES[locale.units][1:]) for metres, room in sizes)
        note = label("paper_trade.bore_note", scale=scale)
        items, box = _titled(box, label("paper_trade.bore"), note)
        k = 1000.0 / scale
        left, low = box.left + LEFT_OF_JOIST, box.bottom + 2.0
        right, high = left + max(width * k, 4.0), low + bored.depth * k
        if lath:
            band = Box(left, low, right, low + LATH_FASTENERS * k)
            items.append(Polyline(band.corners, True, None, KEEP_OUT, layer="FRAME", pen=MEDIUM))
            words = [label("paper_trade.keep_out"), locale.number(LATH_FASTENERS, "length")]
            items += _right((left - 5.0, low + 2.0), words)
        items.append(Polyline(Box(left, low, right, high).corners, True, layer="FRAME", pen=HEAVY))
        name = label("paper_trade.joist", depth=bored.depth)
        over = low + OVER_BAND if lath else low  # the words of the band
        items += _right((left - 2.0, max(high - 8.0, over)), fonts.wrap(name, 2.5, LEFT_OF_JOIST), bold=False)
        if bored.up is None:
            return items
        middle, half = low + bored.up * k, bored.hole * k / 2
        for y in (middle - half, middle + half):
            items.append(LineSegment((left, y), (right, y), layer="TUBE", pen=BOLD))
        items.append(LineSegment((left - 4.0, middle), (right + 15.0, middle), layer="TUBE", pen=AXIS))
        at = (min(right + 2.0, box.right - hole.width), middle + half + 2.0)
        items.append(replace(hole, at=at))
        return [*items, *_upright(right + 9.0, low, middle, right, locale.number(bored.up, "length"))]

    return draw


def _upright(x: float, low: float, high: float, edge: float, words: str) -> list[Item]:
    """A height in 3.5 bold right of its arrows."""
    across = Dimension((edge + 1.0, low), (edge + 1.0, high), (x, 0.0), 90.0, layer="DIM-MARK", pen=THIN)
    return [across, Text((x + 2.0, (low + high) / 2 - 1.75), words, 3.5, True, layer="DIM-MARK")]


def _right(at: Point, lines: Sequence[str], bold: bool = True) -> list[Item]:
    """Lines one below the other that end at a point, the last at its height."""
    count = len(lines)
    return [
        Text((at[0], at[1] + 4.0 * (count - 1 - n)), words, 2.5, bold, align="right", layer="NOTE")
        for n, words in enumerate(lines)
    ]


# ------------------------------------------------------------------ through the plaster


def stub_detail(patio: Patio, mark: Mark, tube: Tube, masked: bool, locale: Locale) -> Detail:
    """A stub from the framing down through the plaster, and how far below the framing each thing is."""
    label, plaster = locale.label, patio.plaster
    face = plaster.sheathing + plaster.thickness

    def draw(box: Box) -> list[Item]:
        sizes = ((max(mark.stub_max, face), box.height - 32.0), (PLUG * tube.outside, WIDEST_PLUG))
        scale = max(_scale(metres, room, SCALES[locale.units]) for metres, room in sizes)
        head = label("paper_trade.masked" if masked else "paper_trade.stub")
        items, box = _titled(box, head, label("paper_trade.stub_note", scale=scale))
        k = 1000.0 / scale
        x, top = box.left + 16.0, box.top - 9.0
        half = max(tube.outside * k / 2, 1.2)
        items.append(LineSegment((box.left, top), (x + 12.0, top), layer="FRAME", pen=HEAVY))
        items.append(Text((box.left, top + 2.0), label("paper_trade.framing"), 2.5, layer="NOTE"))
        y, gap = top, half + 2.0
        for thick, hatch in ((plaster.sheathing, Hatch(2.2, 135.0)), (plaster.thickness, Hatch(1.2))):
            for a, b in ((box.left, x - gap), (x + gap, x + 12.0)) if thick > 0 else ():
                layer = Box(a, y - thick * k, b, y)
                items.append(Polyline(layer.corners, True, None, hatch, layer="WALL", pen=MEDIUM))
            y -= thick * k
        end = top - mark.stub_nominal * k
        stub = Box(x - half, end, x + half, top + 8.0)
        items.append(Polyline(stub.corners, True, WHITE, layer="TUBE", pen=BOLD))
        plug = Box(x - PLUG * half, end - 3.0, x + PLUG * half, end)
        items.append(Polyline(plug.corners, True, WHITE, layer="TUBE", pen=BOLD))
        if masked:
            over = Box(plug.left - 1.4, plug.bottom - 1.4, plug.right + 1.4, min(y, end + 3.0) - 0.4)
            items.append(Polyline(over.corners, True, layer="NOTE", pen=HEAVY._replace(dash=(2.0, 1.0))))
        items += _named(label("paper_section.plug"), plug.grown(1.4 if masked else 0.0), box.left)
        return [*items, *_depths(patio, mark, box, locale)]

    return draw


def _named(words: str, plug: Box, edge: float) -> list[Item]:
    """A plug's name, away from the depths on its right where it has room there."""
    y = plug.middle[1] - 1.3
    if plug.left - 0.8 - fonts.width(words, 2.5) >= edge:
        return [Text((plug.left - 0.8, y), words, 2.5, align="right", layer="NOTE")]
    return [Text((plug.right + 1.5, y), words, 2.5, layer="NOTE")]


def _depths(patio: Patio, mark: Mark, box: Box, locale: Locale) -> list[Item]:
    """Depths below framing in a column on the right, from the top down."""
    face = patio.plaster.sheathing + patio.plaster.thickness
    number, label = locale.number, locale.label
    rows = [(label("paper_section.finished"), number(face, "length"))] if face > 0 else []
    rows.append((label("paper_section.nominal"), number(mark.stub_nominal, "length")))
    ends = (number(mark.stub_min, "length"), number(mark.stub_max, "length"))
    rows.append((label("paper_trade.stub_from"), label("paper_trade.stub_to", low=ends[0], high=ends[1])))
    items: list[Item] = []
    left, step = box.left + 31.0, min(9.6, (box.height - 6.0) / max(len(rows) - 1, 1))
    for n, (words, value) in enumerate(rows):
        y, room = box.top - 2.5 - step * n, box.right - left
        items.append(Text((left, y), fonts.fit(words, 2.5, room), 2.5, layer="NOTE"))
        size = 3.5 if step >= ROOMY and fonts.width(value, 3.5, True) <= room else 2.5
        items.append(Text((left, y - min(4.6, step - 2.6)), value, size, True, layer="NOTE"))
    return items


def box_detail(patio: Patio, locale: Locale) -> Detail:
    """A box in the ceiling whose ring comes down to the finished face."""
    label, plaster = locale.label, patio.plaster
    face = plaster.sheathing + plaster.thickness

    def draw(box: Box) -> list[Item]:
        items, box = _titled(box, label("paper_trade.box_head"), label("paper_trade.box_note"))
        k = 1000.0 / _scale(face, min(14.0, box.height - 20.0), SCALES[locale.units])
        x, top = box.left + 20.0, box.top - 13.0
        low = top - max(face * k, 1.0)
        items.append(LineSegment((box.left, top), (box.left + 40.0, top), layer="FRAME", pen=HEAVY))
        items.append(Text((box.left, top + 2.0), label("paper_trade.framing"), 2.5, layer="NOTE"))
        for a, b in ((box.left, x - 7.0), (x + 7.0, box.left + 40.0)) if face > 0 else ():
            coat = Box(a, low, b, top)
            items.append(Polyline(coat.corners, True, None, Hatch(1.2), layer="WALL", pen=MEDIUM))
        for shape in (Box(x - 6.0, top, x + 6.0, top + 12.0), Box(x - 5.0, low, x + 5.0, top)):
            items.append(Polyline(shape.corners, True, WHITE, layer="OBST", pen=BOLD))
        items.append(Text((x + 8.0, top + 6.0), label("paper_trade.box"), 2.5, layer="NOTE"))
        items.append(Text((box.left, low - 5.0), label("paper_trade.box_ring"), 2.5, layer="NOTE"))
        if face > 0:
            items += _upright(box.left + 43.0, low, top, box.left + 40.0, locale.number(face, "length"))
        return items

    return draw


# ------------------------------------------------------------------ water


def order_detail(steps: Sequence[tuple[str, str]], locale: Locale) -> Detail:
    """What water passes, from the supply to the pump: letter in a box and words, one below the other."""

    def draw(box: Box) -> list[Item]:
        items, box = _titled(box, locale.label("paper_trade.order"), locale.label("paper_trade.order_note"))
        step = min(9.0, (box.height - 6.0) / max(len(steps) - 1, 1))
        for n, (letter, words) in enumerate(steps):
            at = (box.left + 5.0, box.top - 3.0 - n * step)
            if n:
                items += symbols.arrow((at[0], at[1] + step - 2.6), (at[0], at[1] + 2.6), layer="TUBE")
            items += symbols.value_box(at, letter, 2.5)
            lines = fonts.wrap(words, 2.5, box.right - at[0] - 7.0)[:2]
            for line, text in enumerate(lines):
                y = at[1] - 1.25 + (1.9 if len(lines) > 1 else 0.0) - 3.8 * line
                items.append(Text((at[0] + 7.0, y), text, 2.5, layer="NOTE"))
        return items

    return draw
