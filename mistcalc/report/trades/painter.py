"""The painter's page: what is masked, when paint may go on, and that no nozzle is in before it is dry."""

from __future__ import annotations

from mistcalc.model.close_in import FINISH
from mistcalc.model.results import Design
from mistcalc.report.common.calendar_text import plastered
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.details import stub_detail
from mistcalc.report.trades.slip import Need, Slip, SlipList, SlipRow, named_cautions, signed_by


def painter_slip(design: Design, locale: Locale) -> Slip:
    label, coated = locale.label, plastered(design)
    rows = []
    for patio in design.project.patios:
        for run in patio.rows:
            own = [mark for mark in design.layout_of(patio.name).marks if mark.run == run.name]
            if own:
                where = label("paper_trade.stub_count", count=len(own))
                rows.append(SlipRow(run.name, where, label("paper_trade.stub_row", back=own[0].back)))
    count = sum(len(layout.marks) for layout in design.layouts)
    first = next(((p, m) for p in design.project.patios for m in design.layout_of(p.name).marks), None)
    plumbing = design.project.plumbing
    tube = plumbing.tube if first is None else plumbing.tube_on(first[1].run)
    steps = tuple(
        SlipRow(str(n), label(f"paper_trade.paint_{key}"), label(f"paper_trade.paint_{key}_do"))
        for n, key in enumerate(("count", "mask", "coat", "off"), 1)
    )
    return Slip(
        name="painter",
        trades=("painter",),
        lead=label("paper_trade.lead_painter", stubs=count),
        lists=(
            SlipList(label("paper_trade.mask"), label("paper_trade.mask_note"), tuple(rows)),
            SlipList(label("paper_trade.paint"), "", steps),
        ),
        detail=None if first is None else stub_detail(*first, tube, True, locale),
        cautions=named_cautions(design, "ladder"),
        mind=tuple(label(f"paper_trade.mind_painter_{n}") for n in (1, 2, 3)),
        needs=(
            *([Need(label("paper_trade.need_cure"), FINISH)] if coated else []),
            Need(label("paper_trade.need_plugs")),
        ),
        hold=label("paper_trade.hold_painter"),
        hold_words=label("paper_trade.hold_painter_do"),
        signing=signed_by(locale, "painter", "installer"),
    )
