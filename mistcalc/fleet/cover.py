"""The page that lies on a lot's sheets: which lot, which plan and which way round, which set of sheets is its
own, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from mistcalc.drawing import pdf, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PAPERS, PaperSize
from mistcalc.drawing.sheet import Item, Sheet
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.fleet.fleet_row import FleetRow
from mistcalc.fleet.summary import side
from mistcalc.model.results import LotAnswer
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.locale_text import Locale

MARGIN = 6.0  # mm


@dataclass(frozen=True)
class Cover:
    row: FleetRow
    answer: LotAnswer
    pack: str  # folder of its sheets
    code: str  # that they bear
    job: str  # the plan's name


def cover_pdf(cover: Cover, locale: Locale) -> bytes:
    """As many pages as what is wrong with the lot takes."""
    paper = PAPERS["letter" if locale.units == "us" else "A4"]
    lot = locale.label("fleet.cover_lot", lot=cover.row.lot.name)
    return pdf.write(list(_sheets(cover, paper, lot, locale)), lot)


def _sheets(cover: Cover, paper: PaperSize, lot: str, locale: Locale) -> Iterator[Sheet]:
    room = paper.inside.grown(-MARGIN)
    left = (Paragraph(lot, 10.0, bold=True), *_facts(cover, locale))
    head = text_and_tables.flow_text(left, [room])
    boxed, bottom = caution_boxes.boxed(
        cover.answer.findings, "drill", room._replace(top=head.bottom - 6.0), locale
    )
    yield from _pages([*head.items, *boxed], room._replace(top=bottom - 6.0), room, cover, paper, lot, locale)


def _pages(
    items: list[Item], rest: Box, room: Box, cover: Cover, paper: PaperSize, lot: str, locale: Locale
) -> Iterator[Sheet]:
    wrong = tuple(_found(cover, locale))
    while True:
        flowed = text_and_tables.flow_text(wrong, [rest])
        yield Sheet(paper.width, paper.height, (*items, *flowed.items), lot, "R-0")
        if not flowed.left_over or (len(flowed.left_over) == len(wrong) and rest == room):
            return
        items, rest, wrong = [], room, flowed.left_over


def _facts(cover: Cover, locale: Locale) -> Iterator[Paragraph]:
    lot, label = cover.row.lot, locale.label
    if cover.answer.failed:
        yield Paragraph(label("paper.do_not_build"), 5.0, bold=True, before=4.0)
    turned = label("fleet.mirrored") if lot.mirrored else label("fleet.as_drawn")
    told = {
        "phase": lot.phase,
        "plan": f"{cover.job} ({lot.plan}), {turned}",
        "options": ", ".join(lot.options),
        "changes": "; ".join(f"{path} = {value}" for path, value in lot.changes),
        "facing": side(cover.row.facing, locale),
        "climate": cover.row.climate,
        "pack": cover.pack,
    }
    for name, value in told.items():
        if value:  # built the wrong way round, a house cannot be put right
            large = name == "plan"
            yield Paragraph(
                label(f"fleet.cover_{name}", value=value), 5.0 if large else 3.5, bold=large, before=2.4
            )
    yield Paragraph(label("fleet.cover_code", code=cover.code), 5.0, bold=True, before=4.0)
    yield Paragraph(label("fleet.cover_check"), 3.5)
    yield Paragraph(label("fleet.cover_marks", count=cover.answer.marks), 3.5)


def _found(cover: Cover, locale: Locale) -> Iterator[Paragraph]:
    findings = cover.answer.of_level("fail", "warn")
    if findings:
        yield text_and_tables.heading(locale.label("fleet.cover_wrong"))
    told = (f"{locale.label(f'level.{finding.level}')}  {locale.say(finding)}" for finding in findings)
    for text in dict.fromkeys(told):
        yield Paragraph(text, 3.5, before=2.4)
    yield Paragraph(locale.label("summary.codes_decide"), 3.5, before=4.0)
