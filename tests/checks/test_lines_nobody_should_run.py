"""Lines that do not mist, or that no electrician or tube should be asked to bear. Every house is invented."""

from __future__ import annotations

import pytest

from mistcalc import design, files, words
from mistcalc.errors import InputErrors

pytestmark = pytest.mark.thorough

HOUSE = """\
format = 1
name = "Invented porch"
units = "{units}"
[place]
elevation = "300 m"
[[place.afternoon]]
name = "hot"
dry_bulb = "104 degF"
relative_humidity = "15 %"
wind = "6 mph"
[[patio]]
name = "porch"
depth = "10 ft"
height = "9 ft"
[[patio.run]]
name = "A"
length = "48 ft"
framing = {{ lies = "along" }}
[line.nozzle]
label = "0.012 in orifice"
flow = "0.029 gpm"
at = "1000 psi"
opens_at = "60 psi"
{line}
"""
PLATE = 'nameplate = { flow = "0.75 gpm", pressure = "1000 psi", motor = "1 hp", volts = "115 V" }'


def findings(line: str, units: str = "us"):
    project = files.parse_project(HOUSE.format(line=line, units=units))
    layouts = tuple(design.lay(patio)[0] for patio in project.patios)
    solved, found = design.solve_line(project.plumbing, layouts, design.hottest(None, project.place))
    return {one.code: one for one in found}, solved, project


def said(one, units="us"):
    return words.say(one, units)


@pytest.mark.parametrize(
    ("line", "code", "cure", "advice"),
    [
        # a hair of a tube: the pump holds its pressure and friction eats it
        ('[line.tube]\noutside = "1/8 in"\nwall = "0.05 in"\n[pump]\n' + PLATE, "nozzle-part-open",
         "friction", "wider tube"),
        # set below the pressure at which the checks open
        (f'[pump]\nset_pressure = "50 psi"\n{PLATE}', "nozzle-shut", "raise", "would have to hold"),
        # the pump gives less than half of what the nozzles take
        ('[pump]\nnameplate = { flow = "0.1 gpm", pressure = "1000 psi", motor = "1/4 hp", volts = "115 V" }',
         "nozzle-part-open", "starved", "larger pump"),
        # a main that gives way
        ('[water]\nstatic = "90 psi"\nresidual = "20 psi"\nat_flow = "0.1 gpm"', "nozzle-part-open", "main",
         "fewer nozzles"),
    ],
)  # fmt: skip
def test_nozzles_that_do_not_open_wide_fail_with_what_to_change(line, code, cure, advice):
    found, _, _ = findings(line)
    one = found[code]
    assert one.level == "fail"
    assert [name for name, _ in one.values if name in ("friction", "raise", "starved", "main")] == [cure]
    for units in ("us", "metric"):
        assert advice in said(one, units) and code not in said(one, units)
    assert "pump-bypass" not in found  # what a shut line takes is no measure of its pump


def test_what_a_line_takes_below_the_opening_pressure_is_nothing():
    _, solved, _ = findings(f'[pump]\nset_pressure = "50 psi"\n{PLATE}')
    assert solved.duty.required_flow == 0.0 and solved.duty.used_share == 0.0
    assert solved.total_flow == pytest.approx(0.0, abs=1e-9)


def test_a_pump_with_next_to_nothing_before_it_fails():
    dry = '[water]\nstatic = "6 psi"\nresidual = "3 psi"\nat_flow = "3 gpm"\n[pump]\n'
    low = '[water]\nstatic = "16 psi"\nresidual = "13 psi"\nat_flow = "3 gpm"\n[pump]\n'
    assert findings(dry)[0]["inlet-low"].level == "fail"
    assert findings(low)[0]["inlet-low"].level == "warn"


def test_calcium_above_hardness_is_bad_input():
    water = '[water]\nhardness = "100 mg/L"\ncalcium = "{}"\n[pump]\n'
    with pytest.raises(InputErrors) as caught:
        findings(water.format("140 mg/L"))
    (one,) = caught.value.mistakes
    assert (one.code, one.where) == ("calcium-over-hardness", "water.calcium")
    assert "140 mg/L" in words.say(one) and "100 mg/L" in words.say(one)
    findings(water.format("101 mg/L"))  # two figures of one report, rounded


@pytest.mark.parametrize("value", ["nan", "inf"])
def test_a_number_that_is_none_is_answered_in_words(value):
    nozzle = f"[pump]\n[water]\nph = {value}"
    with pytest.raises(InputErrors) as caught:
        findings(nozzle)
    (one,) = caught.value.mistakes
    assert one.code == "number-not-finite" and "number-not-finite" not in words.say(one)
    assert "is not a number" in words.say(one) and "Write it like" in words.say(one)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_hole_is_asked_for_as_a_bit_that_is_sold(units):
    _, solved, project = findings("[pump]", units)
    (run,) = solved.duty.tube.runs
    one = next(f for patio in project.patios for f in design.checks.hole_findings(patio, solved, units))
    assert one.required >= run.hole > one.provided
    told = said(one, units)
    # 3/8 in tube (10 mm), 48 ft that grow by 150 less 30 degF
    bit, hole = ("1-1/8 in", "1 in") if units == "us" else ("28 mm", "25 mm")
    assert f"a {bit} bit, wider than the {hole} that the marks were laid for" in told


# ------------------------------------------------------------------ how hot the tube gets

SOFT = (
    '[line.tube]\nmaterial = "copper"\ntemper = "annealed"\noutside = "3/8 in"\nwall = "0.032 in"\n[pump]\n'
)
COLD = '[line]\ntube_temperature = "40 degF"\n{}'


def line_of(line: str) -> str:
    """HOUSE has [line.nozzle] before `line`; keys of [line] itself go in front of it."""
    return HOUSE.replace("[line.nozzle]", line + "\n[line.nozzle]", 1)


def job(head: str, rest: str):
    project = files.parse_project(line_of(head).format(units="us", line=rest))
    return design.run(project, None)


def test_annealed_copper_rated_cold_fails_and_is_rated_hot():
    # Copper Tube Handbook, 3/8 in OD x .032 in annealed: 836 psi at 150 degF, 4,900 of 5,100 psi at 200
    cold = job(COLD.format(""), SOFT)
    found = {one.code: one for one in cold.findings}
    assert found["tube-cool"].level == "fail" and found["tube-rating"].level == "fail"
    assert cold.line.duty.tube_rating_temperature == pytest.approx(338.15)
    assert cold.line.duty.tube_rating / 6894.757293168 == pytest.approx(839, abs=1)  # 0.35 % more at 149
    # so the first water is hot too, whatever is stated
    assert found["caution-hot-water"].provided == pytest.approx(338.15)
    # 104 degF and 27 degF of sun (judgement)
    assert "131 °F" in said(found["tube-cool"]) and "149 °F" in said(found["tube-cool"])
    stated = design.solve_line(cold.project.plumbing, tuple(cold.layouts))[0]
    assert stated.duty.tube_rating > cold.line.duty.tube_rating  # which is what it would have been rated


def test_a_reason_lets_it_stand_with_a_warning_that_carries_it():
    why = 'tube_temperature_reason = "the tube lies in the slab"'
    text = line_of(COLD.format(why)).format(units="us", line=SOFT)
    project = files.parse_project(text)
    assert files.rewrite(text, project) == text
    done = design.run(project, None)
    found = {one.code: one for one in done.findings}
    assert "tube-cool" not in found and found["tube-cool-for-reason"].level == "warn"
    assert "the tube lies in the slab" in said(found["tube-cool-for-reason"])
    assert done.line.duty.tube_rating_temperature == pytest.approx((40 + 459.67) / 1.8)


@pytest.mark.parametrize(("stated", "silent"), [("131 degF", True), ("130 degF", False), ("195 degF", True)])
def test_what_a_hot_afternoon_and_the_sun_make_is_enough(stated, silent):
    found = {f.code for f in job(f'[line]\ntube_temperature = "{stated}"', "[pump]").findings}
    assert ("tube-cool" not in found) is silent


def test_no_demo_is_rated_cooler_than_its_afternoons():
    for name in files.EXAMPLES:
        project = files.parse_project(files.example_text(name))
        weather = (
            None
            if project.place.climate is None
            else files.read_climate(files.climate_path(project.place.climate, None))
        )
        assert not any(f.code.startswith("tube-cool") for f in design.run(project, weather).findings), name


# ------------------------------------------------------------------ shut in, in the sun


@pytest.mark.parametrize("units", ["us", "metric"])
def test_water_shut_in_adds_up_and_is_one_figure_everywhere(units):
    """The degrees told are the fewest: they end at the tube's hottest, where water swells most."""
    from mistcalc.physics import tube_elasticity
    from mistcalc.report.common.locale_text import Locale
    from mistcalc.report.installer.line_facts import trapped_water_sentences

    found, solved, project = findings("[pump]")
    one, duty, tube = found["trapped-water"], solved.duty, project.plumbing.tube
    start, hottest = one.value("start"), one.value("hottest")
    gained = tube_elasticity.trapped_rise(tube.material, tube.outside, tube.wall, start, hottest)
    assert one.value("working") + gained == pytest.approx(duty.tube_rating, rel=1e-4)
    assert hottest - start == pytest.approx(duty.tube.trapped_warming)
    cooler = tube_elasticity.trapped_rise(
        tube.material, tube.outside, tube.wall, start - 10.0, hottest - 10.0
    )
    assert cooler < gained  # as many degrees lower down gain less
    (sheet,) = trapped_water_sentences(project.plumbing, solved, True, Locale(units, "en"))
    degrees = words.number(duty.tube.trapped_warming, "degrees", units)
    for text in (sheet, said(one, units)):
        assert f" {degrees} °" in text and words.number(start, "temperature", units) in text
