"""Writing that found no room where it belongs: set into what stands open on other sheets of the set, then on
sheets of notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from mistcalc.drawing import text_and_tables
from mistcalc.drawing.boxes import Box, along, largest_empty
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import Item, LineSegment, Text
from mistcalc.drawing.text_and_tables import Flowed, Paragraph
from mistcalc.model.results import Design
from mistcalc.report.builder.questions_page import questions_below
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft

PAD = 6.0  # from the frame to what is written [mm]
COLUMN, GUTTER = 105.0, 8.0  # width of a column of notes, about, and between two [mm]
NARROW = 64.0  # a sheet's open part takes columns so wide at least [mm]
LEAST, FOOTED_LEAST = (NARROW, 20.0), (NARROW, 14.0)  # an open part that takes notes [mm]
UPRIGHT_LEAST = (NARROW, 40.0)  # of a page without a strip: less lies between its questions
ASKED = (175.0, 45.0)  # one that takes the questions [mm]
CLEAR = 4.0  # from what is drawn [mm]
SPOTS = 3  # open parts used of one sheet, the largest first
UPRIGHT_FOOT = 12.0  # of a page without a strip [mm]
UPRIGHT = ("questions", "owner")
OPEN = ("table", "record", "check", "diagram", "hold", "bid", "materials", "questions", "owner")


def fill(
    drafts: Sequence[SheetDraft], left: tuple[Paragraph, ...], title: Paragraph
) -> tuple[list[SheetDraft], tuple[Paragraph, ...]]:
    """The sheets with as much of what is left as their open parts hold, under a title, in the order they are
    bound; and the rest. A sheet of lists takes all under a later head where what is next has no room."""
    rest, filled = left, []
    for draft in drafts:
        if rest and draft.kind in OPEN:
            items, rest = _into(draft, rest, left, (title,))
            draft = replace(draft, items=(*draft.items, *items))
            for part in _parts(rest)[1:] if draft.paper.footed else ():
                items, lost = _into(draft, part, part, (), 1)
                if not lost:
                    draft = replace(draft, items=(*draft.items, *items))
                    left, rest = (tuple(p for p in of if p not in part) for of in (left, rest))
        filled.append(draft)
    return filled, text_and_tables.under_head(rest, left)


def _parts(paragraphs: Sequence[Paragraph]) -> list[tuple[Paragraph, ...]]:
    """What stands under each head."""
    heads = [n for n, p in enumerate(paragraphs) if p.keep]
    return [tuple(paragraphs[a:b]) for a, b in pairwise([*heads, len(paragraphs)])]


def with_own(drafts: Sequence[SheetDraft]) -> list[SheetDraft]:
    """Sheets without a right strip with what would stand there in their open parts, the last that has room
    first, each told once; what finds no room is left over."""
    made: list[SheetDraft] = []
    told: set[Paragraph] = set()
    for draft in reversed(drafts):
        if draft.paper.footed and draft.sections:
            heads = [
                (text_and_tables.heading(section.head), *(p for p in section.paragraphs if p not in told))
                for section in draft.sections
            ]
            own = tuple(p for section in heads if len(section) > 1 for p in section)
            items, rest = _into(draft, own, own, ()) if own else ([], ())
            told |= {p for p in own if not p.keep}
            left = (*draft.left_over, *text_and_tables.under_head(rest, own))
            draft = replace(draft, items=(*draft.items, *items), left_over=left, sections=())
        made.append(draft)
    return made[::-1]


def ask(design: Design, drafts: Sequence[SheetDraft], locale: Locale) -> list[SheetDraft] | None:
    """The sheets with all questions on the first that has room for them; None where none has."""
    for n, draft in enumerate(drafts):
        if draft.kind not in OPEN:
            continue
        spot = _largest(draft, _covered(draft), ASKED)
        items = questions_below(design, spot.grown(-CLEAR), locale) if spot is not None else None
        if items is not None:
            return [*drafts[:n], replace(draft, items=(*draft.items, *items)), *drafts[n + 1 :]]
    return None


def _largest(draft: SheetDraft, taken: Sequence[Box], least: tuple[float, float]) -> Box | None:
    """The largest open part of a sheet, with room to keep clear of what is round it."""
    return largest_empty(_zone(draft).grown(CLEAR), taken, (least[0] + 2 * CLEAR, least[1] + 2 * CLEAR))


def _into(
    draft: SheetDraft,
    rest: tuple[Paragraph, ...],
    whole: tuple[Paragraph, ...],
    title: tuple[Paragraph, ...],
    spots: int = SPOTS,
) -> tuple[list[Item], tuple[Paragraph, ...]]:
    """What of it found room on one sheet, and the rest."""
    taken = _covered(draft)
    items: list[Item] = []
    least = UPRIGHT_LEAST if draft.kind in UPRIGHT else FOOTED_LEAST if draft.paper.footed else LEAST
    for _ in range(spots):
        spot = _largest(draft, taken, least)
        if spot is None or not rest:
            break
        taken.append(spot)
        wide = spot.width if spot.width < 2.5 * NARROW + GUTTER else NARROW if draft.paper.footed else COLUMN
        columns = text_and_tables.split(spot.grown(-CLEAR), wide, GUTTER)
        flowed = _set((*title, *text_and_tables.under_head(rest, whole)), columns)
        set_now = len(rest) - len(flowed.left_over)
        if not any(not p.keep for p in rest[: max(set_now, 0)]):
            continue
        items += flowed.items
        rest = flowed.left_over
    return items, rest


def _covered(draft: SheetDraft) -> list[Box]:
    """Boxes of what is drawn; a slanting line covers little of the box round it."""
    boxes: list[Box] = []
    for item in draft.items:
        boxes += along(item.start, item.end, 0.2) if isinstance(item, LineSegment) else [item.box()]
    return boxes


def _zone(draft: SheetDraft) -> Box:
    if draft.kind in UPRIGHT:
        inside = draft.paper.inside.grown(-4.0)
        return inside._replace(bottom=inside.bottom + UPRIGHT_FOOT)
    return draft.paper.zone.grown(-PAD)


def _set(paragraphs: Sequence[Paragraph], columns: list[Box]) -> Flowed:
    """Level columns where all find room."""
    flowed = text_and_tables.flow_text(paragraphs, columns)
    return flowed if flowed.left_over else text_and_tables.level(paragraphs, columns)


def notes_sheets(
    design: Design, left: tuple[Paragraph, ...], paper: PaperSize, locale: Locale, ask: bool
) -> tuple[list[SheetDraft], bool]:
    """Sheets of notes for what found no room elsewhere; whether the questions found room on the last."""
    whole, drafts, asked = left, list[SheetDraft](), None
    while left:
        zone = paper.zone.grown(-PAD)
        head = Text((zone.left, zone.top - 5.0), locale.label("paper.notes"), 5.0, True, layer="NOTE")
        columns = text_and_tables.split(zone._replace(top=zone.top - 12.0), COLUMN, GUTTER)
        paragraphs = text_and_tables.under_head(left, whole)
        flowed = text_and_tables.flow_text(paragraphs, columns)
        if not flowed.left_over:
            flowed, asked = _last_notes(design, paragraphs, columns, zone, ask, locale)
        if len(flowed.left_over) >= len(left):  # one paragraph taller than a sheet: nothing a person wrote
            break
        left = flowed.left_over
        items = (head, *flowed.items, *(asked or ()))
        drafts.append(SheetDraft(paper, locale.label("paper.notes_short"), items, kind="notes"))
    return drafts, asked is not None


def _last_notes(
    design: Design,
    paragraphs: tuple[Paragraph, ...],
    columns: list[Box],
    zone: Box,
    ask: bool,
    locale: Locale,
) -> tuple[Flowed, list[Item] | None]:
    """Set in columns of about a length, and below them the questions, in the larger writing where that leaves
    them room; without them where there is none."""
    sizes = (text_and_tables.larger(paragraphs), paragraphs)
    tries = [text_and_tables.level(each, columns) for each in sizes]
    tries = [each for each in tries if not each.left_over]
    for flowed in tries if ask else ():
        asked = questions_below(design, zone._replace(top=flowed.bottom - 8.0), locale)
        if asked is not None:
            return flowed, asked
    return tries[0], None
