"""Alternates of a job side by side, on as many sheets as their rows take."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from mistcalc.drawing import fonts, text_and_tables
from mistcalc.drawing.frame import PaperSize, StripSection
from mistcalc.drawing.sheet import Item, Text
from mistcalc.drawing.text_and_tables import Paragraph, Row, TableColumn
from mistcalc.model.results import BidColumn, CostTotal, Design
from mistcalc.report.common.currency import money
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.sheet_draft import SheetDraft

HEAD, ROW = 13.0, 7.0
NAMES = 0.22  # of the sheet's width, for what is told
HOUR = 3600.0
FIELDS = {  # keys of the project file -> what the page calls them
    "patio.marks.pitch": "pitch",
    "patio.marks.closest": "closest",
    "patio.marks.widest": "widest",
    "patio.marks.from_wall": "from_wall",
    "patio.line_behind_edge": "line_behind_edge",
    "patio.height": "height",
    "patio.depth": "depth",
    "line.nozzle.flow": "nozzle_flow",
    "line.tube.outside": "tube_outside",
    "line.tube.wall": "tube_wall",
    "line.tube_temperature": "tube_temperature",
    "pump.set_pressure": "set_pressure",
}
NAME = re.compile(r"\[([^]]*)\]")
Told = Callable[[BidColumn], str]


def bid_sheets(design: Design, paper: PaperSize, locale: Locale) -> tuple[SheetDraft, ...]:
    """The job as stated and its alternates; nothing where it states none."""
    if not design.bids:
        return ()
    label, zone = locale.label, paper.room
    head = Text((zone.left, zone.top - 5.0), label("paper_bid.title"), 5.0, True, layer="NOTE")
    lead = text_and_tables.beside_title(head, label("paper_bid.lead"), zone.right)
    names = NAMES * zone.width
    wide = (zone.width - names) / len(design.bids)
    columns = [TableColumn(names, "", bold=True)]
    heads = [fonts.wrap(bid.name or label("paper_bid.base"), 2.5, wide - 3.4, True) for bid in design.bids]
    columns += [TableColumn(wide, "\n".join(head)) for head in heads]
    rows = list(_rows(design, wide, names, locale))
    words = (Paragraph(label("paper_bid.yours")), Paragraph(label("paper.codes_decide"), bold=True))
    strip = StripSection(label("paper_bid.use"), words, label("paper.more_notes", n="{n}"))
    drafts: list[SheetDraft] = []
    while rows:
        drawn = text_and_tables.table(columns, rows, (zone.left, zone.top - HEAD), zone.bottom, ROW)
        items: list[Item] = [head, *lead, *drawn.items]
        drafts.append(
            SheetDraft(paper, label("paper_bid.short"), tuple(items), kind="bid", sections=(strip,))
        )
        rows = rows[drawn.rows :]
    return tuple(drafts)


def _rows(design: Design, wide: float, names: float, locale: Locale) -> Iterator[Row]:
    label = locale.label
    changes = [
        [_change(path, value, locale) for path, value in bid.changes] or [label("paper_bid.none")]
        for bid in design.bids
    ]
    lines = [
        [line for one in each for line in fonts.wrap(fonts.clean(one), 2.5, wide - 3.4)] for each in changes
    ]
    for n in range(max(map(len, lines))):
        first = label("paper_bid.changes") if n == 0 else ""
        yield Row((first, *(each[n] if n < len(each) else "" for each in lines)))
    for name, told in _facts(locale).items():
        values = [told(bid) for bid in design.bids]
        if not any(values):  # no prices, no sums
            continue
        cells = [fonts.wrap(fonts.clean(value), 2.5, wide - 3.4) for value in values]
        head = fonts.wrap(label(f"paper_bid.{name}"), 2.5, names - 3.4, True)
        yield Row(("\n".join(head), *map("\n".join, cells)))


def _change(path: str, value: str, locale: Locale) -> str:
    """In plain words where the page has them for the key, of which patio where that is stated; else as it
    stands in the file."""
    field, of = FIELDS.get(NAME.sub("", path)), ", ".join(NAME.findall(path))
    if field is None:
        return locale.label("paper_bid.change", path=path, value=value)
    what = locale.label(f"page.{field}")
    return locale.label(
        "paper_bid.change_of" if of else "paper_bid.change_plain", what=what, of=of, value=value
    )


def _facts(locale: Locale) -> dict[str, Told]:
    """What is told of each, in order."""
    label = locale.label
    sums: dict[str, Callable[[BidColumn], CostTotal]] = {
        "rough_in": lambda bid: bid.cost.rough_in,
        "later": lambda bid: bid.cost.later,
        "complete": lambda bid: bid.cost.complete,
    }

    def marks(bid: BidColumn) -> str:
        return label("paper_bid.stops" if bid.stops else "paper_bid.count", marks=bid.marks, stops=bid.stops)

    def spacing(bid: BidColumn) -> str:
        if bid.spacing is None:
            return ""
        low, high = bid.spacing
        return label("paper_bid.even" if high - low < 1e-6 else "paper_bid.uneven", low=low, high=high)

    def pump(bid: BidColumn) -> str:
        if bid.pump_flow is None:
            return label("paper_bid.mains", pressure=bid.working)
        key = "unsized" if bid.motor is None else "sized"
        return label(f"paper_bid.{key}", flow=bid.pump_flow, pressure=bid.working, motor=bid.motor)

    def cost(total: Callable[[BidColumn], CostTotal]) -> Told:
        return lambda bid: (
            money(float(total(bid).total), bid.cost.currency, locale, "money") if total(bid).priced else ""
        )

    return {
        "marks": marks,
        "spacing": spacing,
        "water": lambda bid: label("paper_bid.hourly", volume=HOUR * bid.nozzle_flow),
        "pump": pump,
        "far": lambda bid: locale.number(bid.far_gauge, "pressure"),
        "verdict": lambda bid: label(f"verdict.{bid.verdict}"),
        "tube": lambda bid: locale.number(bid.tube, "rough_length"),
        **{name: cost(total) for name, total in sums.items()},
        "unpriced": lambda bid: locale.number(bid.cost.complete.unpriced, "whole"),
    }
