"""What shows when finished: elevations and a section to scale, for an architect or a design review board."""

from __future__ import annotations

from collections.abc import Sequence

from mistcalc.drawing import running_dimensions, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, HEAVY, MEDIUM, THIN, Hatch, Item, LineSegment, Polyline, Text, View
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.project import Patio
from mistcalc.model.results import Design
from mistcalc.report.builder.runs_in_plan import PlanRun, plan_runs
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.common.upright_page import page_head

FOOT = 8.0  # of a page [mm]
SCALES = {"us": (48, 64, 96, 128, 192, 384), "metric": (50, 75, 100, 150, 200, 400)}
CAPTION, BELOW, APART = 6.0, 9.0, 4.0  # over a view, under it for its dimension, to the next [mm]
TIP = 1.4  # a tip as drawn: larger than its scale, or nobody would find it [mm]
SIGNING = 7.0  # from one line of the approval to the next [mm]


def finished_pages(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """One page a patio."""
    return tuple(_page(design, patio, paper, locale) for patio in design.project.patios)


def _page(design: Design, patio: Patio, paper: PaperSize, locale: Locale) -> SheetDraft:
    box = paper.inside.grown(-2.0)
    room = Box(box.left + 2.0, box.bottom + FOOT, box.right - 2.0, box.top - 1.0)
    title = locale.label("paper_finished.title")
    many = len(design.project.patios) > 1
    lead = locale.label("paper_finished.lead", patio=patio.name if many else "")
    items, top = page_head(design, room, title, lead, locale)
    words = _words(design, patio, locale)
    block, tall = _approval(room, locale)
    flowed = text_and_tables.level(words, text_and_tables.split(room._replace(bottom=-200.0), 90.0, 6.0))
    low = room.bottom + tall + room.top - flowed.bottom + 4.0
    items += _views(design, patio, room._replace(top=top, bottom=low), locale)
    columns = text_and_tables.split(Box(room.left, room.bottom + tall, room.right, low - 2.0), 90.0, 6.0)
    items += text_and_tables.flow_text(words, columns).items
    return SheetDraft(paper, title, (*items, *block), patio.name, kind="finished")


# ------------------------------------------------------------------ to scale


def _views(design: Design, patio: Patio, room: Box, locale: Locale) -> list[Item]:
    """An elevation of each run and one section, at the largest usual scale at which all find room."""
    runs = plan_runs(patio, design.layout_of(patio.name))
    widest = max([patio.depth, *(run.run.length for run in runs)])
    fascia = max(run.run.framing.depth for run in runs)
    for scale in SCALES[locale.units]:
        k = 1000.0 / scale
        each = CAPTION + (patio.height + fascia) * k + BELOW + APART
        if widest * k <= room.width - 30.0 and each * (len(runs) + 1) <= room.height:
            break
    fits = max(int(room.height / each), 1)
    items: list[Item] = []
    y = room.top - 3.0
    for n in range(min(len(runs) + 1, fits)):
        view = View(f"finished {patio.name} {n}", scale, (room.left + 2.0, y - each + APART + BELOW))
        run = runs[n - 1] if n else None
        items += _section(patio, runs[0], fascia, view, locale) if run is None else []
        items += _elevation(patio, run, fascia, view, locale) if run is not None else []
        y -= each
    return items


def _box(view: View, x0: float, y0: float, x1: float, y1: float, hatch: Hatch | None = None) -> Polyline:
    corners = tuple(view.paper(p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    return Polyline(corners, True, None, hatch, layer="LID", pen=BOLD, view=view)


def _frame(view: View, wide: float, patio: Patio, words: str, locale: Locale) -> list[Item]:
    """Floor, caption, and height and length."""
    floor = LineSegment(
        view.paper((-0.3, 0.0)), view.paper((wide + 0.3, 0.0)), layer="WALL", pen=HEAVY, view=view
    )
    (x, low), (right, high) = view.paper((0.0, 0.0)), view.paper((wide, patio.height))
    caption = Text((x, high + 4.2 + view.length(0.3)), words, 2.5, True, layer="NOTE")
    level = running_dimensions.dimension(
        (x, low), (right, low), (x, low - 6.0), 0.0, locale.tape(wide), view=view
    )
    tall = Text(
        (right + 5.0, (low + high) / 2 - 1.25), locale.tape(patio.height), 2.5, True, layer="DIM-MARK"
    )
    side = LineSegment((right + 3.5, low), (right + 3.5, high), layer="DIM-MARK", pen=THIN)
    return [floor, caption, level, tall, side]


def _elevation(patio: Patio, run: PlanRun, fascia: float, view: View, locale: Locale) -> list[Item]:
    """A run as seen from outside: the edge of the ceiling, tips below it, posts."""
    long = run.run.length
    at_start = run.run.datum.end == "start"
    words = locale.label(
        "paper_finished.elevation", run=run.run.name, count=len(run.marks), scale=round(view.scale)
    )
    items = [
        *_frame(view, long, patio, words, locale),
        _box(view, 0.0, patio.height, long, patio.height + fascia),
    ]
    for mark in run.marks:
        x, y = view.paper((mark.along if at_start else long - mark.along, patio.height))
        items.append(LineSegment((x, y), (x, y - TIP), layer="TUBE", pen=BOLD, view=view))
    for thing in patio.obstacles:
        if thing.kind == "column" and thing.run == run.run.name:
            x0 = (thing.along if at_start else long - thing.along) - thing.size[0] / 2
            items.append(_box(view, x0, 0.0, x0 + thing.size[0], patio.height))
    return items


def _section(patio: Patio, run: PlanRun, fascia: float, view: View, locale: Locale) -> list[Item]:
    """From the open edge on the left to the house: where a tip shows."""
    words = locale.label("paper_finished.section", scale=round(view.scale), back=run.line.back)
    items = [*_frame(view, patio.depth, patio, words, locale)]
    items.append(_box(view, 0.0, patio.height, patio.depth, patio.height + fascia, Hatch(2.2)))
    if patio.back == "wall":
        items.append(_box(view, patio.depth, 0.0, patio.depth + 0.15, patio.height + fascia))
    x, y = view.paper((run.line.back, patio.height))
    return [*items, LineSegment((x, y), (x, y - TIP), layer="TUBE", pen=HEAVY, view=view)]


# ------------------------------------------------------------------ words and approval


def _words(design: Design, patio: Patio, locale: Locale) -> list[Paragraph]:
    label, plumbing = locale.label, design.project.plumbing
    layout = design.layout_of(patio.name)
    told = []
    for run in layout.lid.runs:
        marks = [mark for mark in layout.marks if mark.run == run.name]
        gaps = dict(layout.gaps)[run.name]
        if marks and gaps:
            least, most = min(gaps), max(gaps)
            values = {"count": len(marks), "least": least, "most": most, "even": most - least < 1e-6}
            told.append(label("paper_finished.tips", run=run.name, uneven=not values["even"], **values))
    first = next(iter(layout.marks), None)
    tube = plumbing.tube if first is None else plumbing.on_run(first.run).tube or plumbing.tube
    below = patio.plaster.trim
    told.append(label("paper_finished.size", outside=tube.outside, below=below))
    told.append(label("paper_finished.hidden"))
    if plumbing.pump is not None:
        told.append(
            label("paper_finished.pump", place=plumbing.pump.place or label("paper_trade.place_open"))
        )
        told.append(label("paper_finished.noise"))
    told.append(label("paper_finished.water", hour=design.use.an_hour))
    drains = tuple(str(drain.at) for drain in plumbing.drains)
    if drains:
        told.append(label("paper_finished.drains", drains=drains))
    told.append(label("paper_finished.open"))
    return [Paragraph(words, sign="–", indent=3.5) for words in told]


def _approval(room: Box, locale: Locale) -> tuple[list[Item], float]:
    """The block at the foot: three boxes to tick, whose approval, and its date."""
    tall = 10.0 + 2 * SIGNING
    box = room._replace(top=room.bottom + tall)
    items: list[Item] = [Polyline(box.corners, True, layer="NOTE", pen=HEAVY)]
    head = Text(
        (box.left + 3.5, box.top - 6.0), locale.label("paper_finished.approval"), 3.5, True, layer="NOTE"
    )
    items.append(head)
    for row, keys in enumerate((("approved", "as_noted", "again"), ("board", "signed", "date"))):
        items += _blanks(keys, row == 0, box, box.top - 13.0 - SIGNING * row, locale)
    return items, tall + 3.0


def _blanks(keys: Sequence[str], ticks: bool, box: Box, y: float, locale: Locale) -> list[Item]:
    items: list[Item] = []
    wide = (box.width - 7.0) / len(keys)
    for n, key in enumerate(keys):
        x = box.left + 3.5 + n * wide
        if ticks:
            square = Box(x, y - 0.8, x + 3.8, y + 3.0)
            items.append(Polyline(square.corners, True, layer="SHEET", pen=BOLD))
            x += 5.6
        text = Text((x, y), locale.label(f"paper_finished.{key}"), 2.5, layer="NOTE")
        items.append(text)
        if not ticks:
            ends = ((x + text.width + 1.2, y - 0.7), (box.left + 3.5 + (n + 1) * wide - 3.0, y - 0.7))
            items.append(LineSegment(*ends, layer="NOTE", pen=MEDIUM))
    return items
