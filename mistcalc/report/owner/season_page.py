"""The owner's page of a typical year: what the mist takes and gives, as the terminal tells it."""

from __future__ import annotations

from dataclasses import replace

from mistcalc.drawing import text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, Item, LineSegment
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.model.results import Design
from mistcalc.report.common.findings_by_reader import about_season
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.owner.season_text import season_blocks
from mistcalc.report.owner.text_blocks import PLAIN, Block, Prose, SeasonTable

ROW = 4.4  # mm: with less, writing meets the frame
GAP = 2.0
WITH_HEADING = 4  # rows that must have room below a heading
NAMES, FIGURES = 40, 40  # shares of a page's width, of a table of two columns


def season_pages(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """A page a job, more where patios or hours are many; none without a year."""
    if design.season is None:
        return ()
    findings = about_season(design.findings)
    room = paper.inside.grown(-2.0)
    page = Box(room.left + 4.0, room.bottom + 7.0, room.right - 4.0, room.top - 2.0)
    pages: list[list[Item]] = [[]]
    y = page.top
    for block in season_blocks(design.season, findings, design.project, locale):
        left: Block | None = block
        while left is not None:
            rest, fresh = page._replace(top=y), y == page.top
            if isinstance(left, Prose):
                items, y, left = _prose(left, rest, fresh, fresh and len(pages) == 1)
            else:
                items, y, left = _table(left, rest, fresh)
            pages[-1] += items
            if left is not None:
                pages.append([])
                y = page.top
    short = locale.label("paper_owner.short")
    return tuple(SheetDraft(paper, short, tuple(items), kind="owner") for items in pages)


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
