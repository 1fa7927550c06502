"""What the strip of a sheet says: set and job, what can hurt, what was assumed and replaced, revisions."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from mistcalc.drawing.frame import PaperSize, StripSection, TitleBlock
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.model.earlier_set import SetRevision
from mistcalc.model.results import Design
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.assumptions import assumption_sentences
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.common.sheet_draft import SheetDraft

REVISION_ROWS = 3  # on every sheet, the head counted in
SMALL = 300.0  # a narrower sheet of lists, blanks or notes has its title block along its foot [mm]


def small_paper(paper: PaperSize) -> bool:
    return paper.width < SMALL


def title_block(
    design: Design, draft: SheetDraft, locale: Locale, number: str = "R-0", count: str = ""
) -> TitleBlock:
    """All words of one sheet's strip."""
    project, label = design.project, locale.label
    day = project.revision.date
    rows = [(label("paper.rev"), label("paper.date"), label("paper.for"))]
    rows += [_revision_row(one.letter, one.date, one.status, locale) for one in _shown_before(design)]
    rows.append(_revision_row(project.revision.letter, day, project.revision.status, locale))
    newest = len(rows) - 1 if design.change is not None else None
    least = REVISION_ROWS - small_paper(draft.paper)  # the room goes to what can hurt
    rows += [("", "", "")] * (least - len(rows))
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
