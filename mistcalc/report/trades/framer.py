"""The framer's page: holes through the members that the tube crosses, and blocking. No mark stands on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from mistcalc.model.practice import NAIL_PLATE
from mistcalc.model.results import Blocking, BoredBack, BoredRun, Design
from mistcalc.report.builder import connection_letters
from mistcalc.report.common.calendar_text import plastered, when
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.details import bore_detail
from mistcalc.report.trades.slip import (
    Need,
    Places,
    Slip,
    SlipList,
    SlipRow,
    alike,
    named_cautions,
    signed_by,
)

FED = "FB"  # letters of places where tube comes up or goes on to another run


def framer_slip(design: Design, locale: Locale) -> Slip:
    label, work, places = locale.label, design.carpentry, Places(design, locale)
    guessed = design.project.rows_on_assumed_joists
    bores = alike(_bore(bored, bored.run in guessed, places, locale) for bored in work.bores)
    back = tuple(_bore_back(bored, places, locale) for bored in work.bores_back)
    blocks = list(_blocking(design, places, locale))
    asks = list(_asks(design, places, len(blocks), locale))
    unstated = tuple(
        SlipRow(run, label("paper_trade.unstated"), label("paper_trade.unstated_do")) for run in work.unstated
    )
    lists = (
        _to_measure(design, locale),
        SlipList(label("paper_trade.bores"), label("paper_trade.bores_note"), (*bores, *back, *unstated)),
        SlipList(label("paper_trade.blocking"), label("paper_trade.blocking_note"), tuple(blocks), 2),
        SlipList(label("paper_trade.asks"), label("paper_trade.asks_note"), tuple(asks)),
    )
    holes = sum(len(b.alongs) for b in work.bores) + sum(len(b.backs) for b in work.bores_back)
    counts = {"holes": holes, "blocks": _pieces(work.blocking)}
    every: list[BoredRun | BoredBack] = [*work.bores, *work.bores_back]
    bored = next((b for b in every if b.up is not None), next(iter(every), None))
    hung = {block.name for block in work.blocking if block.why in ("fan", "heater")}
    moves = [fix.move for layout in design.layouts for fix in layout.fixes if fix.purpose == "clearance"]
    moved = [name for name in dict.fromkeys(moves) if name in hung]
    tube = design.project.plumbing.tube.outside
    return Slip(
        name="framer",
        trades=("framer",),
        lead=label(
            "paper_trade.lead_framer", **counts, some=bool(counts["blocks"]), none=not counts["blocks"]
        ),
        lists=tuple(part for part in lists if part.rows),
        detail=None
        if bored is None
        else bore_detail(bored, _width(design, bored), plastered(design), locale),
        cautions=named_cautions(design, "ladder", "eyes"),
        mind=tuple(
            label(f"paper_trade.mind_framer_{n}", plate=NAIL_PLATE, lath=plastered(design)) for n in (1, 2, 3)
        ),
        needs=(
            Need(label("paper_trade.need_edge")),
            Need(label("paper_trade.need_tube", outside=tube)),
            *([Need(label("paper_trade.need_moved", things=tuple(moved)))] if moved else []),
        ),
        hold=label("paper_trade.hold_framer"),
        hold_words=label("paper_trade.hold_framer_do"),
        signing=signed_by(locale, "framer", "builder"),
        shows=frozenset(("members",)),
    )


def _width(design: Design, bored: BoredRun | BoredBack) -> float:
    runs = (row for patio in design.project.patios for row in patio.rows)
    return next(run.framing.width for run in runs if run.name == bored.run)


def _pieces(blocking: tuple[Blocking, ...]) -> int:
    return sum(len(block.alongs) for block in blocking if not block.asks)


def _to_measure(design: Design, locale: Locale) -> SlipList:
    """Runs whose joists lie where a default of ours has them: by when they are measured, room to write it."""
    calendar, guessed = design.calendar, design.project.rows_on_assumed_joists
    step = calendar.step("framing") if calendar is not None else None
    day = {"day": when(calendar, step.last, locale)} if calendar is not None and step is not None else {}
    blank = locale.label("paper_trade.measure_blank")
    runs = [run.name for patio in design.project.patios for run in patio.runs if run.name in guessed]
    rows = tuple(SlipRow(run, blank) for run in runs)
    note = locale.label("paper_trade.measure_note", **day)
    return SlipList(locale.label("paper_trade.measure"), note, rows, 2, 2.5)


def _bore(bored: BoredRun, guessed: bool, places: Places, locale: Locale) -> SlipRow:
    values = {"last": bored.alongs[-1], "inches": bored.alongs[-1], "count": len(bored.alongs),
              "hole": bored.hole, "up": bored.up, "back": bored.back}  # fmt: skip
    values |= {"assumed": True} if guessed else {}
    key = "bore_row" if bored.up is not None else "bore_row_none"
    return SlipRow(bored.run, places.series(bored.alongs), locale.label(f"paper_trade.{key}", **values))


def _bore_back(bored: BoredBack, places: Places, locale: Locale) -> SlipRow:
    values = {"row": bored.row, "count": len(bored.backs), "hole": bored.hole, "up": bored.up,
              "backs": bored.backs}  # fmt: skip
    key = "bore_back" if bored.up is not None else "bore_back_none"
    return SlipRow(bored.run, places.locale.tape(bored.along), locale.label(f"paper_trade.{key}", **values))


def _blocking(design: Design, places: Places, locale: Locale) -> Iterator[SlipRow]:
    """Numbered rows: under joints, over boxes, where the tube is held, where it comes up."""
    number = 0
    for block in design.carpentry.blocking:
        if not block.asks:
            number += 1
            yield _row(number, (block,), places, locale)
    plumbing = design.project.plumbing
    for patio, runs in places.runs.items():
        for plan_run in runs.values():
            for name, point, _ in connection_letters.places(plan_run, plumbing):
                letters = connection_letters.letters_at(name, plumbing)
                if set(letters) & set(FED):
                    number += 1
                    where = places.at(plan_run.run.name, plan_run.line.along(point))
                    words = locale.label("paper_trade.why_feed", at=name)
                    yield SlipRow(str(number), where, words, ((patio, point),))


def _asks(design: Design, places: Places, after: int, locale: Locale) -> Iterator[SlipRow]:
    """What is alike on several runs in one row."""
    together: dict[Blocking, list[Blocking]] = {}
    for block in design.carpentry.blocking:
        if block.asks:
            together.setdefault(replace(block, run=""), []).append(block)
    for number, blocks in enumerate(together.values(), after + 1):
        yield _row(number, blocks, places, locale)


def _row(number: int, blocks: Sequence[Blocking], places: Places, locale: Locale) -> SlipRow:
    """Blocks that differ in nothing but their run."""
    one, runs = blocks[0], ", ".join(block.run for block in blocks)
    values = {"kind": one.why, "name": one.name, "count": len(one.alongs), "back": one.back}
    words = locale.label(f"paper_trade.why_{one.why}", **values)
    single = len(one.alongs) == 1
    where = places.at(runs, one.alongs[0]) if single else f"{runs} {places.series(one.alongs)}"
    middle = one.alongs[len(one.alongs) // 2]
    spots = tuple(places.spot(block.patio, block.run, middle, block.back) for block in blocks)
    return SlipRow(str(number), where, words, spots)
