"""The pump's motor and what its circuit must carry, by the sizes sold where the job is. Single phase.

Figures for checking a table, never a permission: the code in force, the nameplate and a licensed electrician
decide. Facts marked "common practice" have no published source.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from mistcalc.model.practice import HIGH_VOLTS, MOTOR_MARGIN
from mistcalc.units import parse

Motors = Literal["NEMA", "IEC"]

HORSEPOWER = parse("1 hp", "power")

# NEC (NFPA 70) table 430.248, single-phase full-load amperes: hp, at 115, 200, 208 and 230 V
FULL_LOAD_AMPS = (
    (1 / 6, 4.4, 2.5, 2.4, 2.2),
    (1 / 4, 5.8, 3.3, 3.2, 2.9),
    (1 / 3, 7.2, 4.1, 4.0, 3.6),
    (1 / 2, 9.8, 5.6, 5.4, 4.9),
    (3 / 4, 13.8, 7.9, 7.6, 6.9),
    (1.0, 16.0, 9.2, 8.8, 8.0),
    (1.5, 20.0, 11.5, 11.0, 10.0),
    (2.0, 24.0, 13.8, 13.2, 12.0),
    (3.0, 34.0, 19.6, 18.7, 17.0),
    (5.0, 56.0, 32.2, 30.8, 28.0),
    (7.5, 80.0, 46.0, 44.0, 40.0),
    (10.0, 100.0, 57.5, 55.0, 50.0),
)

# Columns of that table hold for these voltages: 430.248's own words for 115 and 230 V systems.
_COLUMNS = ((110.0, 127.0, 1), (197.0, 204.0, 2), (204.0, 212.0, 3), (220.0, 240.0, 4))

# Preferred outputs of small motors, W (IEC 60072-1, from memory), and full-load amperes of single-phase ones
# at 220 and 240 V, typical, 10-15 % either way: a trade table of rated currents; the plate rules. Below
# 0.37 kW no open list was found: volt-amperes a watt rise there as those of small three-phase motors do
# (power factor times efficiency 0.475 at 0.37 kW, 0.434, 0.434, 0.42 and 0.42 below it); judgement.
IEC_AMPS = (
    (370.0, 3.9, 3.6), (550.0, 5.2, 4.8), (750.0, 6.6, 6.1), (1100.0, 9.6, 8.8),
    (1500.0, 12.7, 11.7), (2200.0, 18.6, 17.1), (3000.0, 24.3, 22.2),
)  # fmt: skip
_SMALL_IEC = ((90.0, 0.42), (120.0, 0.42), (180.0, 0.434), (250.0, 0.434))
_AT_370 = 370.0 / 0.475, (220.0 * 3.9 + 240.0 * 3.6) / 2.0
_IEC_VOLT_AMPERES = (
    *((watts, watts / share / _AT_370[0] * _AT_370[1]) for watts, share in _SMALL_IEC),
    *((watts, (220.0 * at_220 + 240.0 * at_240) / 2.0) for watts, at_220, at_240 in IEC_AMPS),
)
NEMA_MOTORS = tuple(row[0] * HORSEPOWER for row in FULL_LOAD_AMPS)
IEC_MOTORS = tuple(watts for watts, _ in _IEC_VOLT_AMPERES)
STANDARD_MOTORS: dict[Motors, tuple[float, ...]] = {"NEMA": NEMA_MOTORS, "IEC": IEC_MOTORS}

LARGEST_115 = 1.0 * HORSEPOWER  # above it 230 V; common practice: one 20 A, 120 V circuit carries no more
SINGLE_PHASE = ((100.0, 127.0), (197.0, 250.0))  # V; common practice
CIRCUIT_SHARE = 1.25  # NEC 430.22: conductors of a continuous-duty motor; in other countries judgement
MOST_SHARE = 2.5  # NEC 430.52(C)(1): an inverse-time breaker, next size up where that is between sizes
# Standard ratings, A: NEC 240.6(A), from 15 A; IEC 60898-1 (from memory)
BREAKERS: dict[Motors, tuple[float, ...]] = {
    "NEMA": (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300),
    "IEC": (6, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125),
}
_SAME = 1.01  # a motor within a percent of a row's power is that row's


class Circuit(NamedTuple):
    """What a motor's circuit must carry [A]. None where no table tells."""

    full_load: float
    conductors: float  # least: 125 % of full load
    breaker: float | None  # standard rating at or above that
    breaker_most: float | None  # NEC only: 250 %, rounded up to a standard rating


def pick_motor(shaft_power: float, motors: Motors = "NEMA") -> float | None:
    """Smallest motor [W at the shaft] with 15 % over `shaft_power` [W]; None above the ladder."""
    return next((motor for motor in STANDARD_MOTORS[motors] if motor >= MOTOR_MARGIN * shaft_power), None)


def pick_volts(motor: float, motors: Motors = "NEMA") -> float:
    """230 V; by American sizes 115 V up to 1 hp."""
    return 115.0 if motors == "NEMA" and motor <= LARGEST_115 * _SAME else 230.0


def full_load_amps(motor: float, volts: float, motors: Motors = "NEMA") -> float | None:
    """Full-load current [A] of a single-phase `motor` [W at the shaft], next size up in its table.

    NEMA: NEC table 430.248, a column for 110-127, 200, 208 and 220-240 V, else in inverse proportion to the
    nearer one. IEC: constant volt-amperes through 220 and 240 V. None for a motor beyond the table or a
    voltage that is no single-phase supply's.
    """
    if not any(low <= volts <= high for low, high in SINGLE_PHASE):
        return None
    if motors == "IEC":
        asked = next((va for watts, va in _IEC_VOLT_AMPERES if motor <= watts * _SAME), None)
        return None if asked is None else asked / volts
    row = next((row for row in FULL_LOAD_AMPS if motor <= row[0] * HORSEPOWER * _SAME), None)
    if row is None:
        return None
    column = next((column for low, high, column in _COLUMNS if low <= volts <= high), None)
    if column is not None:
        return row[column]
    return row[1] * 115.0 / volts if volts < HIGH_VOLTS else row[4] * 230.0 / volts


def circuit(motor: float, volts: float, motors: Motors = "NEMA") -> Circuit | None:
    """What the circuit of a motor must carry; None where its current is in no table."""
    amps = full_load_amps(motor, volts, motors)
    if amps is None:
        return None
    most = _standard(MOST_SHARE * amps, motors) if motors == "NEMA" else None
    least = CIRCUIT_SHARE * amps
    return Circuit(amps, least, _standard(least, motors), most)


def _standard(amps: float, motors: Motors) -> float | None:
    """The standard rating at or above `amps`."""
    return next((float(size) for size in BREAKERS[motors] if size >= amps - 1e-6), None)
