"""What was assumed, asked: who answers, by when, and what an answer other than that changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from mistcalc.drawing import symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, THIN, Item, LineSegment, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.results import Design
from mistcalc.report.common.assumptions import Assumption, list_assumptions
from mistcalc.report.common.calendar_text import when
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.common.upright_page import page_head

FOOT = 8.0  # of a page [mm]
YES, WHAT, WHO, BY = 11.0, 76.0, 30.0, 28.0  # columns; what changes has the rest [mm]
MOST_WIDE = 200.0  # on a sheet of notes [mm]
BLANK = 6.0  # under a question, to write what is so [mm]
SIZES = (3.5, 2.5)  # of the writing: larger where all finds room


class Answerer(NamedTuple):
    """Of keys that begin so: who answers, before which step of the close-in, and what an answer changes."""

    begins: str
    trade: str
    before: str
    changes: str


# The first that fits. Whose answer it is and by when: common practice, no source.
ANSWERERS = (
    Answerer("patio.run.framing", "framer", "tube", "marks"),
    Answerer("patio.edge_beam", "framer", "tube", "marks"),
    Answerer("patio.plaster", "plasterer", "tube", "stubs"),
    Answerer("patio.obstacle.air_speed", "electrician", "", "cooling"),
    Answerer("patio.obstacle", "builder", "wiring", "marks"),
    Answerer("patio.house", "builder", "", "cooling"),
    Answerer("patio.screen", "builder", "", "cooling"),
    Answerer("patio.height", "builder", "", "cooling"),
    Answerer("patio.back", "builder", "", "cooling"),
    Answerer("patio", "builder", "tube", "marks"),
    Answerer("line.tube.stick", "installer", "tube", "cuts"),
    Answerer("line.tube.kerf", "installer", "tube", "cuts"),
    Answerer("line", "installer", "tube", "line"),
    Answerer("pump", "installer", "wiring", "line"),
    Answerer("water", "plumber", "plumbing", "line"),
    Answerer("tariff", "owner", "", "money"),
    Answerer("prices", "owner", "", "money"),
    Answerer("", "builder", "", "cooling"),
)


def question_pages(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """One page, more where much was assumed; none where nothing was."""
    left = list(list_assumptions(design.project, locale, design.line))
    box = paper.inside.grown(-2.0)
    room = Box(box.left + 2.0, box.bottom + FOOT, box.right - 2.0, box.top - 1.0)
    title = locale.label("paper_questions.title")
    drafts = []
    while left:
        lead = locale.label("paper_questions.lead")
        items, top = page_head(design, room, title, lead, locale)
        tries = [_rows(design, left, room._replace(top=top), size, locale) for size in SIZES]
        drawn, count = next((t for t in tries if t[1] == len(left)), tries[-1])
        drafts.append(SheetDraft(paper, title, (*items, *drawn), kind="questions"))
        if not count:
            break
        left = left[count:]
    return tuple(drafts)


def questions_below(design: Design, room: Box, locale: Locale) -> list[Item] | None:
    """All of it at the foot of a sheet of notes; None where nothing was assumed or not all finds room."""
    asked = list(list_assumptions(design.project, locale, design.line))
    room = room._replace(right=min(room.right, room.left + MOST_WIDE))
    title = text_and_tables.heading(locale.label("paper_questions.title").upper())
    head = text_and_tables.flow_text([title, Paragraph(locale.label("paper_questions.lead"))], [room])
    if not asked or head.left_over:
        return None
    tries = [_rows(design, asked, room._replace(top=head.bottom - 1.0), size, locale) for size in SIZES]
    return next(([*head.items, *drawn] for drawn, count in tries if count == len(asked)), None)


def _rows(
    design: Design, asked: Sequence[Assumption], room: Box, size: float, locale: Locale
) -> tuple[list[Item], int]:
    """As many questions as find room, in capitals of a size, under the heads of their columns."""
    edges = [room.left, room.left + YES, room.left + YES + WHAT, room.left + YES + WHAT + WHO]
    columns = [*edges, edges[-1] + BY, room.right]
    keys = ("yes", "assumed", "who", "by", "changes")
    items: list[Item] = [
        Text((x, room.top - 4.0), locale.label(f"paper_questions.{key}"), 2.5, True, layer="NOTE")
        for x, key in zip(columns, keys, strict=False)
    ]
    y = room.top - 6.0
    items.append(LineSegment((room.left, y), (room.right, y), layer="NOTE", pen=BOLD))
    for n, assumption in enumerate(asked):
        cells = (assumption.sentence, *_told(design, assumption, locale))
        drawn, low = [], y
        for text, left, right in zip(cells, columns[1:-1], columns[2:], strict=True):
            inner = Box(left, -1e6, right - 2.0, y - 1.6)
            flowed = text_and_tables.flow_text([Paragraph(text, size)], [inner])
            drawn += flowed.items
            low = min(low, flowed.bottom - (BLANK if left == columns[1] else 0.0))
        if low - 1.0 < room.bottom:
            return items, n
        items += drawn
        items += symbols.tick_box((room.left + 3.0, y - 3.6), 4.4)
        written = min(low, y - 8.0)
        no = Text((columns[1], written), locale.label("paper_questions.no"), 2.5, layer="NOTE")
        ends = ((columns[1] + no.width + 1.2, written - 0.7), (columns[2] - 3.0, written - 0.7))
        y = written - 2.2
        items += [no, LineSegment(*ends, layer="NOTE", pen=THIN)]
        items.append(LineSegment((room.left, y), (room.right, y), layer="NOTE", pen=THIN))
    return items, len(asked)


def _told(design: Design, assumption: Assumption, locale: Locale) -> tuple[str, str, str]:
    """Who, by when, and what changes."""
    of = next(answerer for answerer in ANSWERERS if assumption.key.startswith(answerer.begins))
    step = design.calendar.step(of.before) if design.calendar is not None else None
    by = locale.label(f"paper_questions.before_{of.before or 'season'}")
    if step is not None and design.calendar is not None:
        by = locale.label("paper_questions.before", day=when(design.calendar, step.first, locale))
    owner = of.trade == "owner"
    key = "paper_calendar.sign_owner" if owner else "paper_trade.sign"
    who = locale.label(key, trade=of.trade)
    return who, by, locale.label(f"paper_questions.changes_{of.changes}")
