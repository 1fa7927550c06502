"""Numbers as people read them, with their units: the one place where a door's figures are rounded.

What is a word among them ("per", "am") is put into a language by `sentences.number`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from mistcalc import units as table
from mistcalc.units import System

MILE = table.parse("5280 ft", "length")  # m
ML = table.parse("1 mL", "volume")  # m3


def figure(value: float, kind: str, units: System, like: float | None = None) -> str:
    """A finite value [SI] of a kind of ROUNDED or of `units`. like: a value beside it whose unit it takes."""
    return ROUNDED[kind](value, units) if kind in ROUNDED else table.show(value, kind, units, like)


def drop_told(ends: tuple[float, float], units: System) -> tuple[str, dict[str, object]]:
    """How a sentence says a range of temperature drop (K): cooler, warmer, or from one to the other; a key of
    [number] and its values."""
    low, high = ends
    first, last = (int(figure(end, "degrees", units)) for end in (low, high))
    if first == last == 0:
        return "hardly_cooler", {}
    if first < 0 < last:
        return "warmer_to_cooler", {"warmer": -first, "cooler": last}
    if first < 0:
        return "warmer", {"span": (max(-high, 0.0), -low)}
    return "cooler", {"span": (low, high)}


def at_most_told(drop: float, units: System) -> tuple[str, dict[str, object]]:
    """How a sentence says that half of a range of temperature drop lies under `drop` (K): as `drop_told`."""
    whole = int(figure(drop, "degrees", units))
    return "at_most_none" if whole < 0 else "at_most" if whole else "at_most_hardly", {"drop": drop}


def limit_side(name: str, values: Mapping[str, object]) -> str:
    """On which side of what is required what is provided lies, a key of [number]; "" where `name` is another
    value, or the two are one."""
    has, needs = values.get("provided"), values.get("required")
    if name != "provided" or not isinstance(has, float) or not isinstance(needs, float):
        return ""
    return "" if math.isclose(has, needs) else "just_under" if has < needs else "just_over"


def cents(value: float) -> Decimal:
    """Money to the cent, halves up, as bills print it; 26.12499999999999 is a half out of floats."""
    return Decimal(f"{value:.9f}").quantize(Decimal("0.01"), ROUND_HALF_UP)


def _psi(value: float) -> float:
    return float(table.from_si(value, "psi", "pressure"))


def _bar(value: float) -> float:
    return float(table.from_si(value, "bar", "pressure"))


def _thermometer(value: float, units: System) -> float:
    return float(table.from_si(value, "degF" if units == "us" else "degC", "temperature"))


def _two(value: float) -> str:
    """Two digits, whole numbers in full."""
    return f"{value:.2g}" if abs(value) < 99.5 else f"{value:.0f}"


def _price(value: float) -> str:
    """Two decimals, up to four where they tell something."""
    text = f"{value:.4f}"
    return text[:-2] + text[-2:].rstrip("0")


def _amps(value: float, units: System) -> str:
    """Rounded up: what must carry them may be larger, never smaller."""
    up = math.ceil(value * 10.0 - 1e-6) / 10.0 if value < 100.0 else math.ceil(value - 1e-6)
    return f"{up:g} A"


def _left_behind(mass: float, units: System) -> str:
    """To two digits, in the larger unit from one of it up: 0.67 oz, 3.9 lb; 19 g, 1.8 kg."""
    small, large = ("oz", "lb") if units == "us" else ("g", "kg")
    unit = small if table.from_si(mass, large, "mass") < 1.0 else large
    return f"{_two(table.from_si(mass, unit, 'mass'))} {unit}"


def _climb(metres: float, units: System) -> str:
    tens = 10 * round(table.from_si(metres, "ft", "length") / 10)
    return f"{table.grouped(str(tens), units)} ft" if units == "us" else f"{round(metres)} m"


def _rounded_up(metres: float, units: System) -> str:
    if units == "metric":
        return f"{math.ceil(10 * metres - 1e-6) / 10:.1f} m"
    feet, half = divmod(math.ceil(2 * table.from_si(metres, "ft", "length") - 1e-6), 2)
    return f"{feet} ft 6 in" if half else f"{feet} ft"


def _scale(scale: float, units: System) -> str:
    """As it stands under a drawing: 1/4" = 1'-0" (1:48), on an engineer's rule 1" = 20'-0" (1:240); 1:50."""
    inches = Fraction(12, round(scale))
    if units == "metric" or (32 % inches.denominator and round(scale) % 12):
        return f"1:{round(scale)}"
    whole, part = divmod(inches, 1)
    told = f"{whole}-{part}" if whole and part else f"{inches}"
    rule = f'{told}" = 1\'-0"' if 32 % inches.denominator == 0 else f'1" = {round(scale) // 12}\'-0"'
    return f"{rule} (1:{round(scale)})"


ROUNDED: dict[str, Callable[[float, System], str]] = {
    # feet and inches, always both: 2'-0"; millimetres in metric
    "tape": lambda v, units: table.tape(v, units),
    # the same to 1/16 in, as tube is sawn
    "sawn": lambda v, units: table.tape(v, units, parts=16),
    "sixteenths": lambda v, units: (
        table.tape(v, units, "words", 16) if units == "us" else table.show(v, "bore", units)
    ),
    # as it is read aloud, in words: 16 feet 7 and 1/4 inches
    "spoken": lambda v, units: table.spoken_length(v, units),
    # decimal inches, whole millimetres, whatever the system
    "inches": lambda v, units: table.inches(v),
    "mm": lambda v, units: table.millimetres(v),
    # inches alone, millimetres in metric: 24 in, 600 mm
    "one_unit": lambda v, units: f"{table.inches(v)} in" if units == "us" else f"{table.millimetres(v)} mm",
    # of a drawing
    "scale": _scale,
    # whole degrees without their sign: of a difference, on a thermometer
    "degrees": lambda v, units: f"{round(v / table.degree_of(units))}",
    "reading": lambda v, units: f"{round(_thermometer(v, units))}",
    "tenth": lambda v, units: f"{v / table.degree_of(units):.1f} °{'F' if units == 'us' else 'C'}",
    "amps": _amps,
    "ratio": lambda v, units: f"{v:.2g}",
    "whole": lambda v, units: table.grouped(str(round(v)), units),
    # pressure gained for a degree of warming, without the degree's sign; the same to two digits
    "by_degree": lambda v, units: (
        f"{_two(_psi(v * table.degree_of(units)))} psi" if units == "us" else f"{_two(_bar(v))} bar"
    ),
    # flow of one nozzle into a cup; a small volume; pressure lost for each millilitre
    "bucket": lambda v, units: f"{_two(table.from_si(v, 'mL/min', 'flow'))} mL/min",
    "ml": lambda v, units: f"{_two(table.from_si(v, 'mL', 'volume'))} mL",
    "per_ml": lambda v, units: f"{_two(_psi(v) * ML)} psi" if units == "us" else f"{_two(_bar(v) * ML)} bar",
    # an amount in cents; a price, which may be of less than a cent
    "money": lambda v, units: table.grouped(f"{cents(v)}", units),
    "price": lambda v, units: table.grouped(_price(v), units),
    "water_speed": lambda v, units: (
        f"{table.from_si(v, 'ft/s', 'speed'):.1f} ft/s" if units == "us" else f"{v:.1f} m/s"
    ),
    # a low gauge as far as its divisions can be read
    "dial": lambda v, units: f"{_psi(v):.1f} psi" if units == "us" else f"{_bar(v):.2f} bar",
    # a hole by the bit that drills it: 1-1/16 in, 28 mm; the bit sold that makes a hole of at least this
    "bit": lambda v, units: table.drill_size_text(v, units),
    "drill": lambda v, units: table.drill_size_text(table.drill_size_for(v, units), units),
    "dust": lambda v, units: _left_behind(v, units),
    # no finer than anyone can know: 7 ft, 2.1 m; 25 min, 4 h
    "rough_length": lambda v, units: (
        f"{round(table.from_si(v, 'ft', 'length'))} ft" if units == "us" else f"{v:.1f} m"
    ),
    # from here to there on earth, and how much higher: 62 miles, 300 ft
    "far": lambda v, units: (
        f"{v / MILE:.0f} miles" if units == "us" else f"{table.grouped(f'{v / 1000:.0f}', units)} km"
    ),
    "climb": lambda v, units: _climb(v, units),
    # what must be at least so long: up to the next half foot or tenth of a meter
    "up_length": lambda v, units: _rounded_up(v, units),
    # a height over the horizon
    "sun_height": lambda v, units: f"{round(table.from_si(v, 'deg', 'angle'))}°",
    "rough_time": lambda v, units: (
        f"{max(5 * round(v / 300), 5)} min" if v < 5400 else f"{round(v / 3600)} h"
    ),
}
