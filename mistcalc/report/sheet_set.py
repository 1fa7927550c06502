"""All sheets of a job: built from one Design, numbered, and written as PDF, SVG and DXF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from itertools import zip_longest
from typing import NamedTuple

from mistcalc.drawing import dxf, frame, pdf, svg, text_and_tables
from mistcalc.drawing.frame import PAPERS, PaperSize, TitleBlock
from mistcalc.drawing.sheet import Sheet, Text
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.drawing.true_plan import TruePlan
from mistcalc.model.results import Design
from mistcalc.report import open_space
from mistcalc.report.builder.calendar_page import calendar_pages
from mistcalc.report.builder.ceiling_plan import plan_sheets
from mistcalc.report.builder.change_slip import change_slips
from mistcalc.report.builder.marks_sheet import marks_sheets
from mistcalc.report.builder.questions_page import question_pages
from mistcalc.report.builder.record_sheet import record_sheets
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.findings_by_reader import cautions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.common.paragraph_spacing import closer
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.installer.bid_sheet import bid_sheets
from mistcalc.report.installer.check_sheet import check_sheets
from mistcalc.report.installer.cut_sheet import cut_sheets
from mistcalc.report.installer.line_diagram.diagram import diagram_sheets, stands_upright
from mistcalc.report.installer.materials_sheet import ROWS, materials_sheets
from mistcalc.report.installer.test_sheets import pressure_test_sheets
from mistcalc.report.installer.watch_sheet import FEWER_DAYS, MOST_DAYS
from mistcalc.report.owner.cooling_page import owner_pages
from mistcalc.report.owner.finished_page import finished_pages
from mistcalc.report.strip_words import small_paper, title_block
from mistcalc.units import System


class Reader(NamedTuple):
    """Whose sheets are bound together, and the letter before their numbers."""

    name: str
    letter: str


READERS = (Reader("builder", "R"), Reader("installer", "L"), Reader("owner", "H"))  # rough-in, line, house


def files(design: Design, units: System, language: str) -> dict[str, bytes]:
    """By name: a PDF for each reader, an SVG for each sheet by its number, and lid.dxf."""
    sheets, title = build(design, units, language), job_name(design.project, Locale(units, language))
    bound = {
        reader.name: [sheet for sheet in sheets if sheet.number.startswith(reader.letter)]
        for reader in READERS
    }
    return {
        **{f"sheets-{name}.pdf": pdf.write(of, title) for name, of in bound.items() if of},
        **{f"sheet-{sheet.number}.svg": svg.write(sheet).encode() for sheet in sheets},
        "lid.dxf": dxf.write(sheets, "ft" if units == "us" else "mm", _true_plans(design)).encode(),
    }


def _true_plans(design: Design) -> tuple[TruePlan, ...]:
    project = design.project
    known = "place.bearing" not in project.assumed
    return tuple(
        TruePlan(patio, design.layout_of(patio.name), project.heading(patio.name) if known else None)
        for patio in project.patios
    )


def build(design: Design, units: System, language: str) -> tuple[Sheet, ...]:
    """Every sheet in the order it is bound, builder first, each reader's numbered apart. The same Design
    gives the same sheets."""
    locale = Locale(units, language)
    paper = PAPERS[design.project.paper.sheet]
    wide = paper if paper.width > paper.height else paper.turned()
    tall = paper if paper.height > paper.width else PAPERS["letter" if units == "us" else "A4"]
    made = (
        _for_builder(design, wide, tall, locale),
        _installer_s(design, wide, locale),
        [*owner_pages(design, tall, locale), *finished_pages(design, tall, locale)],
    )
    return tuple(
        _bind(design, draft, f"{reader.letter}-{number}", (number, len(drafts)), locale)
        for reader, drafts in zip(READERS, made, strict=True)
        for number, draft in enumerate(drafts, 1)
    )


def _for_builder(design: Design, wide: PaperSize, tall: PaperSize, locale: Locale) -> list[SheetDraft]:
    """What is set out, drilled and plastered, by when, and what is to be asked before."""
    patios = design.project.patios
    drafts: list[SheetDraft] = []
    for patio in patios:
        drafts += plan_sheets(design, patio, wide, locale)
    drafts += change_slips(design, tall, locale)
    for patio in patios:
        drafts += marks_sheets(design, patio, wide, locale)
    for patio in patios:
        drafts += record_sheets(design, patio, wide, locale)
    drafts += calendar_pages(design, tall, locale)
    return _with_notes(design, drafts, wide, locale, question_pages(design, tall, locale))


def _installer_s(design: Design, wide: PaperSize, locale: Locale) -> list[SheetDraft]:
    """With fewer lines for readings where their room saves a sheet of notes."""
    made = _for_installer(design, wide, locale)
    if made[-1].kind != "notes":
        return made
    return min(made, _for_installer(design, wide, locale, FEWER_DAYS), key=len)


def _for_installer(
    design: Design, wide: PaperSize, locale: Locale, days: int = MOST_DAYS
) -> list[SheetDraft]:
    """Line and pump: what they must show, how they are tested, what is bought and cut, listed in lower rows
    where that saves a sheet. days: for readings."""
    listed = _footed(_upright(wide))
    turned = listed if stands_upright(design, listed, locale) else _footed(wide)
    drafts = [
        *check_sheets(design, listed, locale),
        *diagram_sheets(design, turned, locale),
        *pressure_test_sheets(design, listed, locale, days),
        *bid_sheets(design, listed, locale),
    ]
    bought = [
        cut_sheets(design, materials_sheets(design, listed, locale, high), listed, locale) for high in ROWS
    ]
    fewest = min(bought, key=len)
    ways = bought[:1] if fewest is bought[0] else (bought[0], fewest)
    return min((_with_notes(design, [*drafts, *each], _upright(wide), locale) for each in ways), key=len)


def _upright(paper: PaperSize) -> PaperSize:
    """Small paper as it is held on a board."""
    return paper.turned() if small_paper(paper) else paper


def _footed(paper: PaperSize) -> PaperSize:
    """Small paper without its right strip."""
    return replace(paper, footed=small_paper(paper))


def _with_notes(
    design: Design,
    drafts: list[SheetDraft],
    paper: PaperSize,
    locale: Locale,
    questions: Sequence[SheetDraft] = (),
) -> list[SheetDraft]:
    """The sheets, what of their notes found no room on them, and the questions where there are any."""
    drafts = open_space.with_own(drafts)
    blocks = [title_block(design, draft, locale) for draft in drafts]
    lost = [_left_over(draft, block) for draft, block in zip(drafts, blocks, strict=True)]
    in_full = any(draft.kind == "check" for draft in drafts)  # on its sheets, or left over from them
    left = _in_full(design, _once(lost), in_full, locale)
    asked = open_space.ask(design, drafts, locale) if questions else None
    tries: list[list[SheetDraft]] = []
    for words in (left, tuple(closer(left))):
        settle = partial(_settled, design, words, paper, locale)
        tries += settle(drafts, questions)
        if asked is not None:
            tries += settle(asked, ())
        if min(map(len, tries)) == len(drafts):
            break
    return min(tries, key=_paper_taken)


def _paper_taken(drafts: Sequence[SheetDraft]) -> tuple[int, float]:
    """How many sheets, and how much paper they are [mm2]: a few notes go on a small sheet."""
    return len(drafts), sum(draft.paper.width * draft.paper.height for draft in drafts)


def _once(lost: Sequence[Sequence[Paragraph]]) -> tuple[Paragraph, ...]:
    """Each told once, all of a head under it: several sheets may have had no room for the same."""
    under: dict[object, dict[object, Paragraph]] = {}
    for sheet, paragraphs in enumerate(lost):
        head: object = sheet
        for p in paragraphs:
            head = p.text if p.keep else head
            sign = p.sign if isinstance(p.sign, str) else ""  # one that is drawn is another on each sheet
            under.setdefault(head, {}).setdefault((p.text, sign, p.bold), p)
    return tuple(p for of in under.values() for p in _in_order(list(of.values())) if p.text)


def _in_order(paragraphs: Sequence[Paragraph]) -> list[Paragraph]:
    """Numbered steps by their numbers, though one sheet lacked the third on and the next the second."""
    steps = sorted((p for p in paragraphs if _step(p)), key=_step)
    return [steps.pop(0) if _step(p) else p for p in paragraphs]


def _step(paragraph: Paragraph) -> int:
    sign = paragraph.sign
    return int(sign) if isinstance(sign, str) and sign.isdecimal() else 0


def _in_full(
    design: Design, left: tuple[Paragraph, ...], every: bool, locale: Locale
) -> tuple[Paragraph, ...]:
    """Without cautions in a few words that are told in full among the same, or in this set where it tells
    every one in full; and without a head left bare."""
    texts = {p.text for p in left}
    told = [one for one in cautions(design.findings) if one.work and locale.say(one) in texts]
    told += cautions(design.findings, "builder", "installer") if every else ()
    again = {caution_boxes.short(caution, locale) for caution in told if caution.work}
    again |= {locale.label("paper.full_cautions")} if locale.label("paper.codes_decide") in texts else set()
    kept = [p for p in left if p.text not in again]
    bare = [p.keep and (after is None or after.keep) for p, after in zip_longest(kept, kept[1:])]
    return tuple(p for p, alone in zip(kept, bare, strict=True) if not alone)


def _settled(
    design: Design,
    left: tuple[Paragraph, ...],
    paper: PaperSize,
    locale: Locale,
    drafts: Sequence[SheetDraft],
    questions: Sequence[SheetDraft],
) -> list[list[SheetDraft]]:
    """Notes in what stands open, then on sheets of notes, large as the plans or small; and below them or on
    pages of their own the questions."""
    title = text_and_tables.heading(locale.label("paper.notes"), rule=False)
    filled, rest = open_space.fill(drafts, left, title)
    ways, on_pages = [], False
    small = PAPERS["letter" if paper.name in ("11x17", "letter") else "A4"]
    for sheet in (paper, small) if rest else (paper,):
        notes, asked = open_space.notes_sheets(design, rest, _footed(sheet), locale, bool(questions))
        if asked or not questions:
            ways.append([*filled, *notes])
        elif not on_pages:
            on_pages = True
            pages, more = open_space.fill(questions, rest, title)
            last, _ = open_space.notes_sheets(design, more, _footed(paper), locale, False)
            ways.append([*filled, *pages, *last])
    return ways


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


def _bind(design: Design, draft: SheetDraft, name: str, of: tuple[int, int], locale: Locale) -> Sheet:
    """name: its number as it is called. of: which one of how many."""
    number, count = of
    if draft.kind in ("owner", "calendar", "change", "questions", "finished"):
        return _without_strip(design, draft, name, of, locale)
    count_text = locale.label("paper.count", number=number, count=count)
    block = title_block(design, draft, locale, name, count_text)
    strip = frame.foot_strip(draft.paper, block) if draft.paper.footed else frame.strip(draft.paper, block)[0]
    items = [*frame.border(draft.paper), *strip, *draft.items]
    return Sheet(draft.paper.width, draft.paper.height, tuple(items), draft.title, name)


def _without_strip(
    design: Design, draft: SheetDraft, name: str, of: tuple[int, int], locale: Locale
) -> Sheet:
    """A page without border and strip: its code and number stand at its foot."""
    number, count = of
    box = draft.paper.inside.grown(-2.0)
    foot_text = locale.label(f"paper_{draft.kind}.page", code=design.code, number=number, count=count)
    if design.line_verdict.fails:
        foot_text = f"{locale.label('paper.do_not_build')}   {foot_text}"
    foot = Text((box.right - 4.0, box.bottom + 1.5), foot_text, 2.5, True, align="right")
    return Sheet(draft.paper.width, draft.paper.height, (*draft.items, foot), draft.title, name)
