"""The check of pump set and water point, item by item: pass, look again or no, each with its number.

Every item is judged once: the same judgement is a line of the check (`PumpCheck`) and, where it does not
pass, a Finding.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mistcalc.checks.shared import DERIVED, JUDGEMENT, PRACTICE, far_mark
from mistcalc.model.practice import HIGH_VOLTS, MOTOR_MARGIN, PUMP_USED_MOST, STATIC_MOST
from mistcalc.model.project import Nameplate, Plumbing, Pump
from mistcalc.model.results import Finding, Level, Line, PumpCheck, Verdict
from mistcalc.units import parse

USED_LEAST = 0.80  # of a pump's flow by the smallest zone: less goes round the bypass and heats
INLET_LEAST = parse("20 psi", "pressure")  # at the pump while running; common practice
INLET_STARVED = parse(
    "10 psi", "pressure"
)  # with less a pump draws air and hammers: nobody should run it; judgement
MAINS_LEAST = parse("40 psi", "pressure")  # at the last nozzle of a line without a pump; common practice
DROP_MOST = 120e-6  # m, median at the last nozzle: coarser drops reach the floor; judgement
CIRCUIT_115 = 20.0  # A, the usual branch circuit
USUAL_VOLTS = {  # single-phase supplies where motors are sold by these sizes; common practice
    "NEMA": ((100.0, 127.0), (197.0, 240.0)),
    "IEC": ((100.0, 127.0), (220.0, 240.0)),
}
SAME_VOLTS = 0.10  # a plate and a supply within this are of one voltage: 230 V on 240 V; common practice
SET_TOLERANCE = 0.98  # of set pressure: a regulator's own droop

VERDICTS: dict[Level, Verdict] = {"fail": "no", "warn": "look-again", "note": "pass"}


class Judged(NamedTuple):
    """One item of the check, and what was found where it does not pass."""

    check: PumpCheck
    finding: Finding | None = None


def pump_findings(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    """What was found about pump set and water point."""
    return (judged.finding for judged in _judge(plumbing, line) if judged.finding is not None)


def pump_checks(plumbing: Plumbing, line: Line) -> tuple[PumpCheck, ...]:
    """Every item of the check, in the order a fitter goes through them; empty for a line without nozzles."""
    return tuple(judged.check for judged in _judge(plumbing, line)) if line.marks else ()


def supply_short(plumbing: Plumbing, line: Line) -> bool:
    """Is it the pump, or the water point, that keeps the line from its pressure, whatever the tube?"""
    if plumbing.pump is None:
        return line.supply_gauge < MAINS_LEAST
    held = min(zone.supply_gauge for zone in line.zones if zone.marks)
    return held < SET_TOLERANCE * plumbing.pump.set_pressure


def _judge(plumbing: Plumbing, line: Line) -> Iterator[Judged]:
    yield from _opening(line)
    if plumbing.pump is None:
        yield from _mains(line)
    else:
        yield from _flow(line, plumbing.pump.set_pressure)
        if plumbing.pump.nameplate is not None:
            yield from _nameplate(plumbing.pump, plumbing.pump.nameplate, line)
        yield from _circuit(plumbing.pump, line)
    yield from _water_point(plumbing, line)


def _item(
    item: str, has: float | None, needs: float | None, unit: str, finding: Finding | None, most: bool = False
) -> Judged:
    verdict = VERDICTS[finding.level] if finding is not None else "pass"
    return Judged(PumpCheck(item, verdict, has, needs, unit, most), finding)


# ------------------------------------------------------------------ flow and pressure


def _flow(line: Line, set_gauge: float) -> Iterator[Judged]:
    duty = line.duty
    if duty.pick_flow is None:
        none = Finding("pump-none", "fail", "pump", "flow", None, duty.required_flow, "m3/s", PRACTICE)
        yield _item("flow", None, duty.required_flow, "m3/s", none)
        return
    used, least = duty.used_share or 0.0, duty.smallest_share or 0.0
    many = len(line.zones) > 1  # else the zone is the line, and its name says nothing
    values = (
        ("used", used),
        ("zones", duty.largest_zones if many else ()),
        ("far", line.far_gauge),
        ("set", set_gauge),
    )
    wanted = duty.required_flow / PUMP_USED_MOST
    finding: Finding | None = None
    if used > 1.0:
        flows = (duty.pick_flow, duty.required_flow, "m3/s", DERIVED, values)
        finding = Finding("pump-too-small", "fail", "pump", "flow", *flows)
    elif used > PUMP_USED_MOST:
        finding = Finding(
            "pump-tight", "warn", "pump", "share used", used, PUMP_USED_MOST, "1", PRACTICE, values
        )
    yield _item("flow", duty.pick_flow, wanted, "m3/s", finding)
    if finding is None and line.supply_gauge < SET_TOLERANCE * set_gauge:
        gauges = (line.supply_gauge, SET_TOLERANCE * set_gauge, "Pa", DERIVED, values)
        low = Finding("supply-low", "fail", "pump", "pressure", *gauges)
        yield _item("holds", line.supply_gauge, SET_TOLERANCE * set_gauge, "Pa", low)
    if any(mark.state != "open" for mark in line.marks):
        return  # what a line takes that does not open is no measure of its pump
    less = (
        ("used", least), ("zones", duty.smallest_zones if many else ()), ("flow", duty.smallest_flow),
        ("smaller", duty.smaller_flow), ("smallest", duty.smaller_flow is None),
        ("warming", duty.point.bypass_warming),
    )  # fmt: skip
    back = Finding("pump-bypass", "warn", "pump", "share used", least, USED_LEAST, "1", PRACTICE, less)
    yield _item("bypass", least, USED_LEAST, "1", back if least < USED_LEAST else None)


def _opening(line: Line) -> Iterator[Judged]:
    """Do the anti-drip checks open? A nozzle that stays shut has a finding of its own among the nozzles'."""
    states = {mark.state for mark in line.marks}
    if line.opens_at or states - {"open"}:
        verdict: Verdict = "no" if states & {"shut", "part open"} else "pass"
        wide = max((mark.wide_at for mark in line.marks if mark.wide_at), default=None)
        yield Judged(PumpCheck("opening", verdict, line.far_gauge, wide, "Pa"))


def _mains(line: Line) -> Iterator[Judged]:
    """A line without a pump: does the last nozzle still atomise?"""
    if line.duty.inlet_gauge is None:
        yield Judged(PumpCheck("far", "not-stated", None, MAINS_LEAST, "Pa"))
        return
    far, gauge = far_mark(line), line.far_gauge
    weak = Finding("supply-weak", "warn", far, "pressure", gauge, MAINS_LEAST, "Pa", PRACTICE)
    yield _item("far", gauge, MAINS_LEAST, "Pa", weak if gauge < MAINS_LEAST else None)
    drop = line.duty.water.drop_far
    if drop is not None:
        values = (("far", gauge),)
        coarse = Finding("supply-coarse", "warn", far, "drop", drop, DROP_MOST, "m", JUDGEMENT, values)
        yield _item("drop", drop, DROP_MOST, "m", coarse if drop > DROP_MOST else None, most=True)


# ------------------------------------------------------------------ motor and plate


def _circuit(pump: Pump, line: Line) -> Iterator[Judged]:
    duty = line.duty
    amps, volts = duty.circuit_amps, duty.pick_volts
    if amps is None or volts is None:
        return
    values = (
        ("motor", duty.pick_motor), ("volts", volts), ("full_load", duty.full_load_amps),
        ("breaker", duty.breaker_amps),
    )  # fmt: skip
    if volts < HIGH_VOLTS:
        source = "NEC table 430.248 and 430.22"
        over = Finding("pump-circuit", "warn", "pump", "circuit", amps, CIRCUIT_115, "A", source, values)
        yield _item(
            "circuit", amps, CIRCUIT_115, "A", over if amps > CIRCUIT_115 * 1.001 else None, most=True
        )
    else:
        yield _item("circuit", amps, None, "A", None)


def _nameplate(pump: Pump, plate: Nameplate, line: Line) -> Iterator[Judged]:
    """The pump the installer has, against the pressure it is to be set to and the supply it will stand on."""
    set_gauge = pump.set_pressure
    weak = Finding("nameplate-pressure", "fail", "pump", "pressure", plate.pressure, set_gauge, "Pa", DERIVED)
    short = plate.pressure < set_gauge * (1 - 1e-9)
    yield _item("pressure", plate.pressure, set_gauge, "Pa", weak if short else None)
    yield _motor(set_gauge, plate, line)
    yield _item("volts", plate.volts, pump.volts, "V", _volts(pump, plate))
    low, high = line.duty.relief_range or (set_gauge, set_gauge)
    yield _relief(plate.relief, set_gauge, (low, high), line.duty.tube_rating, not short)


def _motor(set_gauge: float, plate: Nameplate, line: Line) -> Judged:
    """A plate's rating is what its motor gives hour after hour. A service factor over it is a reserve for hot
    air and a low supply, which a misting afternoon takes up itself; enclosed motors and those by IEC sizes
    have none (NEMA MG 1, 12.51, from memory). So a motor under its load fails, though it be by little."""
    shaft = line.duty.shaft_power or 0.0
    wanted = MOTOR_MARGIN * shaft
    finding = None
    if plate.motor < wanted:
        short = plate.motor < shaft
        values = (
            ("shaft", shaft), ("short" if short else "tight", wanted), ("next", line.duty.usual_motor),
            ("lower", set_gauge * plate.motor / wanted),
        )  # fmt: skip
        sizes = ("motor power", plate.motor, shaft if short else wanted, "W", PRACTICE, values)
        finding = Finding("nameplate-motor", "fail" if short else "warn", "pump", *sizes)
    return _item("motor", plate.motor, wanted, "W", finding)


def _volts(pump: Pump, plate: Nameplate) -> Finding | None:
    """A plate of another voltage than the supply's, or of none that is usual."""
    if pump.volts is not None and abs(plate.volts / pump.volts - 1.0) > SAME_VOLTS:
        return Finding("nameplate-supply", "fail", "pump", "volts", plate.volts, pump.volts, "V", PRACTICE)
    if any(low <= plate.volts <= high for low, high in USUAL_VOLTS[pump.motors]):
        return None
    values = (("american" if pump.motors == "NEMA" else "other", True),)
    return Finding("nameplate-volts", "warn", "pump", "volts", plate.volts, None, "V", PRACTICE, values)


def _relief(
    relief: float | None, set_gauge: float, usual: tuple[float, float], rating: float, carries: bool
) -> Judged:
    """usual: where it should open for the set pressure. carries: the pump's plate does the set pressure. No
    setting is named that a pump or a tube is not made for."""
    low, high = usual[0], min(usual[1], rating)
    fits = carries and low <= rating
    values: tuple[tuple[str, object], ...] = (("rating", rating), ("fits" if fits else "unfit", True))
    values = (*values, ("low", low), ("high", high)) if fits else values
    needs, most = low, False
    finding: Finding | None = None
    if relief is None:
        finding = Finding("relief-unknown", "warn", "pump", "relief", None, high, "Pa", PRACTICE, values)
        return _item("relief", None, high if fits else None, "Pa", finding, most=True)
    if relief > rating:
        finding = Finding("nameplate-relief", "fail", "pump", "relief", relief, rating, "Pa", DERIVED, values)
        needs, most = rating, True
    elif relief <= set_gauge:
        sizes = ("relief", relief, low, "Pa", DERIVED, values)
        finding = Finding("nameplate-relief-early", "fail", "pump", *sizes)
    elif not low * (1 - 1e-9) <= relief <= max(high, low) * (1 + 1e-9):
        needs, most = (low, False) if relief < low else (high, True)
        sizes = ("relief", relief, needs, "Pa", PRACTICE, values)
        finding = Finding("nameplate-relief-odd", "warn", "pump", *sizes)
    return _item("relief", relief, needs if fits or relief > rating else None, "Pa", finding, most)


# ------------------------------------------------------------------ water point


def _water_point(plumbing: Plumbing, line: Line) -> Iterator[Judged]:
    where, static = "water point", plumbing.water.static
    source = "International Plumbing Code 604.8, check the local code"
    high = Finding("inlet-high", "warn", where, "static pressure", static, STATIC_MOST, "Pa", source)
    over = high if static > STATIC_MOST else None
    yield _item("static", static, STATIC_MOST, "Pa", over, most=True)
    if plumbing.pump is not None or not plumbing.water.pressure_known:
        yield _inlet(plumbing, line)


def _inlet(plumbing: Plumbing, line: Line) -> Judged:
    """What is left at the pump; unknown after reverse osmosis without a tank stated."""
    where, left, tank = "water point", line.duty.inlet_gauge, plumbing.water.tank
    if left is None:
        level: Level = "warn" if plumbing.pump is not None else "fail"  # without it there is no line to judge
        unknown = Finding("inlet-unknown", level, where, "inlet pressure", None, INLET_LEAST, "Pa", PRACTICE)
        return Judged(PumpCheck("inlet", "not-stated", None, INLET_LEAST, "Pa"), unknown)
    finding = None
    drawn = line.duty.point.flow - line.duty.point.reject
    if tank is not None and drawn > tank.at_flow:
        finding = Finding("inlet-lift", "fail", where, "flow", tank.at_flow, drawn, "m3/s", DERIVED)
    elif left < INLET_LEAST:
        level = "fail" if left < INLET_STARVED else "warn"
        finding = Finding("inlet-low", level, where, "inlet pressure", left, INLET_LEAST, "Pa", PRACTICE)
    return _item("inlet", left, INLET_LEAST, "Pa", finding)
