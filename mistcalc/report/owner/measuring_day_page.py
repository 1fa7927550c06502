"""The sheet for a measuring day: where thermometers hang, when the mist runs, lines to write it all on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mistcalc.drawing import alerts, text_and_tables
from mistcalc.drawing.alerts import Alert
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import BOLD, Item, LineSegment
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.model.results import Design
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.findings_by_reader import cautions_for_work
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft

ROUNDS = 3
ROW = 5.6
OWN = ("heat", "reach", "power")  # dangers of this day alone
HANG = ("hang", "shield", "side", "every")
DO = ("rounds", "wind", "look")
FILE = ("holds",)


def measuring_day_pages(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """A page a patio, more where its seats are many."""
    drafts: list[SheetDraft] = []
    for patio in design.project.patios:
        days = [cooled for cooled in design.cooling if cooled.patio == patio.name]
        if days and days[0].water_flow > 0:
            seats = [seat.name for seat in design.layout_of(patio.name).lid.seats]
            wet = days[0].most()[1]
            drafts += _leaves(
                design, patio.name, seats or [locale.label("paper_day.seat")], wet, paper, locale
            )
    return tuple(drafts)


def _leaves(
    design: Design, patio: str, seats: Sequence[str], wet: float, paper: PaperSize, locale: Locale
) -> list[SheetDraft]:
    room = paper.inside.grown(-2.0)
    page = Box(room.left + 4.0, room.bottom + 7.0, room.right - 4.0, room.top - 2.0)
    title = locale.label(
        "paper_day.title_patio" if len(design.layouts) > 1 else "paper_day.title", patio=patio
    )
    items, y = titled(title, locale.label("paper_day.lead"), page)
    boxes, y = alerts.draw(_dangers(design, locale), page._replace(top=y - 3.0), 3.5)
    words = _words(wet, locale)
    flowed = text_and_tables.flow_text(words, [page._replace(top=y - 2.0)])
    items += [*boxes, *flowed.items]
    drafts: list[SheetDraft] = []
    rows, y, tables = _places(seats, locale), flowed.bottom, True
    while tables:
        if not flowed.left_over:
            drawn, y, rows, tables = _tables(rows, page._replace(top=y - 3.0), not drafts, locale)
            items += drawn
        drafts.append(SheetDraft(paper, title, tuple(items), patio, kind="owner"))
        if tables:
            items, y = titled(title, "", page)
            flowed = text_and_tables.flow_text(flowed.left_over, [page._replace(top=y - 2.0)])
            items += flowed.items
            y = flowed.bottom if flowed.items else y
    return drafts


def titled(title: str, lead: str, page: Box) -> tuple[list[Item], float]:
    """A page's title and what it leads to over a rule, and where what follows begins."""
    paragraphs = [Paragraph(title, 5.0, bold=True), *([Paragraph(lead, before=2.5)] if lead else [])]
    head = text_and_tables.flow_text(paragraphs, [page])
    y = head.bottom - 2.5
    return [*head.items, LineSegment((page.left, y), (page.right, y), layer="NOTE", pen=BOLD)], y


def _dangers(design: Design, locale: Locale) -> list[Alert]:
    """What can hurt someone who sits in mist and heat for an afternoon, with this day's own dangers."""
    cautions = [caution for _, of in cautions_for_work(design.findings, "measure") for caution in of]
    day_dangers = tuple(Paragraph(locale.label(f"paper_day.{name}"), sign="–", indent=3.5) for name in OWN)
    boxes = caution_boxes.for_owner(cautions, locale)
    word = locale.label("level.caution")
    if boxes and boxes[-1].word == word:
        return [*boxes[:-1], replace(boxes[-1], told=(*day_dangers, *boxes[-1].told))]
    return [*boxes, Alert(word, day_dangers)]


def _words(wet: float, locale: Locale) -> list[Paragraph]:
    label = locale.label
    paragraphs: list[Paragraph] = []
    number = 0
    for head, names in (("hang_head", HANG), ("do_head", DO), ("file_head", FILE)):
        paragraphs.append(text_and_tables.heading(label(f"paper_day.{head}"), rule=False))
        for name in names:
            number += 1
            paragraphs.append(Paragraph(label(f"paper_day.{name}", wet=wet), sign=f"{number}", indent=6.0))
    return paragraphs


def _places(seats: Sequence[str], locale: Locale) -> list[Row]:
    places = [locale.label("paper_day.outside"), *seats]
    return [Row((place, *[""] * (2 + ROUNDS))) for place in places]


def _tables(
    rows: Sequence[Row], page: Box, first: bool, locale: Locale
) -> tuple[list[Item], float, list[Row], bool]:
    """The rounds, once, then a row a thermometer; what found no room, and whether anything did not."""
    label, wide = locale.label, page.width
    items: list[Item] = []
    y = page.top
    if first:
        names, shares = (
            ("round", "on_from", "on_to", "speed", "from", "noted"),
            (0.1, 0.13, 0.13, 0.13, 0.13, 0.38),
        )
        columns = [TableColumn(wide * s, label(f"paper_day.{n}")) for n, s in zip(names, shares, strict=True)]
        blank = [Row((f"{n + 1}", *[""] * 5)) for n in range(ROUNDS)]
        if y - ROW * (len(blank) + 1) < page.bottom:
            return [], y, list(rows), True
        drawn = text_and_tables.table(columns, blank, (page.left, y), page.bottom, ROW)
        items, y = drawn.items, drawn.bottom - 3.0
    columns = [
        TableColumn(wide * 0.25, label("paper_day.place"), bold=True),
        *(TableColumn(wide * 0.15, label(f"paper_day.{name}")) for name in ("column", "offset")),
        *(TableColumn(wide * 0.15, label("paper_day.after", number=n + 1)) for n in range(ROUNDS)),
    ]
    if y - ROW * 2 < page.bottom:
        return items, y, list(rows), True
    drawn = text_and_tables.table(columns, rows, (page.left, y), page.bottom, ROW)
    return [*items, *drawn.items], drawn.bottom, list(rows[drawn.rows :]), drawn.rows < len(rows)
