"""Ways to build the line as a ladder, in words and a table: for a terminal and the page."""

from __future__ import annotations

from collections.abc import Iterator

from mistcalc.model.project import Project
from mistcalc.model.results import BuildOption, OptionLadder, Wishes
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.terminal_lines import wrapped
from mistcalc.report.owner.season_text import drawn
from mistcalc.report.owner.text_blocks import Block, Prose, SeasonTable
from mistcalc.units import System

COLUMNS = ("rung", "pitch", "nozzle", "pressure", "marks", "water", "motor", "seats", "floor")
WIDTHS = (7, 7, 13, 10, 7, 9, 7, 13, 7)
HOUR = 3600.0  # s


def options_sentences(ladder: OptionLadder, project: Project, units: System, language: str) -> str:
    """For a terminal, ending in a newline."""
    lines: list[str] = []
    for block in option_blocks(ladder, project, Locale(units, language)):
        if isinstance(block, Prose):
            lines += [*([""] if lines else []), *wrapped("", block.text, hang="  ")]
        else:
            lines += ["", *drawn(block)]
    return "\n".join(lines) + "\n"


def option_blocks(ladder: OptionLadder, project: Project, locale: Locale) -> Iterator[Block]:
    """Top to bottom: what was asked, the ladder, from rung to rung, and what stands beside it."""
    label = locale.label
    yield Prose(label("options.title", name=project.name), heading=True)
    yield Prose(_asked(ladder.wishes, locale))
    yield Prose(_tried(ladder, locale))
    if not ladder.rungs:
        yield Prose(_none(ladder, locale))
    rows = tuple(_row(option, number, locale) for number, option in enumerate(ladder.rungs, 1))
    stated = () if any(option.as_stated for option in ladder.rungs) else (_row(ladder.stated, 0, locale),)
    yield SeasonTable(tuple(label(f"options.col_{name}") for name in COLUMNS), (*rows, *stated), WIDTHS)
    for number, (below, above) in enumerate(zip(ladder.rungs[:-1], ladder.rungs[1:], strict=True), 1):
        yield Prose(_step(below, above, number, locale))
    if felt := _beside(ladder.stated, locale):
        yield Prose(felt)
    yield Prose(label("options.how", afternoon=ladder.afternoon, patio=ladder.patio))


def _asked(wishes: Wishes, locale: Locale) -> str:
    pairs = (("water", _hourly(wishes.water)), ("motor", wishes.motor), ("floor", wishes.floor))
    asked = [locale.label(f"options.asked_{name}", value=value) for name, value in pairs if value is not None]
    return " ".join([locale.label("options.asked"), *asked]) if asked else locale.label("options.asked_none")


def _hourly(flow: float | None) -> float | None:
    return None if flow is None else flow * HOUR


def _tried(ladder: OptionLadder, locale: Locale) -> str:
    broken = [locale.label(f"options.broken_{what}", count=count) for what, count in ladder.broken]
    return " ".join([locale.label("options.tried", count=ladder.tried), *broken])


def _none(ladder: OptionLadder, locale: Locale) -> str:
    """That no way keeps it all, and the least that can be had of each thing asked, alone."""
    least, wishes = ladder.least, ladder.wishes
    triples = (
        ("water", wishes.water, _hourly(least.water)),
        ("motor", wishes.motor, least.motor),
        ("floor", wishes.floor, least.floor),
    )
    told = [
        locale.label(f"options.least_{name}", value=value)
        for name, wish, value in triples if wish is not None and value is not None
    ]  # fmt: skip
    return " ".join([locale.label("options.none"), *told])


def _row(option: BuildOption, number: int, locale: Locale) -> tuple[str, ...]:
    low, _, high = option.band()
    name = str(number) if number else ""
    return (
        locale.label("options.rung_stated", number=name).strip() if option.as_stated else name,
        locale.number(option.pitch, "one_unit"),
        locale.number(option.water / max(option.marks, 1) * HOUR, "volume"),
        locale.number(option.pressure, "pressure"),
        str(option.marks),
        locale.number(option.water * HOUR, "volume"),
        "" if option.motor is None else locale.number(option.motor, "motor"),
        locale.span(low, high),
        locale.number(option.landing, "percent"),
    )


def _step(below: BuildOption, above: BuildOption, number: int, locale: Locale) -> str:
    """From one rung to the next: degrees, each draw against itself, water and what is built otherwise."""
    gain = above.cooler_than(below)
    changes = []
    if above.nozzle != below.nozzle:
        changes.append(locale.label("options.change_nozzle", nozzle=above.nozzle))
    if above.marks != below.marks:
        more = above.marks - below.marks
        changes.append(locale.label(f"options.change_{'more' if more > 0 else 'fewer'}", count=abs(more)))
    if abs(above.pressure - below.pressure) > 0.01 * below.pressure:
        changes.append(locale.label("options.change_pressure", pressure=above.pressure))
    if above.motor is not None and below.motor is not None and above.motor != below.motor:
        changes.append(locale.label("options.change_motor", motor=above.motor))
    return locale.label(
        "options.step", below=number, above=number + 1, span=(gain[0], gain[-1]),
        water=(above.water - below.water) * HOUR,
        changes=tuple(changes) or (locale.label("options.change_none"),),
    )  # fmt: skip


def _beside(stated: BuildOption, locale: Locale) -> str:
    """Without any of it: nothing, and a fan alone, by how it feels."""
    felt = stated.felt
    gains = {} if felt is None else {name: felt.cooler(name) for name in ("fan", "mist", "both")}
    if felt is None or not all(gains.values()):
        return ""
    spans = {name: (gain[0], gain[-1]) for name, gain in gains.items() if gain is not None}
    return locale.label("options.beside", **spans, speed=felt.fan_speed)
