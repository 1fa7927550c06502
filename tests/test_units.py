"""Units: constants against published tables, spellings people use, text that reads back."""

from __future__ import annotations

import ast
import math
from fractions import Fraction

import fluids.constants
import pytest
import scipy.constants
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from mistcalc import units
from mistcalc.errors import InputError, RangeError
from mistcalc.units import from_si, to_si
from tests.source import parsed

# NIST Special Publication 811 (2008), appendix B.8, "Factors for units listed alphabetically"; bold there
# (exact) is exact here. Others are printed to seven digits, so they are checked to half of the last one.
EXACT = [
    ("1 in", "length", 0.0254),
    ("1 ft", "length", 0.3048),
    ("1 yd", "length", 0.9144),
    ("1 mil", "length", 2.54e-5),
    ("1 mph", "speed", 0.44704),
    ("1 ft/s", "speed", 0.3048),
    ("1 ft/min", "speed", 5.08e-3),
    ("1 kWh", "energy", 3.6e6),
    ("1 bar", "pressure", 1e5),
    ("1 sq ft", "area", 9.290304e-2),
]
SEVEN_DIGITS = [
    ("1 psi", "pressure", 6.894757e3),
    ("1 gal", "volume", 3.785412e-3),
    ("1 gpm", "flow", 6.309020e-5),
    ("1 hp", "power", 7.456999e2),
    ("1 kn", "speed", 5.144444e-1),
    ("1 gpg", "concentration", 1.711806e-2),
    ("1 deg", "angle", 1.745329e-2),
    ("1 cu ft", "volume", 2.831685e-2),
]


FACTORS = (
    25.4,
    0.0254,
    0.3048,
    6894.757,
    3.785,
    1.8,
    273.15,
    459.67,
    745.7,
    60000.0,
    101325.0,
    17.118,
    0.44704,
)


def factors_in(source: str) -> list[str]:
    """Sums and names with a unit factor written as a number, and 5 / 9."""
    out = []
    for node in ast.walk(parsed(source)):
        named = isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
        if not (named or isinstance(node, ast.BinOp)):
            continue
        parts = [node.value] if named else [node.left, node.right]  # type: ignore[union-attr]
        values = [p.value for p in parts if isinstance(p, ast.Constant) and isinstance(p.value, (int, float))]
        known = any(abs(v - f) <= 1e-4 * f for v in values for f in (*FACTORS, 3.785e-3, 17.118e-3))
        if known or ast.unparse(node).endswith("5 / 9"):
            out.append(f"{node.lineno}: {ast.unparse(node)}")  # type: ignore[attr-defined]
    return out


def test_no_unit_factor_stands_outside_the_table_and_the_equations(repository):
    """1.8 mm on paper is no factor: what draws is left out. Equations keep those of their sources."""
    package = repository / "mistcalc"
    left_out = {"units", "physics", "drawing", "line_diagram", "builder"}
    seen = {
        str(path.relative_to(package)): found
        for path in sorted(package.rglob("*.py"))
        if not left_out & set(path.relative_to(package).parts)
        and (found := factors_in(path.read_text("utf-8")))
    }
    assert seen == {}
    for planted in ("x = 8 * 0.3048", "PSI = 6894.757293168", "d = 2 * 5 / 9", "f = k * 1.8 - 459.67"):
        assert factors_in(planted)


@pytest.mark.parametrize("unit", ["degF", "degC", "K"])
def test_numbers_go_to_si_and_back(unit):
    """212 degF is 100 degC is 373.15 K."""
    boiling = {"degF": 212.0, "degC": 100.0, "K": 373.15}[unit]
    assert to_si(boiling, unit, "temperature") == pytest.approx(373.15)
    assert from_si(373.15, unit, "temperature") == pytest.approx(boiling)
    assert to_si(1.0, "gpm", "flow") == pytest.approx(3.785411784e-3 / 60)  # NIST SP 811


@pytest.mark.parametrize(("text", "kind", "value"), EXACT)
def test_exact_factor_of_nist_sp_811(text, kind, value):
    assert units.parse(text, kind) == value


@pytest.mark.parametrize(("text", "kind", "value"), SEVEN_DIGITS)
def test_printed_factor_of_nist_sp_811(text, kind, value):
    last_digit = 10.0 ** (math.floor(math.log10(value)) - 6)
    assert abs(units.parse(text, kind) - value) <= 0.5 * last_digit


def test_temperature_scales_of_nist_sp_811():
    # B.8: T/K = (t/degF + 459.67)/1.8, T/K = t/degC + 273.15
    assert units.parse("32 degF", "temperature") == 273.15
    assert units.parse("-40 degF", "temperature") == units.parse("-40 degC", "temperature")
    assert units.parse("212 degF", "temperature") == 373.15
    assert units.parse("9 degF", "temperature_difference") == 5.0


@pytest.mark.parametrize(
    ("text", "kind", "second"),
    [
        ("1 psi", "pressure", scipy.constants.psi),
        ("1 hp", "power", scipy.constants.hp),
        ("1 gal", "volume", scipy.constants.gallon),
        ("1 mph", "speed", scipy.constants.mph),
        ("1 knot", "speed", scipy.constants.knot),
        ("1 psi", "pressure", fluids.constants.psi),
        ("1 gal", "volume", fluids.constants.gallon),
        ("1 lb", "mass", scipy.constants.lb),
        ("1 oz", "mass", scipy.constants.oz),
        ("1 inch", "length", fluids.constants.inch),
        ("1 deg", "angle", scipy.constants.degree),
    ],
)
def test_second_source(text, kind, second):
    # two libraries' tables; they multiply floats, so the last digits may differ
    assert units.parse(text, kind) == pytest.approx(second, rel=1e-14)


SPELLINGS = [
    ("9 ft 6-1/2 in", 114.5),
    ("9 ft 6 1/2 in", 114.5),
    ("9' 6 1/2\"", 114.5),
    ("9'-6 1/2\"", 114.5),
    ("9'6-1/2\"", 114.5),
    ("9′ 6½″", 114.5),
    ("9’ 6½”", 114.5),
    ("9 feet 6.5 inches", 114.5),
    ("9 FT 6-1/2 IN.", 114.5),
    ("9' 6-1/2", 114.5),
    ("9' 6-1/2''", 114.5),
    ("114.5 in", 114.5),
    ("114 1/2 in", 114.5),
    ("114½ in", 114.5),
    ("2'-11 1/4\"", 35.25),
    ("0'-6\"", 6),
    ("-2 ft 3 in", -27),
    ("38 ft", 456),
    ("38.5ft", 462),
    ("3/8 in", 0.375),
    ("0.035 in", 0.035),
    (".035 in", 0.035),
    ("1,200 in", 1200),
    ("5 ft 3", 63),
    ("5' 3", 63),
    ("5'3", 63),
    ("5 pies 3 pulgadas", 63),
]


@pytest.mark.parametrize(("text", "total_inches"), SPELLINGS)
def test_lengths_as_people_write_them(text, total_inches):
    exact = Fraction(str(total_inches)) * Fraction("0.0254")
    assert units.parse(text, "length") == float(exact)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("2.9 m", "length", 2.9),
        ("600 mm", "length", 0.6),
        ("3 m 40", "length", 3.4),
        ("3 m 40 cm", "length", 3.4),
        ("3m40", "length", 3.4),
        ("3 m 05", "length", 3.05),
        ("3 m 5 cm", "length", 3.05),
        ("3 m 405 mm", "length", 3.405),
        ("27 µm", "length", 27e-6),
        ("27 microns", "length", 27e-6),
        ("70 bar", "pressure", 7e6),
        ("1,000 psi", "pressure", 1000 * 4.4482216152605 / 0.0254**2),  # lbf in N over in2, SP 811
        ("105 °F", "temperature", (105 + 459.67) / 1.8),
        ("105F", "temperature", (105 + 459.67) / 1.8),
        ("40 ºC", "temperature", 313.15),
        ("300 K", "temperature", 300.0),
        ("6.6 L/h", "flow", 6.6e-3 / 3600),
        ("2 l per min", "flow", 2e-3 / 60),
        ("50 %", "share", 0.5),
        ("180 ppm", "concentration", 0.18),
        ("1/8 in per ft", "slope", 1 / 96),
        ("1/8 in/ft", "slope", 1 / 96),
        ("10 mm per m", "slope", 0.01),
        ("1:100", "slope", 0.01),
        ("1 in 100", "slope", 0.01),
        ("1 %", "slope", 0.01),
        ("1000 per m3", "price_volume", 1000.0),
        ("$3.785411784 per 1000 gal", "price_volume", 1e-3 * 1000.0),
        ("0.36 per kWh", "price_energy", 1e-7),
        ("3.048 per ft", "price_length", 10.0),
        ("6 each", "price_each", 6.0),
        ("$7.50 a month", "price_month", 7.5),
        ("9.75/month", "price_month", 9.75),
        ("14:00", "clock", 14.0),
        ("2 pm", "clock", 14.0),
        ("12:30 am", "clock", 0.5),
        ("24:00", "clock", 24.0),
        ("90°", "angle", math.pi / 2),
        ("1/2 hp", "power", 0.5 * 550 * 0.3048 * 4.4482216152605),
    ],
)
def test_other_kinds(text, kind, value):
    assert units.parse(text, kind) == pytest.approx(value, rel=1e-14)  # our right-hand side rounds in floats


@pytest.mark.parametrize(
    ("text", "kind", "code"),
    [
        ("38", "length", "unit-missing"),
        (38, "length", "unit-missing"),
        (7.5, "price_volume", "unit-missing"),
        ("6", "price_each", "unit-missing"),
        ("6", "price_month", "unit-missing"),
        ("6 a year", "price_month", "quantity-unreadable"),
        ("1/8", "slope", "unit-missing"),
        ("0.5", "share", "unit-missing"),
        ("inf psi", "pressure", "number-not-finite"),
        ("nan m", "length", "number-not-finite"),
        (math.inf, "length", "number-not-finite"),
        (math.nan, "length", "number-not-finite"),
        ("1e400 m", "length", "number-out-of-reach"),
        (10**400, "length", "number-out-of-reach"),
        ("2,9 m", "length", "decimal-comma"),
        ("0,029 gpm", "flow", "decimal-comma"),
        ("1,0000 psi", "pressure", "decimal-comma"),
        ("3 psi", "length", "unit-of-other-kind"),
        ("3 ft", "pressure", "unit-of-other-kind"),
        ("3 furlong", "length", "unit-unknown"),
        ("3 m 5", "length", "meters-which"),  # 3.05 or 3.5
        ("3 m 200", "length", "unit-unknown"),
        ("3 m 1/2", "length", "unit-unknown"),
        ("3 m 120 cm", "length", "meter-over"),
        ("3 m 1200 mm", "length", "meter-over"),
        ("3 m2", "length", "unit-of-other-kind"),
        ("3 m3", "length", "unit-of-other-kind"),
        ("3 ft2", "length", "unit-of-other-kind"),
        ("3 ft 14 in", "length", "inches-over-twelve"),
        ("1/0 in", "length", "fraction-over-zero"),
        ("5 per 0 gal", "price_volume", "fraction-over-zero"),
        ("0.5 in per 0 ft", "slope", "fraction-over-zero"),
        ("", "length", "quantity-unreadable"),
        ("ft", "length", "quantity-unreadable"),
        ("--3 ft", "length", "quantity-unreadable"),
        ("٣ m", "length", "quantity-unreadable"),
        ("2 o'clock", "clock", "quantity-unreadable"),
        ("24:30", "clock", "clock-out-of-day"),
        (True, "length", "quantity-not-text"),
        (None, "length", "quantity-not-text"),
        (["3 ft"], "length", "quantity-not-text"),
        ("1" * 5000 + " ft", "length", "quantity-too-long"),
    ],
)
def test_refused_with_what_to_write_instead(text, kind, code):
    with pytest.raises(InputError) as caught:
        units.parse(text, kind)
    assert caught.value.code == code
    for spelling in (caught.value.values["us"], caught.value.values["metric"]):
        assert math.isfinite(units.parse(spelling, kind))  # the advice itself is readable


def test_one_figure_behind_meters_is_answered_with_both_it_may_mean():
    for text, both in (("3 m 5", ("3.5 m", "3.05 m")), ("-2 metros 4", ("-2.4 m", "-2.04 m"))):
        with pytest.raises(InputError) as caught:
            units.parse(text, "length")
        assert (caught.value.values["tenths"], caught.value.values["hundredths"]) == both
        assert all(math.isfinite(units.parse(spelling, "length")) for spelling in both)


def test_bare_number_is_answered_with_that_number():
    with pytest.raises(InputError) as caught:
        units.parse("38", "length")
    assert (caught.value.values["us"], caught.value.values["metric"]) == ("38 ft", "38 m")


@pytest.mark.parametrize("kind", [*units.KINDS, "slope", "price_volume", "price_energy", "price_length"])
@settings(max_examples=30)
@given(text=st.text(alphabet="0123456789 ./-'\",eftinpsimm%KFC:\x1b\x00½″°", max_size=20))
def test_any_text_is_a_finite_number_or_one_named_mistake(kind, text):
    try:
        assert math.isfinite(units.parse(text, kind))
    except InputError as mistake:
        assert str(mistake.values["text"]).isprintable()


# ------------------------------------------------------------------ text that reads back

PRICES = [f"price_{of}" for of in ("volume", "energy", "length", "each", "month")]
ANY_KIND = sorted([*units.KINDS, "slope", *PRICES])
SYSTEMS = st.sampled_from(["us", "metric"])


@given(kind=st.sampled_from(ANY_KIND), system=SYSTEMS, value=st.floats(1e-9, 1e9))
def test_spelling_reads_back_to_the_last_digit(kind, system, value):
    assume(kind != "temperature" or value >= 1.0)  # colder than 1 K nothing is written, and digits run out
    assert units.parse(units.spell(value, kind, system), kind) == value


@given(system=SYSTEMS, value=st.floats(-300, -1e-9))
def test_negative_lengths_read_back(system, value):
    assert units.parse(units.spell(value, "length", system), "length") == value


@given(minutes=st.integers(0, 1440), system=SYSTEMS)
def test_clock_reads_back(minutes, system):
    hours = float(Fraction(minutes, 60))
    assert units.parse(units.spell(hours, "clock", system), "clock") == hours


def test_clock_between_minutes_has_no_spelling():
    with pytest.raises(RangeError):
        units.spell(14.001, "clock", "us")


@given(
    sixteenths=st.integers(0, 16 * 12 * 200),
    style=st.sampled_from([None, "9 ft 6-1/2 in", "114 1/2 in", "38'"]),
)
def test_tape_grid_stays_short(sixteenths, style):
    value = float(Fraction(sixteenths, 16) * Fraction("0.0254"))
    text = units.spell(value, "length", "us", like=style)
    assert units.parse(text, "length") == value
    assert "." not in text and len(text) <= len("199 ft 11-15/16 in")


@given(millimetres=st.integers(0, 60_000))
def test_metric_grid_stays_short(millimetres):
    text = units.spell(millimetres / 1000, "length", "metric")
    assert units.parse(text, "length") == millimetres / 1000
    assert len(text) <= len("59.999 m")


@pytest.mark.parametrize(
    ("value", "kind", "system", "like", "text"),
    [
        (2.9083, "length", "us", None, "9 ft 6-1/2 in"),
        (2.9083, "length", "us", "114 in", "114-1/2 in"),
        (2.9083, "length", "us", "24.5 in", "114.5 in"),
        (11.5824, "length", "us", None, "38 ft"),
        (0.0, "length", "us", None, "0 in"),
        (0.000889, "length", "us", "0.049 in", "0.035 in"),
        (12.5, "length", "metric", None, "12.5 m"),
        (0.6, "length", "metric", None, "600 mm"),
        (3.5, "length", "us", "3 m", "3.5 m"),
        (7e6, "pressure", "us", "65 bar", "70 bar"),
        (313.15, "temperature", "us", None, "104 degF"),
        (0.5, "share", "us", None, "50 %"),
        (1 / 96, "slope", "us", None, "1/8 in per ft"),
        (20.5, "clock", "us", None, "20:30"),
        (2.0, "price_volume", "metric", "1 per m3", "2 per m3"),
    ],
)
def test_spellings_we_write(value, kind, system, like, text):
    assert units.spell(value, kind, system, like) == text


@given(metres=st.floats(-100, 100), system=SYSTEMS)
def test_on_grid_is_what_the_file_would_say(metres, system):
    snapped = units.on_grid(metres, system)
    step = 0.003175 if system == "us" else 0.005
    assert abs(snapped - metres) <= step / 2 * (1 + 1e-6)
    assert len(units.spell(snapped, "length", system)) <= len("-328 ft 11-7/8 in")
    assert units.on_grid(snapped, system) == snapped


# ------------------------------------------------------------------ for the eye


@pytest.mark.parametrize(
    ("value", "kind", "us", "metric"),
    [
        (6894757.3, "pressure", "1,000 psi", "69 bar"),
        (6.87e6, "pressure", "995 psi", "68.5 bar"),
        (413685.0, "pressure", "60 psi", "4.15 bar"),
        (1.8296e-6, "flow", "0.029 gpm", "6.59 L/h"),
        (5.1e-5, "flow", "0.808 gpm", "3.06 L/min"),
        (311.9, "temperature", "102 °F", "39 °C"),
        (-0.2 / 1.8, "temperature_difference", "0 °F", "0 °C"),
        (7.2, "temperature_difference", "13 °F", "7 °C"),
        (3.576, "speed", "8 mph", "3.6 m/s"),
        (0.02, "share", "2 %", "2 %"),
        (0.546, "share", "55 %", "55 %"),
        (745.7, "motor", "1 hp", "746 W"),
        (0.381, "length", "15 in", "381 mm"),
        (2.9083, "length", "9 ft 6-1/2 in", "2908 mm"),
        (11.5824, "length", "38 ft", "11.58 m"),
        (0.007747, "bore", "0.305 in", "7.75 mm"),
        (0.009525, "bore", "3/8 in", "9.53 mm"),
        (0.028575, "bore", "1-1/8 in", "28.58 mm"),
        (0.000889, "bore", "0.035 in", "0.89 mm"),
        (27e-6, "drop_size", "27 µm", "27 µm"),
        (14.5, "clock", "2:30 pm", "14:30"),
        (24.0, "clock", "12 am", "24:00"),
        (1 / 96, "slope", "1/8 in per ft", "10 mm per m"),
        (45.0, "duration", "45 s", "45 s"),
        (7200.0, "duration", "2 h", "2 h"),
        (2e-4, "volume", "0.0528 gal", "200 mL"),
        (8.57, "volume", "2,260 gal", "8570 L"),
        (85.7, "volume", "22,600 gal", "85\u00a0700 L"),
        (-0.05 / 1.8, "temperature_difference", "0 °F", "0 °C"),
    ],
)
def test_shown_to_people(value, kind, us, metric):
    assert (units.show(value, kind, "us"), units.show(value, kind, "metric")) == (us, metric)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_no_number_is_never_shown(value):
    for locale in (lambda: units.show(value, "pressure", "us"), lambda: units.tape(value, "us")):
        with pytest.raises(RangeError):
            locale()


@pytest.mark.parametrize(
    ("metres", "paper", "words", "total", "mm"),
    [
        (0.9144, "3'-0\"", "3 ft", "36", "914"),
        (0.89535, "2'-11 1/4\"", "2 ft 11-1/4 in", "35 1/4", "895"),
        (0.1524, "0'-6\"", "6 in", "6", "152"),
        (0.0, "0'-0\"", "0 in", "0", "0"),
        (11.2776, "37'-0\"", "37 ft", "444", "11278"),
        (-0.6858, "-2'-3\"", "-2 ft 3 in", "-27", "-686"),
        (0.3047, "1'-0\"", "12 in", "12", "305"),  # rounds up into the next foot
        (0.0015875, "0'-0 1/8\"", "1/8 in", "1/8", "2"),  # a sixteenth goes up
    ],
)
def test_tape(metres, paper, words, total, mm):
    assert units.tape(metres, "us") == paper
    assert units.tape(metres, "us", "words") == words
    assert units.tape(metres, "metric") == f"{mm} mm"
    assert units.inches(metres) == total
    assert units.millimetres(metres) == mm


@given(metres=st.floats(0, 300))
def test_tape_is_within_half_a_division_and_reads_back(metres):
    assert abs(units.parse(units.tape(metres, "us"), "length") - metres) <= 0.0254 / 16 * (1 + 1e-6)
    assert abs(units.parse(units.tape(metres, "metric"), "length") - metres) <= 0.0005 * (1 + 1e-6)


@pytest.mark.parametrize(
    ("metres", "system", "bit", "text"),
    [
        (1.019 * 0.0254, "us", 1.125 * 0.0254, "1-1/8 in"),
        (1.0 * 0.0254, "us", 0.0254, "1 in"),
        (0.70 * 0.0254, "us", 0.75 * 0.0254, "3/4 in"),
        (0.0258, "metric", 0.028, "28 mm"),
        (0.025, "metric", 0.025, "25 mm"),
        (0.5, "metric", 0.5, "500 mm"),  # past every saw: the hole itself
    ],
)
def test_a_hole_is_rounded_up_to_a_bit(metres, system, bit, text):
    assert units.drill_size_for(metres, system) == pytest.approx(bit)
    assert units.drill_size_text(units.drill_size_for(metres, system), system) == text


@pytest.mark.parametrize(
    ("gph", "text"), [(0.5, "0.5 gph"), (1.1, "1.1 gph"), (1.74, "0.029 gpm"), (60, "1 gpm")]
)
def test_small_flows_are_told_by_the_hour(gph, text):
    assert units.show(gph * 3.785411784e-3 / 3600, "flow", "us") == text


@pytest.mark.parametrize(
    ("hp", "text"), [(0.25, "1/4 hp"), (1 / 3, "1/3 hp"), (1.5, "1-1/2 hp"), (1, "1 hp"), (2.2, "2.2 hp")]
)
def test_motors_are_told_as_they_are_sold(hp, text):
    assert units.show(hp * 745.6998715822702, "motor", "us") == text


def test_a_gauge_works_at_three_quarters_of_its_scale_or_less():
    psi = 6894.757293168
    for asked, scale in ((45, 60), (46, 100), (750, 1000), (751, 1500), (9000, 12000)):
        assert units.gauge_scale(asked * psi, "us") == pytest.approx(scale * psi)
    for asked, scale in ((4.5, 6), (4.6, 10), (70, 100), (76, 160)):
        assert units.gauge_scale(asked * 1e5, "metric") == pytest.approx(scale * 1e5)


@pytest.mark.parametrize(
    ("system", "size", "unit"), [("metric", 1 / 60000, "L/min"), ("us", 3.785411784e-3 / 60, "gpm")]
)
def test_values_told_beside_one_another_have_its_unit(system, size, unit):
    """A range may lie across the size where a flow is told in another unit: 30 L/h or 1.2 gph."""
    middle = 0.556 if system == "metric" else 0.021
    for share in (0.87, 1.0, 1.13):
        told = units.show(share * middle * size, "flow", system, like=middle * size).split(" ")
        assert told[1] == unit and float(told[0]) == pytest.approx(share * middle, rel=0.01)
    assert units.show(0.87 * middle * size, "flow", system).split(" ")[1] != unit


@pytest.mark.parametrize(
    ("typed", "means"),
    [
        ("2,9 m", "2.9 m"), ("2,90 m", "2.90 m"), ("0,029 gpm", "0.029 gpm"), ("4,5 bar", "4.5 bar"),
        ("1,200 psi", "1,200 psi"), ("12,000 mm", "12,000 mm"), ("9 ft 6-1/2 in", "9 ft 6-1/2 in"),
    ],
)  # fmt: skip
def test_a_comma_that_can_only_be_a_decimal_one_is_read_as_a_point(typed, means):
    assert units.with_points(typed) == means


METERS = ("m", "meter", "meters", "metre", "metres", "metro", "metros", "M")
CENTIMETERS = ("", "cm", "centimeters", "centimetres", "centímetros", "CM")


@given(
    millimeters=st.integers(0, 99_999),
    large=st.sampled_from(METERS),
    small=st.sampled_from((*CENTIMETERS, "mm", "millimeters", "milímetros")),
    between=st.sampled_from([" ", "", "  ", " - "]),
    sign=st.sampled_from(["", "-"]),
)
def test_meters_and_what_is_behind_them_read_as_one_length(millimeters, large, small, between, sign):
    """Written in two units it is the length that is written in one; and that reads back."""
    meters, rest = divmod(millimeters, 1000)
    if small in CENTIMETERS:
        number = f"{rest // 10:02d}" + (f".{rest % 10}" if rest % 10 else "")
    else:
        number = str(rest)
    assume(between != "" or (large + number)[-2:] not in ("m2", "m3", "M2", "M3") or small)
    text = f"{sign}{meters} {large}{between}{number} {small}".strip()
    value = units.parse(text, "length")
    assert value == units.parse(f"{sign}{millimeters} mm", "length")
    for system in ("us", "metric"):
        assert units.parse(units.spell(value, "length", system, like=text), "length") == value


@given(
    sixteenths=st.integers(0, 16 * 12 * 99),
    feet=st.sampled_from(["ft", "feet", "foot", "'", "pies", "′"]),
    inches=st.sampled_from(["", "in", '"', "inches", "pulgadas", "''", "″"]),
)
def test_feet_and_what_is_behind_them_read_as_one_length(sixteenths, feet, inches):
    whole, rest = divmod(sixteenths, 16 * 12)
    number, over = divmod(rest, 16)
    small = f"{number} {over}/16" if over else str(number)
    value = units.parse(f"{whole} {feet} {small} {inches}".strip(), "length")
    assert value == float(Fraction(sixteenths, 16) * Fraction("0.0254"))
    assert units.parse(units.spell(value, "length", "us", like=f"{whole} {feet} {small}"), "length") == value


def test_lengths_are_read_in_spanish_too():
    assert units.parse("5 pies", "length") == units.parse("5 ft", "length")
    assert units.parse("7 pulgadas", "length") == units.parse("7 in", "length")
    assert units.parse("2.5 metros", "length") == 2.5
    assert units.parse("50 micras", "length") == units.parse("50 um", "length")


@given(
    value=st.floats(1.0, 2e7),
    kind=st.sampled_from(["pressure", "flow", "temperature"]),
    system=st.sampled_from(["us", "metric"]),
)
def test_what_a_reader_takes_a_value_for_is_what_is_shown(value, kind, system):
    """A difference of two figures as they are read takes both from here, not from the words."""
    value = {"flow": value / 1e10, "pressure": value, "temperature": 200.0 + value / 1e5}[kind]
    shown = units.show(value, kind, system).replace("\N{NO-BREAK SPACE}", "").replace(",", "")
    assert units.as_shown(value, kind, system) == pytest.approx(units.parse(shown, kind), rel=1e-12)
