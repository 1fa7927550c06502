"""All that a fitter asks of a solved line, gathered in one noun. Numbers only: `checks` judges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from mistcalc.line import pump_set
from mistcalc.line.evenness import hand_check_of
from mistcalc.line.route import WATER_POINT, before_pump, listed
from mistcalc.line.supply import mains_curve
from mistcalc.line.tube_duty import tube_rating
from mistcalc.model.project import Plumbing
from mistcalc.model.results import Duty, Layout, SolvedLine
from mistcalc.physics import pipe


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
    known = {
        "required_flow": demand[largest],
        "smallest_flow": demand[smallest],
        "largest_zone": largest,
        "smallest_zone": smallest,
        "tube_rating": tube_rating(plumbing.tube, plumbing.tube_temperature),
        "tube_rating_temperature": plumbing.tube_temperature,
        "christiansen_loss": hand,
        "solver_loss": ours,
        "fill_volume": float(np.pi / 4.0 * sum(t.bore**2 * t.length for t in solved.tubes)),
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
            inlet_gauge=solved.supply_gauge,
            from_nameplate=False,
            **known,  # type: ignore[arg-type]
        )
    point = plumbing.water
    mains = mains_curve(point.static, point.residual, point.at_flow)
    if point.filter is not None:
        mains = pump_set.through_filter(mains)
    shaft = pump_set.shaft_power(pump.set_pressure, rated)
    plate = pump.nameplate
    motor = plate.motor if plate is not None else pump_set.pick_motor(shaft)
    volts = plate.volts if plate is not None else (pump_set.pick_volts(motor) if motor is not None else None)
    amps = pump_set.full_load_amps(motor, volts) if motor is not None and volts is not None else None
    return Duty(
        pick_flow=plate.flow if plate is not None else pump_set.pick_pump(demand[largest]),
        pick_motor=motor,
        pick_volts=volts,
        used_share=demand[largest] / rated,
        smallest_share=demand[smallest] / rated,
        shaft_power=shaft,
        electric_power=pump_set.electric_power(shaft),
        full_load_amps=amps,
        circuit_amps=pump_set.CIRCUIT_SHARE * amps if amps is not None else None,
        inlet_gauge=pump_set.inlet_gauge(mains, rated, feed_loss(plumbing, solved, rated)),
        from_nameplate=plate is not None,
        **known,  # type: ignore[arg-type]
    )


def feed_loss(plumbing: Plumbing, solved: SolvedLine, flow: float) -> float:
    """Pressure [Pa] lost between water point and pump at `flow` [m3/s], rise included."""
    state, total = solved.water, 0.0
    for piece in plumbing.pieces:
        if before_pump(plumbing, piece):
            found = [pipe.fitting(kind) for kind in listed(piece)]
            loss = pipe.pressure_loss(
                flow,
                piece.length,
                plumbing.tube.bore,
                density=state.density,
                viscosity=state.viscosity,
                minor_k=sum(f.k for f in found),
                minor_laminar=sum(f.laminar for f in found),
            )
            rise = (piece.rise or 0.0) * (1.0 if piece.start == WATER_POINT else -1.0)
            total += float(loss) + state.density * pipe.GRAVITY * rise
    return total
