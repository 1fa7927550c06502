"""Judgements on the line, its pump and its water. Every threshold is here; numbers come from the line room.

Codes that begin pump-, nameplate-, inlet- or supply- decide the installer's verdict on the pump set.
"""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.model.project import Nameplate, Plumbing
from mistcalc.model.results import Finding, Level, Line, MarkFlow

PSI = 6894.757293168  # Pa
USED_MOST = 0.90  # of a pump's flow by the largest zone; common practice, 80-90 %
USED_LEAST = 0.80  # of a pump's flow by the smallest zone: less goes round the bypass and heats
SPREAD_MOST = 0.10  # 1 - qmin/qmax: good irrigation practice
RELIEF = (1.10, 1.25)  # of set pressure, where a relief valve should open
INLET_LEAST = 20 * PSI  # at the pump while running; common practice
WATER_POINT_MOST = 80 * PSI  # static; International Plumbing Code 604.8 asks for a reducing valve above
MAINS_LEAST = 40 * PSI  # at the last nozzle of a line without a pump; common practice
SPEED_MOST = 8 * 0.3048  # m/s; Copper Tube Handbook, cold water
MOTOR_MARGIN = 1.15  # motor over shaft power; common practice
CIRCUIT_115 = 20.0  # A, the usual branch circuit
SET_TOLERANCE = 0.98  # of set pressure: a regulator's own droop

PRACTICE, JUDGEMENT, DERIVED = "common practice", "judgement", "derived"
_ORDER = {"fail": 0, "warn": 1, "note": 2}


def line_findings(plumbing: Plumbing, line: Line) -> tuple[Finding, ...]:
    """What the installer should hear about the line, failing findings first."""
    if not line.marks:
        return (Finding("line-empty", "fail", "line", "marks", 0.0, 1.0, "", DERIVED),)
    found = [*_nozzles(line), *_tube(plumbing, line), *_inlet(plumbing, line)]
    if plumbing.pump is not None:
        found += [*_pump(plumbing, line), *_circuit(line)]
        if plumbing.pump.nameplate is not None:
            found += _nameplate(plumbing.pump.nameplate, plumbing.pump.set_pressure, line)
    elif line.far_gauge < MAINS_LEAST:
        found.append(
            Finding("supply-weak", "warn", _at(line), "pressure", line.far_gauge, MAINS_LEAST, "Pa", PRACTICE)
        )
    return tuple(sorted(found, key=lambda f: _ORDER[f.level]))


def _at(line: Line) -> str:
    far = min(line.marks, key=lambda m: m.pressure_gauge)
    return f"{far.patio}/{far.name}"


# ------------------------------------------------------------------ nozzles and tube


def _nozzles(line: Line) -> Iterator[Finding]:
    opens = line.opens_at or 0.0
    shut = [mark for mark in line.marks if mark.state == "shut"]
    part = [mark for mark in line.marks if mark.state == "part open"]
    if shut:
        yield _not_open("nozzle-shut", "fail", shut, opens, opens)
    if part:
        yield _not_open("nozzle-part-open", "warn", part, 1.2 * opens, opens)
    if line.flow_spread > SPREAD_MOST:
        yield Finding(
            "flow-spread",
            "warn",
            _at(line),
            "flow spread",
            line.flow_spread,
            SPREAD_MOST,
            "1",
            "irrigation practice",
        )
    fastest = max(line.tubes, key=lambda tube: abs(tube.speed))
    if abs(fastest.speed) > SPEED_MOST:
        where = fastest.run or f"{fastest.start} to {fastest.end}"
        yield Finding(
            "speed-high",
            "warn",
            f"line/{where}",
            "speed",
            abs(fastest.speed),
            SPEED_MOST,
            "m/s",
            "Copper Tube Handbook",
        )


def _not_open(code: str, level: Level, marks: list[MarkFlow], required: float, opens: float) -> Finding:
    lowest = min(marks, key=lambda m: m.pressure_gauge)
    names = tuple(mark.name for mark in marks)
    return Finding(
        code,
        level,
        f"{lowest.patio}/{lowest.name}",
        "pressure",
        lowest.pressure_gauge,
        required,
        "Pa",
        DERIVED,
        (("marks", names), ("count", len(names)), ("opens_at", opens)),
    )


def _tube(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    """The tube, hot, must stand the pressure it is worked at, and what the relief valve lets it reach."""
    rating, tube = line.duty.tube_rating, plumbing.tube
    working = plumbing.pump.set_pressure if plumbing.pump else plumbing.water.static
    values = (
        ("material", tube.material),
        ("temperature", line.duty.tube_rating_temperature),
        ("joints", tube.joints),
    )
    if rating < working:
        yield Finding(
            "tube-rating", "fail", "line/tube", "tube rating", rating, working, "Pa", DERIVED, values
        )
    elif plumbing.pump is not None and rating < RELIEF[1] * working:
        needed = RELIEF[1] * working
        yield Finding(
            "tube-margin", "warn", "line/tube", "tube rating", rating, needed, "Pa", PRACTICE, values
        )
    if tube.material in ("pvc", "pex", "nylon"):
        yield Finding(
            "tube-plastic", "note", "line/tube", "tube rating", rating, working, "Pa", PRACTICE, values
        )


# ------------------------------------------------------------------ water and pump


def _inlet(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    where, point = "water point", plumbing.water
    if point.static > WATER_POINT_MOST:
        yield Finding(
            "inlet-high",
            "note",
            where,
            "static pressure",
            point.static,
            WATER_POINT_MOST,
            "Pa",
            "International Plumbing Code 604.8, check the local code",
        )
    if plumbing.pump is None:
        return
    left = line.duty.inlet_gauge
    if left < INLET_LEAST:
        level: Level = "fail" if left <= 0.0 else "warn"
        yield Finding("inlet-low", level, where, "inlet pressure", left, INLET_LEAST, "Pa", PRACTICE)


def _pump(plumbing: Plumbing, line: Line) -> Iterator[Finding]:
    duty, set_gauge = line.duty, plumbing.pump.set_pressure if plumbing.pump else 0.0
    if duty.pick_flow is None:
        yield Finding("pump-none", "fail", "pump", "flow", None, duty.required_flow, "m3/s", PRACTICE)
        return
    used, least = duty.used_share or 0.0, duty.smallest_share or 0.0
    values = (("used", used), ("zone", duty.largest_zone), ("far", line.far_gauge), ("set", set_gauge))
    flows = (duty.pick_flow, duty.required_flow)
    if used > 1.0:
        yield Finding("pump-too-small", "fail", "pump", "flow", *flows, "m3/s", DERIVED, values)
    elif used > USED_MOST:
        yield Finding("pump-tight", "warn", "pump", "share used", used, USED_MOST, "1", PRACTICE, values)
    elif line.supply_gauge < SET_TOLERANCE * set_gauge:
        yield Finding(
            "supply-low",
            "fail",
            "pump",
            "pressure",
            line.supply_gauge,
            SET_TOLERANCE * set_gauge,
            "Pa",
            DERIVED,
            values,
        )
    if least < USED_LEAST:
        less = (("used", least), ("zone", duty.smallest_zone), ("flow", duty.smallest_flow))
        yield Finding("pump-bypass", "warn", "pump", "share used", least, USED_LEAST, "1", PRACTICE, less)


def _circuit(line: Line) -> Iterator[Finding]:
    duty = line.duty
    amps, volts = duty.circuit_amps, duty.pick_volts
    if amps is not None and volts is not None and volts < 160.0 and amps > CIRCUIT_115 * 1.001:
        yield Finding(
            "pump-circuit",
            "warn",
            "pump",
            "circuit",
            amps,
            CIRCUIT_115,
            "A",
            "NEC table 430.248 and 430.22",
            (("motor", duty.pick_motor), ("volts", volts), ("full_load", duty.full_load_amps)),
        )


def _nameplate(plate: Nameplate, set_gauge: float, line: Line) -> list[Finding]:
    """The pump the installer has, against the pressure it is to be set to."""
    found = []
    if plate.pressure < set_gauge * (1 - 1e-9):
        found.append(
            Finding(
                "nameplate-pressure", "fail", "pump", "pressure", plate.pressure, set_gauge, "Pa", DERIVED
            )
        )
    shaft = line.duty.shaft_power or 0.0
    if plate.motor < MOTOR_MARGIN * shaft:
        weak = plate.motor < shaft
        found.append(
            Finding(
                "nameplate-motor",
                "fail" if weak else "warn",
                "pump",
                "motor power",
                plate.motor,
                shaft if weak else MOTOR_MARGIN * shaft,
                "W",
                PRACTICE,
            )
        )
    return [*found, *_relief(plate, set_gauge, line.duty.tube_rating)]


def _relief(plate: Nameplate, set_gauge: float, rating: float) -> Iterator[Finding]:
    low, high = (share * set_gauge for share in RELIEF)
    values = (("low", low), ("high", high), ("rating", rating))
    if plate.relief is None:
        yield Finding("relief-unknown", "note", "pump", "relief", None, high, "Pa", PRACTICE, values)
    elif plate.relief > rating:
        yield Finding(
            "nameplate-relief", "fail", "pump", "relief", plate.relief, rating, "Pa", DERIVED, values
        )
    elif plate.relief <= set_gauge:
        yield Finding(
            "nameplate-relief-early", "fail", "pump", "relief", plate.relief, low, "Pa", DERIVED, values
        )
    elif not low * (1 - 1e-9) <= plate.relief <= high * (1 + 1e-9):
        nearest = low if plate.relief < low else high
        yield Finding(
            "nameplate-relief-odd", "warn", "pump", "relief", plate.relief, nearest, "Pa", PRACTICE, values
        )
