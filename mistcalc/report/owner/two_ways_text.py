"""Two ways to build the line, A beside B: what each is and takes, and what B is against A, in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from mistcalc import units
from mistcalc.model.results import Band, BuildOption, OptionLadder
from mistcalc.report.common.currency import money
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.options_text import HOUR, between, rows_change

Figure = Callable[[float], str]


@dataclass(frozen=True)
class TwoWaysRow:
    """`key` is of the words of its name, `cells` of A and of B. No difference: both read the same."""

    key: str
    cells: Sequence[str]
    difference: Sequence[str]


def ways_to_hold(ladder: OptionLadder) -> tuple[BuildOption, ...]:
    """The rungs, and the project as it is where it is none of them."""
    rungs = ladder.rungs
    return rungs if any(rung.as_stated for rung in rungs) else (*rungs, ladder.stated)


def way_name(option: BuildOption, ladder: OptionLadder, locale: Locale) -> str:
    """A line to choose it by."""
    number = ladder.rungs.index(option) + 1 if option in ladder.rungs else None
    key = "way_now" if number is None else "way_rung_now" if option.as_stated else "way_rung"
    low, _, high = option.band()
    return locale.label(f"options.{key}", number=number, water=option.water * HOUR, span=(low, high))


def two_ways(a: BuildOption, b: BuildOption, currency: str, locale: Locale) -> Iterator[TwoWaysRow]:
    """Row by row; a row that either way lacks (no pump, no prices, no climate file) is left out."""
    volume, percent, amount = (
        lambda value: locale.number(value, "volume"),
        lambda value: locale.number(value, "percent"),
        lambda value: money(value, currency, locale),
    )
    pair = (a, b)
    yield TwoWaysRow("seats", [locale.span(*way.band()[::2]) for way in pair], _cooler(a, b, locale))
    yield _row("water", [way.water * HOUR for way in pair], volume, locale)
    yield _laid(a, b, locale)
    yield _sprayed(a, b, locale)
    if a.motor is not None and b.motor is not None:
        cells = [locale.number(motor, "motor") for motor in (a.motor, b.motor)]
        how = [locale.label(f"options.two_{'larger' if b.motor > a.motor else 'smaller'}")]
        yield TwoWaysRow("motor", cells, how if cells[0] != cells[1] else [])
    yield _row("floor", [way.landing for way in pair], percent, locale, 0.01)
    if a.cost is not None and b.cost is not None:
        yield _row("cost", [float(a.cost.total), float(b.cost.total)], amount, locale, 1.0)
    if a.year is None or b.year is None:
        return
    yield _band("year_water", (a.year.water, b.year.water), volume, locale)
    if a.year.money is not None and b.year.money is not None:
        yield _band("year_money", (a.year.money, b.year.money), amount, locale, 1.0)


def _more(pair: Sequence[float], figure: Figure, locale: Locale, step: float = 0.0) -> list[str]:
    """From the first value to the second, as a difference; empty where both read the same. step: to which
    both are rounded as shown, so that the difference is that of what is read."""
    if figure(pair[0]) == figure(pair[1]):
        return []
    apart = pair[1] - pair[0]
    if step:
        apart = step * (round(pair[1] / step) - round(pair[0] / step)) or apart
    key = "more" if apart > 0.0 else "less"
    return [locale.label(f"options.two_{key}", amount=figure(abs(apart)))]


def _row(key: str, pair: Sequence[float], figure: Figure, locale: Locale, step: float = 0.0) -> TwoWaysRow:
    return TwoWaysRow(key, [figure(value) for value in pair], _more(pair, figure, locale, step))


def _band(key: str, pair: Sequence[Band], figure: Figure, locale: Locale, step: float = 0.0) -> TwoWaysRow:
    """Of a year's draws: the air decides the hours, so the same ends of both belong to the same draws."""
    a, b = pair
    cells = [between(band, figure, locale) for band in pair]
    if cells[0] == cells[1]:
        return TwoWaysRow(key, cells, [])
    if step:
        a, b = ((step * round(low / step), mid, step * round(high / step)) for low, mid, high in pair)
    sign, how = (1.0, "more") if b[1] >= a[1] else (-1.0, "less")
    low, high = sorted(sign * (b[end] - a[end]) for end in (0, 2))
    apart = between((low, sign * (b[1] - a[1]), high), figure, locale)
    return TwoWaysRow(key, cells, [locale.label(f"options.two_{how}", amount=apart)])


def _cooler(a: BuildOption, b: BuildOption, locale: Locale) -> list[str]:
    """Each case of each draw against itself."""
    low, middle, high = b.cooler_than(a)
    warmer, cooler = (locale.number(gain, "degrees").lstrip("-") != "0" for gain in (low, high))
    if not (warmer or cooler):
        return []
    if warmer and cooler and low < 0.0 < high:
        return [locale.label("options.two_either", cooler=(high, high), warmer=(-low, -low))]
    how, span = ("cooler", (low, high)) if middle >= 0.0 else ("warmer", (-high, -low))
    return [locale.label(f"options.two_{how}", span=span)]


def _laid(a: BuildOption, b: BuildOption, locale: Locale) -> TwoWaysRow:
    """How many nozzles, how far apart and how far behind the edge."""
    label, told = locale.label, []
    if a.marks != b.marks:
        key = "change_more" if b.marks > a.marks else "change_fewer"
        told.append(label(f"options.{key}", count=abs(b.marks - a.marks)))
    for less, more, first, then in (
        ("closer", "wider", a.pitch, b.pitch),
        ("nearer", "farther", a.setback, b.setback),
    ):
        if locale.number(first, "one_unit") != locale.number(then, "one_unit"):
            told.append(label(f"options.two_{more if then > first else less}", by=abs(then - first)))
    if a.second != b.second:
        told.append(label(f"options.{rows_change(a, b)}", second=b.second))
    cells = [
        label(
            "options.two_laid" if way.second is None else "options.two_laid_rows",
            count=way.marks, pitch=way.pitch, setback=way.setback, second=way.second,
        )
        for way in (a, b)
    ]  # fmt: skip
    return TwoWaysRow("laid", cells, told)


def _sprayed(a: BuildOption, b: BuildOption, locale: Locale) -> TwoWaysRow:
    """What a nozzle passes, and at which pressure."""
    flows = [way.nozzle_flow * HOUR for way in (a, b)]
    pressures = [a.pressure, b.pressure]
    cells = [
        locale.label("options.two_sprayed", flow=flow, pressure=pressure)
        for flow, pressure in zip(flows, pressures, strict=True)
    ]
    more = _more(flows, lambda value: locale.number(value, "volume"), locale)
    # As read: 4 bar and 3.95 bar may be less than half a step apart, and are 0.05 bar apart to a reader.
    read = [units.as_shown(pressure, "pressure", locale.units) for pressure in pressures]
    return TwoWaysRow(
        "sprayed",
        cells,
        [*more, *_more(read, lambda value: locale.number(value, "pressure"), locale)],
    )
