"""What the materials cost, against amounts worked by hand; all prices are invented."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mistcalc import files, words
from mistcalc.errors import InputErrors
from mistcalc.files.project.line_keys import FITTINGS
from mistcalc.files.project.schema import PRICED
from mistcalc.model.parts import LATER, REACHED, ROUGH_IN
from mistcalc.model.project import PartPrice, Prices, Tube
from mistcalc.model.results import FirstCost, Part
from mistcalc.takeoff import first_cost
from tests.builders import FT, IN
from tests.report.jobs import job

TUBE = Tube("stainless 304", 0.375 * IN, 0.035 * IN, 10 * FT, IN / 16, "compression")
KIND = (("material", TUBE.material), ("outside", TUBE.outside), ("wall", TUBE.wall), ("stick", TUBE.stick))
STICKS = Part("tube", 7, "", KIND)


def priced(parts: list[Part], prices: Prices) -> FirstCost:
    return first_cost(parts, prices, TUBE)


def test_tube_is_bought_in_whole_lengths_at_a_price_a_foot():
    # 4.20 a foot: a length of 10 ft is 42.00, seven are 294.00
    (row,) = priced([STICKS], Prices(tube=4.20 / FT)).parts
    assert (row.price, row.total) == (Decimal("42.00"), Decimal("294.00"))
    (metric,) = priced([STICKS], Prices(tube=14.0)).parts  # 14 a meter: 42.672 a length, 298.704 in all
    assert (metric.price, metric.total) == (Decimal("42.672"), Decimal("298.70"))


def test_another_tube_is_not_sold_at_the_price_of_the_line_s():
    copper = dataclasses.replace(STICKS, detail=(("material", "copper"), *STICKS.detail[1:]))
    cost = priced([STICKS, copper], Prices(tube=4.20 / FT))
    assert [row.total for row in cost.parts] == [Decimal("294.00"), None]
    assert (cost.complete.priced, cost.complete.unpriced) == (1, 1)


@pytest.mark.parametrize(
    ("each", "count", "total"),
    [
        ("0.125", 1, "0.13"),
        ("0.125", 3, "0.38"),
        ("1.005", 1, "1.01"),
        ("2.675", 1, "2.68"),
        ("0.1", 3, "0.30"),
    ],
)
def test_cents_are_rounded_half_up(each, count, total):
    """Half even, and binary sums, give other cents for each of these."""
    (row,) = priced([Part("plug", count, "")], Prices(parts=(PartPrice("plug", None, float(each)),))).parts
    assert row.total == Decimal(total)


def test_whole_packs_are_bought_and_spares_come_out_of_opened_ones():
    prices = Prices(
        nozzle=6.0, parts=(PartPrice("nozzle", None, None, 12), PartPrice("clip", None, 18.0, 25))
    )
    detail = (("nozzle", "0.012 in orifice"),)
    parts = [Part("nozzle", 20, "", detail), Part("spare-nozzle", 2, "", detail), Part("clip", 26, "")]
    nozzles, spare, clips = priced(parts, prices).parts
    assert (nozzles.buy, nozzles.price, nozzles.total) == (2, Decimal("72.00"), Decimal("144.00"))
    assert (spare.buy, spare.total) == (0, Decimal("0.00"))  # four are left of two packs
    assert (clips.buy, clips.total) == (2, Decimal("36.00"))
    other = [parts[0], Part("spare-nozzle", 2, "", (("nozzle", "0.008 in orifice"),))]
    assert [row.buy for row in priced(other, prices).parts] == [2, 1]  # of another kind: its own pack


def test_a_price_for_a_size_of_tube_goes_before_one_for_any():
    rows = (PartPrice("tee", None, 9.0), PartPrice("tee", 0.25 * IN, 5.0), PartPrice("elbow", 0.5 * IN, 7.0))
    tees = [Part("tee", 2, "", (("outside", size * IN),)) for size in (0.375, 0.25)]
    elbow = Part("fitting", 3, "", (("fitting", "elbow"), ("outside", 0.375 * IN)))
    cost = priced([*tees, elbow], Prices(parts=rows))
    assert [row.total for row in cost.parts] == [Decimal("18.00"), Decimal("10.00"), None]


@given(st.lists(st.tuples(st.sampled_from((*ROUGH_IN, *LATER)), st.integers(1, 99), st.integers(0, 10**5))))
def test_what_goes_in_now_and_what_is_bought_later_is_all(drawn):
    parts = [Part(name, count, "") for name, count, _ in drawn]
    rows = {
        name: PartPrice(name.removeprefix("spare-").replace("-", " "), None, cents / 100)
        for name, _, cents in drawn
        if cents % 3
    }
    cost = priced(parts, Prices(parts=tuple(rows.values())))
    assert cost.rough_in.total + cost.later.total == cost.complete.total
    assert cost.complete.priced + cost.complete.unpriced == len(parts)
    assert {row.part.name for row in cost.parts if row.rough_in} <= set(ROUGH_IN)


def test_every_part_is_now_or_later_and_has_words_and_a_price_name():
    assert not set(ROUGH_IN) & set(LATER) and set(REACHED) <= set(FITTINGS)
    for part in (*ROUGH_IN, *LATER):
        assert words.label(f"part.{part}")
    for name in ("courtyard", "bayou", "terraza"):
        assert {part.name for part in job(name).parts} <= {*ROUGH_IN, *LATER}
    assert set(FITTINGS) <= set(PRICED) and "spare nozzle" not in PRICED


def test_the_demo_says_what_it_leaves_out():
    cost = job("courtyard").first_cost
    assert (
        cost.currency == "USD" and cost.complete.unpriced == sum(row.price is None for row in cost.parts) > 0
    )
    # ten lengths at 42.00, 28 tees at 11.50, two packs of clips at 18.00, three of plugs at 9.80
    assert cost.rough_in.total == Decimal("420.00") + 322 + 36 + Decimal("29.40")


SMALL = """
format = 1
name = "p"
place = { elevation = "1 m", climate = "el-paso" }
[[patio]]
name = "p"
depth = "9 ft"
[[patio.run]]
name = "A"
length = "12 ft"
[prices]
part = [ { name = "tee", price = "9 each" }, { name = "tee", price = "8 each" } ]
"""


def test_a_price_stated_twice_is_one_mistake():
    with pytest.raises(InputErrors) as caught:
        files.parse_project(SMALL)
    (mistake,) = caught.value.mistakes
    assert mistake.code == "price-twice"
    sized = SMALL.replace('"tee", price = "8', '"tee", outside = "1/4 in", price = "8')
    assert files.parse_project(sized).prices.parts[1].outside == pytest.approx(0.25 * IN)
