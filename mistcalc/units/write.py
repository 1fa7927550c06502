"""SI to text: `spell` for files (reads back to the last digit), `show` and `tape` for the eye (rounded)."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from decimal import Context, Decimal
from fractions import Fraction as F
from functools import lru_cache
from typing import Literal

from mistcalc.errors import InputError, RangeError
from mistcalc.units.read import QUANTITY, parse, price, tidy
from mistcalc.units.table import (
    COMPOUND,
    FACTORS,
    FOOT,
    INCH,
    KINDS,
    PER,
    System,
    first_spelling,
    unit_key,
    zero,
)

_UNREAD = Decimal("1e-14")  # a share no float holds
_PER_COUNT = {"price_each": "each", "price_month": "a month"}

# ------------------------------------------------------------------ writing so that it reads back


def spell(value: float, kind: str, system: System, like: str | None = None) -> str:
    """The spelling for a project file: `parse(spell(value, kind, system), kind) == value`, exactly.

    `like` is an older spelling whose unit is kept ("35 in" stays in inches). Values on a tape's grid come
    out short ("9 ft 6-1/2 in"); a value off any grid gets the digits it needs (see `on_grid`). Raises
    RangeError for what cannot be written: not finite, or a clock time between minutes.
    """
    value = _finite(value, kind)
    size = F(abs(value))
    sign = "-" if value < 0 else ""
    if kind == "length":
        tries = _length_spellings(size, system, like)
    elif kind == "clock":
        tries = iter((f"{int(size)}:{round(size % 1 * 60):02d}",))
    elif kind in _PER_COUNT:
        tries = (f"{digits} {_PER_COUNT[kind]}" for digits in _digits(size))
    elif kind == "slope":
        of, per = (F(1, 12), "in per ft") if system == "us" else (F(1, 1000), "mm per m")
        tries = (f"{number} {per}" for number in (*_mixed(size / of, 16), *_digits(size / of)))
    elif kind in PER:
        new = COMPOUND[kind][0 if system == "us" else 1]
        per = re.split(r"/|\bper\b", like or new, flags=re.I)[-1].strip()
        unit_price = price(f"1/{per}", per, kind)
        tries = (f"{digits} per {per}" for digits in _digits(size / unit_price))
    else:
        unit = _unit_of(like, kind) or (KINDS[kind].us if system == "us" else KINDS[kind].metric)
        shift = zero(unit) if kind == "temperature" else F(0)
        in_unit = (F(value) - shift) / FACTORS[kind][unit_key(unit)]
        sign = "-" if in_unit < 0 else ""
        tries = (f"{digits} {unit}" for digits in _digits(abs(in_unit), 10_000 if shift else 0))
    for text in tries:
        if _reads_as(sign + text, kind, value):
            return sign + text
    raise RangeError(kind, value, -math.inf, math.inf, "")


def _reads_as(text: str, kind: str, value: float) -> bool:
    try:
        return parse(text, kind) == value
    except InputError:  # too long, or an exponent of three digits: no file holds such a value
        return False


@lru_cache(maxsize=1024)  # fractions are slow, and lines that differ little ask for the same lengths
def on_grid(metres: float, system: System, step: float | None = None) -> float:
    """The nearest length a tape shows, exactly as `parse` reads its spelling. `step` in metres; without it
    1/8 in or 5 mm. Use it on every length a mouse or a sum has made before it goes into a Project."""
    grid = F(str(step)) if step is not None else INCH / 8 if system == "us" else F(5, 1000)
    return float(_nearest(F(_finite(metres, "length")), grid) * grid)


def _finite(value: float, kind: str) -> float:
    value = float(value)
    if not math.isfinite(value):
        raise RangeError(kind, value, -math.inf, math.inf, "")
    return value


def _nearest(value: F, step: F) -> int:
    """Steps in a value, halves away from zero. A float within 1e-9 of a half counts as one."""
    steps = math.floor(abs(value) / step + F(1, 2) + F(1, 10**9))
    return -steps if value < 0 else steps


def _digits(value: F, beside: int = 0) -> Iterator[str]:
    """A value >= 0 with 1, 2, ... significant digits, but such as could not read back: a float has sixteen.
    Eighteen always pin it. beside: what is added to it on reading, which takes of its digits."""
    over, under = Decimal(value.numerator), Decimal(value.denominator)
    near = Context(prec=20).divide(over, under)
    for digits in range(1, 19):
        rounded = Context(prec=digits).divide(over, under)
        if abs(rounded - near) > max(near, Decimal(beside)) * _UNREAD:
            continue
        plain = f"{rounded:f}"
        plain = plain.rstrip("0").rstrip(".") if "." in plain else plain
        yield plain if len(plain) < 30 else f"{rounded:e}"


def _mixed(value: F, parts: int) -> tuple[str, ...]:
    """Whole and fraction as a tape is read, "6-1/2", or nothing where the value is off that grid by 1e-9."""
    steps = _nearest(value, F(1, parts))
    if abs(value * parts - steps) > F(1, 10**9):
        return ()
    return (_fraction(F(steps, parts), "-"),)


def _fraction(value: F, joint: str) -> str:
    whole, part = divmod(value, 1)
    if not part:
        return f"{whole}"
    return f"{whole}{joint}{part}" if whole else f"{part}"


def _length_spellings(size: F, system: System, like: str | None) -> Iterator[str]:
    unit = _unit_of(like, "length")
    if unit is None and system == "metric":
        unit = "m" if size >= 10 else "mm"
    decimal = like is not None and "." in tidy(like)
    if unit in (None, "ft", "in") and not decimal:
        for inches in _mixed(size / INCH, 16):
            if unit == "in" or size < FOOT:
                yield f"{inches} in"
            feet, rest = divmod(F(_nearest(size / INCH, F(1, 16)), 16), 12)
            yield f"{feet} ft" + (f" {_fraction(rest, '-')} in" if rest else "")
    unit = unit or "in"
    yield from (f"{digits} {unit}" for digits in _digits(size / FACTORS["length"][unit_key(unit)]))


def _unit_of(like: str | None, kind: str) -> str | None:
    """The unit of an older spelling; None where it has none or two (feet and inches)."""
    match = QUANTITY.fullmatch(tidy(like)) if like else None
    unit = (match["unit"] or "") if match else ""
    return first_spelling(unit, kind) if unit_key(unit) in FACTORS[kind] else None


# ------------------------------------------------------------------ for the eye

# kind -> rows for US and for metric: below this many (of the unit), unit, what to print, round to.
# Rounded to 0 means three significant digits.
_ANY = math.inf
Rows = tuple[tuple[float, str, str, float], ...]
_SI_POWER: Rows = ((1000, "W", "W", 1), (_ANY, "kW", "kW", 0))
_TIME: Rows = ((90, "s", "s", 1), (90, "min", "min", 1), (_ANY, "h", "h", 0))
_SHOWN: dict[str, tuple[Rows, Rows]] = {
    "length": ((), ((3000, "mm", "mm", 1), (_ANY, "m", "m", 0.01))),
    "bore": (((_ANY, "in", "in", 0.001),), ((_ANY, "mm", "mm", 0.01),)),
    "drop_size": (((_ANY, "um", "µm", 1),), ((_ANY, "um", "µm", 1),)),
    "pressure": (((100, "psi", "psi", 1), (_ANY, "psi", "psi", 5)),
                 ((10, "bar", "bar", 0.05), (_ANY, "bar", "bar", 0.5))),
    "flow": (((1.2, "gph", "gph", 0), (_ANY, "gpm", "gpm", 0)),
             ((30, "L/h", "L/h", 0), (_ANY, "L/min", "L/min", 0))),
    "speed": (((10, "mph", "mph", 0.5), (_ANY, "mph", "mph", 1)), ((_ANY, "m/s", "m/s", 0.1),)),
    "power": (_SI_POWER, _SI_POWER),
    "motor": (((_ANY, "hp", "hp", 0),), _SI_POWER),
    "voltage": (((_ANY, "V", "V", 1),), ((_ANY, "V", "V", 1),)),
    "share": (((10, "%", "%", 0.1), (_ANY, "%", "%", 1)), ((10, "%", "%", 0.1), (_ANY, "%", "%", 1))),
    "concentration": (((_ANY, "mg/L", "mg/L", 1),), ((_ANY, "mg/L", "mg/L", 1),)),
    "angle": (((_ANY, "deg", "deg", 1),), ((_ANY, "deg", "deg", 1),)),
    "temperature": (((_ANY, "degF", "°F", 1),), ((_ANY, "degC", "°C", 1),)),
    "temperature_difference": (((_ANY, "degF", "°F", 1),), ((_ANY, "K", "°C", 0.5),)),
    "area": (((_ANY, "sq ft", "sq ft", 1),), ((_ANY, "m2", "m²", 0.1),)),
    "volume": (((_ANY, "gal", "gal", 0),), ((1000, "mL", "mL", 1), (_ANY, "L", "L", 0))),
    "energy": (((_ANY, "kWh", "kWh", 0),), ((_ANY, "kWh", "kWh", 0),)),
    "duration": (_TIME, _TIME),
}  # fmt: skip
_TABLE_OF = {"bore": "length", "drop_size": "length", "motor": "power"}  # kinds that only look different


def show(value: float, kind: str, system: System, like: float | None = None) -> str:
    """A value for people, rounded to what they can use: "995 psi", "0.029 gpm", "102 °F", "9 ft 6-1/2 in".

    Kinds as for `parse`, and bore, drop_size, motor (a shaft power). like: a value beside it whose unit it
    takes, where one kind has several by size. Raises RangeError if not finite.
    """
    value = _finite(value, kind)
    if kind == "length" and system == "us":
        return tape(value, "us", "words")
    if kind == "clock":
        return _show_clock(value, system)
    if kind == "motor" and system == "us" and (size := _horsepower(value)):
        return size
    if kind == "bore" and system == "us" and (size := _tube_size(value)):
        return size
    if kind == "slope":
        sixteenths = F(_nearest(F(value) * 12, F(1, 16)), 16)
        return f"{_fraction(sixteenths, '-')} in per ft" if system == "us" else f"{value * 1000:.0f} mm per m"
    if kind in _PER_COUNT:
        return f"{value:.2f} {_PER_COUNT[kind]}"
    if kind in PER:
        per = COMPOUND[kind][0 if system == "us" else 1].split(" per ")[1]
        return f"{value * float(1 / price(f'1/{per}', per, kind)):.2f} per {per}"
    number, label = _shown(value, kind, system, value if like is None else like)
    return f"{number} {label}"


def _horsepower(watts: float) -> str:
    """A motor's size as it is sold, "1/3 hp"; nothing where it is none of those."""
    power = F(watts) / FACTORS["power"]["hp"]
    sizes = (F(1, 6), F(1, 4), F(1, 3), F(1, 2), F(3, 4), F(3, 2), F(15, 2))
    return next((f"{_fraction(size, '-')} hp" for size in sizes if abs(power / size - 1) < F(1, 200)), "")


def _tube_size(metres: float) -> str:
    """A size of tube as it is asked for, "3/8 in"; nothing where it is no whole sixteenth from 1/8 in up."""
    inches = F(metres) / INCH
    sixteenths = F(_nearest(inches, F(1, 16)), 16)
    near = abs(inches - sixteenths) < F(1, 10_000)
    return f"{_fraction(sixteenths, '-')} in" if near and sixteenths >= F(1, 8) else ""


def as_shown(value: float, kind: str, system: System) -> float:
    """A value rounded as `show` writes it, in SI: what a reader takes for it, to set against another."""
    number, _, shift, size = _in_its_unit(_finite(value, kind), kind, system, value)
    return float(number) * size + shift


def _shown(value: float, kind: str, system: System, like: float) -> tuple[str, str]:
    number, label, _, _ = _in_its_unit(value, kind, system, like)
    return grouped(number, system), label


def _in_its_unit(value: float, kind: str, system: System, like: float) -> tuple[str, str, float, float]:
    """The number shown, its unit, and the zero and the size of that [SI]."""
    table = FACTORS[_TABLE_OF.get(kind, kind)]
    for below, unit, label, step in _SHOWN[kind][0 if system == "us" else 1]:
        shift, size = float(zero(unit)) if kind == "temperature" else 0.0, float(table[unit_key(unit)])
        if abs(float(_rounded((like - shift) / size, step))) < below:
            return _rounded((value - shift) / size, step), label, shift, size
    raise AssertionError(kind)  # every last row is open


def grouped(text: str, system: System) -> str:
    """A plain number with its thousands parted: 1,000 in US units; 12 345 in metric, where a comma is read as
    the decimal sign, four digits stay together (ISO 80000-1, 7.3.1, from memory) and no line ends within."""
    whole, point, rest = text.partition(".")
    if system == "us" and len(whole) > 3:
        whole = f"{int(whole):,}"
    elif system == "metric" and len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", "\N{NO-BREAK SPACE}")
    return f"{whole}{point}{rest}"


# Signs of a unit that follow a number, and what a number follows: "DU 100 %", "6 psi", "1 in"; a fraction
# ("20'-11" at the end of a line would be read without its 1/2); inches after feet.
_APART = re.compile(
    r"(?<=\d) (?=(?:psi|bar|gpm|gal|in|ft|hp|kW|W|V|A|mm|m|mg/L|L/h|L/min|L|mL/min|mL|mph|m/s|ft/s|kg|g"
    r"|lb|oz|h|min|s|µm|m²|sq ft)\b|%|°|\d{1,2}/\d{1,2}\b)"
    r"|(?<=\d ft) (?=\d+(?:-\d+/\d+)? in\b)"
)


def with_no_break_spaces(text: str) -> str:
    """A sentence in which no line ends between a number and its unit or its fraction."""
    return _APART.sub("\N{NO-BREAK SPACE}", text)


def _rounded(number: float, step: float) -> str:
    """Rounded to a step (0: three significant digits), without idle zeros."""
    if step == 0:
        step = 10.0 ** (math.floor(math.log10(abs(number))) - 2) if number else 1.0
    places = max(0, -math.floor(math.log10(step)))
    text = f"{_nearest(F(number), F(str(step))) * step:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _show_clock(hours: float, system: System) -> str:
    minutes = _nearest(F(hours), F(1, 60))
    hour, minute = divmod(minutes, 60)
    if system == "metric":
        return f"{hour}:{minute:02d}"
    half = "am" if hour % 24 < 12 else "pm"
    return f"{hour % 12 or 12}{f':{minute:02d}' if minute else ''} {half}"


COMPASS_POINTS = ("north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest")


def compass_point(angle: float) -> str:
    """The nearest of eight points of the compass, a key of `words`. angle: rad clockwise from north."""
    return COMPASS_POINTS[round(angle / (math.pi / 4)) % len(COMPASS_POINTS)]


@lru_cache(maxsize=4096)
def tape(metres: float, system: System, style: Literal["paper", "words"] = "paper", parts: int = 8) -> str:
    """A distance as a tape shows it, to the nearest 1/8 in (or of other `parts`) or 1 mm.

    paper: 2'-11 1/4", 0'-6", 895 mm (feet always). words: 2 ft 11-1/4 in, 15 in, 895 mm (no feet below two).
    """
    metres = _finite(metres, "length")
    if system == "metric":
        return f"{millimetres(metres)} mm"
    steps = _nearest(F(metres) / INCH, F(1, parts))
    sign, total = "-" if steps < 0 else "", F(abs(steps), parts)
    feet, rest = divmod(total, 12)
    if style == "paper":
        whole, part = divmod(rest, 1)
        return f"{sign}{feet}'-{whole}{f' {part}' if part else ''}\""
    if total < 24:
        return f"{sign}{_fraction(total, '-')} in"
    return f"{sign}{feet} ft" + (f" {_fraction(rest, '-')} in" if rest else "")


@lru_cache(maxsize=4096)
def spoken_length(metres: float, system: System) -> str:
    """A distance as `tape` has it, its units in whole words for who listens: 2 feet 11 and 1/4 inches,
    895 millimeters. Words of a language are put in by `words`."""
    metres = _finite(metres, "length")
    if system == "metric":
        count = millimetres(metres)
        return f"{count} {'millimeter' if count in ('1', '-1') else 'millimeters'}"
    steps = _nearest(F(metres) / INCH, F(1, 8))
    feet, rest = divmod(F(abs(steps), 8), 12)
    whole, part = divmod(rest, 1)
    pieces = [f"{feet} {'foot' if feet == 1 else 'feet'}"] if feet else []
    if rest or not feet:
        number = f"{whole} and {part}" if whole and part else f"{part or whole}"
        pieces.append(f"{number} {'inch' if rest == 1 or (not whole and part) else 'inches'}")
    return ("-" if steps < 0 else "") + " ".join(pieces)


def inches(metres: float) -> str:
    """Total inches to the nearest 1/8, as a second check column: 35 1/4."""
    eighths = _nearest(F(_finite(metres, "length")) / INCH, F(1, 8))
    return ("-" if eighths < 0 else "") + _fraction(F(abs(eighths), 8), " ")


def millimetres(metres: float) -> str:
    """Whole millimetres: 895."""
    return str(_nearest(F(_finite(metres, "length")), F(1, 1000)))
