"""The electrician's page: boxes in the patio ceiling, the pump's circuit, and what controls it."""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.model.results import Design, Fix, PlacedObstacle
from mistcalc.report.common.line_kind import line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.details import box_detail
from mistcalc.report.trades.slip import Need, Places, Slip, SlipList, SlipRow, named_cautions, signed_by

KINDS = ("light", "fan", "heater", "speaker", "screen", "outlet")


def electrician_slip(design: Design, locale: Locale) -> Slip:
    label, places = locale.label, Places(design, locale)
    things = [
        (layout, thing) for layout in design.layouts for thing in layout.lid.obstacles if thing.kind in KINDS
    ]
    boxes = []
    for n, (layout, thing) in enumerate(things, 1):
        moves = [fix for fix in layout.fixes if fix.move == thing.name and fix.purpose == "clearance"]
        boxes.append(_box(n, layout.patio, thing, moves, places, locale))
    pump = design.project.plumbing.pump
    place = pump.place if pump is not None else ""
    kind = line_conditions(design)
    lists = (
        SlipList(label("paper_trade.boxes"), label("paper_trade.boxes_note"), tuple(boxes), True),
        SlipList(
            label("paper_trade.circuit", **kind),
            label("paper_trade.circuit_note", place=place, **kind),
            (*_circuit(design, locale), *_control(design, locale)),
            narrow=True,
        ),
    )
    fans = [thing for _, thing in things if thing.kind in ("fan", "heater")]
    needs = [Need(label("paper_trade.need_blocks"), "framing")] if fans else []
    if pump is not None:
        needs.append(Need(label("paper_trade.need_pump_place")))
    if face := _face(design):
        needs.append(Need(label("paper_trade.need_finish", depth=face)))
    patio = design.project.patios[0]
    return Slip(
        name="electrician",
        trades=("electrician",),
        lead=label("paper_trade.lead_electrician", boxes=len(boxes), **kind),
        lists=tuple(part for part in lists if part.rows),
        detail=box_detail(patio, locale) if boxes else None,
        cautions=named_cautions(design, "electrical", "drilling", "ladder"),
        mind=tuple(label(f"paper_trade.mind_electrician_{n}", **kind) for n in (1, 2, 3)),
        needs=tuple(needs),
        hold=label("paper_trade.hold_electrician"),
        hold_words=label("paper_trade.hold_electrician_do"),
        signing=signed_by(locale, "electrician", "builder"),
        shows=frozenset(KINDS),
    )


def _face(design: Design) -> float:
    plaster = design.project.patios[0].plaster
    return plaster.sheathing + plaster.thickness


def _box(
    number: int, patio: str, thing: PlacedObstacle, moves: list[Fix], places: Places, locale: Locale
) -> SlipRow:
    where = places.at(thing.run, thing.along)
    kind = locale.label(f"word.{thing.kind}")
    told = thing.kind if kind.lower() not in thing.name.lower() else ""
    words = locale.label("paper_trade.box_row", name=thing.name, kind=told, back=thing.back)
    if moves:
        moved = locale.label("paper_trade.box_moved", by=moves[0].by, toward=moves[0].toward)
        words = f"{words} {moved}"
    return SlipRow(str(number), where, words, ((patio, thing.point),))


def _circuit(design: Design, locale: Locale) -> Iterator[SlipRow]:
    """The pump's circuit: figures of the check sheet, for checking only."""
    pump, duty, label = design.project.plumbing.pump, design.line.duty, locale.label
    if pump is None:
        return
    plate = pump.nameplate
    motor = plate.motor if plate is not None else duty.pick_motor
    volts = plate.volts if plate is not None else duty.pick_volts
    if motor is not None and volts is not None:
        text = label(
            "paper_check.at", value=locale.number(motor, "motor"), other=locale.number(volts, "voltage")
        )
        yield SlipRow("–", text, label("paper_trade.circuit_plate"))
    if duty.circuit_amps is not None:
        text = label("paper_trade.circuit_amps", amps=duty.circuit_amps)
        yield SlipRow("–", text, label("paper_trade.full_load", amps=duty.full_load_amps))
    if duty.breaker_amps is not None:
        text = label("paper_trade.breaker", amps=duty.breaker_amps)
        yield SlipRow("–", text, label("paper_trade.breaker_do"))
    ground_fault = label(f"paper_check.ground_fault_{pump.motors}")
    yield SlipRow("–", ground_fault, label("paper_trade.disconnect"))


def _control(design: Design, locale: Locale) -> Iterator[SlipRow]:
    valves = sum(len(zone.piping.valves) for zone in design.line.zones)
    label = locale.label
    if design.project.plumbing.pump is not None or valves:
        words = label("paper_trade.switch_do", **line_conditions(design))
        yield SlipRow("–", label("paper_trade.switch"), words)
        yield SlipRow("–", label("paper_trade.sensor"), label("paper_trade.sensor_do"))
    if valves:
        yield SlipRow("–", label("paper_trade.valves", count=valves), label("paper_trade.valves_do"))
