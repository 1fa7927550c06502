"""Where the pressure goes: lost from the supply to each zone's last nozzle, under the tube it is lost in."""

from __future__ import annotations

from math import floor, log10

from mistcalc.drawing.boxes import Box
from mistcalc.drawing.sheet import BOLD, FINE, LineSegment, Pen, Text
from mistcalc.model.results import ZoneFlow
from mistcalc.report.common.line_kind import LineJob
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.installer.line_diagram.arrangement import DiagramLayout
from mistcalc.report.installer.line_diagram.canvas import DiagramCanvas, longest
from mistcalc.units import parse

MOST = 4  # curves
PENS = (BOLD, Pen(0.35, (5.0, 1.5)), Pen(0.35, (2.0, 1.2)), Pen(0.35, (8.0, 1.5, 1.0, 1.5)))
UNIT = {"us": parse("1 psi", "pressure"), "metric": parse("1 bar", "pressure")}
LEAST_STEP = 4.4  # between two lines of it [mm]
TALL, HEAD = 20.0, 9.0  # least height of a picture worth drawing; of its title


def lost(zone: ZoneFlow) -> float:
    """From the supply to its last nozzle [Pa], height counted in."""
    return zone.way[0][1] - zone.way[-1][1]


def curves_of(design: LineJob, plot: DiagramLayout) -> list[ZoneFlow]:
    """The zones of a sheet that lose most, the most first."""
    shown = [z for z in design.line.zones if z.marks and len(z.way) > 1 and z.way[-1][0] in plot.nodes]
    return sorted(shown, key=lambda zone: -lost(zone))[:MOST]


def draw_curves(
    board: DiagramCanvas, design: LineJob, plot: DiagramLayout, room: Box, locale: Locale
) -> None:
    """The zones that lose most, each on its way by the shortest tube."""
    shown = curves_of(design, plot)
    if not shown or room.height < TALL:
        return
    title = Text((room.left, room.top - 4.0), locale.label("paper_line.curves"), 3.5, True, layer="NOTE")
    board.write(title)
    x = title.box().right + 5.0
    leads = [locale.label(f"paper_line.curves_{key}") for key in ("lead", "short")]
    board.write(Text((x, room.top - 4.0), longest(leads, room.right - x), layer="NOTE"))
    area = room._replace(top=room.top - HEAD, bottom=room.bottom + 3.0)
    drops = [zone.way[0][1] - gauge for zone in shown for _, gauge in zone.way]
    low, high = min(0.0, *drops), max(0.0, *drops)
    most = min(5.0, area.height / LEAST_STEP)
    step = _step((high - low) / UNIT[locale.units], most) * UNIT[locale.units]
    first, last = floor(low / step + 1e-9), -floor(-high / step + 1e-9)
    span = max(last - first, 1) * step

    def y(drop: float) -> float:
        return area.top - (drop - first * step) / span * area.height

    start = min(plot.nodes.values())
    for n in range(first, last + 1):
        level = y(n * step)
        words = locale.number(n * step, "dial") if n else locale.number(0.0, "dial")
        board.write(Text((start - 3.0, level - 1.0), words, align="right", layer="NOTE"))
        board.items.append(LineSegment((start - 1.5, level), (room.right, level), layer="TUBE", pen=FINE))
    for zone, pen in zip(shown, PENS, strict=False):
        points = [
            (plot.nodes[name], y(zone.way[0][1] - gauge)) for name, gauge in zone.way if name in plot.nodes
        ]
        board.path(points, pen)
    for zone in shown:
        end = plot.nodes[zone.way[-1][0]], y(lost(zone))
        many = len(design.line.zones) > 1
        words = locale.label(
            "paper_line.curve", zone=zone.name if many else "", mark=zone.far_mark, loss=lost(zone)
        )
        board.label(end, 0.4, words, bold=True)


def _step(span: float, most: float) -> float:
    """A step of 1, 2 or 5 that parts a span in as many as may be, and not in more."""
    if span <= 0.0:
        return 1.0
    ten = 10.0 ** floor(log10(span / most))
    return next(ten * factor for factor in (1.0, 2.0, 5.0, 10.0, 20.0) if span <= (most - 0.8) * ten * factor)
