"""Ways to build the line as a ladder, in words and tables: for a terminal and the page."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from mistcalc.model.project import Project
from mistcalc.model.results import SAME, Band, BesideIt, BuildOption, Comfort, OptionLadder
from mistcalc.report.common.assumptions import control_assumed
from mistcalc.report.common.currency import money
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mirrored_name import job_name
from mistcalc.report.common.terminal_lines import wrapped
from mistcalc.report.owner.season_text import drawn
from mistcalc.report.owner.text_blocks import Block, Prose, SeasonTable
from mistcalc.units import System

TAKES = {"rung": 7, "water": 9, "seats": 13, "floor": 7, "cost": 10, "year_water": 19, "year_money": 15}
BUILT = {"rung": 7, "pitch": 8, "setback": 15, "nozzle": 14, "pressure": 11, "marks": 10, "motor": 9}
HOUR = 3600.0  # s
HARD = {"lid", "line"}  # of what a way breaks: nobody may ask for that


def options_sentences(ladder: OptionLadder, project: Project, units: System, language: str) -> str:
    """For a terminal, ending in a newline."""
    lines: list[str] = []
    locale = Locale(units, language)
    for block in option_blocks(ladder, project, locale):
        if isinstance(block, Prose):
            lines += [*([""] if lines else []), *wrapped("", block.text, hang="  ")]
        else:
            lines += ["", *drawn(block)]
    if ladder.rungs:
        lines += ["", *wrapped("", locale.label(_of_supply("next", ladder)), hang="  ")]
    return "\n".join(lines) + "\n"


def option_blocks(ladder: OptionLadder, project: Project, locale: Locale) -> Iterator[Block]:
    """Top to bottom: what was asked, the ladder, from rung to rung, and what stands beside it."""
    label = locale.label
    yield Prose(label("options.title", name=job_name(project, locale)), heading=True)
    yield Prose(_asked(ladder, locale))
    yield Prose(_tried(ladder, locale))
    if not ladder.rungs:
        yield Prose(_none(ladder, locale))
    yield from _tables(ladder, locale)
    if ladder.least.water is not None and HARD & set(ladder.stated.breaks):
        yield Prose(label("options.now_breaks"))
    if ladder.instead is not None:
        number, rung = ladder.instead
        less = (ladder.stated.water - rung.water) * HOUR
        yield Prose(label("options.instead", number=number, less=less))
    for number, (_, told) in enumerate(rung_steps(ladder, locale), 1):
        yield Prose(label("options.step", below=number, above=number + 1, told=told))
    yield from (Prose(text) for text in _nozzles(ladder, locale))
    yield Prose(label("options.without"), heading=True)
    yield from (Prose(text) for text in beside_sentences(ladder, locale))
    how = ["how", *(["how_rungs"] if ladder.rungs else []), *([] if _on_mains(ladder) else ["how_nozzles"])]
    values = {"afternoon": ladder.afternoon, "patio": ladder.patio, "same": SAME}
    yield Prose(" ".join(label(f"options.{key}", **values) for key in how))
    assumed = control_assumed(project, locale).strip() if ladder.stated.year is not None else ""
    if assumed:
        yield Prose(f"{label('options.year')} {assumed}")
    if ladder.stated.cost is not None:
        cheapest = [label("options.cheapest")] if ladder.rungs else []
        yield Prose(" ".join([label("options.prices", count=ladder.stated.cost.unpriced), *cheapest]))


def _asked(ladder: OptionLadder, locale: Locale) -> str:
    wishes = ladder.wishes
    pairs = (
        ("water", _hourly(wishes.water)), ("motor", wishes.motor), ("floor", wishes.floor),
        ("cost", _amount(wishes.cost, ladder.currency, locale)),
    )  # fmt: skip
    asked = [locale.label(f"options.asked_{name}", value=value) for name, value in pairs if value is not None]
    return locale.label("options.asked", limits=tuple(asked)) if asked else locale.label("options.asked_none")


def _hourly(flow: float | None) -> float | None:
    return None if flow is None else flow * HOUR


def _amount(value: float | None, currency: str, locale: Locale) -> str | None:
    return None if value is None else money(value, currency, locale)


def _on_mains(ladder: OptionLadder) -> bool:
    """Where nozzle and pressure are what they are, in every way."""
    return ladder.stated.set_pressure is None


def _of_supply(key: str, ladder: OptionLadder) -> str:
    return f"options.{key}_mains" if _on_mains(ladder) else f"options.{key}"


def _tried(ladder: OptionLadder, locale: Locale) -> str:
    broken = [locale.label(f"options.broken_{what}", count=count) for what, count in ladder.broken]
    return " ".join([locale.label(_of_supply("tried", ladder), count=ladder.tried), *broken])


def _none(ladder: OptionLadder, locale: Locale) -> str:
    """That no way keeps it all, and the least that can be had of each thing asked, alone."""
    least, wishes = ladder.least, ladder.wishes
    if least.water is None:
        return locale.label("options.none_sound")
    triples = (
        ("water", wishes.water, _hourly(least.water)),
        ("motor", wishes.motor, least.motor),
        ("floor", wishes.floor, least.floor),
        ("cost", wishes.cost, _amount(least.cost, ladder.currency, locale)),
    )
    told = [
        locale.label(f"options.least_{name}", value=value)
        for name, wish, value in triples if wish is not None and value is not None
    ]  # fmt: skip
    return " ".join([locale.label("options.none"), *told])


# ------------------------------------------------------------------ the ladder


def rung_steps(ladder: OptionLadder, locale: Locale) -> Iterator[tuple[int, str]]:
    """From each rung to the one above, in words; id of the upper."""
    for below, above in zip(ladder.rungs[:-1], ladder.rungs[1:], strict=True):
        yield id(above), _step(below, above, ladder.currency, locale)


def water_text(option: BuildOption, locale: Locale) -> str:
    return locale.number(option.water * HOUR, "volume")


def built_text(option: BuildOption, ladder: OptionLadder, locale: Locale) -> Iterator[str]:
    """A line for what it is, one for pump and floor, one for money where it has any."""
    label, cost, year = locale.label, option.cost, option.year
    yield label(
        "options.built" if option.second is None else "options.built_rows", count=option.marks,
        pitch=option.pitch, setback=option.setback, second=option.second, nozzle=option.nozzle_flow * HOUR,
    )  # fmt: skip
    key = "built_mains" if option.motor is None else "built_pump"
    yield label(f"options.{key}", motor=option.motor, pressure=option.pressure, floor=option.landing)
    if cost is not None:
        yield label("options.built_cost", amount=money(float(cost.total), ladder.currency, locale))
    if year is not None and year.money is not None:
        bills = between(year.money, lambda value: money(value, ladder.currency, locale), locale)
        yield label("options.built_year", amount=bills)
    if option.as_stated:
        yield label("options.built_now")


def over_text(option: BuildOption, ladder: OptionLadder, locale: Locale) -> Iterator[str]:
    """Whether it breaks a rule, and by how much it is over each limit that was asked and that it breaks."""
    if HARD & set(option.breaks):
        yield locale.label("options.over_rule")
    wishes, cost = ladder.wishes, option.cost
    pairs = {
        "water": (_hourly(option.water), _hourly(wishes.water)), "motor": (option.motor, wishes.motor),
        "floor": (option.landing, wishes.floor), "cost": (float(cost.total) if cost else None, wishes.cost),
    }  # fmt: skip
    for name, (value, limit) in pairs.items():
        if name not in option.breaks or value is None or limit is None:
            continue
        over = value - limit
        amount = money(over, ladder.currency, locale) if name == "cost" else over
        yield locale.label(f"options.over_{name}", over=amount, value=value)


def _tables(ladder: OptionLadder, locale: Locale) -> Iterator[SeasonTable]:
    """What each rung gives and takes, then how it is built; the project as it is last where it is no rung."""
    numbered = [(str(number), option) for number, option in enumerate(ladder.rungs, 1)]
    if not any(option.as_stated for option in ladder.rungs):
        numbered.append(("", ladder.stated))
    for columns, cells in ((TAKES, _takes), (BUILT, _built)):
        rows = [
            {"rung": _rung(name, option, locale), **cells(option, ladder.currency, locale)}
            for name, option in numbered
        ]
        filled = [name for name in columns if any(row.get(name) for row in rows) or name == "rung"]
        head = tuple(locale.label(f"options.col_{name}") for name in filled)
        told = tuple(tuple(row.get(name, "") for name in filled) for row in rows)
        yield SeasonTable(head, told, tuple(columns[name] for name in filled))


def _rung(name: str, option: BuildOption, locale: Locale) -> str:
    return locale.label("options.rung_stated", number=name).strip() if option.as_stated else name


def _nozzles(ladder: OptionLadder, locale: Locale) -> Iterator[str]:
    """What to write into the file for the nozzle of each rung that is not the project's own."""
    of_rung: dict[tuple[str, float, float], list[int]] = {}
    for number, rung in enumerate(ladder.rungs, 1):
        of_rung.setdefault((rung.nozzle, rung.rated_flow, rung.rated_at), []).append(number)
    now = ladder.stated
    of_rung.pop((now.nozzle, now.rated_flow, now.rated_at), None)
    for (nozzle, flow, at), numbers in of_rung.items():
        rungs = {"rungs": tuple(numbers), "count": len(numbers)}
        yield locale.label("options.other_nozzle", **rungs, nozzle=nozzle, flow=flow, at=at)


def _takes(option: BuildOption, currency: str, locale: Locale) -> dict[str, str]:
    low, _, high = option.band()
    cost, year = option.cost, option.year
    cells = {
        "water": water_text(option, locale),
        "seats": locale.span(low, high),
        "floor": _floor(option, locale),
    }
    if cost is not None:
        cells["cost"] = money(float(cost.total), currency, locale)
    if year is not None:
        cells["year_water"] = between(year.water, lambda value: locale.number(value, "volume"), locale)
    if year is not None and year.money is not None:
        cells["year_money"] = between(year.money, lambda v: money(v, currency, locale), locale)
    return cells


def _floor(option: BuildOption, locale: Locale) -> str:
    """ "Under 1 %" has no room in a column."""
    return locale.number(option.landing, "share" if option.landing < 0.01 else "percent")


def _built(option: BuildOption, _currency: str, locale: Locale) -> dict[str, str]:
    return {
        "pitch": locale.number(option.pitch, "one_unit"),
        "setback": setbacks_text(option, locale),
        "nozzle": locale.number(option.nozzle_flow * HOUR, "volume"),
        "pressure": locale.number(option.pressure, "pressure"),
        "marks": str(option.marks),
        "motor": "" if option.motor is None else locale.number(option.motor, "motor"),
    }


def setbacks_text(option: BuildOption, locale: Locale) -> str:
    """How far behind the edge its row lies, or both."""
    rows = [option.setback] if option.second is None else [option.setback, option.second]
    return ", ".join(locale.number(back, "one_unit") for back in rows)


def between(band: Band, figure: Callable[[float], str], locale: Locale) -> str:
    """Ends with the unit they share said once."""
    low, high = figure(band[0]), figure(band[2])
    if low == high:
        return low
    words, others = low.split(" "), high.split(" ")
    while len(words) > 1 and words[-1] == others[-1] and not words[-1][-1:].isdigit():
        words.pop()
        others.pop()
    return locale.label("options.between", low=" ".join(words), high=high)


def rows_change(before: BuildOption, after: BuildOption) -> str:
    """The word's key for another count of rows, or another place of the second."""
    if after.second is None:
        return "change_one_row"
    return "change_two_rows" if before.second is None else "change_second"


def _step(below: BuildOption, above: BuildOption, currency: str, locale: Locale) -> str:
    """From one rung to the next: degrees, each draw against itself, water and what is built otherwise."""
    gain = above.cooler_than(below)
    changes = []
    if above.nozzle != below.nozzle:
        changes.append(locale.label("options.change_nozzle", nozzle=above.nozzle))
    if above.marks != below.marks:
        more = above.marks - below.marks
        changes.append(locale.label(f"options.change_{'more' if more > 0 else 'fewer'}", count=abs(more)))
    if abs(above.setback - below.setback) > 1e-6:
        changes.append(locale.label("options.change_setback", setback=above.setback))
    if above.second != below.second:
        changes.append(locale.label(f"options.{rows_change(below, above)}", second=above.second))
    if above.set_pressure is not None and abs(above.pressure - below.pressure) > 0.01 * below.pressure:
        changes.append(locale.label("options.change_pressure", pressure=above.pressure))
    if above.motor is not None and below.motor is not None and above.motor != below.motor:
        changes.append(locale.label("options.change_motor", motor=above.motor))
    if above.cost is not None and below.cost is not None and above.cost.total != below.cost.total:
        dearer = float(above.cost.total - below.cost.total)
        amount = money(abs(dearer), currency, locale)
        changes.append(locale.label(f"options.change_{'dearer' if dearer > 0 else 'cheaper'}", amount=amount))
    return locale.label(
        "options.step_told", span=(gain[0], gain[-1]), water=(above.water - below.water) * HOUR,
        changes=tuple(changes) or (locale.label("options.change_none"),),
    )  # fmt: skip


# ------------------------------------------------------------------ beside it


def beside_sentences(ladder: OptionLadder, locale: Locale) -> Iterator[str]:
    """Without any of it: nothing, a fan alone and a screen, by how it feels."""
    if ladder.felt is not None:
        yield from _felt(ladder.felt, locale)
    yield from (_screen(beside, locale) for beside in ladder.beside)


def _felt(felt: Comfort, locale: Locale) -> Iterator[str]:
    gains = {name: felt.cooler(name) for name in ("fan", "mist", "both")}
    nothing = felt.band("shade")
    if nothing is None or not all(gains.values()):
        return
    spans = {name: (gain[0], gain[-1]) for name, gain in gains.items() if gain is not None}
    low, high = (locale.number(value, "temperature") for value in (nothing[0], nothing[-1]))
    yield locale.label("options.nothing", low=low, high=high)
    yield locale.label("options.beside", **spans, speed=felt.fan_speed)


def _screen(beside: BesideIt, locale: Locale) -> str:
    sunny, told = beside.sunny, []
    if sunny is not None and "sun" in beside.tells:
        told.append(locale.label("options.screen_sun", before=sunny[0], after=sunny[1]))
    for name, band in (("felt", beside.felt), ("mist", beside.mist)):
        if band is None or name not in beside.tells:
            continue
        how, span = ("cooler", (band[0], band[2])) if band[1] > 0.0 else ("warmer", (-band[2], -band[0]))
        told.append(locale.label(f"options.screen_{name}_{how}", span=span))
    told = told or [locale.label("options.screen_nothing")]
    return locale.label("options.screen", height=beside.height, run=beside.run, told=tuple(told))
