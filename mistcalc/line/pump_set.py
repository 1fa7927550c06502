"""Pump, motor and current, and the water they are fed with. Numbers; `checks.pump` judges.

Facts marked "common practice" have no published source and may be argued with: they are constants here.
"""

from __future__ import annotations

from collections.abc import Sequence

from mistcalc.line.supply import Curve, gauge_at
from mistcalc.physics.strength import PSI

GPM = 3.785411784e-3 / 60.0  # m3/s
HORSEPOWER = 745.699872  # W

PUMP_LADDER = tuple(g * GPM for g in (0.3, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0))
USED_SHARE = 0.9  # nozzles take at most this share of a pump's rating; common practice (80-90 %)
PUMP_EFFICIENCY = 0.85  # plunger pump, hydraulic over shaft power; common practice
MOTOR_EFFICIENCY = 0.70  # small single-phase motor; common practice: 60 % overall, pump included
MOTOR_MARGIN = 1.15  # motor over shaft power; common practice

# NEC (NFPA 70) table 430.248, single-phase full-load amperes: (hp, at 115 V, at 230 V)
FULL_LOAD_AMPS = (
    (1 / 6, 4.4, 2.2),
    (1 / 4, 5.8, 2.9),
    (1 / 3, 7.2, 3.6),
    (1 / 2, 9.8, 4.9),
    (3 / 4, 13.8, 6.9),
    (1.0, 16.0, 8.0),
    (1.5, 20.0, 10.0),
    (2.0, 24.0, 12.0),
    (3.0, 34.0, 17.0),
    (5.0, 56.0, 28.0),
    (7.5, 80.0, 40.0),
    (10.0, 100.0, 50.0),
)
NEMA_MOTORS = tuple(hp * HORSEPOWER for hp, _, _ in FULL_LOAD_AMPS)
IEC_MOTORS = tuple(1e3 * kw for kw in (0.12, 0.18, 0.25, 0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3.0, 4.0, 5.5, 7.5))
CIRCUIT_SHARE = 1.25  # NEC 430.22: conductors of a continuous-duty motor
LARGEST_115 = 1.0 * HORSEPOWER  # above it 230 V; common practice: one 20 A, 120 V circuit carries no more

RELIEF = (1.10, 1.25)  # of set pressure, where a relief valve opens: triplex to duplex pump; common practice

# A 10 in, 5 um sediment cartridge in use: 5 psi at 2 gpm, rising with flow; common practice
FILTER_RESISTANCE = 5.0 * PSI / (2.0 * GPM)  # Pa s/m3


def pick_pump(required: float) -> float | None:
    """Rated flow [m3/s] of the smallest pump of the ladder of which `required` is at most 90 %."""
    return next((flow for flow in PUMP_LADDER if required <= USED_SHARE * flow), None)


def pick_motor(shaft_power: float, ladder: Sequence[float] = NEMA_MOTORS) -> float | None:
    """Smallest motor [W at the shaft] with 15 % over `shaft_power` [W]; None above the ladder."""
    return next((motor for motor in ladder if motor >= MOTOR_MARGIN * shaft_power), None)


def shaft_power(gauge: float, flow: float) -> float:
    """Power [W] a displacement pump takes from its motor to lift `flow` [m3/s] to `gauge` [Pa]: all of its
    flow, since the regulator spends in the bypass what the line does not take."""
    return gauge * flow / PUMP_EFFICIENCY


def electric_power(shaft: float) -> float:
    """Power [W] the motor takes from its circuit to give `shaft` [W]."""
    return shaft / MOTOR_EFFICIENCY


def pick_volts(motor: float) -> float:
    """115 V up to 1 hp, else 230 V."""
    return 115.0 if motor <= LARGEST_115 * 1.01 else 230.0


def full_load_amps(motor: float, volts: float) -> float | None:
    """Full-load current [A] of a single-phase `motor` [W at the shaft] by NEC table 430.248, next size up.

    The 115 V column holds for 110-127 V, the 230 V column for 220-240 V; any other voltage in inverse
    proportion to the nearer column. None above 10 hp.
    """
    row = next((row for row in FULL_LOAD_AMPS if motor <= row[0] * HORSEPOWER * 1.01), None)
    if row is None:
        return None
    if volts < 160.0:
        return row[1] if 110.0 <= volts <= 127.0 else row[1] * 115.0 / volts
    return row[2] if 220.0 <= volts <= 240.0 else row[2] * 230.0 / volts


def through_filter(curve: Curve) -> Curve:
    """A supply curve after a sediment filter."""
    return tuple((flow, gauge - FILTER_RESISTANCE * flow) for flow, gauge in curve)


def inlet_gauge(mains: Curve, flow: float, feed_loss: float) -> float:
    """Pressure [Pa gauge] left at the pump when it draws `flow` [m3/s] from the main (filter taken off
    already) and the pieces before it lose `feed_loss` [Pa], their rise included."""
    return gauge_at(mains, flow) - feed_loss
