"""The installer's one sheet: what line and pump must show beside blanks for what they do; what to know."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from mistcalc.drawing import alerts, fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize, StripSection
from mistcalc.drawing.sheet import HEAVY, Item, Polyline, Text
from mistcalc.drawing.text_and_tables import Cell, Paragraph, Row, TableColumn
from mistcalc.model.results import Design
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.findings_by_reader import about_line, by_level, cautions, notes_apart
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.installer import checklist
from mistcalc.report.installer.checklist import ChecklistInput
from mistcalc.report.installer.line_facts import facts

GUTTER, ROW = 8.0, 5.2
MEASURED, PLAN, BOX = 24.0, 26.0, 4.2  # blank for what was measured, verdict, box to tick [mm]
SIDE = 118.0  # of the words beside the checks [mm]
COLUMN = 97.0  # of words [mm]
FEW_LINES = 40.0  # a corner too low to go on reading in [mm]
NARROW = 250.0  # a sheet without room for words beside the checks
IN_STRIP = ("line", "pump")  # facts for the strip of a wide sheet; the others stand with the words


@dataclass(frozen=True)
class Remainder:
    """What of one page found no room: rows of checks, findings, cautions."""

    rows: tuple[Row, ...] = ()
    words: tuple[Paragraph, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.rows or self.words)


def check_sheets(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """The check sheet; further sheets of it only where zones and findings are many."""
    job = _job(design, locale)
    narrow = paper.room.width < NARROW
    words = tuple(_words(design, job, narrow, locale))
    left = Remainder(tuple(_rows(job, _columns(job, _wide(paper), locale), locale)), words)
    # a footed sheet has no strip to say it again in: _page puts a box over the checks
    again = () if paper.footed else (caution_boxes.again_in_strip(design.findings, "line", locale),)
    drafts: list[SheetDraft] = []
    while left or not drafts:
        items, rest = _page(design, job, not drafts, paper, left, locale)
        alone = not rest.rows or rest == left  # words alone go on the sheet of notes
        drafts.append(
            SheetDraft(
                paper,
                locale.label(f"paper_check.short_{job.supply}"),
                tuple(items),
                left_over=text_and_tables.under_head(rest.words, words) if alone else (),
                kind="check",
                sections=_strip(job, narrow, locale) if not drafts else again,
            )
        )
        if alone:
            break
        left = rest
    return tuple(drafts)


def _job(design: Design, locale: Locale) -> ChecklistInput:
    project = design.project
    return ChecklistInput(
        project.plumbing, design.line, design.line_verdict, design.use, locale, project.patios
    )


def _page(
    design: Design, job: ChecklistInput, first: bool, paper: PaperSize, left: Remainder, locale: Locale
) -> tuple[list[Item], Remainder]:
    zone = paper.room
    head = _head(job, zone, locale)
    lead = Text((zone.left + head.width + 8.0, zone.top - 5.0), "", layer="NOTE")
    right, lead_text = zone.right - 3.0, locale.label("paper_check.lead")
    spot, free = (right, zone.top - 5.0), right - lead.at[0]
    verdict = _verdict(job, spot, free, locale) if job.verdict.items else []
    room = (verdict[0].box().left if verdict else zone.right) - 8.0 - lead.at[0]
    items: list[Item] = [
        head,
        *verdict,
        *([Text(lead.at, lead_text, layer="NOTE")] if room > fonts.width(lead_text, 2.5) else []),
    ]
    top = zone.top - 10.0
    narrow, wide = zone.width < NARROW, _wide(paper)
    if first or (paper.footed and left.rows):
        draw = caution_boxes.boxed if first else caution_boxes.again
        boxes, top = draw(design.findings, "line", zone._replace(top=top), locale)
        items += boxes
        top -= 4.0
    rows, foot = left.rows, top
    if rows:
        drawn = text_and_tables.table(_columns(job, wide, locale), rows, (zone.left, top), zone.bottom, ROW)
        items += drawn.items
        rows, foot = rows[drawn.rows :], drawn.bottom - 7.0
    below = Box(zone.left, zone.bottom, zone.left + wide, foot)
    spots = [below] if not left.rows or below.height >= (FEW_LINES if narrow else 0.0) else []
    if not narrow:
        spots.append(Box(zone.right - SIDE, zone.bottom, zone.right, top))
    columns = [c for spot in spots for c in text_and_tables.split(spot, COLUMN, GUTTER) if c.height > 12.0]
    words = left.words
    if columns and words:
        flowed = text_and_tables.flow_text(words, columns)
        items += flowed.items
        words = flowed.left_over
    return items, Remainder(rows, words)


def _head(job: ChecklistInput, zone: Box, locale: Locale) -> Text:
    """The title, smaller where the verdict would have no room beside it."""
    words, at = locale.label(f"paper_check.title_{job.supply}"), (zone.left, zone.top - 5.0)
    large, small = (Text(at, words, size, True, layer="NOTE") for size in (5.0, 3.5))
    verdict = _verdict(job, (zone.right - 3.0, zone.top - 5.0), 0.0, locale) if job.verdict.items else []
    room = verdict[0].box().left - 6.0 if verdict else zone.right
    return large if large.box().right <= room else small


# ------------------------------------------------------------------ checks


def _wide(paper: PaperSize) -> float:
    """Of the table: all of a narrow sheet."""
    wide = paper.room.width
    return wide if wide < NARROW else wide - SIDE - GUTTER


def _columns(job: ChecklistInput, wide: float, locale: Locale) -> list[TableColumn]:
    """On small paper no wider than their writing: the checks' own words have the rest."""
    label = locale.label
    wanted, plan = min(58.0, 0.34 * wide), PLAN
    if wide < NARROW:
        items = [item for group in checklist.groups(job) for item in group.items]
        verdicts = [label(f"verdict.{item.verdict}") for item in items if item.verdict]
        wanted = min(wanted, _widest([label("paper_check.wanted"), *(item.wanted for item in items)]))
        plan = min(plan, _widest([label("paper_check.plan"), *verdicts]))
    return [
        TableColumn(wide - wanted - plan - MEASURED - 10.0, label("paper_check.check")),
        TableColumn(wanted, label("paper_check.wanted"), "right", 2.5, True),
        TableColumn(plan, label("paper_check.plan"), "middle", 2.5, True),
        TableColumn(MEASURED, label("paper_check.measured")),
        TableColumn(10.0, label("paper_check.ok"), "middle"),
    ]


def _widest(words: Iterable[str]) -> float:
    return max(map(text_and_tables.head_width, words))


def _rows(job: ChecklistInput, columns: list[TableColumn], locale: Locale) -> list[Row]:
    """A check whose words end in a nozzle's name is never cut: it takes as many lines as it needs."""
    rows: list[Row] = []
    for group in checklist.groups(job):
        head = Row(span=group.name, words=group.words)
        rows.append(text_and_tables.span_in_lines(head, sum(column.width for column in columns)))
        for item in group.items:
            verdict = locale.label(f"verdict.{item.verdict}") if item.verdict else ""
            told = [
                text_and_tables.in_lines(words, column)
                for words, column in zip((item.what, item.wanted), columns, strict=False)
            ]
            rows.append(Row((*told, verdict, "", Cell(sign=_tick))))
    return rows


def _tick(at: tuple[float, float]) -> list[Item]:
    return symbols.tick_box(at, BOX)


def _verdict(job: ChecklistInput, at: tuple[float, float], room: float, locale: Locale) -> list[Item]:
    """The verdict on line and pump, as large as there is room for right of the title, and framed."""
    word = locale.label(f"verdict.{job.verdict.word}")
    words = locale.label(f"paper_check.verdict_{job.supply}", verdict=word)
    tries = [Text(at, words, size, True, align="right", layer="NOTE") for size in (5.0, 3.5, 2.5)]
    largest = next((text for text in tries if text.width + 6.0 <= room), tries[-1])
    left, right, low, high = at[0] - largest.width - 3.0, at[0] + 3.0, at[1] - 2.5, at[1] + 7.0
    corners = ((left, low), (right, low), (right, high), (left, high))
    return [largest, Polyline(corners, True, layer="NOTE", pen=HEAVY)]


# ------------------------------------------------------------------ words


def _words(design: Design, job: ChecklistInput, narrow: bool, locale: Locale) -> list[Paragraph]:
    """Findings on line and pump, what to know, then every caution for whoever builds it, in full."""
    label = locale.label
    paragraphs = [text_and_tables.heading(label("paper_check.findings"))]
    for finding in about_line(design.findings):
        sign = locale.label(f"level.{finding.level}")
        paragraphs.append(Paragraph(locale.say(finding), sign=sign, indent=13.0))
    if len(paragraphs) == 1:
        paragraphs.append(Paragraph(label("paper_check.no_findings")))
    for name, head, sentences in facts(job):
        if narrow or name not in IN_STRIP:
            paragraphs.append(text_and_tables.heading(head))
            paragraphs += [Paragraph(words, sign="–", indent=3.5) for words in sentences]
    urgent, notes = notes_apart(cautions(design.findings, "builder", "installer"))
    boxes = [(alerts.head(label(f"level.{level}"), 3.5), of) for level, of in by_level(urgent)]
    for box, of in (
        *boxes,
        *([(text_and_tables.heading(label("paper_check.also")), notes)] if notes else []),
    ):
        paragraphs += [box, *(Paragraph(locale.say(caution), sign="–", indent=3.5) for caution in of)]
    return [*paragraphs, Paragraph(label("paper.codes_decide"), bold=True)]


def _strip(job: ChecklistInput, narrow: bool, locale: Locale) -> tuple[StripSection, ...]:
    """What to know and not to measure."""
    more = locale.label("paper.more_notes", n="{n}")
    return tuple(
        StripSection(head, tuple(Paragraph(words) for words in sentences), more)
        for name, head, sentences in facts(job)
        if name in IN_STRIP and not narrow
    )
