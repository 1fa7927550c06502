"""The pump, and the water it is fed with; its motor is in `motor`. Numbers; `checks.pump` judges.

Facts marked "common practice" have no published source and may be argued with: they are constants here.
"""

from __future__ import annotations

from mistcalc.line.network.supply_curve import Curve, gauge_at
from mistcalc.line.sizing.motor import Motors
from mistcalc.model.practice import PUMP_USED_MOST
from mistcalc.model.project import Pump
from mistcalc.units import parse, to_si

# Flows pumps are sold by, where motors are sold by horsepower and by kilowatts; common practice
PUMP_LADDERS: dict[Motors, tuple[float, ...]] = {
    "NEMA": tuple(
        to_si(g, "gpm", "flow") for g in (0.3, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
    ),
    "IEC": tuple(to_si(q, "L/min", "flow") for q in (1, 1.5, 2, 3, 4, 6, 8, 10, 12, 15, 20, 25, 30, 40)),
}
PUMP_EFFICIENCY = 0.85  # plunger pump, hydraulic over shaft power; common practice
MOTOR_EFFICIENCY = 0.70  # small single-phase motor; common practice: 60 % overall, pump included

RELIEF = (1.10, 1.25)  # of set pressure, where a relief valve opens: triplex to duplex pump; common practice

# A 10 in, 5 um sediment cartridge in use: 5 psi at 2 gpm, rising with flow; common practice
FILTER_RESISTANCE = parse("5 psi", "pressure") / parse("2 gpm", "flow")  # Pa s/m3


def relief_range(pump: Pump) -> tuple[float, float] | None:
    """Where its relief valve opens [Pa gauge]; None for a pump whose plate does not do the set pressure."""
    if pump.nameplate is not None and pump.nameplate.pressure < pump.set_pressure * (1 - 1e-9):
        return None
    low, high = RELIEF
    return low * pump.set_pressure, high * pump.set_pressure


def pick_pump(required: float, motors: Motors = "NEMA") -> float | None:
    """Rated flow [m3/s] of the smallest pump of the ladder of which `required` is at most 90 %."""
    return next((flow for flow in PUMP_LADDERS[motors] if required <= PUMP_USED_MOST * flow), None)


def shaft_power(gauge: float, flow: float) -> float:
    """Power [W] a displacement pump takes from its motor to lift `flow` [m3/s] to `gauge` [Pa]: all of its
    flow, since the regulator spends in the bypass what the line does not take."""
    return gauge * flow / PUMP_EFFICIENCY


def electric_power(shaft: float) -> float:
    """Power [W] the motor takes from its circuit to give `shaft` [W]."""
    return shaft / MOTOR_EFFICIENCY


def through_filter(curve: Curve) -> Curve:
    """A supply curve after a sediment filter."""
    return tuple((flow, gauge - FILTER_RESISTANCE * flow) for flow, gauge in curve)


def inlet_gauge(mains: Curve, flow: float, feed_loss: float) -> float:
    """Pressure [Pa gauge] left at the pump when it draws `flow` [m3/s] from the main (filter taken off
    already) and the pieces before it lose `feed_loss` [Pa], their rise included."""
    return gauge_at(mains, flow) - feed_loss
