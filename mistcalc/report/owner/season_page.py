"""The owner's page of a typical year: what the mist takes and gives, as the terminal tells it."""

from __future__ import annotations

from dataclasses import replace

from mistcalc.drawing import fonts, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BLACK, BOLD, MEDIUM, WHITE, Item, LineSegment, Polyline, Text
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.model.results import Design
from mistcalc.report.common.findings_by_reader import about_climate, about_season
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.owner.season_text import season_blocks
from mistcalc.report.owner.text_blocks import PLAIN, Block, Prose, RangeBar, RangeBars, SeasonTable

ROW = 4.4  # mm: with less, writing meets the frame
GAP = 2.0
BAR = 2.6  # mm, how thick one is
BAR_NAMES, BAR_CLEAR = 24.0, 3.0  # mm, of a month, and between a figure and its bar
WITH_HEADING = 4  # rows that must have room below a heading
NAMES, FIGURES = 40, 40  # shares of a page's width, of a table of two columns


def season_pages(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """A page a job, more where patios or hours are many; none without a year."""
    if design.season is None:
        return ()
    findings = (*about_climate(design.findings), *about_season(design.findings))
    room = paper.inside.grown(-2.0)
    page = Box(room.left + 4.0, room.bottom + 7.0, room.right - 4.0, room.top - 2.0)
    pages: list[list[Item]] = [[]]
    y = page.top
    blocks = list(season_blocks(design.season, findings, design.project, locale))
    again, below = _title_again(blocks[0], page)
    for block in blocks:
        left: Block | RangeBars | None = block
        while left is not None:
            rest, fresh = page._replace(top=y), y == (page.top if len(pages) == 1 else below)
            if isinstance(left, Prose):
                items, y, left = _prose(left, rest, fresh, fresh and len(pages) == 1)
            elif isinstance(left, RangeBars):
                items, y, left = _bars(left, rest, fresh, locale)
            else:
                items, y, left = _table(left, rest, fresh)
            pages[-1] += items
            if left is not None:
                pages.append([*again])
                y = below
    name = _words_of(blocks[0])
    return tuple(SheetDraft(paper, name, tuple(items), kind="owner") for items in pages)


def _words_of(title: Block | RangeBars) -> str:
    return title.text if isinstance(title, Prose) else ""


def _title_again(title: Block | RangeBars, page: Box) -> tuple[list[Item], float]:
    """Over a further page, smaller."""
    flowed = text_and_tables.flow_text([Paragraph(_words_of(title), 3.5, bold=True)], [page])
    return flowed.items, flowed.bottom - GAP


def _prose(block: Prose, room: Box, fresh: bool, title: bool) -> tuple[list[Item], float, Prose | None]:
    """What was drawn, how low it reaches, and the block again where it found no room."""
    paragraph = Paragraph(block.text, bold=block.heading, before=GAP if block.heading else 1.6)
    if title:
        paragraph = Paragraph(block.text, 5.0, bold=True)
    flowed = text_and_tables.flow_text([paragraph], [room._replace(top=room.top - paragraph.before)])
    alone = block.heading and not title and flowed.bottom - WITH_HEADING * ROW < room.bottom
    if flowed.left_over or (alone and not fresh):
        return [], room.top, block
    if not title:
        return list(flowed.items), flowed.bottom, None
    y = flowed.bottom - 2.5
    line = LineSegment((room.left, y), (room.right, y), layer="NOTE", pen=BOLD)
    return [*flowed.items, line], y - 1.0, None


def _table(block: SeasonTable, room: Box, fresh: bool) -> tuple[list[Item], float, SeasonTable | None]:
    """The same of a table: one that does not fit begins a page, and goes on if a page is too short for it."""
    top, plain = room.top - (0.0 if fresh else GAP), block.widths == PLAIN
    if not fresh and top - ROW * (len(block.rows) + 2) < room.bottom:
        return [], room.top, block
    used = (NAMES, FIGURES) if plain else block.widths[: len(block.head)]
    heads, remark = ((block.head[0], ""), block.head[1]) if plain else (block.head, "")
    columns = [
        TableColumn(room.width * width / sum(used), head, "right" if n and not plain else "left")
        for n, (width, head) in enumerate(zip(used, heads, strict=True))
    ]
    rows = [Row(row) for row in block.rows]
    drawn = text_and_tables.table(columns, rows, (room.left, top), room.bottom, ROW)
    if drawn.rows < len(rows):
        return drawn.items, drawn.bottom, replace(block, rows=block.rows[drawn.rows :])
    if not remark:
        return drawn.items, drawn.bottom, None
    below = room._replace(top=drawn.bottom - 1.0, bottom=room.bottom - ROW)
    flowed = text_and_tables.flow_text([Paragraph(remark)], [below])
    return [*drawn.items, *flowed.items], flowed.bottom, None


def _bars(
    block: RangeBars, room: Box, fresh: bool, locale: Locale
) -> tuple[list[Item], float, RangeBars | None]:
    """The same of bars, which stay on one page."""
    y = room.top - (0.0 if fresh else GAP)
    if not fresh and y - ROW * (len(block.rows) + 3) < room.bottom:
        return [], room.top, block
    wide = (room.width - BAR_NAMES) / (len(block.head) - 1)
    lefts = [room.left, *(room.left + BAR_NAMES + n * wide for n in range(len(block.head) - 1))]
    figures = [
        max(fonts.width(bars[column].text, 2.5) for _, bars in block.rows) + BAR_CLEAR
        for column in range(len(block.head) - 1)
    ]
    y -= ROW
    items: list[Item] = [
        Text((x, y), head, 2.5, True, layer="NOTE") for x, head in zip(lefts, block.head, strict=True)
    ]
    for month, bars in block.rows:
        y -= ROW
        items.append(Text((room.left, y), month, 2.5, layer="NOTE"))
        for left, figure, bar in zip(lefts[1:], figures, bars, strict=True):
            items.append(Text((left, y), bar.text, 2.5, layer="NOTE"))
            items += _bar(bar, left + figure, y - 0.4, wide - figure - 4.0)
    meant = Paragraph(locale.label("season.bars_meant"))
    flowed = text_and_tables.flow_text([meant], [room._replace(top=y - 2.0, bottom=-1000.0)])
    return [*items, *flowed.items], flowed.bottom, None


def _bar(bar: RangeBar, left: float, foot: float, most: float) -> list[Item]:
    """Solid to the low figure, open to the high one, a line across at the middle: read in black and white."""
    low, middle, high = (left + most * share for share in bar.shares)

    def block(start: float, end: float, fill: str) -> Polyline:
        corners = ((start, foot), (end, foot), (end, foot + BAR), (start, foot + BAR))
        return Polyline(corners, True, fill, layer="NOTE", pen=MEDIUM)

    items: list[Item] = [block(left, high, WHITE)] if high > left else []
    items += [block(left, low, BLACK)] if low > left else []
    across = LineSegment((middle, foot - 0.6), (middle, foot + BAR + 0.6), layer="NOTE", pen=MEDIUM)
    return [*items, across] if high > left else []
