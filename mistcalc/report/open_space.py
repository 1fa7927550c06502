"""Writing that found no room where it belongs: set into what stands open on other sheets of the set, then on
sheets of notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from mistcalc.drawing import alerts, text_and_tables
from mistcalc.drawing.boxes import Box, along, largest_empty
from mistcalc.drawing.frame import PaperSize, StripSection
from mistcalc.drawing.sheet import Item, LineSegment, Text
from mistcalc.drawing.text_and_tables import Flowed, Paragraph
from mistcalc.model.results import Design
from mistcalc.report.builder.questions_page import questions_below
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft

COLUMN, GUTTER = 105.0, 8.0  # width of a column of notes, about, and between two [mm]
FOOTED = 80.0  # the same on small paper [mm]
WIDEST = 185.0  # of a column that holds what a usual one is too narrow for [mm]
NARROW = 64.0  # a sheet's open part takes columns about so wide at least [mm]
LEAST, FOOTED_LEAST = (NARROW, 14.0), (44.0, 9.0)  # an open part that takes notes [mm]
QUESTIONS_LEAST, OWNER_LEAST = (NARROW, 40.0), (NARROW, 24.0)  # of a page without a strip
ASKED = (175.0, 45.0)  # one that takes the questions [mm]
CLEAR = 4.0  # from what is drawn [mm]
SPOTS = 6  # open parts used of one sheet, the largest first
UPRIGHT_FOOT = 12.0  # of a page without a strip [mm]
UPRIGHT = ("questions", "owner")
OPEN = ("table", "record", "check", "diagram", "hold", "bid", "materials", "questions", "owner")


def fill(
    drafts: Sequence[SheetDraft], left: tuple[Paragraph, ...], title: Paragraph
) -> tuple[list[SheetDraft], tuple[Paragraph, ...]]:
    """The sheets with as much of what is left as their open parts hold, under a title, in the order they are
    bound; and the rest. A sheet of lists takes all under a later head where what is next has no room."""
    rest, filled = left, list[SheetDraft]()
    for draft in drafts:
        if rest and draft.kind in OPEN:
            items, rest = _into(draft, rest, left, (title,))
            draft = replace(draft, items=(*draft.items, *items))
        filled.append(draft)
    for n in reversed(range(len(filled))):
        for part in _parts(rest) if filled[n].kind in OPEN else ():
            items, lost = _into(filled[n], part, part, (), 1)
            if not lost:
                filled[n] = replace(filled[n], items=(*filled[n].items, *items))
                left, rest = (tuple(p for p in of if p not in part) for of in (left, rest))
    return filled, text_and_tables.under_head(rest, left)


def _parts(paragraphs: Sequence[Paragraph]) -> list[tuple[Paragraph, ...]]:
    """What stands under each head."""
    heads = [n for n, p in enumerate(paragraphs) if p.keep]
    return [tuple(paragraphs[a:b]) for a, b in pairwise([*heads, len(paragraphs)])]


def with_own(drafts: Sequence[SheetDraft]) -> list[SheetDraft]:
    """Sheets without a right strip with what would stand there in their open parts, or on the next of their
    kind, the last that has room first; each told once, and each part whole. What finds no room is left
    over."""
    made: list[SheetDraft] = []
    told: set[Paragraph] = set()
    for draft in reversed(drafts):
        parts: list[tuple[Paragraph, ...]] = []
        for section in draft.sections if draft.paper.footed else ():
            words = tuple(p for p in section.paragraphs if p not in told)
            parts += [(_head(section), *words)] if words else []
            told |= set(words)
        draft, parts = _with_first(replace(draft, sections=()) if draft.paper.footed else draft, parts)
        if parts and made and made[-1].kind == draft.kind:
            made[-1], parts = _with_first(made[-1], parts)
        made.append(replace(draft, left_over=(*draft.left_over, *(p for part in parts for p in part))))
    return made[::-1]


def _with_first(
    draft: SheetDraft, parts: list[tuple[Paragraph, ...]]
) -> tuple[SheetDraft, list[tuple[Paragraph, ...]]]:
    """A sheet with as many of the first parts as its open parts take whole, and the other parts."""
    for count in range(len(parts), 0, -1):
        words = tuple(p for part in parts[:count] for p in part)
        items, rest = _into(draft, words, words, ())
        if not rest:
            return replace(draft, items=(*draft.items, *items)), parts[count:]
    return draft, parts


def _head(section: StripSection) -> Paragraph:
    return alerts.head(section.head, 3.5) if section.boxed else text_and_tables.heading(section.head)


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
    least = {"questions": QUESTIONS_LEAST, "owner": OWNER_LEAST}.get(
        draft.kind, FOOTED_LEAST if draft.paper.footed else LEAST
    )
    for _ in range(spots):
        spot = _largest(draft, taken, least)
        if spot is None or not rest:
            break
        taken.append(spot)
        tries = [_within(columns, rest, whole, title) for columns in _ways(spot, draft.paper)]
        flowed = min(tries, key=lambda one: len(one.left_over))
        set_now = len(rest) - len(flowed.left_over)
        if not any(not p.keep for p in rest[: max(set_now, 0)]):
            continue
        items += flowed.items
        rest = flowed.left_over
    return items, rest


def _ways(spot: Box, paper: PaperSize) -> list[list[Box]]:
    """An open part in columns of about the usual width; in fewer, wider ones, which take a tall paragraph."""
    inner = spot.grown(-CLEAR)
    wide = spot.width if spot.width < 2.5 * NARROW + GUTTER else FOOTED if paper.footed else COLUMN
    usual = text_and_tables.split(inner, wide, GUTTER)
    fewer = [text_and_tables.split(inner, inner.width / n, GUTTER) for n in range(len(usual) - 1, 0, -1)]
    return [usual, *(columns for columns in fewer if columns[0].width <= WIDEST)]


def _within(
    columns: list[Box],
    rest: tuple[Paragraph, ...],
    whole: tuple[Paragraph, ...],
    title: tuple[Paragraph, ...],
) -> Flowed:
    """What of the rest finds room in these columns, under the title and the head it stands under."""
    flowed = _set((*title, *text_and_tables.under_head(rest, whole)), columns)
    head = _parted(rest, flowed.left_over)
    if head is not None:
        flowed = _set((*title, *text_and_tables.under_head(rest[:head], whole)), columns)
        flowed = flowed._replace(left_over=rest[head:])
    return flowed


def _parted(rest: tuple[Paragraph, ...], left: tuple[Paragraph, ...]) -> int | None:
    """Where a head stands whose words would be parted, though they belong on one sheet."""
    cut = len(rest) - len(left)
    heads = [n for n, paragraph in enumerate(rest[: max(cut, 0)]) if paragraph.keep]
    return heads[-1] if left and not left[0].keep and heads and rest[heads[-1]].whole else None


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
    return draft.paper.room


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
        zone = paper.room
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
