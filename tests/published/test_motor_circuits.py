"""Currents, conductors and breakers of motors against the electrical code's tables and a trade table."""

import pytest

from mistcalc.line.sizing import motor
from tests.published.cases import Source

_DEFER = "For checking a table: the code in force, the plate and a licensed electrician decide."
NEC = Source(
    page="nec-430-248",
    subject="Pump and water treatment",
    title="Motor currents of the electrical code",
    cite="NEC (NFPA 70), table 430.248, single-phase full-load amperes at 115, 200, 208 and 230 V",
    read="page",
    limits=_DEFER,
)
CIRCUITS = Source(
    page="nec-motor-circuits",
    subject="Pump and water treatment",
    title="Motor circuits of the electrical code",
    cite="NEC 430.22 (125 %), 430.52(C)(1) (250 %, next standard size), 240.6(A): seven motors worked",
    read="page",
    limits=_DEFER,
)
IEC = Source(
    page="iec-single-phase-motors",
    subject="Pump and water treatment",
    title="Single-phase motors by kilowatts",
    cite="a trade table of rated currents at 220 and 240 V, 0.37 to 3 kW",
    read="page",
    limits="Typical, 10-15 % either way. No open table was found below 0.37 kW: judgement there. " + _DEFER,
)
HP = 745.699872  # W


@pytest.mark.parametrize(
    ("name", "hp", "amps"),
    [  # at 115, 200, 208, 230 V
        ("1/6", 1 / 6, (4.4, 2.5, 2.4, 2.2)),
        ("1/4", 1 / 4, (5.8, 3.3, 3.2, 2.9)),
        ("1/3", 1 / 3, (7.2, 4.1, 4.0, 3.6)),
        ("1/2", 1 / 2, (9.8, 5.6, 5.4, 4.9)),
        ("3/4", 3 / 4, (13.8, 7.9, 7.6, 6.9)),
        ("1", 1, (16.0, 9.2, 8.8, 8.0)),
        ("1-1/2", 1.5, (20.0, 11.5, 11.0, 10.0)),
        ("2", 2, (24.0, 13.8, 13.2, 12.0)),
        ("3", 3, (34.0, 19.6, 18.7, 17.0)),
        ("5", 5, (56.0, 32.2, 30.8, 28.0)),
        ("7-1/2", 7.5, (80.0, 46.0, 44.0, 40.0)),
        ("10", 10, (100.0, 57.5, 55.0, 50.0)),
    ],
)
def test_full_load_amps(name, hp, amps):
    ours = [motor.full_load_amps(hp * HP, volts) for volts in (115, 200, 208, 230)]
    NEC.check(f"{name} hp at 115, 200, 208, 230 V", ours, amps, "A", within=1e-9, because="the table itself")


@pytest.mark.parametrize(
    ("name", "hp", "volts", "full_load", "conductors", "breaker", "most"),
    [  # full load, 125 %, next standard at or above that, 250 % and one size up
        ("1 hp, 115 V", 1, 115, 16.0, 20.0, 20, 40),
        ("1-1/2 hp, 230 V", 1.5, 230, 10.0, 12.5, 15, 25),
        ("3/4 hp, 115 V", 0.75, 115, 13.8, 17.25, 20, 35),
        ("1/2 hp, 115 V", 0.5, 115, 9.8, 12.25, 15, 25),
        ("2 hp, 230 V", 2, 230, 12.0, 15.0, 15, 30),
        ("5 hp, 230 V", 5, 230, 28.0, 35.0, 35, 70),
    ],
)
def test_circuits(name, hp, volts, full_load, conductors, breaker, most):
    ours = motor.circuit(hp * HP, volts)
    because = "rules of the code, worked by hand"
    CIRCUITS.check(name, ours, (full_load, conductors, breaker, most), "A", within=1e-9, because=because)


def test_the_next_standard_size():
    """NEC 240.6(A): 55, 65, 75 and 85 A are no standard ratings."""
    asked = (12.25, 15.0, 15.01, 17.25, 20.0, 27.5, 34.5, 50.1, 55.0)
    ours = [motor._standard(amps, "NEMA") for amps in asked]
    sizes = (15, 15, 20, 20, 20, 30, 35, 60, 60)
    CIRCUITS.check("next size", ours, sizes, "A", within=0.0, because="the list itself")


@pytest.mark.parametrize(
    ("kilowatt", "at_220", "at_240"),
    [
        (0.37, 3.9, 3.6), (0.55, 5.2, 4.8), (0.75, 6.6, 6.1), (1.1, 9.6, 8.8),
        (1.5, 12.7, 11.7), (2.2, 18.6, 17.1), (3.0, 24.3, 22.2),
    ],
)  # fmt: skip
def test_motors_by_kilowatts(kilowatt, at_220, at_240):
    ours = [motor.full_load_amps(1e3 * kilowatt, volts, "IEC") for volts in (220, 240)]
    because = "one volt-ampere figure for both voltages; the table's own differ by up to 1.1 %"
    IEC.check(f"{kilowatt:g} kW at 220 and 240 V", ours, (at_220, at_240), "A", rel=0.0065, because=because)
