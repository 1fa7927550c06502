"""The pump's side of the line diagram: water point, what stands before the pump, the pump and its bypass."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mistcalc.drawing import fonts, symbols
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import BOLD, FINE, MEDIUM, WHITE, Item, Polyline, Text
from mistcalc.report.common.line_kind import LineJob
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.installer.line_diagram.canvas import DiagramCanvas

CELL, NARROW_CELL = 15.0, 8.5  # room of one sign, with its words or without
PUMP = (21.0, 13.0)
ABOVE, UNDER = 14.0, 15.5  # of the tube at the floor: to the gauges, to the floor line
OUTLET = 17.0  # right of the pump, for its gauge
HAND = ("ball valve", "gate valve", "globe valve", "angle valve")


@dataclass(frozen=True)
class PumpChainItem:
    """One thing of the chain: its letters in a box ("" a valve), words over it, a gauge over those."""

    letters: str
    words: str = ""
    gauge: float | None = None


def chain_width(design: LineJob, locale: Locale, narrow: bool) -> float:
    """How far the chain reaches to the right."""
    pumped = design.project.plumbing.pump is not None
    cell = NARROW_CELL if narrow else CELL
    return cell * len(water_chain(design, locale)) + (PUMP[0] + OUTLET if pumped else 0.0)


def draw_source(
    board: DiagramCanvas, design: LineJob, out: float, room: Box, locale: Locale, narrow: bool
) -> float:
    """Draw the chain at the foot of a room, its tube led on to `out`; returns the height of that tube."""
    y, cell = room.bottom + UNDER, NARROW_CELL if narrow else CELL
    board.stroke((room.left, room.bottom + 0.5), (room.right, room.bottom + 0.5), MEDIUM, "NOTE")
    chain = water_chain(design, locale)
    pump = design.project.plumbing.pump
    at = [room.left + cell * (n + 0.5) for n in range(len(chain))]
    signs = [
        _box(x, y, s.letters) if s.letters else symbols.valve((x, y)) for x, s in zip(at, chain, strict=True)
    ]
    edges = [edge for sign in signs for edge in (sign[0].box().left, sign[0].box().right)]
    if pump is not None:
        edges += [room.left + cell * len(chain), room.left + cell * len(chain) + PUMP[0]]
    for a, b in zip(edges[1::2], (*edges[2::2], out), strict=True):
        board.stroke((a, y), (b, y))
    for x, stand, sign in zip(at, chain, signs, strict=True):
        board.sign(sign)
        if not narrow and stand.words:
            words = fonts.fit(stand.words, 2.5, cell - 1.0)
            clear = room.left + cell * len(chain) - 2.0 - fonts.width(words, 2.5) / 2  # of the leader beyond
            board.write_free(Text((min(x, clear), y + 5.0), words, align="middle", layer="NOTE"))
    if pump is not None:
        _pump(board, design, (room.left + cell * len(chain) + PUMP[0] / 2, y), room, locale)
    for x, stand in zip(at, chain, strict=True):
        if stand.gauge is not None:
            _gauge(board, x, y, stand.gauge, locale, room)
    return y


def water_chain(design: LineJob, locale: Locale) -> list[PumpChainItem]:
    """What water meets from the point to the pump, or to where the line begins, in the usual order."""
    label, plumbing = locale.label, design.project.plumbing
    water, duty = plumbing.water, design.line.duty
    point = None if water.tank is not None else duty.point.point_gauge
    chain = [PumpChainItem("W", label("paper_line.water"), point)]
    if any(kind in HAND and count for piece in plumbing.inlet for kind, count in piece.fittings):
        chain.append(PumpChainItem(""))
    chain.append(PumpChainItem("BP", label("paper_line.backflow")))
    if water.treatment != "none":
        letters = label(f"paper_line.letters_{water.treatment.replace(' ', '_')}")
        chain.append(PumpChainItem(letters))
    if water.tank is not None:
        chain.append(PumpChainItem("TK", label("paper_line.tank")))
        chain.append(PumpChainItem("LP", label("paper_line.lift"), duty.point.point_gauge))
    if water.filter is not None:
        chain.append(PumpChainItem("F", locale.number(water.filter, "drop_size")))
    return chain


def _box(x: float, y: float, letters: str) -> list[Item]:
    wide = max(5.2, fonts.width(letters, 2.5, True) + 1.8)
    corners = tuple((x + a * wide / 2, y + b * 2.6) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
    return [
        Polyline(corners, True, WHITE, layer="TUBE", pen=BOLD),
        Text((x, y - 1.25), letters, 2.5, True, align="middle", layer="TUBE"),
    ]


def _gauge(board: DiagramCanvas, x: float, y: float, gauge: float, locale: Locale, room: Box) -> None:
    """What a gauge shows there while the line runs, on a leader; left out where there is no room."""
    words = locale.number(gauge, "pressure")
    half = fonts.width(words, 2.5, True) / 2 + 1.5
    sign = symbols.value_box((max(x, room.left + half), y + ABOVE), words, 2.5)
    if not board.free(sign[0].box()):
        return
    board.sign(sign)
    top = y + ABOVE - 2.6
    under = [box.top for box in board.written if box.left < x < box.right and y < box.bottom < top]
    board.stroke((x, under[0] + 0.4 if under else y + 2.7), (x, top), FINE, "NOTE")


def _pump(board: DiagramCanvas, design: LineJob, at: tuple[float, float], room: Box, locale: Locale) -> None:
    """Pump with flow and motor, what is left before it and held behind it, bypass and relief valve."""
    (x, y), (wide, tall), duty, label = at, PUMP, design.line.duty, locale.label
    corners = tuple((x + a * wide / 2, y + b * tall / 2) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
    lines: Sequence[str] = (
        label("paper_line.pump"),
        locale.number(duty.pick_flow, "flow"),
        locale.number(duty.pick_motor, "motor"),
    )
    box: list[Item] = [Polyline(corners, True, WHITE, layer="TUBE", pen=BOLD)]
    for n, words in enumerate(lines):
        fitted = fonts.fit(words, 2.5, wide - 1.5, n == 0)
        box.append(Text((x, y + 2.4 - 3.9 * n), fitted, 2.5, n == 0, align="middle", layer="TUBE"))
    board.sign(box)
    unknown = label("paper_check.unstated")
    before = unknown if duty.inlet_gauge is None else locale.number(duty.inlet_gauge, "pressure")
    _gauge_beside(board, x - wide / 2 - 1.2, y, before, -1)
    for words in (_held(design, locale), locale.number(design.line.supply_gauge, "pressure")):
        if _gauge_beside(board, x + wide / 2 + 1.2, y, words, 1):
            break
    low, left, right = y - tall / 2 - 3.0, x - wide / 2 - 1.6, x + wide / 2 + 1.6
    for a, b in (((left, y), (left, low)), ((left, low), (right, low)), ((right, low), (right, y))):
        board.stroke(a, b, MEDIUM)
    board.sign(symbols.valve((x, low)))
    plate = design.project.plumbing.pump.nameplate if design.project.plumbing.pump else None
    relief = plate.relief if plate is not None else None
    words = label("paper_line.bypass", relief=relief) if relief else ""
    if not words and duty.relief_range is not None:
        words = label("paper_line.bypass_range", low=duty.relief_range[0], high=duty.relief_range[1])
    words = words or label("paper_line.bypass_alone")
    beside = Text((right + 2.0, low - 1.2), words, layer="NOTE")
    if not board.write_free(beside):
        board.write_free(
            Text((right + 2.0, low - 1.2), fonts.fit(words, 2.5, room.right - right - 3), layer="NOTE")
        )


def _held(design: LineJob, locale: Locale) -> str:
    """What the gauge behind the pump shows: from least to most where it differs from zone to zone, as the
    boxes of the runs do."""
    gauges = [zone.supply_gauge for zone in design.line.zones if zone.marks] or [design.line.supply_gauge]
    low, high = (locale.number(pick(gauges), "pressure") for pick in (min, max))
    return low if low == high else locale.label("paper_line.from_to", low=low.rpartition(" ")[0], high=high)


def _gauge_beside(board: DiagramCanvas, x: float, y: float, words: str, side: int) -> bool:
    """A gauge over the pump's inlet or outlet, on a leader that leans outward; False: no room."""
    half = fonts.width(words, 2.5, True) / 2 + 1.2
    out = min(half - 2.0, OUTLET - 3.0 - half)  # a wide one stays short of the tube that rises beyond
    sign = symbols.value_box((x + side * out, y + ABOVE), words, 2.5)
    if not board.free(sign[0].box()):
        return False
    board.sign(sign)
    board.stroke((x, y + 0.5), (x, y + ABOVE - 2.6), FINE, "NOTE")
    return True
