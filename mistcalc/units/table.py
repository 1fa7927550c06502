"""Every unit once: factors to SI and the ways people write them.

Factors are exact fractions: NIST Special Publication 811 (2008), appendix B.8. The inch, the pound, the
US gallon (231 in3), standard gravity and the grain are exact by definition; the others follow from them.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction as F
from typing import Any, Literal, NamedTuple

System = Literal["us", "metric"]

INCH = F("0.0254")
FOOT = 12 * INCH
POUND = F("0.45359237")
GRAVITY = F("9.80665")
GALLON = 231 * INCH**3
LITRE = F(1, 1000)
PSI = POUND * GRAVITY / INCH**2
HOUR = 3600
KWH = F(3_600_000)
DEGREE = F(math.pi) / 180
FAHRENHEIT = F(5, 9)


class Kind(NamedTuple):
    """Units of one kind of quantity: a factor to SI and the ways people write the unit.

    The first spelling is the one we write. `us` and `metric` name the unit used when writing a value new,
    `examples` are shown to someone who wrote it wrong.
    """

    units: dict[str, F]
    us: str
    metric: str
    examples: tuple[str, str]


def _kind(us: str, metric: str, examples: tuple[str, str], *rows: tuple[F, str]) -> Kind:
    return Kind({name: factor for factor, names in rows for name in names.split("|")}, us, metric, examples)


# Spellings are compared in small letters, without spaces round "/", with "per" read as "/".
KINDS: dict[str, Kind] = {
    "length": _kind(
        "in", "mm", ("9 ft 6-1/2 in", "2.9 m"),
        (INCH, "in|inch|inches|pulgada|pulgadas"), (FOOT, "ft|foot|feet|pie|pies"),
        (3 * FOOT, "yd|yard|yards"), (F(1), "m|metre|metres|meter|meters|metro|metros"),
        (F(1, 100), "cm|centimetre|centimetres|centimeter|centimeters|centímetro|centímetros"),
        (F(1, 1000), "mm|millimetre|millimetres|millimeter|millimeters|milímetro|milímetros"),
        (F(1, 10**6), "um|micron|microns|micra|micras"), (F(1000), "km"), (INCH / 1000, "mil|mils"),
    ),
    "pressure": _kind(
        "psi", "bar", ("1000 psi", "70 bar"),
        (PSI, "psi|psig"), (F(10**5), "bar|barg"), (F(1000), "kPa"), (F(10**6), "MPa"), (F(1), "Pa"),
        (F(100), "hPa|mbar"),
    ),
    "flow": _kind(
        "gpm", "L/h", ("0.029 gpm", "6.6 L/h"),
        (GALLON / 60, "gpm|gal/min|gallons/minute"), (GALLON / HOUR, "gph|gal/h|gal/hr|gallons/hour"),
        (LITRE / HOUR, "L/h|l/hr|lph|litros/h"), (LITRE / 60, "L/min|lpm|litros/min"), (LITRE, "L/s"),
        (F(1, 60 * 10**6), "mL/min"), (F(1, HOUR), "m3/h|m³/h"), (F(1), "m3/s"),
    ),
    "speed": _kind(
        "mph", "m/s", ("8 mph", "3.5 m/s"),
        (5280 * FOOT / HOUR, "mph|mi/h|miles/hour"), (F(1), "m/s"), (F(1000, HOUR), "km/h|kph"),
        (F(1852, HOUR), "kn|kt|knot|knots"), (FOOT, "ft/s|fps"), (FOOT / 60, "ft/min|fpm"),
    ),
    "power": _kind(
        "hp", "W", ("1 hp", "750 W"),
        (550 * FOOT * POUND * GRAVITY, "hp"), (F(1), "W|watt|watts"), (F(1000), "kW"),
    ),
    "mass": _kind(
        "lb", "kg", ("4 lb", "2 kg"), (POUND, "lb"), (POUND / 16, "oz"), (F(1), "kg"), (F(1, 1000), "g")
    ),
    "voltage": _kind("V", "V", ("115 V", "230 V"), (F(1), "V|volt|volts|voltios")),
    "share": _kind("%", "%", ("50 %", "14 %"), (F(1, 100), "%|percent|pct")),
    "concentration": _kind(
        "mg/L", "mg/L", ("180 mg/L", "10 gpg"),
        (F(1, 1000), "mg/L|ppm|g/m3"), (F(1), "g/L|kg/m3"),
        (F("64.79891e-6") / GALLON, "gpg|gr/gal|grains/gallon"),
    ),
    "angle": _kind("deg", "deg", ("90 deg", "90 deg"), (DEGREE, "deg|degree|degrees"), (F(1), "rad")),
    "temperature": _kind(
        "degF", "degC", ("105 degF", "40 degC"),
        (FAHRENHEIT, "degF|F|fahrenheit|deg f"), (F(1), "degC|C|celsius|deg c"), (F(1), "K|kelvin"),
    ),
    "temperature_difference": _kind(
        "degF", "K", ("10 degF", "5 K"),
        (FAHRENHEIT, "degF|F|deg f"), (F(1), "K|degC|C|deg c"),
    ),
    "area": _kind("sq ft", "m2", ("100 sq ft", "9.3 m2"), (FOOT**2, "sq ft|ft2"), (F(1), "m2|m²|sq m")),
    "volume": _kind(
        "gal", "L", ("5 gal", "20 L"),
        (GALLON, "gal|gallon|gallons"), (LITRE, "L|litre|litres|liter|liters"), (LITRE / 1000, "mL"),
        (F(1), "m3|m³"), (FOOT**3, "ft3|cu ft"),
    ),
    "energy": _kind(
        "kWh", "kWh", ("1 kWh", "3.6 MJ"),
        (KWH, "kWh"), (1000 * KWH, "MWh"), (F(10**6), "MJ"), (F(1), "J"),
    ),
    "duration": _kind(
        "min", "min", ("15 min", "2 h"),
        (F(1), "s|sec|second|seconds"), (F(60), "min|minute|minutes"), (F(HOUR), "h|hr|hour|hours"),
        (F(24 * HOUR), "d|day|days"),
    ),
}  # fmt: skip
ZERO_FAHRENHEIT = F("459.67") * FAHRENHEIT
ZERO_CELSIUS = F("273.15")
COMPOUND = {  # kinds with a grammar of their own; the pair are examples, US then metric
    "slope": ("1/8 in per ft", "10 mm per m"),
    "price_volume": ("7.50 per 1000 gal", "2.00 per m3"),
    "price_energy": ("0.16 per kWh", "0.16 per kWh"),
    "price_length": ("4.20 per ft", "14 per m"),
    "price_each": ("6 each", "6 each"),
    "price_month": ("7.50 a month", "7.50 a month"),
    "clock": ("14:00", "2:30 pm"),
}
PER = {"price_volume": "volume", "price_energy": "energy", "price_length": "length"}


def unit_key(unit: str) -> str:
    """A unit as it is looked up: small letters, "per" as "/", no idle spaces."""
    unit = re.sub(r"\s*(?:/|\bper\b)\s*", "/", unit.casefold().strip().rstrip("."))
    return re.sub(r"^deg (?=[fc]$)", "deg", unit)


FACTORS = {
    kind: {unit_key(name): factor for name, factor in row.units.items()} for kind, row in KINDS.items()
}


def zero(unit: str) -> F:
    """Kelvin at the zero of a temperature scale."""
    key = unit_key(unit)
    return ZERO_FAHRENHEIT if "f" in key else F(0) if key[0] == "k" else ZERO_CELSIUS


def to_si(value: Any, unit: str, kind: str) -> Any:
    """A number or an array of numbers of a unit, in SI: to_si(20.0, "psi", "pressure")."""
    size, start = float(FACTORS[kind][unit_key(unit)]), zero(unit) if kind == "temperature" else 0
    return value * size + float(start)


def from_si(value: Any, unit: str, kind: str) -> Any:
    """The other way: how many of a unit an SI value is."""
    size, start = float(FACTORS[kind][unit_key(unit)]), zero(unit) if kind == "temperature" else 0
    return (value - float(start)) / size


def degree_of(system: System) -> float:
    """A degree of difference as people read it [K]."""
    return float(FAHRENHEIT) if system == "us" else 1.0


def first_spelling(unit: str, kind: str) -> str:
    """The way we write a unit someone wrote otherwise: feet -> ft."""
    factor = FACTORS[kind][unit_key(unit)]
    return next(name for name, other in KINDS[kind].units.items() if other == factor)


def examples(kind: str) -> tuple[str, str]:
    """Two right spellings of a kind, US and metric, for someone who wrote a wrong one."""
    return COMPOUND[kind] if kind in COMPOUND else KINDS[kind].examples
