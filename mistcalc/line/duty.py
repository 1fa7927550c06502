"""All that a fitter asks of a solved line, gathered in one noun. Numbers only: `checks` judges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from mistcalc.line import motor as motors
from mistcalc.line import pump_set
from mistcalc.line.evenness import hand_check_of
from mistcalc.line.filling import filling
from mistcalc.line.point_duty import point_duty
from mistcalc.line.tube_duty import tube_duty, tube_rating, weakest_tube
from mistcalc.line.water_duty import water_duty
from mistcalc.line.ways import way_to
from mistcalc.model.project import Plumbing
from mistcalc.model.results import Duty, Layout, SolvedLine

SMALLER = 0.99  # of a pump: a ladder's size below this is another pump


def duty_of(
    plumbing: Plumbing,
    layouts: Sequence[Layout],
    solved: SolvedLine,
    demand: Mapping[str, float],
    largest: str,
    rated: float | None,
) -> Duty:
    """The duty of a solved line.

    demand: what each zone takes [m3/s], at set pressure where there is a pump. largest: the zone whose
    tubes are solved. rated: the pump's flow [m3/s]; None without a pump.
    """
    smallest = min(demand, key=demand.__getitem__)
    state = solved.water
    hand, ours = hand_check_of(solved, state.density, state.viscosity)
    fastest = max(solved.tubes, key=lambda tube: abs(tube.speed), default=None)
    least = demand[smallest] / rated if rated else None
    point = point_duty(plumbing, state, rated or solved.total_flow, least)
    feed = [tube for tube in way_to(solved, _far_node(solved)) if not tube.run]
    set_gauge = plumbing.pump.set_pressure if plumbing.pump is not None else None
    known = {
        "required_flow": demand[largest],
        "smallest_flow": demand[smallest],
        "largest_zone": largest,
        "smallest_zone": smallest,
        "tube_rating": tube_rating(weakest_tube(plumbing), plumbing.tube_temperature),
        "tube_rating_temperature": plumbing.tube_temperature,
        "christiansen_loss": hand,
        "solver_loss": ours,
        "fill_volume": float(np.pi / 4.0 * sum(t.bore**2 * t.length for t in solved.tubes)),
        "relief_range": tuple(s * set_gauge for s in pump_set.RELIEF) if set_gauge else None,
        "feed_length": sum(tube.length for tube in feed),
        "feed_friction": sum(abs(tube.loss) for tube in feed),
        "fastest": abs(fastest.speed) if fastest else 0.0,
        "fastest_at": (fastest.run or f"{fastest.start} to {fastest.end}") if fastest else "",
        "tube": tube_duty(plumbing, layouts, solved),
        "filling": filling(plumbing, layouts, solved, rated),
        "point": point,
        "water": water_duty(plumbing, layouts, solved),
    }
    pump = plumbing.pump
    if pump is None or rated is None:
        return Duty(
            pick_flow=None,
            pick_motor=None,
            pick_volts=None,
            used_share=None,
            smallest_share=None,
            shaft_power=None,
            electric_power=None,
            full_load_amps=None,
            circuit_amps=None,
            smaller_flow=None,
            breaker_amps=None,
            breaker_most_amps=None,
            inlet_gauge=solved.supply_gauge,
            from_nameplate=False,
            **known,  # type: ignore[arg-type]
        )
    shaft = pump_set.shaft_power(pump.set_pressure, rated)
    plate, usual = pump.nameplate, pump_set.pick_pump(demand[largest], pump.motors)
    motor = plate.motor if plate is not None else motors.pick_motor(shaft, pump.motors)
    volts = plate.volts if plate is not None else pump.volts
    if volts is None and motor is not None:
        volts = motors.pick_volts(motor, pump.motors)
    circuit = None
    if motor is not None and volts is not None:
        circuit = motors.circuit(motor, volts, pump.motors)
    return Duty(
        pick_flow=plate.flow if plate is not None else usual,
        smaller_flow=usual if usual is not None and usual < SMALLER * rated else None,
        pick_motor=motor,
        pick_volts=volts,
        used_share=demand[largest] / rated,
        smallest_share=least,
        shaft_power=shaft,
        electric_power=pump_set.electric_power(shaft),
        full_load_amps=circuit.full_load if circuit else None,
        circuit_amps=circuit.conductors if circuit else None,
        breaker_amps=circuit.breaker if circuit else None,
        breaker_most_amps=circuit.breaker_most if circuit else None,
        inlet_gauge=point.point_gauge - point.filter_loss - point.feed_loss,
        from_nameplate=plate is not None,
        **known,  # type: ignore[arg-type]
    )


def _far_node(solved: SolvedLine) -> str:
    """Node of the nozzle with the least pressure of those solved with the tubes; the supply's without any."""
    far = min(solved.marks, key=lambda m: m.pressure_gauge, default=None)
    if far is None:
        return solved.supply_node
    both = f"{far.patio}/{far.name}"
    return both if any(node.name == both for node in solved.nodes) else far.name
