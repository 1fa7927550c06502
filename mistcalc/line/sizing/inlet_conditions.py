"""What the pump or the line finds at its inlet, and how warm the bypass makes it."""

from __future__ import annotations

from mistcalc.line.network.supply_curve import gauge_at, lift_curve, mains_curve
from mistcalc.line.piping.pipe_graph import fittings_of, inlet_rise
from mistcalc.line.sizing import pump_sizing
from mistcalc.model.project import Plumbing
from mistcalc.model.results import InletConditions, WaterState
from mistcalc.physics import pipe

REJECTED = 0.35  # of what reverse osmosis draws goes to the drain; common practice, one page
HEAT_CAPACITY = 4180.0  # J/(kg K), of water from 10 to 60 degC within 0.2 % (CRC Handbook)


def raw_water_flow(plumbing: Plumbing, flow: float) -> float:
    """What is drawn from the main [m3/s] to have `flow` after the treatment."""
    return flow / (1.0 - REJECTED) if plumbing.water.treatment == "reverse osmosis" else flow


def inlet_conditions_of(
    plumbing: Plumbing, state: WaterState, flow: float, smallest_share: float | None
) -> InletConditions:
    """What is left of the water point's pressure at `flow` [m3/s]: the pump's, bypass and all, or the line's.
    Behind a tank it is its lift's. Reverse osmosis without one leaves a pressure that nobody stated.

    smallest_share: of the pump, used by the smallest zone; None without a pump.
    """
    point, taken = plumbing.water, raw_water_flow(plumbing, flow)
    pump = plumbing.pump
    gauge = None
    if point.tank is not None:
        gauge = max(gauge_at(lift_curve(point.tank), flow), 0.0)
    elif point.pressure_known:
        gauge = gauge_at(mains_curve(point.static, point.residual, point.at_flow), taken)
    through = steady = None
    if pump is not None and smallest_share is not None:
        through = pass_warming(pump.set_pressure, state.density)
        steady = bypass_warming(through, smallest_share)
    return InletConditions(
        flow=taken,
        reject=taken - flow,
        point_gauge=gauge,
        filter_loss=pump_sizing.FILTER_RESISTANCE * flow if point.filter is not None else 0.0,
        feed_loss=feed_loss(plumbing, state, flow) if pump is not None else 0.0,
        pass_warming=through,
        bypass_warming=steady,
    )


def pass_warming(set_pressure: float, density: float) -> float:
    """Warming [K] of water that goes through the pump and back through the regulator once.

    All the work the pump does on it ends as heat: its pressure in the regulator, the pump's losses inside.
    """
    return set_pressure / (pump_sizing.PUMP_EFFICIENCY * density * HEAT_CAPACITY)


def bypass_warming(pass_warming: float, used_share: float) -> float | None:
    """Steady warming [K] over the main at the pump's inlet, when what the line does not take is led back to
    it: a pass's warming times share back over share used. None where the line takes nothing.
    """
    back = max(1.0 - used_share, 0.0)
    return pass_warming * back / used_share if used_share > 0.0 else None


def feed_loss(plumbing: Plumbing, state: WaterState, flow: float) -> float:
    """Pressure [Pa] lost between water point and pump at `flow` [m3/s], rise included."""
    total = state.density * pipe.GRAVITY * inlet_rise(plumbing)
    for piece in plumbing.inlet:
        fittings = [pipe.fitting(kind) for kind in fittings_of(piece)]
        loss = pipe.pressure_loss(
            flow,
            piece.length,
            (piece.tube or plumbing.tube).bore,
            density=state.density,
            viscosity=state.viscosity,
            minor_k=sum(f.k for f in fittings),
            minor_laminar=sum(f.laminar for f in fittings),
        )
        total += float(loss) + piece.check_opens_at
    return total
