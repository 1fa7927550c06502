"""Text to SI: what a person wrote, read once and exactly."""

from __future__ import annotations

import difflib
import math
import re
from fractions import Fraction as F
from functools import lru_cache
from typing import Any

from mistcalc.errors import InputError
from mistcalc.units.table import COMPOUND, FACTORS, FOOT, INCH, KINDS, PER, System, examples, unit_key, zero

LONGEST = 60  # characters of one value
_PLAIN = r"(?:(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2}(?![0-9]))?"
_NUMBER = rf"(?:[0-9]+(?:\s*-\s*|\s+)[0-9]+/[0-9]+|[0-9]+/[0-9]+|{_PLAIN})"
QUANTITY = re.compile(rf"(?P<sign>[+-]?)\s*(?P<number>{_NUMBER})\s*(?P<unit>[^0-9\s.,+-].*)?")
# A large unit and a small one. Without its unit a number behind feet is inches, one of two figures behind
# meters centimeters ("3 m 5" may be 3.05 or 3.5); "3 ft2" and "3 m2" are areas.
_FEET_INCHES = re.compile(
    rf"(?P<sign>[+-]?)\s*(?P<large>[0-9]+)\s*(?:ft|foot|feet|pies?)(?![23]$)\s*-?\s*(?P<small>{_NUMBER})"
    r"\s*(?:in|inch|inches|pulgadas?)?",
    re.I,
)
_METERS_AND = r"(?P<sign>[+-]?)\s*(?P<large>[0-9]+)\s*(?:m|met(?:re|er|ro)s?)\s*-?\s*(?P<small>"
_METERS_CENTIMETERS = re.compile(
    rf"{_METERS_AND}(?:{_PLAIN}(?=\s*c)|[0-9]{{2}}(?![0-9])(?:\.[0-9]*)?))\s*(?:cm|cent[ií]met(?:re|er|ro)s?)?",
    re.I,
)
_METERS_MILLIMETERS = re.compile(rf"{_METERS_AND}{_PLAIN})\s*(?:mm|mill?[ií]met(?:re|er|ro)s?)", re.I)
_METERS_AND_ONE = re.compile(rf"{_METERS_AND}[0-9])(?<!m[23])", re.I)
_TWO_UNITS = (
    (_FEET_INCHES, FOOT, INCH),
    (_METERS_CENTIMETERS, F(1), F(1, 100)),
    (_METERS_MILLIMETERS, F(1), F(1, 1000)),
)
_DECIMAL_COMMA = re.compile(r"(?<![0-9,])(?:0|[0-9]{4,}),[0-9]+|(?<![0-9])[0-9]+,(?![0-9]{3}(?![0-9]))[0-9]+")
_PRICE = re.compile(rf"[$€£]?\s*(?P<price>{_NUMBER})\s*/\s*(?P<count>{_NUMBER})?\s*(?P<unit>[^0-9].*)")
_PER_COUNT = {"price_each": r"each|ea", "price_month": r"(?:a|per|/)\s*month"}
_CLOCK = re.compile(r"(?P<hour>[0-9]{1,2})(?::(?P<minute>[0-9]{2})(?::00)?)?\s*(?P<half>am|pm)?", re.I)
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SAME = str.maketrans({
    "′": "'", "’": "'", "″": '"', "”": '"', "“": '"', "⁄": "/", "−": "-", "–": "-", "µ": "u", "μ": "u",
    "°": " deg ", "º": " deg ", "℉": "degF", "℃": "degC",
    "\N{NO-BREAK SPACE}": " ", "\N{NARROW NO-BREAK SPACE}": " ", "\N{THIN SPACE}": " ",
})  # fmt: skip


def parse(text: object, kind: str) -> float:
    """Value in SI of what a person wrote, for example parse("9 ft 6-1/2 in", "length") = 2.9083.

    `kind` is a key of KINDS, or slope (fall over length), price_volume, price_energy, price_length,
    price_each, price_month (currency per m3, J, m, piece, month) or clock (hours, 0 to 24). A bare number
    is refused for every kind. Raises InputError, with what to write instead among its values.
    """
    return _parse(_checked(text, kind), kind)


@lru_cache(maxsize=4096)
def _parse(text: str, kind: str) -> float:
    tidied = tidy(text)
    _refuse_numbers(tidied, text, kind)
    if kind in PER:
        return float(price(tidied, text, kind))
    if kind in _PER_COUNT:
        return float(_per_count(tidied, text, kind))
    if kind == "slope":
        return float(_slope(tidied, text))
    if kind == "clock":
        return float(_clock(tidied, text))
    if kind == "length":
        tidied = re.sub(r"''|\"", " in ", tidied).replace("'", " ft ").strip()
        tidied = re.sub(r"\s+", " ", tidied)
        for pattern, large, small in _TWO_UNITS:
            if match := pattern.fullmatch(tidied):
                return float(_in_two_units(match, text, large, small))
        if match := _METERS_AND_ONE.fullmatch(tidied):
            tenths, hundredths = (
                f"{match['sign']}{match['large']}.{zero}{match['small']} m" for zero in ("", "0")
            )
            raise _wrong("meters-which", text, kind, tenths=tenths, hundredths=hundredths)
    return float(_quantity(tidied, text, kind))


def tidy(text: str) -> str:
    """The same words with plain signs: primes, fraction characters, degree and micro signs, odd spaces."""
    tidied = text.translate(_SAME)
    for sign, plain in _VULGAR.items():
        tidied = tidied.replace(sign, f" {plain}")
    return re.sub(r"\s+", " ", tidied).strip().rstrip(".")


def with_points(text: str) -> str:
    """The same with points for commas that can only be decimal ones: "2,9 m" is, "1,200 psi" is not."""
    return _DECIMAL_COMMA.sub(lambda comma: comma[0].replace(",", "."), text)


def _checked(text: object, kind: str) -> str:
    """Text short enough to read; a number without quotes is a bare number."""
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        if isinstance(text, int) and abs(text) >= 10**LONGEST:
            raise _wrong("number-out-of-reach", "", kind)
        number = str(text)
        if number.strip("-") in ("inf", "nan"):
            raise _wrong("number-not-finite", number, kind)
        raise _bare(number, kind)
    if not isinstance(text, str):
        raise _wrong("quantity-not-text", type(text).__name__, kind)
    if len(text) > LONGEST:
        raise _wrong("quantity-too-long", text[:20] + "...", kind, longest=LONGEST)
    return text


def _refuse_numbers(tidied: str, text: str, kind: str) -> None:
    """Numbers that look right and are not: no number at all, out of reach, over zero, decimal comma."""
    if re.search(r"\b(nan|inf|infinity)\b", tidied, re.I):
        raise _wrong("number-not-finite", text, kind)
    if re.search(r"[0-9][eE][+-]?[0-9]{3,}", tidied):
        raise _wrong("number-out-of-reach", text, kind)
    if re.search(r"/ *0+(?![0-9.])", tidied):
        raise _wrong("fraction-over-zero", text, kind)
    if _DECIMAL_COMMA.search(tidied):
        raise _wrong("decimal-comma", text, kind, instead=with_points(text))


def _wrong(code: str, text: str, kind: str, **values: object) -> InputError:
    us, metric = examples(kind)
    named: dict[str, Any] = {"text": text, "kind": kind, "us": us, "metric": metric, **values}
    return InputError(code, **{name: printable(value) for name, value in named.items()})


def printable(value: Any) -> Any:
    """Text without the control characters that could move a terminal's cursor; other values as they are."""
    return "".join(c if c.isprintable() else " " for c in value) if isinstance(value, str) else value


def _bare(number: str, kind: str) -> InputError:
    us, metric = _with_units(number, kind)
    return _wrong("unit-missing", number, kind, us=us, metric=metric)


def _with_units(number: str, kind: str) -> tuple[str, str]:
    """A bare number as it could have been written: 38 -> 38 ft, 38 m."""
    us, metric = examples(kind)
    if kind == "clock":
        return us, metric
    if kind == "length":
        return f"{number} ft", f"{number} m"
    if kind in COMPOUND:
        return f"{number} {us.split(' ', 1)[1]}", f"{number} {metric.split(' ', 1)[1]}"
    return f"{number} {KINDS[kind].us}", f"{number} {KINDS[kind].metric}"


def _number(text: str) -> F:
    if mixed := re.fullmatch(r"([0-9]+)[\s-]+([0-9]+/[0-9]+)", text):
        return int(mixed[1]) + F(mixed[2])
    return F(text if "/" in text else text.replace(",", ""))


def _factor(unit: str, text: str, kind: str, of: str | None = None) -> F:
    """Factor of a unit; `of` is the kind of a unit inside a price or slope of `kind`."""
    known = FACTORS[of or kind]
    if (key := unit_key(unit)) in known:
        return known[key]
    others = [other for other, row in FACTORS.items() if key in row]
    if others:
        raise _wrong("unit-of-other-kind", text, kind, unit=unit, other=others[0])
    near = difflib.get_close_matches(key, known, 1)
    raise _wrong("unit-unknown", text, kind, unit=unit, nearest=near[0] if near else "")


def _quantity(tidied: str, text: str, kind: str) -> F:
    match = QUANTITY.fullmatch(tidied)
    if not match:
        raise _wrong("quantity-unreadable", text, kind)
    number = _number(match["number"]) * (-1 if match["sign"] == "-" else 1)
    if not match["unit"]:
        raise _bare(text.strip(), kind)
    factor = _factor(match["unit"], text, kind)
    if kind != "temperature":
        return number * factor
    return number * factor + zero(match["unit"])


def _in_two_units(match: re.Match[str], text: str, large: F, small: F) -> F:
    rest = _number(match["small"]) * small
    if rest >= large:
        raise _wrong("inches-over-twelve" if large == FOOT else "meter-over", text, "length")
    length = int(match["large"]) * large + rest
    return -length if match["sign"] == "-" else length


def price(tidied: str, text: str, kind: str) -> F:
    """Price per SI unit (m3, J, m), exact."""
    match = _PRICE.fullmatch(re.sub(r"\s*\bper\b\s*", "/", tidied, flags=re.I))
    if not match:
        bare = re.fullmatch(rf"[$€£]?\s*({_NUMBER})", tidied)
        if bare:
            raise _bare(bare[1], kind)
        raise _wrong("quantity-unreadable", text, kind)
    of = _number(match["count"] or "1") * _factor(match["unit"], text, kind, PER[kind])
    if not of:
        raise _wrong("fraction-over-zero", text, kind)
    return _number(match["price"]) / of


def _per_count(tidied: str, text: str, kind: str) -> F:
    match = re.fullmatch(rf"[$€£]?\s*({_NUMBER})\s*({_PER_COUNT[kind]})?", tidied, re.I)
    if not match:
        raise _wrong("quantity-unreadable", text, kind)
    if not match[2]:
        raise _bare(match[1], kind)
    return _number(match[1])


def _slope(tidied: str, text: str) -> F:
    if match := re.fullmatch(rf"({_NUMBER})\s*%", tidied):
        return _number(match[1]) / 100
    if match := re.fullmatch(rf"({_NUMBER})(?: in |\s*:\s*)({_NUMBER})", tidied):
        return _ratio(_number(match[1]), _number(match[2]), text)
    pattern = rf"({_NUMBER})\s*([a-z]+)\s*(?:/|\bper\b)\s*({_NUMBER})?\s*([a-z]+)"
    if match := re.fullmatch(pattern, tidied, re.I):
        rise = _number(match[1]) * _factor(match[2], text, "slope", "length")
        return _ratio(rise, _number(match[3] or "1") * _factor(match[4], text, "slope", "length"), text)
    if re.fullmatch(_NUMBER, tidied):
        raise _bare(tidied, "slope")
    raise _wrong("quantity-unreadable", text, "slope")


def _ratio(rise: F, over: F, text: str) -> F:
    if not over:
        raise _wrong("fraction-over-zero", text, "slope")
    return rise / over


def _clock(tidied: str, text: str) -> F:
    match = _CLOCK.fullmatch(tidied)
    if not match or not (match["minute"] or match["half"]):
        raise _wrong("quantity-unreadable", text, "clock")
    hour, minute, half = int(match["hour"]), int(match["minute"] or 0), (match["half"] or "").casefold()
    if half:
        if not 1 <= hour <= 12:
            raise _wrong("quantity-unreadable", text, "clock")
        hour = hour % 12 + (12 if half == "pm" else 0)
    if minute > 59 or hour * 60 + minute > 24 * 60:
        raise _wrong("clock-out-of-day", text, "clock")
    return hour + F(minute, 60)


# What is tried, likeliest first; of other kinds the one unit we write.
_TRIED: dict[tuple[str, System], tuple[str, ...]] = {
    ("length", "us"): ("in", "ft", "um"), ("length", "metric"): ("mm", "cm", "m", "um"),
    ("flow", "us"): ("gpm", "gph"), ("flow", "metric"): ("L/h", "L/min"),
}  # fmt: skip


def with_likely_unit(
    number: str, kind: str, system: System, usual: float, low: float, high: float
) -> str | None:
    """`number` with the unit that brings it nearest to `usual` within low..high (SI); None: none does.

    kind: a key of KINDS.
    """
    row = KINDS[kind]
    candidates: list[tuple[float, str]] = []
    for unit in _TRIED.get((kind, system), (row.us if system == "us" else row.metric,)):
        try:
            value = parse(f"{number} {unit}", kind)
        except InputError:
            continue
        if low <= value <= high:
            ratio = abs(value / usual) if value and usual else 1.0
            candidates.append((abs(math.log(ratio)), f"{number} {unit}"))
    return min(candidates, key=lambda one: one[0])[1] if candidates else None


def parse_beside(text: str, kind: str, system: System, beside: object) -> Any:
    """As `parse`; a bare number is offered with the unit that brings it nearest to a value (SI) beside it."""
    try:
        return parse(text, kind)
    except InputError as wrong:
        if wrong.code != "unit-missing" or not isinstance(beside, float) or kind not in KINDS:
            raise
        likely = with_likely_unit(text.strip(), kind, system, beside, -math.inf, math.inf)
        raise InputError(wrong.code, **wrong.placeless | {"us": likely, "metric": likely}) from None
