"""The electrician's page: boxes in the patio ceiling, the pump's circuit, and what controls it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from mistcalc.model.results import Design, Layout, PlacedObstacle
from mistcalc.report.common.line_kind import line_conditions
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.details import box_detail
from mistcalc.report.trades.slip import Need, Places, Slip, SlipList, SlipRow, named_cautions, signed_by

MANY = 5  # things as far behind the edge, told once
SHORT_NAME = 4  # letters of a name that finds room in a box
Things = Sequence[tuple[Layout, PlacedObstacle]]
KINDS = ("light", "fan", "heater", "speaker", "screen", "outlet")


def electrician_slip(design: Design, locale: Locale) -> Slip:
    label, places = locale.label, Places(design, locale)
    things = [
        (layout, thing) for layout in design.layouts for thing in layout.lid.obstacles if thing.kind in KINDS
    ]
    boxes = tuple(_boxes(design, things, places, locale))
    pump = design.project.plumbing.pump
    place = pump.place if pump is not None else ""
    kind = line_conditions(design)
    lists = (
        SlipList(label("paper_trade.boxes"), _boxes_note(things, locale), boxes, 2),
        SlipList(
            label("paper_trade.circuit", **kind),
            label("paper_trade.circuit_note", place=place, **kind),
            (*_circuit(design, locale), *_control(design, locale)),
            columns=2,
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
        least_pictures=32.0,
    )


def _face(design: Design) -> float:
    plaster = design.project.patios[0].plaster
    return plaster.sheathing + plaster.thickness


def _by_name(thing: PlacedObstacle) -> bool:
    """Is its own name short enough to stand in a box? Then it needs no number of the list's."""
    return len(thing.name) <= SHORT_NAME and not thing.name.isdigit()


def _boxes_note(things: Things, locale: Locale) -> str:
    """How the list is measured, and of what kind each thing is that goes by its name."""
    kinds: dict[str, list[str]] = {}
    for _, thing in things:
        if _by_name(thing):
            kinds.setdefault(thing.kind, []).append(thing.name)
    told = [locale.label("paper_trade.boxes_kind", names=names, kind=kind) for kind, names in kinds.items()]
    if (usual := _usual_back(things)) is not None:
        told.append(locale.label("paper_trade.boxes_usual", back=usual))
    return "; ".join([locale.label("paper_trade.boxes_note"), *told])


def _usual_back(things: Things) -> float | None:
    """How far behind the edge most things are, where that is worth telling once."""
    back, count = Counter(thing.back for _, thing in things).most_common(1)[0] if things else (0.0, 0)
    return back if count >= MANY else None


def _boxes(design: Design, things: Things, places: Places, locale: Locale) -> Iterator[SlipRow]:
    """Each thing by its short name, else by a number; where it is, and where it is to go."""
    number, usual = 0, _usual_back(things)
    for layout, thing in things:
        kind = locale.label(f"word.{thing.kind}")
        told = thing.kind if kind.lower() not in thing.name.lower() else ""
        name, label = (thing.name, "") if not _by_name(thing) else ("", thing.name)
        if name:
            number += 1
            label = str(number)
        row = {"back": thing.back, "name": name, "kind": told if name else ""}
        words = (
            []
            if label == thing.name and thing.back == usual
            else [locale.label("paper_trade.box_row", **row)]
        )
        words.append(_moved(design, layout, thing, locale))
        yield SlipRow(
            label,
            places.at(thing.run, thing.along),
            " ".join(filter(None, words)),
            ((layout.patio, thing.point),),
        )


def _moved(design: Design, layout: Layout, thing: PlacedObstacle, locale: Locale) -> str:
    """Where it is clear of mist and joists, by the tape; "" where it stays."""
    along, back = thing.along, thing.back
    for fix in (f for f in layout.fixes if f.move == thing.name and f.purpose == "clearance"):
        along += {"along+": fix.by, "along-": -fix.by}.get(fix.toward, 0.0)
        back += {"house": fix.by, "edge": -fix.by}.get(fix.toward, 0.0)
    if along != thing.along and _still_on_joist(design, layout, thing):
        return ""  # to be moved twice along: nobody has worked that out
    if along == thing.along:
        fixes = (dict(f.fix) for f in design.findings if f.value("patio") == layout.patio)
        off = [fix["to"] for fix in fixes if fix.get("move") == thing.name and "to" in fix]
        along = next((to for to in off if isinstance(to, float)), along)
    told = [locale.tape(along)] if along != thing.along else []
    told += [locale.label("paper_trade.box_back", back=back)] if back != thing.back else []
    return locale.label("paper_trade.box_moved", to=", ".join(told)) if told else ""


def _still_on_joist(design: Design, layout: Layout, thing: PlacedObstacle) -> bool:
    """Whether its move out of the mist ends at a joist."""
    where = f"{layout.patio}/{thing.name}"
    return any(f.value("still_on_joist") and f.where == where for f in design.findings)


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
