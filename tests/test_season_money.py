"""What a year of mist costs: the project file's tariffs, the bills' difference, evenings, and how it is said.

The sums of single bills: tests/published/test_utility_bills.py."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import design, files, report, season
from mistcalc.checks import SEASON_LIMITS, tariff_findings
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Text
from mistcalc.errors import InputErrors
from mistcalc.model.project import Adder, Prices, Tariff, Tariffs, Tier
from mistcalc.model.results import month_bands, per_evening, year_band
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.season_export import season_csv
from mistcalc.report.owner.season_page import season_pages
from mistcalc.season.billing import added_cost
from tests.test_design import demo, planned
from tests.test_season import CONTROL, NOT_AHEAD, made_up, year_of

GALLON, KWH = 231 * 0.0254**3, 3.6e6
SMALLEST = """format = 1
name = "porch"
place = { elevation = "3890 ft", climate = "el-paso" }
[[patio]]
name = "porch"
depth = "9 ft"
[[patio.run]]
name = "A"
length = "20 ft"
"""


def month(number: int, *clocks: int, amount: float = 1.0) -> np.ndarray:
    """So much in each of these hours of the day of one month, from January, [1, 12, 24]."""
    taken = np.zeros((1, 12, 24))
    taken[0, number, list(clocks)] = amount
    return taken


# ------------------------------------------------------------------ the difference of two bills


@pytest.mark.thorough
def test_a_plain_price_costs_price_times_use():
    told, _ = year_of("courtyard")
    prices = demo("courtyard")[0].prices
    assert prices.water == pytest.approx(7.50 / 1000 / GALLON)
    water = year_band(told.runs)[1] * told.hourly.water / GALLON / 1000 * 7.50
    assert year_band(told.money.parts["water"])[1] == pytest.approx(water)
    power = year_band(told.runs)[1] * told.hourly.energy / KWH * 0.16
    assert year_band(told.money.parts["power"])[1] == pytest.approx(power)
    assert np.allclose(told.money.total.sum(axis=1), sum(p.sum(axis=1) for p in told.money.parts.values()))


def test_a_sewer_by_the_winters_mean_takes_nothing_of_a_summers_mist():
    sewer = Tariff((Tier(2.0),), by="winter average")
    assert added_cost(sewer, (10.0,) * 12, month(6, 15)).sum() == 0.0
    # a unit of February is a third of one in the mean, and stands in all twelve bills: 12 x 1/3 x 2
    assert added_cost(sewer, (10.0,) * 12, month(1, 15)).sum() == pytest.approx(8.0)
    assert added_cost(replace(sewer, by="use"), (10.0,) * 12, month(6, 15)).sum() == pytest.approx(2.0)


def test_dear_hours_and_months_count_only_what_falls_into_them():
    tariff = Tariff((Tier(1.0),), adders=(Adder(0.5, (6, 9), (16.0, 19.0)),))
    assert added_cost(tariff, (9.0,) * 12, month(6, 14, 15, 16, 17, 18, 19)).sum() == pytest.approx(
        6 + 3 * 0.5
    )
    assert added_cost(tariff, (9.0,) * 12, month(9, 14, 15, 16, 17, 18, 19)).sum() == pytest.approx(6)
    night = replace(tariff, adders=(Adder(0.5, None, (22.0, 2.0)),))
    assert added_cost(night, (9.0,) * 12, month(0, 21, 22, 23, 0, 1, 2)).sum() == pytest.approx(6 + 4 * 0.5)


def test_a_minimum_without_an_allowance_is_the_least_the_tiers_come_to():
    tariff = Tariff((Tier(1.0),), minimum=5.0, tax=0.1)
    assert added_cost(tariff, (2.0,) * 12, month(6, 15)).sum() == 0.0  # 3 units are still 5
    assert added_cost(tariff, (2.0,) * 12, month(6, 15, amount=4.0)).sum() == pytest.approx(1.1 * (6 - 5))
    allowance = replace(tariff, includes=3.0)
    assert added_cost(allowance, (2.0,) * 12, month(6, 15, amount=4.0)).sum() == pytest.approx(1.1 * 3)


def test_where_the_house_stands_among_the_tiers_decides():
    """The same gallons for a house in the first tier, one on the edge, one in the last."""
    tariff = Tariff((Tier(1.0, 10.0), Tier(3.0)))
    for own, cost in ((0.0, 4.0), (8.0, 2 + 2 * 3), (20.0, 12.0)):
        assert added_cost(tariff, (own,) * 12, month(6, 15, amount=4.0)).sum() == pytest.approx(cost)
    summer = (0.0,) * 6 + (20.0,) + (0.0,) * 5
    assert added_cost(tariff, summer, month(6, 15, amount=4.0)).sum() == pytest.approx(12.0)


@pytest.mark.thorough
def test_nothing_is_made_up_where_no_price_is_stated():
    told, _ = year_of("courtyard")
    assert season.season_money(told.runs, told.hourly, Prices(), None) is None
    bare, _ = design.with_money(
        replace(told, money=None), replace(demo("courtyard")[0], prices=Prices()), None
    )
    text = report.season_sentences(bare, (), demo("courtyard")[0], "us", "en")
    assert "$" not in text and "COST" not in text
    only = season.season_money(told.runs, told.hourly, Prices(), Tariffs(power=Tariff((Tier(1e-8),))))
    assert list(only.parts) == ["power"]


# ------------------------------------------------------------------ the file


def mistakes(text: str) -> list[str]:
    with pytest.raises(InputErrors) as caught:
        files.parse_project(SMALLEST + text)
    return [mistake.code for mistake in caught.value.mistakes]


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ('[tariff.power]\nfixed = "7 a month"', ["missing-table"]),
        ('[tariff.power]\ntier = [{ up_to = "9 kWh" }, { price = "1 per kWh" }]', ["missing"]),
        ('[tariff.power]\ntier = [{ price = "1 per kWh" }, { price = "2 per kWh" }]', ["tier-after-last"]),
        ('[tariff.power]\ntier = [{ price = "1 per kWh", up_to = "9 kWh" }]', ["tier-no-last"]),
        ('[tariff.power]\ntier = [{ price = "1 per kWh", months = ["Jun", "Sep"] }]', ["tier-none"]),
        (
            '[tariff.power]\ntier = [{ price = "1 per kWh", up_to = "9 kWh" }, '
            '{ price = "1 per kWh", up_to = "9 kWh" }, { price = "2 per kWh" }]',
            ["tier-order"],
        ),
        ('[tariff.power]\nincludes = "9 kWh"\ntier = [{ price = "1 per kWh" }]', ["tariff-includes"]),
        (
            '[prices]\nelectricity = "1 per kWh"\n[tariff.power]\ntier = [{ price = "1 per kWh" }]',
            ["tariff-and-price"],
        ),
        ('[tariff.sewer]\ntier = [{ price = "1 per m3" }]', ["missing"]),
        ('[tariff]\nhousehold_water = ["9 m3", "9 m3"]', ["list-short"]),
        (
            '[tariff.sewer]\nby = "use"\nwinter = ["Dec", "Feb"]\ntier = [{ price = "1 per m3" }]',
            ["winter-unread"],
        ),
    ],
)
def test_each_mistake_of_a_tariff_is_told_once(text, codes):
    assert mistakes(text) == codes


def test_a_summers_tier_between_those_of_all_year_is_no_mistake():
    summer = '{ price = "2 per kWh", up_to = "20 kWh", months = ["Jun", "Sep"] }'
    tiers = f'{{ price = "1 per kWh", up_to = "9 kWh" }}, {summer}'
    project = files.parse_project(f'{SMALLEST}[tariff.power]\ntier = [{tiers}, {{ price = "3 per kWh" }}]')
    assert [tier.months for tier in project.tariff.power.tiers] == [None, (6, 9), None]
    assert {"tariff.household_power"} <= set(project.assumed)
    assert "tariff.household_water" not in project.assumed


def test_falling_prices_are_read_and_told_to_be_checked():
    falls = Tariffs(power=Tariff((Tier(2.0, 5.0), Tier(1.0))))
    assert [finding.code for finding in tariff_findings(falls)] == ["tariff-falls"]
    assert tariff_findings(Tariffs(power=Tariff((Tier(1.0, 5.0), Tier(2.0))))) == ()


def test_the_tariff_shown_reads(repository):
    page = (repository / "docs" / "project-file.md").read_text("utf-8")
    (shown,) = re.findall(r"```\n(\[tariff\].*?)```", page, re.S)
    tariff = files.parse_project(SMALLEST + shown).tariff
    assert tariff.sewer.by == "winter average" and len(tariff.water.tiers) == 2
    assert tariff.household_water == pytest.approx((9000 * GALLON,) * 12)


# ------------------------------------------------------------------ evenings


@pytest.mark.thorough
def test_an_evening_is_good_where_all_its_hours_are():
    """Against a loop over days."""
    dice = np.random.default_rng(5)
    table = season.timetable(CONTROL, NOT_AHEAD)  # 2 to 8 pm, May to September
    used = table.used.sum()
    utci = 301.0 + 6.0 * dice.random((2, used))
    year = season.control_year(CONTROL, table, np.zeros(8760, bool), np.zeros((2, 8760)), np.zeros((2, 8760)))

    felt = replace(
        made_up(year.runs[:, table.used]), utci=dict.fromkeys(("shade", "fan", "mist", "both"), utci)
    )
    told = season.tally(
        table, year, (felt,), SEASON_LIMITS, "x", np.full(8760, 300.0), year_of("courtyard")[0].hourly
    )
    wanted = np.zeros((2, 12))
    hours = np.flatnonzero(table.used)
    for draw in range(2):
        for day in range(365):
            mine = (hours // 24 == day) & (hours % 24 >= 17)
            if mine.any() and np.all(utci[draw, mine] <= 305.15):
                wanted[draw, table.month[day * 24]] += 1
    assert np.array_equal(told.patios[0].evenings["mist"], wanted)
    assert told.evenings.sum() == 153 and told.evenings[6] == 31
    assert 0 < wanted.sum() < 306


@pytest.mark.thorough
def test_what_an_evening_costs_is_of_the_draws_own_years():
    told, _ = year_of("courtyard")
    (patio,) = told.patios
    each = told.money.total.sum(axis=1) / patio.gained.sum(axis=1)
    low, middle, high = per_evening(told.money, patio)
    assert low == pytest.approx(np.quantile(each, 0.1), rel=0.02)
    assert middle == pytest.approx(np.quantile(each, 0.5), rel=1e-9)
    assert high == pytest.approx(np.quantile(each, 0.9), rel=0.02)
    none = replace(patio, evenings=dict.fromkeys(patio.evenings, np.zeros((21, 12))))
    assert per_evening(told.money, none) == (np.inf, np.inf, np.inf)


# ------------------------------------------------------------------ what is said


@pytest.mark.thorough
def test_money_is_told_at_every_door():
    told, findings = year_of("courtyard")
    project = demo("courtyard")[0]
    text = report.season_sentences(told, findings, project, "us", "en")
    assert max(map(len, text.splitlines())) <= 80
    dollars = f"${year_band(told.money.total)[1]:,.0f}"
    assert dollars in text and "an evening gained" in text
    july = [line for line in text.splitlines() if line.startswith("  July")]
    assert any(f"${month_bands(told.money.total)[6][1]:.0f}" in line for line in july)
    tree = json.loads(report.season_json(told, (), "x"))["season"]
    assert tree["cost"]["total"]["year"]["p50"] == pytest.approx(year_band(told.money.total)[1])
    rows = list(csv.DictReader(io.StringIO(season_csv(told))))
    assert float(rows[6]["cost_p50"]) == pytest.approx(month_bands(told.money.total)[6][1], rel=1e-5)
    euros = replace(told, money=replace(told.money, currency="EUR"))
    assert "€" in report.season_sentences(euros, (), project, "metric", "en")
    francs = replace(told, money=replace(told.money, currency="CHF"))
    assert " CHF" in report.season_sentences(francs, (), project, "metric", "en")


@pytest.mark.thorough
def test_an_assumed_household_is_told_as_such():
    project, weather = demo("courtyard")
    power = Tariff((Tier(0.1 / KWH, 900 * KWH), Tier(0.3 / KWH)))
    stated = replace(project, prices=Prices(), tariff=Tariffs(None, (877 * KWH,) * 12, power=power))
    told, _ = design.season_of(stated, weather)
    text = report.season_sentences(told, (), stated, "us", "en")
    assert "877 kWh" in text and "assumed" not in text
    guessed = replace(stated, assumed=("tariff.household_power",))
    assert "assumed" in report.season_sentences(told, (), guessed, "us", "en")


@pytest.mark.thorough
def test_two_patios_with_a_pump_have_a_table_that_fits():
    told, findings = year_of("courtyard")
    project = demo("courtyard")[0]
    two = replace(told, patios=(told.patios[0], replace(told.patios[0], patio="north side")))
    text = report.season_sentences(two, findings, project, "us", "en")
    assert max(map(len, text.splitlines())) <= 80
    head = next(line for line in text.splitlines() if line.startswith("BY MONTH"))
    assert "court, h" in head and "north sid, h" in head
    job = replace(planned("courtyard"), season=two)
    drafts = season_pages(job, PAPERS["letter"], Locale("us", "en"))
    assert "north sid, h" in {item.text for d in drafts for item in d.items if isinstance(item, Text)}


@pytest.mark.thorough
def test_parts_are_spread_over_the_years_the_owner_states():
    """First cost as the materials sheet has it, over ten years, and the year's bills, over its evenings."""
    project, weather = demo("courtyard")
    told, findings = year_of("courtyard")
    assert told.money.first == planned("courtyard").first_cost and told.money.years is None
    text = report.season_sentences(told, findings, project, "us", "en")
    complete = float(told.money.first.complete.total)
    assert f"${complete:,.0f}" in text and "over 10 years" not in text
    stated = replace(project, prices=replace(project.prices, years=10.0))
    spread, _ = design.season_of(stated, weather)
    each = (spread.money.total.sum(axis=1) + complete / 10) / spread.patios[0].gained.sum(axis=1)
    middle = per_evening(spread.money, spread.patios[0], complete / 10)[1]
    assert middle == pytest.approx(np.quantile(each, 0.5))
    text = report.season_sentences(spread, findings, stated, "us", "en")
    row = next(line for line in text.splitlines() if "over 10 years" in line)
    assert f"${middle:.2f}" in row
