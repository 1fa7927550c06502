"""How the tube is sawn: a bar for each length bought, and a table of its pieces."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from mistcalc.drawing import fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Box, Point
from mistcalc.drawing.frame import PaperSize, StripSection
from mistcalc.drawing.sheet import BOLD, Item, Pen, Polyline, Text
from mistcalc.drawing.text_and_tables import Cell, Paragraph, Row, TableColumn
from mistcalc.model.results import CutPiece, CutPlan, Design, Stick, TubeJoint
from mistcalc.report.common.cut_pieces import numbered_pieces, piece_name
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft

HEAD = 8.0  # under the title [mm]
BAR, STEP = 5.0, 7.0  # height of a bar, from one to the next [mm]
NUMBER = 9.0  # left of a bar
SECTION = 11.0  # over the bars of a kind of tube
ROW, GUTTER, TABLE = 5.2, 6.0, 78.0  # of the table: a row, between columns, width of one [mm]
BOX = 3.6  # to tick
APART, FEWEST = 5.0, 2  # from what is bought; bars at least below it
OFFCUT = Pen(0.25, (1.5, 1.2))


def cut_sheets(
    design: Design, bought: Sequence[SheetDraft], paper: PaperSize, locale: Locale
) -> tuple[SheetDraft, ...]:
    """The sheets of what is bought, then bars and the table under them, the first below what is bought where
    that leaves room, on as many sheets as they need."""
    if not design.cut_plans:
        return tuple(bought)
    maker = _CutSheets(design, bought[-1] if bought else None, paper, locale)
    for plan in design.cut_plans:
        maker.bars(plan)
    maker.table()
    drafts = tuple(maker.drafts())
    return (*(bought[:-1] if maker.above else bought), *drafts)


class _CutSheets:
    def __init__(self, design: Design, above: SheetDraft | None, paper: PaperSize, locale: Locale) -> None:
        self.design, self.paper, self.locale = design, paper, locale
        self.zone = paper.room
        self.pages: list[list[Item]] = []
        self.number = 1
        foot = min(item.box().bottom for item in above.items) if above is not None else self.zone.bottom
        room = foot - APART - HEAD - SECTION - FEWEST * STEP >= self.zone.bottom
        self.above = above if room else None
        self.turn(foot - APART if room else self.zone.top)

    def turn(self, top: float | None = None) -> None:
        """A new sheet, or the part of one below a height."""
        label, zone = self.locale.label, self.zone._replace(top=self.zone.top if top is None else top)
        head = Text((zone.left, zone.top - 5.0), label("paper_cut.title"), 5.0, True, layer="NOTE")
        self.pages.append([head, *text_and_tables.beside_title(head, label("paper_cut.lead"), zone.right)])
        self.y = zone.top - HEAD

    def bars(self, plan: CutPlan) -> None:
        """All lengths of one kind of tube, to one scale."""
        self.section(plan)
        for n, stick in enumerate(plan.sticks, 1):
            if self.y - STEP < self.zone.bottom:
                self.turn()
                self.section(plan)
            self.bar(plan, n, stick)

    def section(self, plan: CutPlan) -> None:
        if self.y - SECTION - STEP < self.zone.bottom:
            self.turn()
        label, tube = self.locale.label, plan.tube
        head = Text(
            (self.zone.left, self.y - 5.0),
            label("paper_cut.tube", outside=tube.outside),
            3.5,
            True,
            layer="NOTE",
        )
        words = label(
            "paper_cut.bought", material=tube.material, wall=tube.wall, count=len(plan.sticks),
            stick=tube.stick, kerf=tube.kerf, left=plan.left,
        )  # fmt: skip
        proof = label(
            "paper_cut.least" if plan.least == len(plan.sticks) else "paper_cut.gap", least=plan.least
        )
        x = self.zone.left + head.width + 4.0
        lines = fonts.wrap(f"{words} {proof}", 2.5, self.zone.right - x)
        self.pages[-1].append(head)
        for n, line in enumerate(lines):
            self.pages[-1].append(Text((x, self.y - 5.0 - 4.4 * n), line, layer="NOTE"))
        self.y -= SECTION - 4.0 + 4.4 * (len(lines) - 1)

    def bar(self, plan: CutPlan, n: int, stick: Stick) -> None:
        items, top = self.pages[-1], self.y
        base = top - BAR / 2 - 1.25
        items.append(
            Text((self.zone.left + NUMBER - 2.0, base), str(n), 2.5, True, align="right", layer="NOTE")
        )
        left = self.zone.left + NUMBER
        scale = (self.zone.right - left) / plan.tube.stick
        x = left
        for piece in stick.pieces:
            right = x + piece.length * scale
            items += self.piece(piece, Box(x, top - BAR, right, top))
            x = min(right + plan.tube.kerf * scale, left + plan.tube.stick * scale)
            self.number += 1
        rest = Box(x, top - BAR, left + plan.tube.stick * scale, top)
        if rest.width > 0.3:
            items.append(Polyline(rest.corners, True, layer="NOTE", pen=OFFCUT))
            words = self.locale.label("paper_cut.left", left=stick.left)
            if fonts.width(words, 2.5) + 2.0 < rest.width:
                items.append(Text(((rest.left + rest.right) / 2, base), words, align="middle", layer="NOTE"))
        self.y -= STEP

    def piece(self, piece: CutPiece, box: Box) -> list[Item]:
        """As much of number, name and length as there is room for; the table has all of it."""
        items: list[Item] = [Polyline(box.corners, True, layer="NOTE", pen=BOLD)]
        name, length = piece_name(piece, self.locale), self.locale.number(piece.length, "sawn")
        number = str(self.number)
        base = (box.top + box.bottom) / 2 - 1.25
        bold = fonts.width(number, 2.5, True)
        room = box.width - 4.4 - bold
        words = next((text for text in (f"{name}  {length}", length) if fonts.width(text, 2.5) <= room), "")
        if words:
            items.append(Text((box.left + 1.2, base), number, 2.5, True, layer="NOTE"))
            items.append(Text((box.left + 3.2 + bold, base), words, layer="NOTE"))
        elif bold + 1.0 <= box.width:
            items.append(Text((box.middle[0], base), number, 2.5, True, align="middle", layer="NOTE"))
        return items

    def table(self) -> None:
        """The pieces in columns under the bars, or on a sheet of their own."""
        names = {"number": 8.0, "stick": 11.0, "piece": 0.0, "length": 21.0, "done": 8.0}
        names["piece"] = text_and_tables.split(self.zone, TABLE, GUTTER)[0].width - sum(names.values())
        heads = {
            name: TableColumn(
                wide, self.locale.label(f"paper_cut.{name}"),
                {"piece": "left", "done": "middle"}.get(name, "right"), bold=name == "length",
            )
            for name, wide in names.items()
        }  # fmt: skip
        rows = list(self.rows(heads["piece"]))
        least = ROW + sum(text_and_tables.row_depth(row, ROW) for row in rows[:4])
        count = len(text_and_tables.split(self.zone, TABLE, GUTTER))
        if self.y - 4.0 - min(least, _least_depth(rows, count)) < self.zone.bottom:
            self.turn()
        while True:
            room = self.zone._replace(top=self.y - 4.0)
            columns = text_and_tables.split(room, TABLE, GUTTER)
            deep = _least_depth(rows, len(columns))
            for column in columns:
                if rows:
                    foot = max(column.top - deep, column.bottom) - 0.1
                    drawn = text_and_tables.table(
                        list(heads.values()), rows, (column.left, column.top), foot, ROW
                    )
                    self.pages[-1] += drawn.items
                    rows = rows[drawn.rows :]
            if not rows:
                return
            self.turn()

    def rows(self, column: TableColumn) -> Iterator[Row]:
        """Of each piece; its name in as many lines as it takes in its column."""
        number = 1
        for plan in self.design.cut_plans:
            for each in numbered_pieces(plan, number):
                number = each.number + 1
                length = self.locale.number(each.piece.length, "sawn")
                name = text_and_tables.in_lines(piece_name(each.piece, self.locale), column)
                yield Row((str(each.number), str(each.stick), name, length, Cell(sign=_tick)))

    def drafts(self) -> Iterator[SheetDraft]:
        sections, label = _strip(self.design.cut_plans, self.locale), self.locale.label
        for n, items in enumerate(self.pages):
            if n == 0 and self.above is not None:
                both = (*self.above.items, *items)
                here = sections[:1] if len(self.pages) > 1 else sections  # couplings stand once, on the next
                strip = (*here, *self.above.sections)  # what is done with a saw in hand comes first
                yield replace(self.above, title=label("paper_cut.short_both"), items=both, sections=strip)
            else:
                yield SheetDraft(
                    self.paper, label("paper_cut.short"), tuple(items), kind="materials", sections=sections
                )


def _least_depth(rows: Sequence[Row], columns: int) -> float:
    """The least height of so many columns, each under its head, that take all rows in their order."""
    deep = [text_and_tables.row_depth(row, ROW) for row in rows]
    wanted = max(sum(deep) / columns, *deep)
    while True:
        used, low = 1, 0.0
        for each in deep:
            used, low = (used, low + each) if low + each <= wanted + 1e-6 else (used + 1, each)
        if used <= columns:
            return wanted + ROW
        wanted += 0.5


def _tick(at: Point) -> Sequence[Item]:
    return symbols.tick_box(at, BOX)


def _strip(plans: Sequence[CutPlan], locale: Locale) -> tuple[StripSection, ...]:
    label, more = locale.label, locale.label("paper.more_notes", n="{n}")
    take_up = plans[0].tube.take_up
    words = [label("paper_cut.not_taken") if take_up is None else label("paper_cut.taken", take_up=take_up)]
    if any(piece.fitted for plan in plans for stick in plan.sticks for piece in stick.pieces):
        words.append(label("paper_cut.site"))
    words += [label("paper_cut.marks"), label("paper_cut.safe")]
    sections = [StripSection(label("paper_cut.how"), tuple(map(Paragraph, words)), more)]
    joints = tuple(Paragraph(words) for plan in plans for words in _joints(plan.joints, locale))
    if joints:
        sections.append(StripSection(label("paper_cut.joints"), joints, more))
    return tuple(sections)


def _joints(joints: Sequence[TubeJoint], locale: Locale) -> Iterator[str]:
    """Couplings piece by piece."""
    alike: dict[tuple[str, str, str], list[float]] = {}
    for joint in joints:
        alike.setdefault((joint.piece, joint.run, joint.hidden), []).append(joint.along)
    for (piece, run, hidden), along in alike.items():
        key = "joint_hidden" if hidden else "joint_run" if run else "joint"
        yield locale.label(f"paper_cut.{key}", piece=piece, along=along, run=run)
