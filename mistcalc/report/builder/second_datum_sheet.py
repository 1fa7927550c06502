"""Marks from a run's second datum, on a sheet of their own: two ladders on one invite the wrong hole."""

from __future__ import annotations

from collections.abc import Sequence

from mistcalc.drawing import symbols, text_and_tables
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import Item, Text
from mistcalc.drawing.text_and_tables import Cell, Row, TableColumn
from mistcalc.model.practice import MARK_ALONG
from mistcalc.model.project import Patio
from mistcalc.model.results import Layout
from mistcalc.report.builder.marks_on_plan import short_name
from mistcalc.report.builder.runs_in_plan import PlanRun
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft

ROW, HEAD = 7.0, 13.0  # of a row, over the table [mm]
LOWER = (7.0, 6.6, 6.3, 6.0)  # heights of a row, tried in turn where one sheet then takes them all
NAME = 24.0


def second_datum_sheets(
    patio: Patio, runs: Sequence[PlanRun], layout: Layout, paper: PaperSize, locale: Locale
) -> tuple[SheetDraft, ...]:
    """One row a mark of the runs that state a second datum, in the order of its tape; no sheet without."""
    rows = [row for plan_run in runs for row in _rows(plan_run, locale)]
    zone = paper.room
    columns = text_and_tables.fitted(_columns(locale), rows, zone.width)
    rooms = (zone.height - HEAD - sum(text_and_tables.row_depth(one, high) for one in rows) for high in LOWER)
    row = next((high for high, room in zip(LOWER, rooms, strict=True) if room >= 2 * high), ROW)
    drafts: list[SheetDraft] = []
    while rows:
        title = locale.label("second_datum.title")
        head = Text((zone.left, zone.top - 5.0), title, 5.0, True, layer="NOTE")
        lead = locale.label("second_datum.lead", along=MARK_ALONG)
        items: list[Item] = [head, *text_and_tables.beside_title(head, lead, zone.right)]
        drawn = text_and_tables.table(columns, rows, (zone.left, zone.top - HEAD), zone.bottom, row)
        items += drawn.items
        short = locale.label("second_datum.short")
        drafts.append(SheetDraft(paper, short, tuple(items), patio.name, kind="table"))
        if not drawn.rows:
            break
        rows = rows[drawn.rows :]
    return tuple(drafts)


def _columns(locale: Locale) -> list[TableColumn]:
    label = locale.label
    return [
        TableColumn(12.0, label("paper_table.done"), "middle"),
        TableColumn(NAME, label("paper_table.mark"), "middle", 3.5, True),
        TableColumn(48.0, label("second_datum.from_second"), "right", 3.5, True),
        TableColumn(17.0, label("paper_table.inches"), "right"),
        TableColumn(15.0, label("paper_table.mm"), "right"),
        TableColumn(38.0, label("second_datum.from_first"), "right"),
        TableColumn(52.0, label("paper_table.measured")),
        TableColumn(20.0, label("paper_table.by")),
    ]


def _rows(plan_run: PlanRun, locale: Locale) -> list[Row]:
    run, second = plan_run.run, plan_run.line.second
    if second is None or not plan_run.marks:
        return []
    words = locale.label("second_datum.run_note", surface=run.datum.second, run=plan_run.of, length=second)
    rows = [Row(span=locale.label("paper_table.run", run=run.name), words=words)]
    for mark in reversed(plan_run.marks):
        along = second - mark.along
        rows.append(
            Row(
                (
                    Cell(sign=symbols.tick_box),
                    short_name(mark.name, NAME - 3.2),
                    locale.in_cell(along),
                    locale.in_cell(along, "inches"),
                    locale.in_cell(along, "mm"),
                    locale.in_cell(mark.along),
                    "",
                    "",
                )
            )
        )
    return rows
