"""Bills that public utilities work out on their own pages. Old prices: they check sums, never a real bill."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import numpy as np
import pytest

from mistcalc.model.project import Adder, Tariff, Tier
from mistcalc.season.billing import added_cost, bills, tier_shares
from mistcalc.words.numbers import cents
from tests.published.cases import Source

GALLON, UNIT, KWH = 231 * 0.0254**3, 100 * 0.3048**3, 3.6e6  # m3; 100 cu ft in m3; J
KGAL = 1000 * GALLON
WINTER, SUMMER = 0, 6  # January, July
LIMITS = "One bill's sums, in prices of their year. Which block a house falls into is its own use."


def source(page: str, title: str, cite: str, read: str = "page") -> Source:
    return Source(page=page, subject="Money", title=title, cite=cite, read=read, limits=LIMITS)


IRVING = source("bill-irving", "A minimum with an allowance", "City of Irving, 'Understanding Your Bill'")
ARDEN = source(
    "bill-arden-hills", "A quarter, an allowance and two rising tiers",
    "City of Arden Hills, council papers 2013; its printed totals are a cent above the sum of its lines",
)  # fmt: skip
DESERT = source(
    "bill-hi-desert", "Two tiers by 100 cubic feet",
    "Hi-Desert Water District, 'Water Rates'; what the page calls a bill of 6 units is one of 8",
)  # fmt: skip
CORPUS = source(
    "bill-corpus-christi", "Five tiers and a minimum",
    "City of Corpus Christi, water calculator, 5/8 in meter, inside the city: its rates, bills by hand",
    "derived",
)  # fmt: skip
SEYMOUR = source(
    "bill-seymour", "Power: falling blocks, seasons, power cost, tax", "City of Seymour, 'bill comparison'"
)


def kgal(*tiers: tuple[float | None, float], **more: float) -> Tariff:
    """Tiers as (up to so many gallons, price per 1,000 gal)."""
    return Tariff(
        tuple(Tier(price / KGAL, None if top is None else top * GALLON) for top, price in tiers), **more
    )


def bill(tariff: Tariff, used: float, month: int = WINTER) -> float:
    return float(bills(tariff, np.full(12, used))[month])


def check(source: Source, what: str, ours: float, told: float) -> None:
    source.check(what, float(cents(ours)), told, "$", within=1e-9, because="to the cent, halves up")


def test_irving():
    water = kgal((None, 4.60), minimum=11.38, includes=3000 * GALLON)
    check(IRVING, "water, 7,000 gal", bill(water, 7000 * GALLON), 29.78)
    sewer = kgal((None, 3.56), minimum=6.62, includes=2000 * GALLON, by="winter average")
    year = np.array([5000.0] * 3 + [9000.0] * 9) * GALLON  # July's bill by the winter's 5,000
    check(IRVING, "sewer by a winter average of 5,000 gal", bills(sewer, year)[SUMMER], 17.30)


@pytest.mark.parametrize(
    ("gallons", "told"),
    [(10000, 50.46), (12000, 57.48), (16000, 71.52), (25000, 103.11), (35000, 138.21), (50000, 230.46)],
)
def test_arden_hills(gallons, told):
    """Printed for 10,000 and 50,000 gal, the others worked out from the rates."""
    water = kgal((10000, 0.0), (35000, 3.51), (None, 6.15), fixed=41.16 + 7.71 + 1.59)
    check(ARDEN, f"water, {gallons:,} gal", bill(water, gallons * GALLON), told)


def test_arden_hills_lines_and_sewer():
    water = kgal((10000, 0.0), (35000, 3.51), (None, 6.15))
    shares = tier_shares(water, np.full(12, 50000 * GALLON))
    for (tier, within), told in zip(shares, (0.0, 87.75, 92.25), strict=True):
        check(ARDEN, f"water of the tier that costs {told:g}", float(tier.price * within[0]), told)
    sewer = kgal((None, 4.93), fixed=85.55, includes=15000 * GALLON, minimum=0.0)
    check(ARDEN, "sewer, 50,000 gal", bill(sewer, 50000 * GALLON), 258.10)
    check(ARDEN, "sewer, 10,000 gal", bill(sewer, 10000 * GALLON), 85.55)


@pytest.mark.parametrize(("units", "told"), [(8, 60.03), (6, 47.69)])
def test_hi_desert(units, told):
    tariff = Tariff((Tier(3.65 / UNIT, 4 * UNIT), Tier(6.17 / UNIT)), fixed=20.75)
    check(DESERT, f"{units} units of 100 cu ft", bill(tariff, units * UNIT), told)


CORPUS_TARIFF = kgal(
    (6000, 3.94), (15000, 5.91), (25000, 7.88), (None, 11.82), minimum=15.83, includes=2000 * GALLON
)


@pytest.mark.parametrize(
    ("gallons", "told"),
    [(2000, 15.83), (6000, 31.59), (8000, 43.41), (14000, 78.87), (17000, 100.54), (30000, 222.68)],
)
def test_corpus_christi(gallons, told):
    check(CORPUS, f"{gallons:,} gal", bill(CORPUS_TARIFF, gallons * GALLON), told)


def test_mist_costs_the_difference_of_two_bills():
    """3,000 gal on top of 14,000: 1,000 at 5.91 and 2,000 at 7.88, not 3,000 at the mean of either bill."""
    taken = np.zeros((1, 12, 24))
    taken[0, SUMMER, 15:18] = 1000 * GALLON
    added = added_cost(CORPUS_TARIFF, (14000 * GALLON,) * 12, taken)
    check(CORPUS, "3,000 gal more than 14,000 gal", float(added[0, SUMMER]), 21.67)
    assert np.count_nonzero(added) == 1


SEYMOUR_TARIFF = Tariff(
    (
        Tier(0.064 / KWH, 250 * KWH),
        Tier(0.049 / KWH, 700 * KWH),
        Tier(0.0475 / KWH, 1250 * KWH, (6, 9)),
        Tier(0.0446 / KWH),
    ),
    fixed=7.50,
    adders=(Adder(0.085 / KWH),),
    tax=0.01,
)


@pytest.mark.parametrize(
    ("name", "month", "kwh", "lines", "told"),
    [
        ("winter", WINTER, 1200, (16.00, 22.05, 0.0, 22.30), 171.55),
        ("summer", SUMMER, 2000, (16.00, 22.05, 26.13, 33.45), 277.88),
    ],
)
def test_seymour(name, month, kwh, lines, told):
    """550 kWh at 0.0475 are 26.125: printed 26.13."""
    use = np.full(12, kwh * KWH)
    for (tier, within), line in zip(tier_shares(SEYMOUR_TARIFF, use), lines, strict=True):
        price = tier.price * KWH
        check(SEYMOUR, f"{name}, the block at {price:.4f}", float(tier.price * within[month]), line)
    check(SEYMOUR, f"{name}, all of it", bill(SEYMOUR_TARIFF, kwh * KWH, month), told)


def test_floats_in_si_give_the_cents_of_decimals():
    """Any use in whole units, by the tiers as printed in Decimal, against ours through joules."""
    tiers = [(250, "0.064"), (700, "0.049"), (1250, "0.0475"), (10**9, "0.0446")]
    for kwh in range(0, 3000, 7):
        exact, reached = Decimal(0), 0
        for top, price in tiers:
            exact += Decimal(price) * max(min(kwh, top) - reached, 0)
            reached = top
        whole = (exact + Decimal("0.085") * kwh + Decimal("7.50")) * Decimal("1.01")
        told = whole.quantize(Decimal("0.01"), ROUND_HALF_UP)
        assert cents(bill(SEYMOUR_TARIFF, kwh * KWH, SUMMER)) == told
