"""All sheets of a job: built from one Design, numbered, and written as PDF, SVG and DXF."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from mistcalc.drawing import dxf, frame, pdf, svg, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PAPERS, PaperSize, StripSection, TitleBlock
from mistcalc.drawing.sheet import Item, Sheet, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.earlier_set import SetRevision
from mistcalc.model.results import Design
from mistcalc.report.builder.calendar_page import calendar_pages
from mistcalc.report.builder.ceiling_plan import plan_sheets
from mistcalc.report.builder.change_slip import change_slips
from mistcalc.report.builder.marks_sheet import marks_sheets
from mistcalc.report.builder.questions_page import question_pages, questions_below
from mistcalc.report.builder.record_sheet import record_sheets
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.assumptions import assumption_sentences
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.installer.bid_sheet import bid_sheets
from mistcalc.report.installer.check_sheet import check_sheets
from mistcalc.report.installer.cut_sheet import cut_sheets
from mistcalc.report.installer.line_diagram.diagram import diagram_sheets
from mistcalc.report.installer.materials_sheet import materials_sheets
from mistcalc.report.installer.test_sheets import pressure_test_sheets
from mistcalc.report.owner.cooling_page import owner_pages
from mistcalc.report.owner.finished_page import finished_pages
from mistcalc.units import System

REVISION_ROWS = 3  # on every sheet, the head counted in
NOTE_COLUMN = 105.0  # width of a column on a sheet of notes [mm]


def files(design: Design, units: System, language: str) -> dict[str, bytes]:
    """By name: sheets.pdf, sheet-<n>.svg for each sheet, and lid.dxf."""
    sheets = build(design, units, language)
    return {
        "sheets.pdf": pdf.write(sheets, design.project.name),
        **{f"sheet-{n}.svg": svg.write(sheet).encode() for n, sheet in enumerate(sheets, 1)},
        "lid.dxf": dxf.write(sheets, "ft" if units == "us" else "mm").encode(),
    }


def build(design: Design, units: System, language: str) -> tuple[Sheet, ...]:
    """Every sheet in the order it is bound. The same Design gives the same sheets."""
    locale = Locale(units, language)
    paper = PAPERS[design.project.paper.sheet]
    wide = paper if paper.width > paper.height else paper.turned()
    drafts: list[SheetDraft] = []
    for patio in design.project.patios:
        drafts += plan_sheets(design, patio, wide, locale)
    tall = paper if paper.height > paper.width else PAPERS["letter" if units == "us" else "A4"]
    drafts += change_slips(design, tall, locale)
    for patio in design.project.patios:
        drafts += marks_sheets(design, patio, wide, locale)
    for patio in design.project.patios:
        drafts += record_sheets(design, patio, wide, locale)
    drafts += check_sheets(design, wide, locale)
    drafts += diagram_sheets(design, wide, locale)
    drafts += pressure_test_sheets(design, wide, locale)
    drafts += bid_sheets(design, wide, locale)
    drafts += materials_sheets(design, wide, locale)
    drafts += cut_sheets(design, wide, locale)
    drafts += calendar_pages(design, tall, locale)
    blocks = [_block(design, draft, locale) for draft in drafts]
    left = [p for draft, block in zip(drafts, blocks, strict=True) for p in _left_over(draft, block)]
    notes, asked = _notes(design, dict.fromkeys(left), wide, locale)
    drafts += notes if asked else [*question_pages(design, tall, locale), *notes]
    drafts += owner_pages(design, tall, locale)
    drafts += finished_pages(design, tall, locale)
    count = len(drafts)
    return tuple(_bind(design, draft, number, count, locale) for number, draft in enumerate(drafts, 1))


def _left_over(draft: SheetDraft, block: TitleBlock) -> tuple[Paragraph, ...]:
    """What neither the sheet nor its strip had room for, under the heads it stood under."""
    lost = list(frame.strip(draft.paper, block)[1])
    paragraphs = list(draft.left_over)
    for section in block.sections:
        if section.elsewhere:
            continue
        missing = [p for p in section.paragraphs if p in lost]
        paragraphs += [text_and_tables.heading(section.head), *missing] if missing else []
    return tuple(paragraphs)


def _notes(
    design: Design, paragraphs: Iterable[Paragraph], paper: PaperSize, locale: Locale
) -> tuple[list[SheetDraft], bool]:
    """Sheets of notes for what found no room elsewhere; whether the questions found room on the last."""
    left = tuple(p for p in paragraphs if p.text)
    drafts, asked = [], None
    while left:
        zone = paper.zone.grown(-6.0)
        head = Text((zone.left, zone.top - 5.0), locale.label("paper.notes"), 5.0, True, layer="NOTE")
        columns = text_and_tables.split(zone._replace(top=zone.top - 12.0), NOTE_COLUMN, 8.0)
        flowed = text_and_tables.flow_text(left, columns)
        if not flowed.left_over:
            flowed, asked = _last_notes(design, left, columns, zone, locale)
        if len(flowed.left_over) == len(left):  # one paragraph taller than a sheet: nothing a person wrote
            break
        left = flowed.left_over
        drafts.append(
            SheetDraft(
                paper, locale.label("paper.notes_short"), (head, *flowed.items, *(asked or ())), kind="notes"
            )
        )
    return drafts, asked is not None


def _last_notes(
    design: Design, paragraphs: tuple[Paragraph, ...], columns: list[Box], zone: Box, locale: Locale
) -> tuple[text_and_tables.Flowed, list[Item] | None]:
    """Set in columns of about a length, and below them the questions, in the larger writing where that leaves
    them room; without them where there is none."""
    sizes = (text_and_tables.larger(paragraphs), paragraphs)
    tries = [text_and_tables.level(each, columns) for each in sizes]
    tries = [each for each in tries if not each.left_over]
    for flowed in tries:
        asked = questions_below(design, zone._replace(top=flowed.bottom - 8.0), locale)
        if asked is not None:
            return flowed, asked
    return tries[0], None


def _bind(design: Design, draft: SheetDraft, number: int, count: int, locale: Locale) -> Sheet:
    name = f"R-{number}"
    if draft.kind in ("owner", "calendar", "change", "questions", "finished"):
        return _without_strip(design, draft, number, count, locale)
    count_text = locale.label("paper.count", number=number, count=count)
    block = _block(design, draft, locale, name, count_text)
    items = [*frame.border(draft.paper), *frame.strip(draft.paper, block)[0], *draft.items]
    return Sheet(draft.paper.width, draft.paper.height, tuple(items), draft.title, name)


def _without_strip(design: Design, draft: SheetDraft, number: int, count: int, locale: Locale) -> Sheet:
    """A page without border and strip: its code and number stand at its foot."""
    box = draft.paper.inside.grown(-2.0)
    foot_text = locale.label(f"paper_{draft.kind}.page", code=design.code, number=number, count=count)
    if design.line_verdict.fails:
        foot_text = f"{locale.label('paper.do_not_build')}   {foot_text}"
    foot = Text((box.right - 4.0, box.bottom + 1.5), foot_text, 2.5, True, align="right")
    return Sheet(draft.paper.width, draft.paper.height, (*draft.items, foot), draft.title, f"R-{number}")


def _block(
    design: Design, draft: SheetDraft, locale: Locale, number: str = "R-0", count: str = ""
) -> TitleBlock:
    project, label = design.project, locale.label
    day = project.revision.date
    rows = [(label("paper.rev"), label("paper.date"), label("paper.for"))]
    rows += [_revision_row(one.letter, one.date, one.status, locale) for one in _shown_before(design)]
    rows.append(_revision_row(project.revision.letter, day, project.revision.status, locale))
    newest = len(rows) - 1 if design.change is not None else None
    rows += [("", "", "")] * (REVISION_ROWS - len(rows))
    return TitleBlock(
        status=_status(design, locale),
        code_label=label("paper.this_set"),
        code=design.code,
        code_note=label("paper.same_code"),
        job=job_name(project, locale),
        job_note=project.about,
        sections=draft.sections or _sections(design, draft, locale),
        revisions=tuple(rows),
        newest=newest,
        facts=(
            (label("paper.drawn"), "mistcalc"),
            (label("paper.checked"), ""),
            (label("paper.scale"), draft.scale or label("paper.no_scale")),
            (label("paper.print"), label("paper.full_size", sheet=draft.paper.name)),
        ),
        title=draft.title,
        number=number,
        count=count,
    )


def _shown_before(design: Design) -> tuple[SetRevision, ...]:
    """The set that this one replaces; the title block has room for no older one."""
    return () if design.change is None else (design.change.before,)


def _revision_row(letter: str, day: date | None, status: str, locale: Locale) -> tuple[str, str, str]:
    told = locale.label("paper.day", day=day.isoformat()) if day else locale.label("paper.no_date")
    return letter, told, locale.word(status)


def _status(design: Design, locale: Locale) -> str:
    """What the sheets are for; of a line that fails, that nothing is built from them."""
    if design.line_verdict.fails:
        return "\n".join(locale.label(f"paper.{key}") for key in ("do_not_build", "see_check"))
    return locale.word(design.project.revision.status).upper()


def _sections(design: Design, draft: SheetDraft, locale: Locale) -> tuple[StripSection, ...]:
    """What the strip of a plan says: what can hurt whoever drills from it, then what was assumed."""
    if draft.kind != "plan":
        return ()
    assumed = assumption_sentences(design.project, locale, design.line)
    key = "paper.assumed_asked" if assumed else "paper.assumed_none"
    words = Paragraph(locale.label(key, count=len(assumed)))
    return (
        caution_boxes.in_strip(design.findings, "drill", locale),
        *_mirrored(design, locale),
        *_replaced(design, locale),
        StripSection(locale.label("paper.assumed"), (words,)),
    )


def _mirrored(design: Design, locale: Locale) -> tuple[StripSection, ...]:
    """Of which plan this is the mirror image, and that its paper is wrong here."""
    plan, label = design.project.mirrored_from, locale.label
    if not plan:
        return ()
    told = Paragraph(label("paper_mirror.other_paper", plan=plan), bold=True)
    return (StripSection(label("paper_mirror.strip"), (told, Paragraph(label("paper_mirror.sides")))),)


def _replaced(design: Design, locale: Locale) -> tuple[StripSection, ...]:
    """Which set this one replaces, and how much of it changed."""
    change, label = design.change, locale.label
    if change is None:
        return ()
    moved = sum(one.now is not None for one in change.marks)
    gone = tuple(one.name for one in change.marks if one.now is None)
    told = [label("paper_change.strip_marks", moved=moved)] if moved else []
    told += [label("paper_change.strip_gone", gone=len(gone), marks=gone)] if gone else []
    told = told or [label("paper_change.strip_none")]
    old = Paragraph(label("paper_change.old_paper", old_code=change.before.code), bold=True)
    return (StripSection(label("paper_change.strip", before=change.before.letter), (old, *_listed(told))),)


def _listed(sentences: Iterable[str]) -> tuple[Paragraph, ...]:
    return tuple(Paragraph(words, sign="–", indent=3.0) for words in sentences)
