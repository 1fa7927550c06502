"""Which motor, at which voltage, by whose sizes; and what a project file says about it."""

import math
from itertools import pairwise

import pytest

from mistcalc import design, files, words
from mistcalc.line.sizing import motor, pump_sizing

HP, PSI, GPM = 745.699872, 6894.757293168, 3.785411784e-3 / 60


@pytest.mark.parametrize(
    ("shaft", "watts"),
    [  # preferred outputs (IEC 60072-1, from memory): the next with 15 % to spare
        (60.0, 90.0), (100.0, 120.0), (300.0, 370.0), (330.0, 550.0), (640.0, 750.0), (660.0, 1100.0),
        (2600.0, 3000.0), (2700.0, None),
    ],
)  # fmt: skip
def test_motors_by_kilowatts_are_picked_from_their_own_ladder(shaft, watts):
    assert motor.pick_motor(shaft, "IEC") == watts


def test_volts_by_whose_sizes():
    assert motor.pick_volts(1.0 * HP) == 115.0 and motor.pick_volts(1.5 * HP) == 230.0
    assert motor.pick_volts(370.0, "IEC") == 230.0


def test_currents_rise_with_the_motor_and_fall_with_the_voltage():
    for motors, ladder in motor.STANDARD_MOTORS.items():
        for volts in (220.0, 230.0, 240.0):
            amps = [motor.full_load_amps(watts, volts, motors) for watts in ladder]
            assert all(a < b for a, b in pairwise(amps))
    assert motor.full_load_amps(370.0, 220.0, "IEC") > motor.full_load_amps(370.0, 240.0, "IEC")
    # 230 V by the mean of the two scalings: 3.74, 12.18 A (constant volt-amperes through 220 and 240 V)
    assert motor.full_load_amps(370.0, 230.0, "IEC") == pytest.approx(3.74, abs=0.005)
    assert motor.full_load_amps(1500.0, 230.0, "IEC") == pytest.approx(12.18, abs=0.005)
    # a small motor does not draw less than its power would at no loss
    for watts in motor.IEC_MOTORS:
        assert motor.full_load_amps(watts, 230.0, "IEC") > watts / 230.0


@pytest.mark.parametrize("volts", [12.0, 60.0, 150.0, 400.0, 480.0])
def test_no_table_tells_the_current_at_an_odd_voltage(volts):
    for motors in motor.STANDARD_MOTORS:
        assert motor.circuit(0.5 * HP, volts, motors) is None


def test_conductors_and_breaker_are_never_below_what_they_carry():
    for motors, ladder in motor.STANDARD_MOTORS.items():
        for watts in ladder:
            one = motor.circuit(watts, 230.0, motors)
            assert one.breaker >= one.conductors == pytest.approx(1.25 * one.full_load)
            assert one.breaker in motor.BREAKERS[motors]


@pytest.mark.parametrize(
    ("amps", "text"),
    [(12.5, "12.5 A"), (12.25, "12.3 A"), (3.74, "3.8 A"), (20.0, "20 A"), (4.4, "4.4 A"),
     (9.800000000001, "9.8 A"), (100.2, "101 A"), (187.5, "188 A"), (6.124999, "6.2 A")],
)  # fmt: skip
def test_amperes_are_rounded_up(amps, text):
    assert words.number(amps, "amps") == text
    assert float(text.split()[0]) >= amps - 1e-6


# ------------------------------------------------------------------ from a project file

HOUSE = """\
format = 1
name = "Invented terrace"
units = "{units}"
[place]
elevation = "300 m"
climate = "el-paso"
[[patio]]
name = "terrace"
depth = "3.5 m"
[[patio.run]]
name = "A"
length = "12 m"
framing = {{ lies = "along" }}
[pump]
{pump}
"""


def told(units, pump=""):
    text = HOUSE.format(units=units, pump=pump)
    project = files.parse_project(text)
    assert files.rewrite(text, project) == text
    layouts = tuple(design.lay(patio)[0] for patio in project.patios)
    solved, found = design.solve_line(project.plumbing, layouts)
    return project, solved.duty, {one.code: one for one in found}


def test_a_metric_house_gets_a_motor_that_is_sold_there():
    project, duty, _ = told("metric")
    assert project.plumbing.pump.motors == "IEC" and "pump.motors" in project.assumed
    assert duty.pick_volts == 230.0 and duty.pick_motor in motor.IEC_MOTORS
    assert duty.pick_flow in pump_sizing.PUMP_LADDERS["IEC"]
    assert duty.full_load_amps == motor.full_load_amps(duty.pick_motor, 230.0, "IEC")
    assert duty.breaker_amps in motor.BREAKERS["IEC"] and duty.breaker_most_amps is None


def test_a_us_house_keeps_horsepower_and_115_volts():
    project, duty, _ = told("us")
    assert project.plumbing.pump.motors == "NEMA"
    assert duty.pick_volts == 115.0 and duty.pick_motor in motor.NEMA_MOTORS
    assert told("us", 'volts = "230 V"')[1].pick_volts == 230.0


def test_a_metric_house_on_127_volts_is_sold_horsepower():
    assert told("metric", 'volts = "127 V"')[0].plumbing.pump.motors == "NEMA"
    plate = 'nameplate = { flow = "4 L/min", pressure = "70 bar", motor = "0.75 kW", volts = "127 V" }'
    assert told("metric", plate)[0].plumbing.pump.motors == "NEMA"
    assert told("us", 'motors = "IEC"')[1].pick_volts == 230.0  # and what is stated goes before the units


def test_a_plate_for_another_supply_fails_and_an_odd_one_has_no_current():
    plate = 'nameplate = {{ flow = "2 L/min", pressure = "70 bar", motor = "0.55 kW", volts = "{}" }}'
    found = told("metric", 'volts = "230 V"\n' + plate.format("115 V"))[2]
    assert found["nameplate-supply"].level == "fail"
    assert "230 V" in words.say(found["nameplate-supply"], "metric")
    assert "nameplate-supply" not in told("metric", 'volts = "240 V"\n' + plate.format("230 V"))[2]
    _, duty, found = told("us", plate.format("12 V"))
    assert found["nameplate-volts"].level == "warn" and duty.full_load_amps is duty.circuit_amps is None
    assert "pump-circuit" not in found
    assert "220 to 240 V" in words.say(
        told("metric", 'motors = "IEC"\n' + plate.format("208 V"))[2]["nameplate-volts"]
    )


@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_electricians_rows_stand_on_the_check_sheet(units):
    from mistcalc.report.common.locale_text import Locale
    from mistcalc.report.installer.checklist import ChecklistInput, groups
    from mistcalc.report.installer.line_facts import facts

    project, _, _ = told(units)
    layouts = tuple(design.lay(patio)[0] for patio in project.patios)
    solved, found = design.solve_line(project.plumbing, layouts)
    verdict, use = design.installer(project, solved, found)
    job = ChecklistInput(project.plumbing, solved, verdict, use, Locale(units, "en"))
    rows = {item.what: item.wanted for group in groups(job) for item in group.items}
    duty = solved.duty
    assert math.isclose(duty.circuit_amps, 1.25 * duty.full_load_amps)
    assert rows["Breaker, next standard size"].startswith(f"{duty.breaker_amps:g} A")
    fault = next(wanted for what, wanted in rows.items() if "Ground-fault" in what)
    assert fault == ("GFCI" if units == "us" else "RCD, 30 mA")
    said = " ".join(sentence for _, _, sentences in facts(job) for sentence in sentences)
    assert "licensed electrician" in said and "decide" in said
