"""All that a fitter asks of a solved line, gathered in one noun. Numbers only: `checks` judges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from mistcalc.line.piping.build_network import water_at
from mistcalc.line.piping.shortest_path import way_to
from mistcalc.line.piping.solve_zones import SolvedSet
from mistcalc.line.sizing import motor as motors
from mistcalc.line.sizing import pump_sizing
from mistcalc.line.sizing.fill_and_drain import fill_and_drain_of
from mistcalc.line.sizing.inlet_conditions import inlet_conditions_of
from mistcalc.line.sizing.tube_loads import tube_loads_of, tube_rating, weakest_tube
from mistcalc.line.sizing.water_quality import water_quality_of
from mistcalc.model.project import Plumbing, Pump
from mistcalc.model.results import InletConditions, Layout, LineSizing, LineTube, SolvedLine

SMALLER = 0.99  # of a pump: a ladder's size below this is another pump


def line_sizing_of(
    plumbing: Plumbing,
    layouts: Sequence[Layout],
    solved: SolvedLine,
    sets: Sequence[SolvedSet],
    shown: Mapping[str, SolvedSet],
    rated: float | None,
) -> LineSizing:
    """The duty of a solved line.

    sets: every way it may run, as `solved.sets`. shown: of each zone the largest set it is in. rated: the
    pump's flow [m3/s]; None without a pump.
    """
    largest = max(solved.sets, key=lambda zone_set: zone_set.wanted)
    smallest = min(solved.sets, key=lambda zone_set: zone_set.wanted)
    uneven = max(solved.zones, key=lambda zone: zone.solver_loss)
    fast = [
        max(same, key=lambda tube: abs(tube.speed)) for same in zip(*(s.tubes for s in sets), strict=True)
    ]
    fastest = max(fast, key=lambda tube: abs(tube.speed), default=None)
    least = smallest.wanted / rated if rated else None
    point = inlet_conditions_of(plumbing, solved.water, rated or solved.total_flow, least)
    feed = _feed(solved, shown)
    pump = plumbing.pump
    if pump is not None and rated is not None:
        of_pump = _of_pump(pump, largest.wanted, rated, least, point)
    else:
        of_pump = {"inlet_gauge": solved.supply_gauge if plumbing.water.pressure_known else None}
    return LineSizing(
        required_flow=largest.wanted,
        smallest_flow=smallest.wanted,
        largest_zones=largest.zones,
        smallest_zones=smallest.zones,
        tube_rating=tube_rating(weakest_tube(plumbing), plumbing.tube_temperature),
        tube_rating_temperature=plumbing.tube_temperature,
        christiansen_loss=uneven.christiansen_loss,
        solver_loss=uneven.solver_loss,
        fill_volume=float(np.pi / 4.0 * sum(t.bore**2 * t.length for t in solved.tubes)),
        relief_range=pump_sizing.relief_range(pump) if pump else None,
        feed_length=sum(tube.length for tube in feed),
        feed_friction=sum(abs(tube.loss) for tube in feed),
        feed_fittings=sum(_in_fittings(tube, plumbing) for tube in feed),
        fastest=abs(fastest.speed) if fastest else 0.0,
        fastest_at=(fastest.run or f"{fastest.start} to {fastest.end}") if fastest else "",
        tube=tube_loads_of(plumbing, layouts, solved, fast),
        filling=fill_and_drain_of(plumbing, layouts, solved, rated),
        point=point,
        water=water_quality_of(plumbing, layouts, solved),
        **of_pump,
    )


def _of_pump(
    pump: Pump, required: float, rated: float, least: float | None, point: InletConditions
) -> dict[str, Any]:
    """What only a line with a pump has: pump, motor and circuit, and what reaches them."""
    left = None
    if point.point_gauge is not None:
        left = point.point_gauge - point.filter_loss - point.feed_loss
    shaft = pump_sizing.shaft_power(pump.set_pressure, rated)
    plate, usual = pump.nameplate, pump_sizing.pick_pump(required, pump.motors)
    usual_motor = motors.pick_motor(shaft, pump.motors)
    motor = plate.motor if plate is not None else usual_motor
    volts = plate.volts if plate is not None else pump.volts
    if volts is None and motor is not None:
        volts = motors.pick_volts(motor, pump.motors)
    circuit = None
    if motor is not None and volts is not None:
        circuit = motors.circuit(motor, volts, pump.motors)
    return {
        "pick_flow": plate.flow if plate is not None else usual,
        "smaller_flow": usual if usual is not None and usual < SMALLER * rated else None,
        "pick_motor": motor,
        "usual_motor": usual_motor,
        "pick_volts": volts,
        "used_share": required / rated,
        "smallest_share": least,
        "shaft_power": shaft,
        "electric_power": pump_sizing.electric_power(shaft),
        "full_load_amps": circuit.full_load if circuit else None,
        "circuit_amps": circuit.conductors if circuit else None,
        "breaker_amps": circuit.breaker if circuit else None,
        "breaker_most_amps": circuit.breaker_most if circuit else None,
        "inlet_gauge": left,
        "from_nameplate": plate is not None,
    }


def _feed(solved: SolvedLine, shown: Mapping[str, SolvedSet]) -> list[LineTube]:
    """Tubes beside the runs on the way to the nozzle with the least pressure, as they flow while it runs."""
    far = min(solved.marks, key=lambda m: m.pressure_gauge, default=None)
    if far is None:
        return []
    both = f"{far.patio}/{far.name}"
    node = both if any(point.name == both for point in solved.nodes) else far.name
    solved_set = shown[far.zone]
    open_ = [tube for tube in solved_set.tubes if not tube.shut]
    return [tube for tube in way_to(solved.supply_node, open_, node) if not tube.run]


def _in_fittings(tube: LineTube, plumbing: Plumbing) -> float:
    """The part [Pa] of a tube's loss that its fittings take; an open check valve's spring is one."""
    warmth = tube.temperature if tube.temperature is not None else plumbing.water.temperature
    heads = tube.minor_k * water_at(warmth).density * tube.speed**2 / 2.0
    return min(heads + (tube.opens_at if tube.one_way else 0.0), abs(tube.loss))
