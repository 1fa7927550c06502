"""The plumber's page: the water point and what stands behind it, what it gives, where water runs out."""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.model.practice import STATIC_MOST
from mistcalc.model.results import Design
from mistcalc.report.common.line_kind import line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.installer.line_diagram.pump_side import water_chain
from mistcalc.report.trades.details import order_detail
from mistcalc.report.trades.slip import (
    Detail,
    Need,
    Places,
    Slip,
    SlipList,
    SlipRow,
    named_cautions,
    signed_by,
)


def plumber_slip(design: Design, locale: Locale) -> Slip:
    label, kind = locale.label, line_conditions(design)
    note = label("paper_trade.water_note", **kind)
    lists = (
        SlipList(label("paper_trade.water"), note, tuple(_water(design, locale))),
        SlipList(label("paper_trade.waste"), "", tuple(_waste(design, locale))),
    )
    return Slip(
        name="plumber",
        trades=("plumber",),
        lead=label("paper_trade.lead_plumber", **kind),
        lists=tuple(part for part in lists if part.rows),
        detail=_order(design, locale),
        cautions=named_cautions(design, "backflow", "eyes"),
        mind=tuple(label(f"paper_trade.mind_plumber_{n}") for n in (1, 2, 3)),
        needs=(
            Need(label("paper_trade.need_pump_place" if kind["pumped"] else "paper_trade.need_start_place")),
            Need(label("paper_trade.need_sleeve")),
        ),
        hold=label("paper_trade.hold_plumber"),
        hold_words=label("paper_trade.hold_plumber_do"),
        signing=signed_by(locale, "plumber", "builder"),
    )


def _water(design: Design, locale: Locale) -> Iterator[SlipRow]:
    label, water, duty = locale.label, design.project.plumbing.water, design.line.duty
    place = water.point or label("paper_trade.place_open")
    yield SlipRow("–", place, label("paper_trade.water_place"))
    flow = locale.number(duty.point.flow, "flow")
    yield SlipRow("–", flow, label("paper_trade.water_flow", hour=3600.0 * duty.point.flow))
    yield SlipRow("–", locale.number(water.static, "pressure"), label("paper_trade.water_static"))
    told = label("paper_trade.water_at", pressure=water.residual, flow=water.at_flow)
    yield SlipRow("–", told, label("paper_trade.water_running"))
    if water.static > STATIC_MOST:
        text = label("paper_trade.reducing", most=STATIC_MOST)
        yield SlipRow("–", text, label("paper_trade.reducing_do"))
    words = label("paper_trade.backflow_do", **line_conditions(design))
    yield SlipRow("–", label("paper_trade.backflow"), words)
    if design.project.plumbing.pump is not None:
        yield SlipRow("–", label("paper_trade.sleeve"), label("paper_trade.sleeve_do"))


def _waste(design: Design, locale: Locale) -> Iterator[SlipRow]:
    """Where each drain lets its water out."""
    label, places = locale.label, Places(design, locale)
    volume = design.line.duty.filling.drain_volume
    for n, drain in enumerate(design.project.plumbing.drains, 1):
        spots = tuple(
            (patio, point)
            for patio, runs in places.runs.items()
            for plan_run in runs.values()
            for name, point, _ in plan_run.ends()
            if name == str(drain.at)
        )
        where = label("paper_trade.drain", at=drain.at)
        yield SlipRow(str(n), where, label("paper_trade.drain_do", volume=volume), spots)


def _order(design: Design, locale: Locale) -> Detail:
    label, plumbing = locale.label, design.project.plumbing
    names = {
        "": "valve",
        "W": "letter_W",
        "BP": "letter_BP",
        "TK": "letter_TK",
        "LP": "letter_LP",
        "F": "letter_F",
    }
    steps = []
    for item in water_chain(design, locale):
        treatment = plumbing.water.treatment.replace(" ", "_")
        key = f"paper_line.{names.get(item.letters, f'letter_{treatment}')}"
        words = label("paper_trade.hand_valve") if not item.letters else label(key)
        steps.append((item.letters or "V", words.removeprefix(f"{item.letters} ")))
    if all(letters != "V" for letters, _ in steps):
        steps.insert(1, ("V", label("paper_trade.hand_valve")))
    end = "order_pump" if plumbing.pump is not None else "order_line"
    return order_detail([*steps, (">", label(f"paper_trade.{end}"))], locale)
