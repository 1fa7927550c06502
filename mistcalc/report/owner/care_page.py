"""The owner's last page: what can hurt someone, then a card for each season. What it asks is common practice.

The card sends nobody up a ladder: nozzle work is the fitter's, locked out first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mistcalc.drawing import alerts, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, LineSegment
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Design, Finding
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.findings_by_reader import cautions, notes_apart
from mistcalc.report.common.line_kind import line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.paragraph_spacing import closer
from mistcalc.report.common.sheet_draft import SheetDraft

CARD = ("weeks", "idle", "start", "clean", "filter", "wear", "frost")
BLANK = "_" * 20
COLUMN, GUTTER = 85.0, 7.0  # of the words below the boxes [mm]


def care_pages(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """A page a job, more where words are many."""
    room = paper.inside.grown(-2.0)
    column = Box(room.left + 4.0, room.bottom + 7.0, room.right - 4.0, room.top - 2.0)
    full = cautions(design.findings, "owner")
    boxes, top = alerts.draw(caution_boxes.for_owner(full, locale), column._replace(top=column.top - 16.0))
    paragraphs = list(_card(design, full, locale))
    drafts: list[SheetDraft] = []
    while paragraphs or not drafts:
        head = text_and_tables.flow_text(
            [Paragraph(locale.label("paper_care.title"), 7.0, bold=True)], [column]
        )
        y = head.bottom - 3.0
        line = LineSegment((column.left, y), (column.right, y), layer="NOTE", pen=BOLD)
        open_part = column._replace(top=(y if drafts else top) - 4.0)
        columns = text_and_tables.split(open_part, COLUMN, GUTTER)
        drawn = text_and_tables.level(paragraphs, columns)
        if drawn.left_over:  # closer together rather than on another page, where that is enough
            close = text_and_tables.level(closer(paragraphs), columns)
            drawn = drawn if close.left_over else close
        items = (*head.items, line, *(() if drafts else boxes), *drawn.items)
        drafts.append(SheetDraft(paper, locale.label("paper_care.title"), items, kind="owner"))
        paragraphs = list(drawn.left_over)
    return tuple(drafts)


def _card(design: Design, full: Sequence[Finding], locale: Locale) -> Iterator[Paragraph]:
    label, use = locale.label, design.use
    yield text_and_tables.heading(label("paper_care.call"))
    yield from (_item(f"{label(f'paper_care.{who}')} {BLANK}") for who in ("fitter", "provider"))
    yield text_and_tables.heading(label("paper_care.season"))
    pumped = design.project.plumbing.pump is not None
    empty = line_conditions(design)
    sentences = [
        label("paper_care.fitter_does", **empty),
        *(label(f"paper_care.{name}", **empty) for name in CARD),
    ]
    sentences.append(label("paper_care.tonight" if pumped else "paper_care.tonight_mains", **empty))
    urgent, notes = notes_apart(full)
    sentences += [locale.say(note) for note in notes]
    yield from (_item(words) for words in sentences)
    yield text_and_tables.heading(label("paper_care.uses"))
    yield _item(label("paper_check.use_hour", hour=use.an_hour))
    yield _item(label("paper_check.use_most", day=use.a_day, hours=f"{use.hours:.3g}"))
    if use.dust_hour is not None:
        yield _item(label("paper_care.dust", hour=use.dust_hour))
    yield text_and_tables.heading(label("paper_care.more"))  # the check sheet tells the others in full
    yield from (_item(locale.say(caution)) for caution in urgent if caution.audience == ("owner",))


def _item(words: str) -> Paragraph:
    return Paragraph(words, sign="–", indent=3.5, before=1.6)
