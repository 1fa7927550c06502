"""Do not drill here: where tube and stubs lie over a finished ceiling, for whoever hangs something there.

From finished faces, as drilled where somebody measured. There is one once the site log knows of a hole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from mistcalc.drawing import fonts, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import Item, Text
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.model.project import Patio, Tap
from mistcalc.model.results import AsBuilt, Design, Mark
from mistcalc.report.builder.marks_on_plan import short_name
from mistcalc.report.builder.runs_in_plan import PlanRun, plan_runs
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft

ROWS, LEAD = (7.0, 6.0), 24.0  # of a row, lower where that saves a sheet; title and what is said first [mm]
_COLUMNS = {
    "mark": 24.0,
    "from_face": 44.0,
    "inches": 22.0,
    "mm": 20.0,
    "behind": 44.0,
    "known": 44.0,
    "notes": 74.0,
}


def record_sheets(design: Design, patio: Patio, paper: PaperSize, locale: Locale) -> list[SheetDraft]:
    """The sheets of one patio; none where no hole is known to be there."""
    holes = {hole.name: hole for hole in design.built if hole.patio == patio.name}
    if not any(hole.drilled for hole in holes.values()):
        return []
    tubed = {tube.run for tube in design.line.tubes}
    every = plan_runs(patio, design.layout_of(patio.name), design.line)
    runs = [one for one in every if one.marks or one.run.name in tubed]  # tube may go on over one without any
    zone = paper.room
    columns = _columns(zone.width, locale)
    rows = [row for plan_run in runs for row in _rows(plan_run, holes, columns[-1], locale)]
    rows += _beside_runs(design, runs, locale)
    pages = min((_tables(columns, rows, zone, row, locale) for row in ROWS), key=len)
    head, short = _head(design, patio, zone.left, zone.top, zone.width, locale), "paper_record.short"
    return [
        SheetDraft(paper, locale.label(short), (*head, *items), patio.name, kind="record") for items in pages
    ]


def _tables(
    columns: list[TableColumn], rows: list[Row], zone: Box, row: float, locale: Locale
) -> list[list[Item]]:
    """A part of the table a sheet; a run that goes on says so."""
    pages: list[list[Item]] = []
    while rows:
        drawn = text_and_tables.table(columns, rows, (zone.left, zone.top - LEAD), zone.bottom, row)
        pages.append(drawn.items)
        if not drawn.rows:
            break
        heads = [one.span for one in rows[: drawn.rows] if one.span]
        rows = rows[drawn.rows :]
        if rows and not rows[0].span:
            rows = [Row(span=heads[-1], words=locale.label("paper_table.continued")), *rows]
    return pages


def _columns(room: float, locale: Locale) -> list[TableColumn]:
    """In the order they stand; what is left of the room is for notes."""
    widths = {
        name: width
        for name, width in _COLUMNS.items()
        if locale.units == "us" or name not in ("inches", "mm")
    }
    widths["notes"] = room - sum(width for name, width in widths.items() if name != "notes")
    big = ("mark", "from_face")
    aligned = {"mark": "middle", "known": "left", "notes": "left"}
    columns = [
        TableColumn(
            width,
            locale.label(f"paper_record.{name}"),
            aligned.get(name, "right"),
            3.5 if name in big else 2.5,
            name in big,
        )
        for name, width in widths.items()
    ]
    heads = [replace(column, bold=True, height=2.5) for column in columns]
    return [
        replace(column, head=text_and_tables.in_lines(head.head, head))
        for column, head in zip(columns, heads, strict=True)
    ]


def _head(design: Design, patio: Patio, left: float, top: float, width: float, locale: Locale) -> list[Item]:
    title = locale.label("paper_record.title")
    if len(design.layouts) > 1:
        title = locale.label("paper.of_patio", title=title, patio=patio.name)
    items: list[Item] = [Text((left, top - 5.0), fonts.fit(title, 5.0, width, True), 5.0, True, layer="NOTE")]
    lead = Paragraph(locale.label("paper_record.lead", pressure=design.project.plumbing.working))
    items += text_and_tables.set_paragraph(lead, (left, top - 11.0), width)[0]
    return items


def _rows(plan_run: PlanRun, holes: dict[str, AsBuilt], notes: TableColumn, locale: Locale) -> Iterator[Row]:
    """A run's line first, then its stubs in the order of the tape."""
    shift = _build_up(plan_run)
    ends = sorted(plan_run.line.along(end) + shift for end in plan_run.tube)
    key = "paper_record.line" if plan_run.marks else "paper_record.line_framing"
    values = {"first": max(0.0, ends[0]), "last": ends[1], "back": plan_run.line.back}
    words = locale.label(key, surface=plan_run.run.hooked_on, **values)
    yield Row(span=locale.label("paper_table.run", run=plan_run.run.name), words=words)
    for mark in plan_run.marks:
        yield Row(tuple(_cells(mark, holes.get(mark.name), shift, notes, locale)))


def _build_up(plan_run: PlanRun) -> float:
    """What plaster adds to the surface that the tape hooks on, so much less is all from its finish."""
    return next((mark.along_finished - mark.along for mark in plan_run.marks), 0.0)


def _beside_runs(design: Design, runs: Sequence[PlanRun], locale: Locale) -> Iterator[Row]:
    """Tube that comes to these runs, or goes on from them: where it lies is known between two rows of a run
    alone, else it is written in by hand."""
    places = {name: (plan_run, end) for plan_run in runs for name, end, _ in plan_run.ends()}
    names = {plan_run.run.name for plan_run in runs}
    for piece in design.project.plumbing.every_piece:
        spots = [
            spot.run if isinstance(spot, Tap) else str(spot).rpartition(" ")[0]
            for spot in (piece.start, piece.end)
        ]
        if piece.length <= 0.0 or names.isdisjoint(spots):
            continue
        ends = [places[str(spot)] for spot in (piece.start, piece.end) if str(spot) in places]
        words = locale.label("paper_record.piece_blank", length=piece.length)
        if len(ends) == 2 and ends[0][0].of == ends[1][0].of and ends[0][0] is not ends[1][0]:
            first, far = sorted((plan_run.line.back for plan_run, _ in ends))
            plan_run, point = ends[0]
            along = plan_run.line.along(point) + _build_up(plan_run)
            words = locale.label(
                "paper_record.piece", run=plan_run.of, along=max(0.0, along), first=first, last=far
            )
        yield Row(span=locale.label("paper_record.tube", spot=piece.name), words=words)


def _cells(mark: Mark, hole: AsBuilt | None, shift: float, column: TableColumn, locale: Locale) -> list[str]:
    along = hole.along if hole is not None else None
    from_face = (mark.along if along is None else along) + shift
    back = mark.back if hole is None or hole.back is None else hole.back
    known = "planned" if along is None else "drilled" if hole is None or hole.measured is None else "measured"
    notes = [locale.word(hole.cannot)] if hole and hole.cannot and along is None else []
    notes += [
        locale.label("paper_record.photo", text=text, photo=photo)
        for text, photo in (hole.notes if hole else ())
    ]
    figures = (
        [locale.in_cell(from_face, "inches"), locale.in_cell(from_face, "mm")] if locale.units == "us" else []
    )
    return [
        short_name(mark.name, _COLUMNS["mark"] - 3.2),
        locale.in_cell(from_face),
        *figures,
        locale.tape(back),
        locale.label(f"paper_record.{known}"),
        text_and_tables.in_lines("; ".join(notes), column),
    ]
