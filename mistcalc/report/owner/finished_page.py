"""What shows when finished: elevations and a section to scale, for an architect or a design review board."""

from __future__ import annotations

from collections.abc import Sequence

from mistcalc.drawing import fonts, running_dimensions, text_and_tables
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, HEAVY, MEDIUM, THIN, Hatch, Item, LineSegment, Polyline, Text, View
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.lid_heights import level_distance, lowest_and_highest, risen, run_heights
from mistcalc.model.project import Patio
from mistcalc.model.results import Design
from mistcalc.report.builder.runs_in_plan import PlanRun, plan_runs
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.common.upright_page import page_head

FOOT = 8.0  # of a page [mm]
SCALES = {  # down to site plans': a lid may be longer than any patio
    "us": (48, 64, 96, 128, 192, 240, 384, 600, 1200, 2400),
    "metric": (50, 75, 100, 150, 200, 250, 400, 500, 1000, 2000),
}
CAPTION, LINE = 5.8, 4.2  # over a view: a caption of one line, each further line [mm]
BELOW, APART = 9.0, 4.0  # under a view for its dimension, to the next [mm]
CLOSE = 3.0  # left of a view without a height there [mm]
ASIDE, FROM_LINE = 3.5, 1.5  # from a view to the line of its height; from that to the figure [mm]
FIGURE = 9.0  # half of a dimension's figure, which may be wider than its view [mm]
CAPTIONED = 67.0  # the least width of a caption, which is then in lines [mm]
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
    lead = locale.label(
        "paper_finished.lead", covered=patio.plaster.covered, patio=patio.name if many else ""
    )
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
    """A section and an elevation of each run, in rows, at the largest usual scale at which all find room."""
    rows_of = plan_runs(patio, design.layout_of(patio.name), design.line)
    runs = [row for row in rows_of if not row.second]
    tips = [row.line.back for row in rows_of if row.of == runs[0].of]
    fascia = max(run.run.framing.depth for run in runs)
    wides = [runs[0].depth, *(level_distance(run.run, run.run.length) for run in runs)]
    beside = _beside(patio, locale)
    lefts = [CLOSE, *(beside if run.run.rise else CLOSE for run in runs)]
    high = lowest_and_highest(patio)[1] + fascia
    for scale in SCALES[locale.units]:
        k = 1000.0 / scale
        words = [_section_words(tips, scale, locale), *(_run_words(run, scale, locale) for run in runs)]
        over = [
            CAPTION + LINE * (len(_caption(w, wide * k)) - 1) for w, wide in zip(words, wides, strict=True)
        ]
        clear = [max(left, FIGURE - wide * k / 2) for wide, left in zip(wides, lefts, strict=True)]
        rows = _rows([wide * k + beside for wide in wides], clear, room.width)
        deep = [max(over[n] for n, _ in row) + high * k + BELOW + APART for row in rows]
        widest = max(wide * k + left for wide, left in zip(wides, lefts, strict=True))
        if sum(deep) <= room.height and widest + beside <= room.width:
            break
    items: list[Item] = []
    y = room.top - 3.0
    for row, tall in zip(rows, deep, strict=True):
        if y - tall < room.bottom - 3.0 and items:
            break
        for n, x in row:
            view = View(f"finished {patio.name} {n}", scale, (room.left + x, y - tall + APART + BELOW))
            drawn = _elevation(patio, runs[n - 1], fascia, view, locale) if n else None
            items += _section(patio, runs[0], tips, fascia, view, locale) if drawn is None else drawn
        y -= tall
    return items


def _beside(patio: Patio, locale: Locale) -> float:
    """Room that a height takes beside a view [mm]."""
    heights = [height - _build_up(patio) for ends in run_heights(patio) for height in ends]
    return ASIDE + FROM_LINE + max(fonts.width(locale.tape(height), 2.5, True) for height in heights) + 1.0


def _rows(wides: Sequence[float], lefts: Sequence[float], room: float) -> list[list[tuple[int, float]]]:
    """Views in rows, each in the first that has room: (number, where its zero lies across the page)."""
    rows: list[list[tuple[int, float]]] = []
    taken: list[float] = []
    for n, (wide, left) in enumerate(zip(wides, lefts, strict=True)):
        need = left + max(wide, CAPTIONED)
        row = next((m for m, x in enumerate(taken) if x + need <= room), len(rows))
        if row == len(rows):
            rows.append([])
            taken.append(0.0)
        rows[row].append((n, taken[row] + left))
        taken[row] += need
    return rows


def _caption(words: str, wide: float) -> list[str]:
    return fonts.wrap(words, 2.5, max(wide, CAPTIONED), True)


def _run_words(run: PlanRun, scale: float, locale: Locale) -> str:
    values = {"run": run.run.name, "count": len(run.marks), "scale": scale}
    return locale.label("paper_finished.elevation", **values)


def _section_words(tips: Sequence[float], scale: float, locale: Locale) -> str:
    key = "section" if len(tips) == 1 else "section_rows"
    return locale.label(f"paper_finished.{key}", scale=scale, back=tips[0], second=tips[-1])


def _build_up(patio: Patio) -> float:
    """Framing to finished face."""
    return patio.plaster.sheathing + patio.plaster.thickness


def _outline(view: View, corners: Sequence[Point], hatch: Hatch | None = None) -> Polyline:
    return Polyline(tuple(map(view.paper, corners)), True, None, hatch, layer="LID", pen=BOLD, view=view)


def _box(view: View, x0: float, y0: float, x1: float, y1: float, hatch: Hatch | None = None) -> Polyline:
    return _outline(view, ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), hatch)


def _height(view: View, x: float, aside: float, height: float, locale: Locale) -> list[Item]:
    """Floor to finished ceiling, beside the view: `aside` on paper, left of it where below zero."""
    (x, low), (_, high) = view.paper((x, 0.0)), view.paper((x, height))
    line = LineSegment((x + aside, low), (x + aside, high), layer="DIM-MARK", pen=THIN)
    words, align = locale.tape(height), "left" if aside > 0.0 else "right"
    at = (x + aside + (FROM_LINE if aside > 0.0 else -FROM_LINE), (low + high) / 2 - 1.25)
    return [line, Text(at, words, 2.5, True, align=align, layer="DIM-MARK")]


def _frame(view: View, wide: float, top: float, words: str, locale: Locale) -> list[Item]:
    """Floor, caption over `top` [m], and length."""
    floor = LineSegment(
        view.paper((-0.3, 0.0)), view.paper((wide + 0.3, 0.0)), layer="WALL", pen=HEAVY, view=view
    )
    (x, low), (right, _) = view.paper((0.0, 0.0)), view.paper((wide, 0.0))
    lines = _caption(words, right - x)
    y = view.paper((0.0, top))[1] + 2.2
    captions = [
        Text((x, y + LINE * n), line, 2.5, True, layer="NOTE") for n, line in enumerate(reversed(lines))
    ]
    level = running_dimensions.dimension(
        (x, low), (right, low), (x, low - 6.0), 0.0, locale.tape(wide), view=view
    )
    return [floor, *captions, level]


def _elevation(patio: Patio, run: PlanRun, fascia: float, view: View, locale: Locale) -> list[Item]:
    """A run as seen from outside, its start on the left: the edge of the ceiling, a beam below it, tips and
    posts. A run that slopes is as wide as it is in level measure."""
    n = next(n for n, other in enumerate(patio.runs) if other.name == run.run.name)
    ends = [height - _build_up(patio) for height in run_heights(patio)[n]]
    wide = level_distance(run.run, run.run.length)
    words = _run_words(run, view.scale, locale)

    def under(along: float) -> Point:
        """Level distance from the start, and the finished ceiling there, of something `along` the tape."""
        walked = along if run.run.datum.end == "start" else run.run.length - along
        return level_distance(run.run, walked), ends[0] + risen(run.run.rise, run.run.length, walked)

    over = fascia + _build_up(patio)
    corners = ((0.0, ends[0]), (wide, ends[1]), (wide, ends[1] + over), (0.0, ends[0] + over))
    items = [*_frame(view, wide, max(ends) + over, words, locale), _outline(view, corners)]
    items += _height(view, wide, ASIDE, ends[1], locale)
    if run.run.rise:
        items += _height(view, 0.0, -ASIDE, ends[0], locale)
    if patio.edge_beam.drop > 0.0:
        below = [(x, y - patio.edge_beam.drop) for x, y in corners[:2]]
        items.append(_outline(view, (*corners[:2], *reversed(below))))
    for mark in run.marks:
        x, y = view.paper(under(mark.along))
        items.append(LineSegment((x, y), (x, y - TIP), layer="TUBE", pen=BOLD, view=view))
    for thing in patio.obstacles:
        if thing.kind == "column" and thing.run == run.run.name:
            middle, high = under(thing.along)
            half = thing.size[0] / 2
            if not 0.0 <= middle <= wide:  # in the square of a corner, which another elevation shows
                continue
            items.append(_box(view, middle - half, 0.0, middle + half, high - patio.edge_beam.drop))
    return items


def _section(
    patio: Patio, run: PlanRun, tips: Sequence[float], fascia: float, view: View, locale: Locale
) -> list[Item]:
    """From the open edge on the left to the house, where the first run starts: where each row's tip shows."""
    words = _section_words(tips, view.scale, locale)
    high, over = patio.height - _build_up(patio), fascia + _build_up(patio)
    items = _frame(view, run.depth, high + over, words, locale) + _height(
        view, run.depth, ASIDE, high, locale
    )
    items.append(_box(view, 0.0, high, run.depth, high + over, Hatch(2.2)))
    if patio.edge_beam.drop > 0.0:
        items.append(_box(view, 0.0, high - patio.edge_beam.drop, patio.edge_beam.width, high))
    if patio.back == "wall":
        items.append(_box(view, run.depth, 0.0, run.depth + 0.15, high + over))
    for x, y in (view.paper((back, high)) for back in tips):
        items.append(LineSegment((x, y), (x, y - TIP), layer="TUBE", pen=HEAVY, view=view))
    return items


# ------------------------------------------------------------------ words and approval


def _words(design: Design, patio: Patio, locale: Locale) -> list[Paragraph]:
    label, plumbing = locale.label, design.project.plumbing
    layout = design.layout_of(patio.name)
    told = []
    for run in layout.lid.rows:
        marks = [mark for mark in layout.marks if mark.run == run.name]
        gaps = dict(layout.gaps)[run.name]
        if marks and gaps:
            least, most = min(gaps), max(gaps)
            values = {"count": len(marks), "least": least, "most": most, "even": most - least < 1e-6}
            told.append(label("paper_finished.tips", run=run.name, uneven=not values["even"], **values))
    first = next(iter(layout.marks), None)
    tube = plumbing.tube if first is None else plumbing.tube_on(first.run)
    below = patio.plaster.trim
    bare = "" if patio.plaster.covered else "_bare"
    told.append(label(f"paper_finished.size{bare}", outside=tube.outside, below=below))
    told.append(label(f"paper_finished.rest{bare}"))
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
