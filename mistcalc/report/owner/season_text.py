"""A typical year with the mist, in words and tables for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from mistcalc.model.project import Control, Project
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
    year_middle,
)
from mistcalc.report.common.assumptions import control_assumed
from mistcalc.report.common.locale_text import Locale, town_of
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.common.terminal_lines import wrapped
from mistcalc.report.owner.bars_by_month import month_bars
from mistcalc.report.owner.season_money_text import cost_by_month, cost_of_year, cost_text, evenings, headline
from mistcalc.report.owner.text_blocks import (
    NARROW,
    NARROWER,
    PLAIN,
    WIDE,
    Block,
    Prose,
    RangeBars,
    SeasonTable,
    hours,
    shown,
    volumes,
)
from mistcalc.units import System, degree_of

TERMINAL = 80  # columns
MOST_PATIOS = 2  # in a table of several
HOURS_NAMED, CALENDAR_HOUR = 8, 7  # hours of the day told as such, and columns of a terminal for each


def season_sentences(
    season: Season,
    findings: Iterable[Finding],
    project: Project,
    units: System,
    language: str,
) -> str:
    """All of it for a terminal, ending in a newline; what was found before any number."""
    locale = Locale(units, language)
    lines: list[str] = []
    for block in season_blocks(season, findings, project, locale):
        if isinstance(block, Prose):
            lines += [
                *([""] if (block.heading or block.apart) and lines else []),
                *wrapped("", block.text, hang="  "),
            ]
        elif not isinstance(block, RangeBars):
            lines += [*([""] if block.head[0] else []), *drawn(block)]
    key = "next" if ever_runs(season) else "next_never"
    lines += wrapped("", locale.label(f"season.{key}"), hang="  ")
    return "\n".join(lines) + "\n"


def ever_runs(season: Season) -> bool:
    """Whether there is a year to tell of."""
    return year_band(season.runs)[2] > 0.0


def season_blocks(
    season: Season, findings: Iterable[Finding], project: Project, locale: Locale
) -> Iterator[Block | RangeBars]:
    """What terminal and paper tell, top to bottom."""
    runs = ever_runs(season)
    yield Prose(locale.label("season.title", name=job_name(project, locale)), heading=True)
    yield Prose(_rule(season, project, locale))
    for finding in findings:
        yield Prose(f"{locale.label(f'level.{finding.level}')}  {locale.say(finding)}")
    for patio in season.patios if runs else ():
        yield Prose(first_sentence(season, patio, locale))
        yield from headline(season, patio, locale)
    if runs:
        yield _takes(season, locale)
        yield from cost_of_year(season, project, locale)
        for patio in season.patios:
            yield from _gives(season, patio, locale)
            yield evenings(season, patio, locale)
            yield _of_run(season, patio, locale)
            yield calendar(season, patio, locale)
            yield Prose(locale.label("season.calendar_meant"), drawn_on_page=True)
    yield _kept_off(season, locale)
    if runs:
        yield from month_bars(season, locale)
        yield from _tables(season, locale)
        yield from cost_by_month(season, locale)
    yield Prose(locale.label("season.how"), apart=True)


def calendar(season: Season, patio: PatioSeason, locale: Locale) -> SeasonTable:
    """Months beside hours of the day: on how many days of the month the mist is noticed then. A dash: on
    none; nothing: not in use."""
    days = year_middle(patio.outcomes["good"])
    clocks = [hour for hour in range(24) if season.used[:, hour].any()]
    few = len(clocks) <= HOURS_NAMED
    heads = [locale.label("season_view.hour", hour=float(hour)) if few else str(hour) for hour in clocks]
    rows = []
    for month in (month for month in range(12) if season.used[month].any()):
        cells = [day_count(days[month, hour], season.used[month, hour]) for hour in clocks]
        rows.append((locale.label("season.month", month=f"month-{month + 1}"), *cells))
    head = (locale.label("season.calendar", patio=patio.patio), *heads)
    wide = CALENDAR_HOUR if few else max((80 - 14) // len(clocks), 3)
    names = 80 - CALENDAR_HOUR * len(clocks) if few else 14
    return SeasonTable(head, tuple(rows), (names, *[wide] * len(clocks)), drawn_on_page=True)


def day_count(days: float, used: bool) -> str:
    """Of a cell of the calendar."""
    return (f"{days:.0f}" if days >= 0.5 else "\u2013") if used else ""


def _more(control: Control, locale: Locale) -> str:
    """What else the control is set to, a sentence each."""
    label, told = locale.label, ""
    if control.not_from:
        told += label("season.not_from", sides=tuple(f"wind-{side}" for side in control.not_from))
    if control.least_run or control.least_rest:
        told += label("season.times", run=control.least_run, rest=control.least_rest)
    if control.days is not None:
        told += label("season.days", days=tuple(f"weekday-{day}" for day in control.days))
    if control.most_a_day is not None:
        told += label("season.most_a_day", most=control.most_a_day)
    return told


def first_sentence(season: Season, patio: PatioSeason, locale: Locale) -> str:
    runs = year_band(season.runs)
    key = "first" if len(season.patios) == 1 else "first_one_of_several"
    return locale.label(
        f"season.{key}", runs=hours(runs, locale), one=round(runs[1]), patio=patio.patio,
        good=hours(year_band(patio.outcomes["good"]), locale),
        water=volumes(times(runs, season.hourly.water), locale),
    )  # fmt: skip


def _rule(season: Season, project: Project, locale: Locale) -> str:
    control = project.control
    town, _, region = season.source.rpartition("-")
    sample = town == project.place.climate  # one of ours, by its short name
    climate = f"{town_of(town)}, {region.upper()}" if sample else season.source
    return locale.label(
        "season.rule", climate=climate, on=control.on_above, off=control.off_below,
        start=control.hours[0], end=control.hours[1], first=f"month-{control.months[0]}",
        last=f"month-{control.months[1]}", stops=_stops(control, locale),
        more=_more(control, locale) + control_assumed(project, locale),
    )  # fmt: skip


def _stops(control: Control, locale: Locale) -> str:
    """Over what it stays off; a stop that nothing reaches is none."""
    label, place = locale.label, locale.label(f"season.place_{control.wind_measured_at}")
    values = {"humidity": control.humidity_stop, "wind": control.wind_stop}
    stops = [
        label(f"season.stop_{name}", **{name: value}, **({"place": place} if name == "wind" else {}))
        for name, value in values.items()
        if control.stops_by(name)
    ]
    if not stops:
        return label("season.off_never")
    both = label("season.either", first=stops[0], second=stops[-1]) if len(stops) > 1 else stops[0]
    return label("season.off_over", stops=both)


def _takes(season: Season, locale: Locale) -> SeasonTable:
    label, runs, energy = locale.label, year_band(season.runs), season.hourly.energy

    def of(band: Band, rate: float, kind: str) -> str:
        amounts = times(band, rate)
        return shown(amounts, lambda value: locale.number(value, kind, amounts[2]), locale)

    rows = (
        (label("season.runs"), hours(runs, locale)),
        (label("season.starts"), hours(year_band(season.starts), locale)),
        (label("season.water"), of(runs, season.hourly.water, "volume")),
        (label("season.longest_day"), of(season.longest_day_band(), season.hourly.water, "volume")),
        (
            label("season.energy"),
            label("season.energy_none") if energy is None else of(runs, energy, "energy"),
        ),
        (label("season.mineral"), _mineral(season, locale)),
    )
    return SeasonTable((label("season.takes"), ""), rows)


def _mineral(season: Season, locale: Locale) -> str:
    hourly = season.hourly
    if hourly.mineral is None:
        return locale.label("season.mineral_unknown")
    band = times(year_band(season.runs), hourly.mineral)
    mass = shown(band, lambda value: locale.number(value, "dust"), locale)
    return locale.label("season.mineral_least", mass=mass) if hourly.mineral_at_least else mass


def _of(key: str, season: Season) -> str:
    """The sentence that names its patio only where there is another."""
    return f"season.{key}" if len(season.patios) == 1 else f"season.{key}_of_several"


def _gives(season: Season, patio: PatioSeason, locale: Locale) -> Iterator[Block]:
    label, limits = locale.label, season.limits
    yield Prose(label(_of("gives", season), patio=patio.patio, used=season.hours_used), heading=True)
    heads = [label("season.hours_to", limit=t) for t in (limits.comfortable, limits.bearable)]
    per_degree = 1.0 / degree_of(locale.units)
    measures = ((patio.comfortable, 1.0), (patio.bearable, 1.0), (patio.degree_hours, per_degree))
    rows = tuple(
        (
            label(f"season.{column}"),
            *(hours(times(year_band(counts[column]), rate), locale) for counts, rate in measures),
        )
        for column in (COMFORT_COLUMNS if patio.fans else ("shade", "mist"))
    )
    yield SeasonTable(("", *heads, label("season.degree_hours", limit=limits.comfortable)), rows, WIDE)
    ends = {name: patio.felt_band(name)[::2] for name in patio.felt}
    key = "season.utci" if patio.fans else "season.utci_no_fan"
    yield Prose(label(key, low=limits.comfortable, high=limits.bearable, **ends))
    if patio.sunny is None:
        yield Prose(label("season.no_sun"))
    elif (hours_in_sun := float(patio.sunny.mean(axis=0).sum())) > 0.0:
        yield Prose(label("season.sunny", hours=hours_in_sun))
    if patio.answered < 1.0:
        yield Prose(label("season.unanswered", share=1.0 - patio.answered))


def _of_run(season: Season, patio: PatioSeason, locale: Locale) -> SeasonTable:
    counted = {
        **{name: patio.outcomes[name] for name in OUTCOMES},
        **{name: patio.harms[name] for name in HARMS},
    }
    rows = tuple(
        (locale.label(f"season.{name}"), hours(year_band(counts), locale))
        for name, counts in counted.items()
        if name == "good" or counts.any()
    )
    noticed = locale.label("season.noticed", least=season.limits.little_felt)
    return SeasonTable((locale.label(_of("of_run", season), patio=patio.patio), noticed), rows)


def _kept_off(season: Season, locale: Locale) -> SeasonTable:
    usual = KEPT_OFF[:3]
    rows = [
        (locale.label(f"season.{'' if why == 'cool' else 'off_'}{why}"), hours(year_band(counts), locale))
        for why, counts in season.kept_off.items()
        if why in usual or counts.any()
    ]
    rows.append((locale.label("season.warm_unused"), locale.number(season.warm_unused, "whole")))
    return SeasonTable((locale.label("season.kept_off"), ""), tuple(rows))


def _tables(season: Season, locale: Locale) -> Iterator[SeasonTable]:
    """Month by month and hour by hour: the middle of each, those without hours of use left out."""
    label, hourly = locale.label, season.hourly
    heads = [
        label(f"season.column_{name}") for name in ("runs", "water", *(["energy"] if hourly.energy else []))
    ]
    shown_patios = season.patios[:MOST_PATIOS]
    noticed = [label("season.column_good_of", patio=patio.patio[:9]) for patio in shown_patios]
    noticed = noticed if len(season.patios) > 1 else [label("season.column_good")]
    widths = NARROWER if len(heads) + len(noticed) >= len(NARROW) else NARROW
    months = [label("season.month", month=f"month-{n}") for n in range(1, 13)]
    clocks = [locale.number(float(hour), "clock") for hour in range(24)]
    for key, names, bands, used in (
        ("by_month", months, month_bands, season.used.sum(axis=1)),
        ("by_hour", clocks, hour_bands, season.used.sum(axis=0)),
    ):
        runs, good = bands(season.runs), [bands(patio.outcomes["good"]) for patio in shown_patios]
        rows = []
        for n in (n for n, held in enumerate(used) if held):
            cells = [locale.number(runs[n][1], "whole"), locale.number(runs[n][1] * hourly.water, "volume")]
            if hourly.energy:
                cells.append(locale.number(runs[n][1] * hourly.energy, "energy"))
            rows.append((names[n], *cells, *(locale.number(band[n][1], "whole") for band in good)))
        yield SeasonTable((label(f"season.{key}"), *heads, *noticed), tuple(rows), widths)


# ------------------------------------------------------------------ a terminal


def set_point_figures(season: Season, patio: str, locale: Locale) -> tuple[str, ...]:
    """Hours it runs, evenings gained, water, and where a price is stated what it costs: of one year."""
    known = next(each for each in season.patios if each.patio == patio)
    water = times(year_band(season.runs), season.hourly.water)
    figures = (
        hours(year_band(season.runs), locale),
        hours(year_band(known.gained), locale),
        volumes(water, locale),
    )
    cost = () if season.money is None else (cost_text(season.money, locale),)
    return (*figures, *cost)


def drawn(table: SeasonTable) -> Iterator[str]:
    """Lines of a terminal."""
    if table.widths == PLAIN:
        yield table.head[0]
        for name, text in table.rows:
            joined = f"  {name:<{PLAIN[0] - 2}}  {text}" if len(name) < PLAIN[0] - 1 else f"  {name}: {text}"
            yield from wrapped("", joined, "  ")
        if table.head[1]:
            yield from wrapped("  ", table.head[1])
        return
    rows = []
    for cells, lead in ((table.head, ""), *((row, "  ") for row in table.rows)):
        others = (f" {cell:>{width - 1}}" for cell, width in zip(cells[1:], table.widths[1:], strict=False))
        rows.append(f"{lead + cells[0]:<{table.widths[0]}}" + "".join(others))
    if max(map(len, rows)) <= TERMINAL:
        yield from rows
        return
    yield from wrapped("", table.head[0]) if table.head[0] else ()
    for name, *figures in table.rows:  # no room for columns: money by a long name, lengths in odd fractions
        told = "; ".join(f"{head} {cell}" for head, cell in zip(table.head[1:], figures, strict=True) if cell)
        yield from wrapped("  ", f"{name}: {told}", "    ")
