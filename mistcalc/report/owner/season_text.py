"""A typical year with the mist, in words and tables for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator

from mistcalc.model.project import Project
from mistcalc.model.results import (
    COMFORT_COLUMNS,
    HARMS,
    KEPT_OFF,
    OUTCOMES,
    Band,
    Finding,
    PatioSeason,
    Season,
    hour_bands,
    month_bands,
    times,
    year_band,
)
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import System, degree_of, with_no_break_spaces

WIDTH = 80
NAMES = 34  # columns of a row's name
WIDE, NARROW = (13, 20, 20, 27), (24, 14, 14, 14, 14)  # columns of the tables
MOST_PATIOS = 2  # in a table of several


def season_sentences(
    season: Season,
    findings: Iterable[Finding],
    project: Project,
    units: System,
    language: str,
) -> str:
    """All of it, ending in a newline; what was found before any number."""
    locale = Locale(units, language)
    lines = [locale.label("season.title", name=project.name), *_wrapped(_rule(season, project, locale)), ""]
    for finding in findings:
        lines += _wrapped(f"{locale.label(f'level.{finding.level}')}  {locale.say(finding)}")
    for patio in season.patios:
        lines += _wrapped(first_sentence(season, patio, locale))
    if year_band(season.runs)[2] > 0.0:
        lines += ["", *_takes(season, locale)]
        for patio in season.patios:
            lines += ["", *_gives(season, patio, locale), "", *_of_run(season, patio, locale)]
    lines += ["", *_kept_off(season, locale)]
    if year_band(season.runs)[2] > 0.0:
        lines += ["", *_tables(season, locale)]
    return "\n".join([*lines, "", *_wrapped(locale.label("season.how"))]) + "\n"


def first_sentence(season: Season, patio: PatioSeason, locale: Locale) -> str:
    runs = year_band(season.runs)
    return locale.label(
        "season.first", runs=hours(runs, locale), one=round(runs[1]), patio=patio.patio,
        good=hours(year_band(patio.outcomes["good"]), locale),
        water=shown(times(runs, season.hourly.water), lambda value: locale.number(value, "volume"), locale),
    )  # fmt: skip


def _rule(season: Season, project: Project, locale: Locale) -> str:
    control = project.control
    return locale.label(
        "season.rule", climate=season.source, on=control.on_above, off=control.off_below,
        start=control.hours[0], end=control.hours[1], first=f"month-{control.months[0]}",
        last=f"month-{control.months[1]}", humidity=control.humidity_stop, wind=control.wind_stop,
    )  # fmt: skip


def hours(band: Band, locale: Locale) -> str:
    return shown(band, lambda value: locale.number(value, "whole"), locale)


def shown(band: Band, figure: Callable[[float], str], locale: Locale) -> str:
    """Low to middle to high; one figure where all three read alike."""
    low, middle, high = (figure(value) for value in band)
    return middle if low == middle == high else locale.label("season.cell", low=low, middle=middle, high=high)


def _takes(season: Season, locale: Locale) -> Iterator[str]:
    label, runs = locale.label, year_band(season.runs)
    longest = season.longest_day_band()

    def of(band: Band, rate: float, kind: str) -> str:
        return shown(times(band, rate), lambda value: locale.number(value, kind), locale)

    yield label("season.takes")
    yield _row(label("season.runs"), hours(runs, locale))
    yield _row(label("season.starts"), hours(year_band(season.starts), locale))
    yield _row(label("season.water"), of(runs, season.hourly.water, "volume"))
    yield _row(label("season.longest_day"), of(longest, season.hourly.water, "volume"))
    energy = season.hourly.energy
    yield _row(
        label("season.energy"), label("season.energy_none") if energy is None else of(runs, energy, "energy")
    )
    yield from _wrapped(_row(label("season.mineral"), _mineral(season, locale)))


def _mineral(season: Season, locale: Locale) -> str:
    hourly = season.hourly
    if hourly.mineral is None:
        return locale.label("season.mineral_unknown")
    band = times(year_band(season.runs), hourly.mineral)
    mass = shown(band, lambda value: locale.number(value, "dust"), locale)
    return locale.label("season.mineral_least", mass=mass) if hourly.mineral_at_least else mass


def _gives(season: Season, patio: PatioSeason, locale: Locale) -> Iterator[str]:
    label, limits = locale.label, season.limits
    columns = COMFORT_COLUMNS if patio.fans else ("shade", "mist")
    yield from _wrapped(label("season.gives", patio=patio.patio, used=season.hours_used))
    heads = [label("season.hours_to", limit=t) for t in (limits.comfortable, limits.bearable)]
    yield _columns(["", *heads, label("season.degree_hours", limit=limits.comfortable)], WIDE)
    per_degree = 1.0 / degree_of(locale.units)
    measures = ((patio.comfortable, 1.0), (patio.bearable, 1.0), (patio.degree_hours, per_degree))
    for column in columns:
        cells = [hours(times(year_band(counts[column]), rate), locale) for counts, rate in measures]
        yield _columns([f"  {label(f'season.{column}')}", *cells], WIDE)
    ends = {name: patio.felt_band(name)[::2] for name in patio.felt}
    key = "season.utci" if patio.fans else "season.utci_no_fan"
    yield from _wrapped(label(key, low=limits.comfortable, high=limits.bearable, **ends), "  ")
    if patio.answered < 1.0:
        yield from _wrapped(label("season.unanswered", share=1.0 - patio.answered), "  ")


def _of_run(season: Season, patio: PatioSeason, locale: Locale) -> Iterator[str]:
    yield locale.label("season.of_run", patio=patio.patio)
    for name, counts in (
        (n, c[n]) for names, c in ((OUTCOMES, patio.outcomes), (HARMS, patio.harms)) for n in names
    ):
        if name == "good" or counts.any():
            yield _row(
                locale.label(f"season.{name}", least=season.limits.little_felt),
                hours(year_band(counts), locale),
            )


def _kept_off(season: Season, locale: Locale) -> Iterator[str]:
    names = dict(zip(KEPT_OFF, ("cool", "off_humid", "off_windy"), strict=True))
    yield locale.label("season.kept_off")
    for why in KEPT_OFF:
        yield _row(locale.label(f"season.{names[why]}"), hours(year_band(season.kept_off[why]), locale))
    yield _row(locale.label("season.warm_unused"), locale.number(season.warm_unused, "whole"))


def _tables(season: Season, locale: Locale) -> Iterator[str]:
    """Month by month and hour by hour: the middle of each, those without hours of use left out."""
    label = locale.label
    heads = ["runs", "water", *(["energy"] if season.hourly.energy else [])]
    heads = [label(f"season.column_{name}") for name in heads]
    shown_patios = season.patios[:MOST_PATIOS]
    felt = [label("season.column_good_of", patio=patio.patio[:10]) for patio in shown_patios]
    felt = felt if len(season.patios) > 1 else [label("season.column_good")]
    months = [label("season.month", month=f"month-{n}") for n in range(1, 13)]
    clocks = [locale.number(float(hour), "clock") for hour in range(24)]
    for key, names, bands, used in (
        ("by_month", months, month_bands, season.used.sum(axis=1)),
        ("by_hour", clocks, hour_bands, season.used.sum(axis=0)),
    ):
        yield _columns([label(f"season.{key}"), *heads, *felt], NARROW)
        runs, good = bands(season.runs), [bands(patio.outcomes["good"]) for patio in shown_patios]
        for n in (n for n, held in enumerate(used) if held):
            cells = [
                locale.number(runs[n][1], "whole"),
                locale.number(runs[n][1] * season.hourly.water, "volume"),
            ]
            if season.hourly.energy:
                cells.append(locale.number(runs[n][1] * season.hourly.energy, "energy"))
            cells += [locale.number(band[n][1], "whole") for band in good]
            yield _columns([f"  {names[n]}", *cells], NARROW)


def _columns(cells: list[str], widths: tuple[int, ...]) -> str:
    others = (f"{cell:>{width}}" for cell, width in zip(cells[1:], widths[1:], strict=False))
    return f"{cells[0]:<{widths[0]}}" + "".join(others)


def _row(name: str, text: str) -> str:
    return f"  {name:<{NAMES}}  {text}" if len(name) <= NAMES else f"  {name}: {text}"


def _wrapped(text: str, lead: str = "") -> list[str]:
    lines = textwrap.wrap(
        with_no_break_spaces(text), WIDTH, initial_indent=lead, subsequent_indent=lead or "  ",
        break_on_hyphens=False, drop_whitespace=True,
    )  # fmt: skip
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]
