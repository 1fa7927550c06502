"""The installer's page: stubs, tube and tests; and the hold points, each with blanks for its gauge."""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.model.hole_size import drill_size
from mistcalc.model.results import Design, Layout
from mistcalc.report.common.calendar_text import day_text, hold_points, hold_title, plastered, when
from mistcalc.report.common.line_kind import line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.details import stub_detail
from mistcalc.report.trades.slip import Need, Places, Slip, SlipList, SlipRow, Spot, alike, named_cautions

URGENT = ("lock-out", "shut-off", "injection", "gas-test", "trapped-water", "ladder")


def installer_slip(design: Design, locale: Locale) -> Slip:
    label, project, places = locale.label, design.project, Places(design, locale)
    plumbing, pumped = project.plumbing, project.plumbing.pump is not None
    first = next(((p, m) for p in project.patios for m in design.layout_of(p.name).marks), None)
    tube = plumbing.tube if first is None else plumbing.tube_on(first[1].run)
    lists = (
        SlipList(
            label("paper_trade.line"), label("paper_trade.line_note"), alike(_runs(design, places, locale))
        ),
        SlipList(label("paper_trade.tube"), "", tuple(_tube(design, places, locale))),
    )
    count = sum(len(layout.marks) for layout in design.layouts)
    holds, kind = len(hold_points(design)), line_conditions(design)
    return Slip(
        name="installer",
        trades=("installer",),
        lead=label("paper_trade.lead_installer", stubs=count, holds=holds),
        lists=tuple(part for part in lists if part.rows),
        detail=None if first is None else stub_detail(*first, tube, False, locale),
        cautions=named_cautions(design, *URGENT),
        mind=(
            label("paper_trade.mind_installer"),
            label("paper_trade.at_hold", number=holds, words=label("paper_hold.hand_over_do", **kind)),
        ),
        needs=(
            Need(label("paper_trade.need_bores"), "framing"),
            *([Need(label("paper_trade.need_circuit"), "wiring")] if pumped else []),
            Need(label("paper_trade.need_water"), "plumbing"),
            *([Need(label("paper_trade.need_coats"))] if plastered(design) else []),
        ),
        hold=label("paper_trade.hold_installer"),
        hold_words="",
        signing=tuple(_holds(design, locale)),
    )


def _runs(design: Design, places: Places, locale: Locale) -> Iterator[SlipRow]:
    """Each run's stubs from its datum: the marks table has every one."""
    for patio in design.project.patios:
        layout = design.layout_of(patio.name)
        hole = drill_size(patio, design.line, locale.units)
        for run in patio.rows:
            alongs = [mark.along for mark in layout.marks if mark.run == run.name]
            if alongs:
                values = {
                    "count": len(alongs),
                    "last": alongs[-1],
                    "hole": hole,
                    "back": _back(layout, run.name),
                }
                yield SlipRow(
                    run.name, _pitch(places, alongs), locale.label("paper_trade.line_row", **values)
                )


def _pitch(places: Places, alongs: list[float]) -> str:
    """One pitch in a line; of a row with several only its ends, for the table has them all."""
    told = places.series(alongs)
    return told if len(alongs) < 4 or "," not in told else places.locale.label(
        "paper_trade.from_to", first=alongs[0], last=alongs[-1]
    )  # fmt: skip


def _back(layout: Layout, run: str) -> float:
    return next(line.back for line in layout.lid.rows if line.name == run)


def _tube(design: Design, places: Places, locale: Locale) -> Iterator[SlipRow]:
    """Where the tube is held, what is alike on several runs in one row; and where it runs out."""
    label = locale.label
    anchors: dict[tuple[float, int], list[tuple[str, Spot]]] = {}
    held: list[SlipRow] = []
    for run in design.line.duty.tube.runs:
        if run.clips and run.held == "middle":
            back = places.runs[run.patio][run.run].line.back
            spot = places.spot(run.patio, run.run, run.anchor, back)
            anchors.setdefault((round(run.anchor, 6), run.clip_count), []).append((run.run, spot))
        elif run.clips:
            words = label("paper_trade.held_row", clips=run.clip_count)
            held.append(SlipRow(run.run, label("paper_trade.held"), words))
    for number, ((along, clips), of) in enumerate(anchors.items(), 1):
        where = places.at(", ".join(name for name, _ in of), along)
        words = label("paper_trade.anchor_row", clips=clips)
        yield SlipRow(str(number), where, words, tuple(spot for _, spot in of))
    yield from alike(held)
    for drain in design.project.plumbing.drains:
        words = label("paper_trade.fall_row", slope=drain.slope)
        yield SlipRow("–", label("paper_trade.drain", at=drain.at), words)


def _holds(design: Design, locale: Locale) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The hold points with their days, and blanks for what the gauge shows at each."""
    blanks = tuple(locale.label(f"paper_hold.{name}") for name in ("start", "end", "temperature", "signed"))
    for n, name in enumerate(hold_points(design), 1):
        step = design.calendar.hold(name) if design.calendar is not None else None
        title = hold_title(name, locale)
        if step is not None and design.calendar is not None:
            dated = design.calendar.dated
            day = day_text(step.last, locale, False) if dated else when(design.calendar, step.last, locale)
            title = locale.label("paper_calendar.hold_head", day=day, what=title)
        yield f"{n} {title}", blanks
