"""What was assumed, asked: under who answers, by when and what hangs on it; a line each, with a blank."""

from __future__ import annotations

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
# Columns: the box to tick, the room to write what is so; the question has the rest [mm].
YES, BLANK = 8.0, 46.0
MOST_WIDE = 200.0  # on a sheet of notes [mm]
# Of the writing, and a line a hand writes on [mm]: the first that takes least pages.
SIZES = ((3.5, 6.2), (2.5, 6.2), (3.5, 5.6), (2.5, 5.3))


class Answerer(NamedTuple):
    """Of keys that begin so: who answers, before which step of the close-in, and what an answer changes."""

    begins: str
    trade: str
    before: str
    changes: str


# The first that fits. Whose answer it is and by when: common practice, no source.
ANSWERERS = (
    Answerer("patio.line_behind_edge", "builder", "framing", "marks"),  # the framer bores for the tube
    Answerer("line.tube.outside", "installer", "framing", "line"),
    Answerer("patio.run.framing", "framer", "tube", "marks"),
    Answerer("patio.edge_beam", "framer", "tube", "marks"),
    Answerer("patio.plaster", "plasterer", "tube", "stubs"),
    Answerer("patio.boards", "framer", "tube", "stubs"),
    Answerer("patio.open_framing", "builder", "tube", "stubs"),
    Answerer("patio.obstacle.air_speed", "electrician", "", "cooling"),
    Answerer("patio.obstacle", "builder", "wiring", "marks"),
    Answerer("patio.house", "builder", "", "cooling"),
    Answerer("patio.screen", "builder", "", "cooling"),
    Answerer("patio.height", "builder", "", "cooling"),
    Answerer("patio.back", "builder", "", "cooling"),
    Answerer("patio", "builder", "tube", "marks"),
    Answerer("line.tube.stick", "installer", "tube", "cuts"),
    Answerer("line.own.tube.stick", "installer", "tube", "cuts"),
    Answerer("line.tube.kerf", "installer", "tube", "cuts"),
    Answerer("line", "installer", "tube", "line"),
    Answerer("pump", "installer", "wiring", "line"),
    Answerer("water", "plumber", "plumbing", "line"),
    Answerer("tariff", "owner", "", "money"),
    Answerer("prices", "owner", "", "money"),
    Answerer("", "builder", "", "cooling"),
)
SOONEST_FIRST = ("framing", "plumbing", "wiring", "tube", "")


class Question(NamedTuple):
    """What is asked, under what head."""

    head: str
    sentence: str


def question_pages(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """One page, more where much was assumed; none where nothing was. All in one size of writing."""
    box = paper.inside.grown(-2.0)
    room = Box(box.left + 2.0, box.bottom + FOOT, box.right - 2.0, box.top - 1.0)
    title, lead = locale.label("paper_questions.title"), locale.label("paper_questions.lead")
    items, top = page_head(design, room, title, lead, locale)
    asked = _questions(design, locale)
    tries = [_pages(asked, room._replace(top=top), size, locale) for size in SIZES]
    return tuple(
        SheetDraft(paper, title, (*items, *drawn), kind="questions") for drawn in min(tries, key=len)
    )


def questions_below(design: Design, room: Box, locale: Locale) -> list[Item] | None:
    """All of it at the foot of a sheet of notes; None where nothing was assumed or not all finds room."""
    asked = _questions(design, locale)
    room = room._replace(right=min(room.right, room.left + MOST_WIDE))
    title = text_and_tables.heading(locale.label("paper_questions.title").upper())
    head = text_and_tables.flow_text([title, Paragraph(locale.label("paper_questions.lead"))], [room])
    if not asked or head.left_over:
        return None
    tries = [_rows(asked, room._replace(top=head.bottom - 1.0), size, locale) for size in SIZES]
    return next(([*head.items, *drawn] for drawn, count in tries if count == len(asked)), None)


def _questions(design: Design, locale: Locale) -> list[Question]:
    """Those of one head together, the soonest to be answered first."""
    listed = list_assumptions(design.project, locale, design.line)
    told = [(_answerer(one), one) for one in listed]
    heads = {of: n for n, of in enumerate(dict.fromkeys(of._replace(begins="") for of, _ in told))}
    told.sort(key=lambda each: (SOONEST_FIRST.index(each[0].before), heads[each[0]._replace(begins="")]))
    return [Question(_head(design, of, locale), one.sentence) for of, one in told]


def _answerer(assumption: Assumption) -> Answerer:
    return next(answerer for answerer in ANSWERERS if assumption.key.startswith(answerer.begins))


def _head(design: Design, of: Answerer, locale: Locale) -> str:
    """Who, by when, and what changes."""
    step = design.calendar.step(of.before) if design.calendar is not None else None
    by = locale.label(f"paper_questions.before_{of.before or 'season'}")
    if step is not None and design.calendar is not None:
        by = locale.label("paper_questions.before", day=when(design.calendar, step.first, locale))
    key = "paper_calendar.sign_owner" if of.trade == "owner" else "paper_trade.sign"
    changes = locale.label(f"paper_questions.changes_{of.changes}")
    who = locale.label(key, trade=of.trade)
    return locale.label("paper_questions.head", who=who, by=by, changes=changes)


def _pages(asked: list[Question], room: Box, size: tuple[float, float], locale: Locale) -> list[list[Item]]:
    pages: list[list[Item]] = []
    while asked:
        drawn, count = _rows(asked, room, size, locale)
        pages.append(drawn)
        asked = asked[count:] if count else []
    return pages


def _rows(
    asked: list[Question], room: Box, size: tuple[float, float], locale: Locale
) -> tuple[list[Item], int]:
    """As many questions as find room, in capitals of a size, each head again where a page begins."""
    high, line = size
    left, blank = room.left + YES, room.right - BLANK
    items: list[Item] = []
    y, head = room.top, ""
    for n, question in enumerate(asked):
        top, drawn = y, list[Item]()
        if question.head != head:
            flowed = text_and_tables.flow_text(
                [Paragraph(question.head, 2.5, bold=True)], [Box(room.left, -1e6, room.right, y - 2.6)]
            )
            top = flowed.bottom - 1.4
            rule = LineSegment((room.left, top), (room.right, top), layer="NOTE", pen=BOLD)
            drawn += [*flowed.items, rule]
        flowed = text_and_tables.flow_text(
            [Paragraph(question.sentence, high)], [Box(left, -1e6, blank - 4.0, top - 1.0)]
        )
        low = min(flowed.bottom - 1.2, top - line)
        if low < room.bottom:
            return items, n
        no = Text((blank, top - 4.4), locale.label("paper_questions.no"), 2.5, layer="NOTE")
        ends = ((blank + no.width + 1.2, top - 5.0), (room.right, top - 5.0))
        items += [*drawn, *flowed.items, *symbols.tick_box((room.left + 3.0, top - 3.1), 4.4), no]
        items.append(LineSegment(*ends, layer="NOTE", pen=THIN))
        y, head = low, question.head
    return items, len(asked)
