"""What of the afternoons found no room on the owner's pages: a page under a title that says so."""

from __future__ import annotations

from mistcalc.drawing import text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.owner.measuring_day_page import titled

COLUMN, GUTTER = 85.0, 7.0  # mm


def more_pages(left: tuple[Paragraph, ...], paper: PaperSize, locale: Locale) -> list[SheetDraft]:
    """Larger where one page takes it so."""
    room = paper.inside.grown(-2.0)
    page = Box(room.left + 4.0, room.bottom + 7.0, room.right - 4.0, room.top - 2.0)
    head, y = titled(locale.label("paper_owner.more_title"), "", page)
    columns = text_and_tables.split(page._replace(top=y - 3.0), COLUMN, GUTTER)
    drafts: list[SheetDraft] = []
    rest = left
    while rest:
        words = text_and_tables.under_head(rest, left)
        tries = [text_and_tables.level(each, columns) for each in (text_and_tables.larger(words), words)]
        flowed = next((one for one in tries if not one.left_over), tries[-1])
        if len(flowed.left_over) >= len(rest):  # one paragraph taller than a page: nothing a person wrote
            break
        rest = flowed.left_over
        items = (*head, *flowed.items)
        drafts.append(SheetDraft(paper, locale.label("paper_owner.more_title"), items, kind="owner"))
    return drafts
