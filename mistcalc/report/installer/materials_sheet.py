"""What to buy: every part with its packs, the project's own prices, and three totals."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mistcalc.drawing import fonts, symbols, text_and_tables
from mistcalc.drawing.boxes import Point
from mistcalc.drawing.frame import PaperSize
from mistcalc.drawing.sheet import HEAVY, Item, LineSegment, Text
from mistcalc.drawing.text_and_tables import Cell, Paragraph, Row, TableColumn
from mistcalc.model.results import CostTotal, Design, FirstCost, PricedPart
from mistcalc.report.common.currency import money
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft
from mistcalc.report.exports.lists_csv import part_detail, part_name

ROWS, HEAD = (5.2, 4.9, 4.6), 10.0  # of a row, lower where that saves a sheet; over the table [mm]
SUM_ROW, SUM_WIDTH = 6.2, 145.0  # of the totals under the table [mm]
SUM_HEAD = 38.0  # of their heads [mm]
NOTE = 2.5  # over what is said of the prices [mm]
BOX = 3.6  # to tick
WIDTHS = {"done": 9.0, "quantity": 17.0, "pack": 14.0, "buy": 14.0, "price": 20.0, "total": 22.0}
NARROW = 200.0  # a sheet so narrow has a part's name and what it is in one column [mm]
NARROWED = 0.7  # of the other columns' width there, where their writing allows
PARTS = (0.2, 0.24, 0.28, 0.32, 0.36)  # of the sheet's width for a part's name: where the list is shortest


def materials_sheets(
    design: Design, paper: PaperSize, locale: Locale, high: float = ROWS[0]
) -> tuple[SheetDraft, ...]:
    """The list of materials in rows so high; as many sheets as they need."""
    cost = design.first_cost
    if cost is None:
        return ()
    zone = paper.room
    columns, rows = _shortest(cost, zone.width, locale)
    drafts: list[SheetDraft] = []
    head = Text((zone.left, zone.top - 5.0), locale.label("paper_materials.title"), 5.0, True, layer="NOTE")
    lead = text_and_tables.beside_title(head, locale.label("paper_materials.sticks"), zone.right)
    note = Paragraph(locale.label(f"paper_materials.{'yours' if cost.complete.priced else 'no_prices'}"))
    sums = 3 * SUM_ROW if cost.complete.priced else 0.0
    under = sums + NOTE + text_and_tables.depth(note, zone.width)
    while rows or not drafts:
        at = (zone.left, zone.top - HEAD)
        drawn = text_and_tables.table(list(columns.values()), rows, at, zone.bottom + under, high)
        whole = text_and_tables.table(list(columns.values()), rows, at, zone.bottom, high)
        if len(rows) > whole.rows:  # the sums stand on a further sheet anyway
            drawn = whole
        rows = rows[drawn.rows :]
        items: list[Item] = [head, *lead, *drawn.items]
        if not rows and cost.complete.priced:
            right = zone.left + sum(column.width for column in columns.values())
            items += _totals(cost, (right, drawn.bottom - SUM_ROW), locale)
        if not rows:
            below = zone._replace(top=drawn.bottom - sums - NOTE, bottom=-1e6)
            items += text_and_tables.flow_text([note], [below]).items
        drafts.append(
            SheetDraft(paper, locale.label("paper_materials.short"), tuple(items), kind="materials")
        )
        if not drawn.rows:
            break
    return tuple(drafts)


def _shortest(cost: FirstCost, wide: float, locale: Locale) -> tuple[dict[str, TableColumn], list[Row]]:
    """Columns that part words and numbers so that the rows take least, and the rows."""
    tries = [_columns(cost, wide, share * wide, locale) for share in PARTS]
    made = [(columns, list(_rows(cost, columns, locale))) for columns in tries]
    return min(made, key=lambda one: sum(text_and_tables.row_depth(row, ROWS[0]) for row in one[1]))


def _columns(cost: FirstCost, wide: float, part: float, locale: Locale) -> dict[str, TableColumn]:
    """Those this job has a use for: no prices where none is stated, no packs where nothing comes in them."""
    idle = set() if cost.complete.priced else {"price", "total"}
    idle |= {"pack", "buy"} if all(row.pack == 1 for row in cost.parts) else set()
    heads = {
        name: locale.label(f"paper_materials.{name}", currency=cost.currency)
        for name in ("done", "part", "detail", *WIDTHS)
        if name not in idle
    }
    widths = {name: width for name, width in WIDTHS.items() if name in heads}
    if wide < NARROW:
        figures = [_figures(row, locale) for row in cost.parts]
        for name, width in widths.items():
            shown = [heads[name], *(each[name] for each in figures)]
            widths[name] = max(NARROWED * width, *map(text_and_tables.head_width, shown))
        heads["part"] = f"{heads['part']}: {heads.pop('detail')}"
        widths["part"] = wide - sum(widths.values())
    else:
        widths["part"] = part
        widths["detail"] = wide - sum(widths.values())
    return {
        name: TableColumn(
            widths[name],
            heads[name],
            {"done": "middle", "part": "left", "detail": "left"}.get(name, "right"),
            bold=name in ("quantity", "total"),
        )
        for name in dict.fromkeys(("done", "part", *heads))
        if name in heads
    }


def _figures(row: PricedPart, locale: Locale) -> dict[str, str]:
    packed = row.pack > 1
    return {
        "done": "",
        "quantity": locale.number(row.part.quantity, "whole"),
        "pack": locale.number(row.pack, "whole") if packed else "",
        "buy": locale.number(row.buy, "whole") if packed else "",
        "price": "" if row.price is None else locale.number(float(row.price), "price"),
        "total": "" if row.total is None else locale.number(float(row.total), "money"),
    }


def _rows(cost: FirstCost, columns: dict[str, TableColumn], locale: Locale) -> Iterator[Row]:
    for name, wanted in (("rough_in", True), ("later", False)):
        rows = [row for row in cost.parts if row.rough_in is wanted]
        if rows:
            head, words = (locale.label(f"paper_materials.{name}{end}") for end in ("", "_words"))
            yield Row(span=head, words=words)
        for row in rows:
            yield _line(row, columns, locale)


def _line(row: PricedPart, columns: dict[str, TableColumn], locale: Locale) -> Row:
    """A part, its words on as many lines as they take."""
    texts = {"part": part_name(row.part, locale), "detail": part_detail(row.part, locale)}
    if "detail" not in columns:
        texts = {"part": ": ".join(filter(None, texts.values()))}
    cells: dict[str, str | Cell] = {**_figures(row, locale), "done": Cell(sign=_tick)}
    for name, text in texts.items():
        cells[name] = "\n".join(fonts.wrap(fonts.clean(text), 2.5, columns[name].width - 3.4))
    return Row(tuple(cells[name] for name in columns))


def _tick(at: Point) -> Sequence[Item]:
    return symbols.tick_box(at, BOX)


def _totals(cost: FirstCost, corner: Point, locale: Locale) -> list[Item]:
    """Three sums, right-aligned under the table; each says how many parts it leaves out."""
    right, y = corner
    items: list[Item] = []
    for name, total in (("rough_in", cost.rough_in), ("later", cost.later), ("complete", cost.complete)):
        if name == "complete":
            items.append(LineSegment((right - SUM_WIDTH, y + 4.6), (right, y + 4.6), layer="NOTE", pen=HEAVY))
        items += _sum_line(name, total, cost.currency, (right, y), locale)
        y -= SUM_ROW
    return items


def _sum_line(name: str, total: CostTotal, currency: str, at: Point, locale: Locale) -> list[Item]:
    label = locale.label
    left = (at[0] - SUM_WIDTH, at[1])
    words = label("paper_materials.left_out", count=total.unpriced) if total.unpriced else ""
    without = Text((left[0] + SUM_HEAD, at[1]), words, 2.5, layer="NOTE")
    amount = money(float(total.total), currency, locale, "money")
    if fonts.width(fonts.clean(amount), 3.5, True) > at[0] - without.at[0] - without.width - 4.0:
        amount = locale.number(float(total.total), "money")  # of what, the column's head says
    told = Text((at[0] - 1.6, at[1]), amount, 3.5, True, align="right", layer="NOTE")
    head = Text(left, label(f"paper_materials.sum_{name}"), 3.5, True, layer="NOTE")
    return [head, told, *([without] if words else [])]
