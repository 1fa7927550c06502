"""The marks table: one line for each hole, with blanks for what was measured, and a section of the stub."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from mistcalc.drawing import fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box, Point, largest_empty
from mistcalc.drawing.frame import PaperSize, StripSection
from mistcalc.drawing.sheet import THIN, Item, LineSegment, Text
from mistcalc.drawing.text_and_tables import Cell, Paragraph, Row, TableColumn
from mistcalc.model.practice import MARK_ACROSS, MARK_ALONG
from mistcalc.model.project import Patio
from mistcalc.model.results import Design, Mark
from mistcalc.report.builder.marks_on_plan import short_name
from mistcalc.report.builder.plan_notes import sign_of, tape_direction
from mistcalc.report.builder.runs_in_plan import PlanRun, plan_runs
from mistcalc.report.builder.second_datum_sheet import second_datum_sheets
from mistcalc.report.builder.stub_section import SECTION_WIDTH, StubSection, draw_stub_section
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.findings_by_reader import NumberedFinding, numbered
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import next_to
from mistcalc.report.common.sheet_draft import SheetDraft

ROW, HEAD, FOOT = 7.0, 13.0, 13.0  # of a row, over the table, under it [mm]
GUTTER = 8.0
FEW = 3  # rows, a run's head counted in, that do not begin a run at the foot of a sheet
NAME_PAD, WIDEST_NAME = 3.2, 36.0  # beside a mark's name; widest column of names [mm]
SIGN_PAD, WIDEST_NEAR = 10.6, 52.0  # beside what a mark is next to, one sign included; widest column of those
# Columns in the order they stand: width, right-aligned, bold; and the order in which they go on small paper.
_COLUMNS = {
    "done": 12.0, "mark": 18.0, "from_datum": 30.0, "inches": 17.0, "mm": 15.0, "from_last": 19.0,
    "level": 23.0, "height": 21.0, "next": 44.0, "measured": 26.0, "stub": 14.0, "photo": 14.0, "by": 10.0,
    "after": 27.0,
}  # fmt: skip
LEAST_BLANK = 18.0  # for a measured length, by hand
_EXPENDABLE = ("by", "photo", "mm", "inches", "stub", "from_last")


def marks_sheets(design: Design, patio: Patio, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """The sheets of one patio's table; as many as its rows need."""
    maker = _MarksTable(
        design,
        patio,
        plan_runs(patio, design.layout_of(patio.name), design.line),
        numbered(design, patio.name),
        locale,
    )
    zone = paper.room
    beside = zone.width - SECTION_WIDTH - GUTTER >= sum(maker.widths[name] for name in maker.names) - 20.0
    room = zone.width - (SECTION_WIDTH + GUTTER if beside else 0.0)
    columns = maker.columns(room)
    pages, parted = (maker.pages(columns, zone, whole) for whole in (True, False))
    if len(pages) > len(parted) + 1:  # a sheet more is worth that no run goes on from one to the next
        pages = parted
    if beside:
        section = draw_stub_section(design, patio, zone._replace(left=zone.right - SECTION_WIDTH), locale)
        drafts = [maker.leaf(paper, items) for items in pages]
        drafts[0] = maker.sectioned(drafts[0], section)
    else:
        drafts = _with_section(maker, [maker.leaf(paper, items) for items in pages], paper, zone)
    second = second_datum_sheets(patio, maker.runs, design.layout_of(patio.name), paper, locale)
    return (*drafts, *second)


def _with_section(
    maker: _MarksTable, drafts: list[SheetDraft], paper: PaperSize, zone: Box
) -> list[SheetDraft]:
    """The stub section on the table's last sheet where all of it has room there, beside the table or below
    it, else on one of its own."""
    taken = [item.box() for item in drafts[-1].items]
    spot = largest_empty(zone, taken, (SECTION_WIDTH + 2 * GUTTER, 0.0))
    if spot is not None:
        left = spot.left if spot.left == zone.left else spot.left + GUTTER
        inner = spot._replace(left=left, top=spot.top - GUTTER)
        section = draw_stub_section(maker.design, maker.patio, inner, maker.locale)
        if not section.left_over and all(item.box().bottom >= inner.bottom for item in section.items):
            return [*drafts[:-1], maker.sectioned(drafts[-1], section)]
    section = draw_stub_section(maker.design, maker.patio, zone, maker.locale)
    own = maker.leaf(paper, (), "paper.section_short")
    return [*drafts, maker.sectioned(own, section)] if section.items else drafts


@dataclass(frozen=True)
class _MarksTable:
    design: Design
    patio: Patio
    runs: tuple[PlanRun, ...]
    findings: tuple[NumberedFinding, ...]
    locale: Locale

    @property
    def marks(self) -> list[Mark]:
        return [mark for plan_run in self.runs for mark in plan_run.marks]

    @property
    def names(self) -> list[str]:
        """Columns this job has a use for."""
        moved = any(abs(m.along_finished - m.along) > 1e-6 for m in self.marks)
        idle = {"inches", "mm"} if self.locale.units == "metric" else set()
        idle |= set() if any(run.run.rise for run in self.runs) else {"level", "height"}
        return [name for name in _COLUMNS if name not in idle and (moved or name != "after")]

    @cached_property
    def neighbors(self) -> float:
        """The widest of what marks are next to."""
        return max((fonts.width(fonts.clean(next_to(m, self.locale)), 2.5) for m in self.marks), default=0.0)

    @cached_property
    def widths(self) -> dict[str, float]:
        """Of each column, its head in full; those of names and neighbors take the longest, within reason."""
        longest = max((fonts.width(fonts.clean(m.name), 3.5, True) for m in self.marks), default=0.0)
        heads = {n: text_and_tables.head_width(self.locale.label(f"paper_table.{n}")) for n in _COLUMNS}
        return {
            **{name: max(wide, heads[name]) for name, wide in _COLUMNS.items()},
            "mark": min(max(_COLUMNS["mark"], longest + NAME_PAD), WIDEST_NAME),
            "next": min(max(_COLUMNS["next"], self.neighbors + SIGN_PAD), WIDEST_NEAR),
        }

    def columns(self, room: float) -> dict[str, TableColumn]:
        names, widths = self.names, self.widths
        for name in _EXPENDABLE:
            if sum(widths[n] for n in names) > room and name in names:
                names.remove(name)
        leasts = {"next": self.neighbors + SIGN_PAD, "measured": LEAST_BLANK, "mark": _COLUMNS["mark"]}
        for column, least in leasts.items():
            over = max(0.0, sum(widths[name] for name in names) - room)
            words = text_and_tables.head_width(self.locale.label(f"paper_table.{column}"))
            widths = {**widths, column: max(widths[column] - over, min(widths[column], max(least, words)))}
        shown = {}
        for name in names:
            align = {"done": "middle", "mark": "middle", "next": "left"}.get(name, "right")
            align = "left" if name in ("measured", "stub", "photo", "by") else align
            big = name in ("mark", "from_datum")
            head = self.locale.label(f"paper_table.{name}")
            shown[name] = TableColumn(widths[name], head, align, 3.5 if big else 2.5, big, name == "after")
        narrower = text_and_tables.fitted(list(shown.values()), self.rows(shown), room)
        return dict(zip(shown, narrower, strict=True))

    def rows(self, columns: dict[str, TableColumn]) -> list[Row]:
        rows: list[Row] = []
        width = sum(column.width for column in columns.values())
        for plan_run in self.runs:
            rows.append(text_and_tables.span_in_lines(self.span(plan_run), width))
            before: Mark | None = None
            for mark in plan_run.marks:
                cells = self.cells(mark, before, columns["mark"].width)
                rows.append(Row(tuple(cells[name] for name in columns)))
                before = mark
        return rows

    def span(self, plan_run: PlanRun, more: bool = False) -> Row:
        label = self.locale.label
        head = label("paper_table.run", run=plan_run.run.name)
        if more:
            return Row(span=head, words=label("paper_table.continued"))
        if not plan_run.marks:
            return Row(span=head, words=label("paper_table.no_marks"))
        gaps = [b.along - a.along for a, b in pairwise(plan_run.marks)]
        pitch = "" if not gaps else label("paper_table.uneven", least=min(gaps), most=max(gaps))
        if plan_run.line.pitch is not None:
            pitch = label("paper_table.even", pitch=plan_run.line.pitch)
        words = label(
            "paper_table.run_note", run=plan_run.of, surface=plan_run.run.hooked_on,
            count=len(plan_run.marks),
            toward=tape_direction(plan_run, self.design, self.locale), pitch=pitch,
            length=plan_run.run.length,
        )  # fmt: skip
        return Row(span=head, words=words)

    def cells(self, mark: Mark, before: Mark | None, named: float) -> dict[str, str | Cell]:
        """named: width of the column of names [mm]."""
        locale = self.locale
        near = next_to(mark, locale)
        room = self.widths["next"] - 3.4 - fonts.width(fonts.clean(near), 2.5)
        signs: list[NumberedFinding] = []
        for finding in self.findings:  # worst first; the worst always stands there, the others where they fit
            if finding.look and mark.name in finding.marks:
                room -= self.sign_room(finding)
                signs += [finding] if room > 0 or not signs else []
        return {
            "done": Cell(sign=symbols.tick_box),
            "mark": short_name(mark.name, named - NAME_PAD),
            "from_datum": locale.in_cell(mark.along),
            "inches": locale.in_cell(mark.along, "inches"),
            "mm": locale.in_cell(mark.along, "mm"),
            "from_last": locale.tape(mark.along - before.along)
            if before
            else locale.label("paper_table.datum"),
            "level": locale.in_cell(mark.level),
            "height": locale.tape(mark.height),
            "next": Cell(near or " ", self.signs(signs), 1.0 + sum(self.sign_room(sign) for sign in signs))
            if signs
            else near,
            "measured": "", "stub": "", "photo": "", "by": "",
            "after": locale.in_cell(mark.along_finished),
        }  # fmt: skip

    def sign_room(self, numbered_finding: NumberedFinding) -> float:
        word = self.locale.label("paper.stop")
        return (
            fonts.width(f"{word} {numbered_finding.number}", 2.5, True) + 3.6
            if numbered_finding.stop
            else 7.2
        )

    def signs(self, numbered_findings: Sequence[NumberedFinding]) -> text_and_tables.Sign:
        word = self.locale.label("paper.stop")

        def draw(at: Point) -> list[Item]:
            rooms = [self.sign_room(finding) for finding in numbered_findings]
            x = at[0] - sum(rooms) / 2
            items: list[Item] = []
            for finding, room in zip(numbered_findings, rooms, strict=True):
                middle = (x + room / 2, at[1])
                sign = (
                    symbols.stop(middle, finding.number, word)
                    if finding.stop
                    else symbols.warning(middle, finding.number)
                )
                items += sign
                x += room
            return items

        return draw

    def pages(self, columns: dict[str, TableColumn], zone: Box, whole: bool) -> list[list[Item]]:
        """whole: no run goes on from one sheet to the next where a sheet takes all of it."""
        rows = self.rows(columns)
        made: list[list[Item]] = []
        while rows or not made:
            items, rest = self.page(columns, rows, zone, whole)
            made.append(items)
            if len(rest) >= len(rows):
                break
            rows = rest
        return made

    def page(
        self, columns: dict[str, TableColumn], rows: list[Row], zone: Box, whole: bool
    ) -> tuple[list[Item], list[Row]]:
        """One sheet of the table and the rows it leaves; a run that goes on says so."""
        label = self.locale.label
        head = label("paper_table.title")
        if len(self.design.layouts) > 1:
            head = label("paper.of_patio", title=head, patio=self.patio.name)
        fitted = fonts.fit(head, 5.0, 0.6 * zone.width, True)
        title = Text((zone.left, zone.top - 5.0), fitted, 5.0, True, layer="NOTE")
        width = sum(column.width for column in columns.values())
        lead = text_and_tables.beside_title(title, label("paper_table.lead"), zone.left + width)
        items: list[Item] = [title, *lead]
        at, bottom = (zone.left, zone.top - HEAD), zone.bottom + FOOT
        drawn = text_and_tables.table(list(columns.values()), rows, at, bottom, ROW)
        begun = max((n for n, row in enumerate(rows[: drawn.rows]) if row.span), default=0)
        short = drawn.rows < len(rows) and not rows[drawn.rows].span
        if short and begun and (whole or drawn.rows - begun <= FEW):  # the run begins the next sheet
            drawn = text_and_tables.table(list(columns.values()), rows[:begun], at, bottom, ROW)
        items += drawn.items
        marks = sum(not row.span for row in rows[: drawn.rows])
        items += self.foot(zone.left, drawn.bottom - 7.5, width, marks)
        rest = rows[drawn.rows :]
        if rest and not rest[0].span:
            spans = [row.span for row in rows[: drawn.rows] if row.span]
            run = next(run for run in self.runs if self.span(run).span == spans[-1])
            rest = [self.span(run, more=True), *rest]
        return items, rest

    def foot(self, left: float, y: float, width: float, marks: int) -> list[Item]:
        """marks: lines of this sheet, which whoever fills it signs for."""
        label = self.locale.label
        items: list[Item] = []
        x = left
        for key, line in (("filled", 0.0), ("signed", 34.0), ("date", 26.0)):
            text = Text((x, y), label(f"paper_table.{key}", count=marks), layer="NOTE")
            items.append(text)
            x += text.width + 1.5
            if line:
                items.append(LineSegment((x, y - 0.6), (x + line, y - 0.6), layer="NOTE", pen=THIN))
                x += line + 4.0
            else:
                x += 2.0
        if "after" in self.names:
            note = label("paper_table.after_note")
            beside = fonts.width(note, 2.5) <= left + width - x
            at = (x, y) if beside else (left, y - 4.6)
            items.append(Text(at, fonts.fit(note, 2.5, left + width - at[0]), layer="NOTE"))
        return items

    def sectioned(self, draft: SheetDraft, section: StubSection) -> SheetDraft:
        """A sheet with the stub section, which alone is drawn to scale."""
        scale = (
            self.locale.label("paper_section.scale_short", scale=section.scale)
            if section.items
            else draft.scale
        )
        items, left = (*draft.items, *section.items), (*draft.left_over, *section.left_over)
        return replace(draft, items=items, left_over=left, scale=scale)

    def leaf(self, paper: PaperSize, items: Sequence[Item], title: str = "paper_table.short") -> SheetDraft:
        return SheetDraft(
            paper, self.locale.label(title), tuple(items), self.patio.name, kind="table",
            sections=self.sections(),
        )  # fmt: skip

    def sections(self) -> tuple[StripSection, ...]:
        label = self.locale.label
        hold = [
            Paragraph(label("paper.hold", along=MARK_ALONG, across=MARK_ACROSS)),
            Paragraph(label("paper_table.cannot")),
        ]
        word, looks = label("paper.stop"), []
        for finding in self.findings:
            if finding.look:
                indent = 16.0 if finding.stop else 9.0
                looks.append(
                    Paragraph(
                        self.locale.say(finding.finding),
                        sign=sign_of(finding, word),
                        indent=indent,
                        before=2.6,
                    )
                )
        more, bare = (label(f"paper.{key}_plan", n="{n}") for key in ("more", "all"))
        strip_sections = [caution_boxes.in_strip(self.design.findings, "drill", self.locale, rest=False)]
        rest = label("paper.more_notes", n="{n}")
        strip_sections.append(StripSection(label("paper.hold_head"), tuple(hold), rest))
        return (
            (
                *strip_sections,
                StripSection(label("paper.look_short"), tuple(looks), more, bare, elsewhere=True),
            )
            if looks
            else tuple(strip_sections)
        )
