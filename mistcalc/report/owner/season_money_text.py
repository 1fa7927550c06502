"""What a year of mist costs, in the blocks of `season_text`."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from mistcalc.model.project import Project
from mistcalc.model.results import (
    SERVICES,
    Band,
    CostTotal,
    PatioSeason,
    Season,
    SeasonMoney,
    month_bands,
    per_evening,
    year_band,
)
from mistcalc.report.common.currency import money
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.text_blocks import Prose, SeasonTable, hours, shown


def headline(season: Season, patio: PatioSeason, locale: Locale) -> Iterator[Prose]:
    """Evenings gained for so much; nothing where no price is stated."""
    if season.money is not None:
        gained = year_band(patio.gained)
        cost = cost_text(season.money, locale)
        values = {"patio": patio.patio, "gained": hours(gained, locale), "one": round(gained[1])}
        key = "headline" if len(season.patios) == 1 else "headline_one_of_several"
        yield Prose(locale.label(f"season_money.{key}", cost=cost, **values))


def cost_text(cost: SeasonMoney, locale: Locale) -> str:
    return amount_text(year_band(cost.total), cost, locale)


def evenings(season: Season, patio: PatioSeason, locale: Locale) -> Prose:
    without, on = ("fan", "both") if patio.fans else ("shade", "mist")
    first, last = season.limits.evening
    told = {"without": patio.evenings[without], "on": patio.evenings[on], "gained": patio.gained}
    values = {name: hours(year_band(counts), locale) for name, counts in told.items()}
    return Prose(
        locale.label(
            "season_money.evenings", used=season.evenings.sum(), first=float(first), last=float(last),
            limit=season.limits.bearable, **values,
        )
    )  # fmt: skip


def cost_of_year(season: Season, project: Project, locale: Locale) -> Iterator[SeasonTable]:
    """Each part, all of it, and an evening gained."""
    cost = season.money
    if cost is None:
        return
    label = locale.label
    rows = [
        (label(f"season_money.{name}"), amount_text(year_band(cost.parts[name]), cost, locale))
        for name in SERVICES
        if name in cost.parts
    ]
    if len(rows) > 1:
        rows.append((label("season_money.total"), amount_text(year_band(cost.total), cost, locale)))
    for patio in season.patios if len(season.patios) == 1 else ():
        rows.append((label("season_money.evening"), _evening(per_evening(cost, patio), cost, locale)))
    rows += _first_cost(season, cost, locale)
    household = _household(project, locale)
    remark = label("season_money.remark_household", household=household) if household else ""
    yield SeasonTable((label("season_money.title"), remark or label("season_money.remark")), tuple(rows))


def _first_cost(season: Season, cost: SeasonMoney, locale: Locale) -> Iterator[tuple[str, str]]:
    """What the parts cost, as the materials sheet has it; its share in an evening where years are stated."""
    if cost.first is None:
        return
    label = locale.label
    for key in ("complete", "rough_in"):
        total: CostTotal = getattr(cost.first, key)
        amount = money(float(total.total), cost.currency, locale)
        left = label("season_money.left_out", count=total.unpriced) if total.unpriced else ""
        yield label(f"season_money.first_{key}"), f"{amount}{left}"
    if cost.years is not None and len(season.patios) == 1:
        share = float(cost.first.complete.total) / cost.years
        each = _evening(per_evening(cost, season.patios[0], share), cost, locale)
        yield label("season_money.evening_first", years=f"{cost.years:g}"), each


def cost_by_month(season: Season, locale: Locale) -> Iterator[SeasonTable]:
    """The middle of each part, all of it as a range, evenings gained."""
    cost = season.money
    if cost is None:
        return
    names = [name for name in SERVICES if name in cost.parts]
    parts = [month_bands(cost.parts[name]) for name in names]
    total = month_bands(cost.total)
    gained = [month_bands(patio.gained) for patio in season.patios if len(season.patios) == 1]
    rows = []
    for n in (n for n, held in enumerate(season.used.sum(axis=1)) if held or total[n][2] > 0.0):
        cells = [money(part[n][1], cost.currency, locale) for part in parts] if len(names) > 1 else []
        cells.append(amount_text(total[n], cost, locale))
        cells += [hours(bands[n], locale) for bands in gained]
        rows.append((locale.label("season.month", month=f"month-{n + 1}"), *cells))
    heads = [*(names if len(names) > 1 else ()), "total", *(["gained"] if gained else [])]
    widths = {"total": 18, "gained": 13}
    head = tuple(locale.label(f"season_money.{name}") for name in ("by_month", *heads))
    yield SeasonTable(head, tuple(rows), (13, *(widths.get(name, 12) for name in heads)))


def amount_text(band: Band, cost: SeasonMoney, locale: Locale) -> str:
    return shown(band, lambda value: money(value, cost.currency, locale), locale)


def _evening(band: Band, cost: SeasonMoney, locale: Locale) -> str:
    """Dear beyond telling where a low case gains no evening."""
    low, middle, high = band
    if not isfinite(middle):
        return locale.label("season_money.evening_no")

    def cents(value: float) -> str:
        return money(value, cost.currency, locale, "money")

    if not isfinite(high):
        return locale.label("season_money.evening_over", least=cents(low))
    return shown(band, cents, locale)


def _household(project: Project, locale: Locale) -> tuple[str, ...]:
    """What the house uses without the mist, of what is billed by a tariff."""
    tariff, told = project.tariff, []
    for service, kind in (("water", "volume"), ("power", "energy")):
        use = getattr(tariff, f"household_{service}", None)
        if use is None:
            continue
        ends = {name: locale.number(end(use), kind) for name, end in (("low", min), ("high", max))}
        how = "_assumed" if f"tariff.household_{service}" in project.assumed else ""
        how = "_varies" if min(use) < max(use) else how
        word = locale.label(f"season_money.{service}")
        told.append(locale.label(f"season_money.household{how}", amount=ends["low"], service=word, **ends))
    return tuple(told)
