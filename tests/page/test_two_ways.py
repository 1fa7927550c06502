"""A beside B: what is told of two ways, and that taking one makes the project just that way."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from mistcalc import files, options
from mistcalc.design.options import built_so
from mistcalc.model.results import BuildOption, CostTotal, OptionLadder, SeatAir, Wishes, YearTaken
from mistcalc.page.edits import apply_edit, way_taken
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.options_text import over_text
from mistcalc.report.owner.text_blocks import volumes
from mistcalc.report.owner.two_ways_text import two_ways, way_name, ways_to_hold
from mistcalc.units import parse
from tests.test_design import demo

GALLON, F = parse("1 gal", "volume"), 5 / 9
LOCALE = Locale("us", "en")


def way(gallons: float = 40.0, cooler: float = 9.0, **stated) -> BuildOption:
    """One whose seats are 8 to 10 degF around `cooler`, each case moved alike."""
    spread = np.linspace(-1.0, 1.0, 11)[:, None]
    made = BuildOption(
        pitch=parse("24 in", "length"),
        setback=parse("6 in", "length"),
        nozzle="n",
        rated_flow=1e-6,
        rated_at=7e6,
        pressure=parse("1000 psi", "pressure"),
        as_stated=False,
        marks=20,
        water=gallons * GALLON / 3600.0,
        motor=parse("1 hp", "power"),
        cost=CostTotal(Decimal(2000), 1, 0),
        air=SeatAir((cooler + spread) * F, 0.10),
        year=YearTaken((100 * gallons * GALLON, 110 * gallons * GALLON, 120 * gallons * GALLON), None),
    )
    return replace(made, **stated)


def told(a: BuildOption, b: BuildOption) -> dict[str, tuple[tuple[str, ...], str]]:
    rows = two_ways(a, b, "USD", LOCALE)
    return {row.key: (tuple(row.cells), "; ".join(row.difference)) for row in rows}


def test_a_way_beside_itself_is_the_same_in_every_row():
    assert {difference for _, difference in told(way(), way()).values()} == {""}
    assert set(told(way(), way())) == {
        "seats", "water", "laid", "sprayed", "motor", "floor", "cost", "year_water"
    }  # fmt: skip


def test_what_b_is_against_a_is_subtracted_in_words():
    """By hand: 14 gallons an hour more are 1,400 to 1,680 in a year of 100 to 120 hours."""
    b = way(
        54.0, 12.0, marks=27, pitch=parse("18 in", "length"), setback=parse("12 in", "length"),
        pressure=parse("800 psi", "pressure"), motor=parse("1.5 hp", "power"),
        cost=CostTotal(Decimal(2200), 1, 0),
    )  # fmt: skip
    rows = told(way(), b)
    assert rows["seats"] == (("8 to 10 °F", "11 to 13 °F"), "about 3 °F cooler")
    assert rows["water"] == (("40 gal", "54 gal"), "14 gal more")
    assert rows["laid"][1] == "7 nozzles more; 6 in closer together; 6 in farther behind the edge"
    assert rows["sprayed"][1] == "200 psi less"  # 2 gal an hour each, both
    assert (rows["motor"][1], rows["floor"][1]) == ("larger", "")
    assert rows["cost"][1] == "$200 more"
    assert rows["year_water"][1] == "1,400 to 1,680 gal more"
    back = told(b, way())
    assert back["seats"][1] == "about 3 °F less cool" and back["water"][1] == "14 gal less"
    assert back["laid"][1] == "7 nozzles fewer; 6 in farther apart; 6 in nearer the edge"


def test_pressures_that_read_apart_are_told_apart_by_what_is_read():
    """By hand: 3.976 and 3.974 bar read as 4 and 3.95 bar; they lie 0.002 apart, which would read as 0."""
    a, b = (way(pressure=parse(text, "pressure")) for text in ("3.976 bar", "3.974 bar"))
    rows = {row.key: row for row in two_ways(a, b, "EUR", Locale("metric", "en"))}
    assert [cell.rpartition(" at ")[2] for cell in rows["sprayed"].cells] == ["4 bar", "3.95 bar"]
    assert list(rows["sprayed"].difference) == ["0.05 bar less"]


def test_water_of_a_range_has_one_unit():
    liters = [parse(f"{liters} L", "volume") for liters in (0, 71.1, 285)]
    assert volumes(tuple(liters), Locale("metric", "en")) == "71.1 L (0 L to 285 L)"


def test_a_difference_is_that_of_the_figures_read():
    """27.4 and 30.6 % read as 27 and 31 %; 4 lie between those, though 3.2 lie between the two."""
    a = way(air=SeatAir(way().drops, 0.274), cost=CostTotal(Decimal("1947.40"), 1, 0))
    b = way(air=SeatAir(way().drops, 0.306), cost=CostTotal(Decimal("2085.60"), 1, 0))
    rows = told(a, b)
    assert rows["floor"] == (("27 %", "31 %"), "4 % more")
    assert rows["cost"] == (("$1,947", "$2,086"), "$139 more")


def test_cases_of_both_signs_are_told_by_both_ends_and_case_by_case():
    """The same spread the other way round: the ranges read alike, and yet no case is the same."""
    a = way()
    turned = replace(a, air=SeatAir(a.drops[::-1].copy(), 0.10))
    (alike, also), difference = told(a, turned)["seats"]
    assert alike == also and difference == "about 2 °F cooler to about 2 °F less cool"


def test_what_a_way_takes_over_a_limit_is_told_and_the_project_is_always_among_the_ways():
    now = way(50.0, as_stated=True, breaks=("water", "cost"))
    rung = way(30.0)
    wishes = Wishes(water=40 * GALLON / 3600.0, floor=0.05, cost=1900.0)
    ladder = OptionLadder("hot", "court", wishes, "USD", (rung,), now, None, (), 2, (), Wishes())
    assert ways_to_hold(ladder) == (rung, now)
    over = list(over_text(now, ladder, LOCALE))
    assert over[0] == "10 gal an hour over what you asked" and "$100" in over[1] and len(over) == 2
    assert list(over_text(rung, ladder, LOCALE)) == []
    assert way_name(rung, ladder, LOCALE).startswith("1: 30 gal")
    assert way_name(now, ladder, LOCALE).startswith("As it is now: 50 gal")
    on_it = replace(ladder, rungs=(rung, now))
    assert len(ways_to_hold(on_it)) == 2 and way_name(now, on_it, LOCALE).startswith("2, as it is now")


@pytest.mark.thorough
@pytest.mark.parametrize(("example", "step"), [("courtyard", 7), ("bayou", 23), ("terraza", 2)])
def test_taking_a_way_writes_that_way_and_leaves_every_comment(example, step):
    """Against the ways as they are made: the file then states just that project. A drop size of the nozzle
    that goes takes its own line with it."""
    project, weather = demo(example)
    text = files.example_text(example)
    comments = [line.partition("#")[2] for line in text.splitlines() if "#" in line and "drop_" not in line]
    looked_at = list(options.ways(project, project.units))[::step]
    assert len(looked_at) >= 4
    for other in looked_at:
        option = built_so(other, weather, project.patios[0].name, Wishes()).option
        after = project
        for edit in way_taken(project, project.patios[0].name, option):
            after = apply_edit(after, edit)
        assert after == other
        written = files.rewrite(text, after)
        assert replace(files.parse_project(written), assumed=()) == replace(other, assumed=())
        kept = [line.partition("#")[2] for line in written.splitlines() if "#" in line]
        assert [line for line in comments if line not in kept] == []


def test_taking_the_project_as_it_is_changes_nothing():
    project, weather = demo("courtyard")
    name = project.patios[0].name
    assert way_taken(project, name, built_so(project, weather, name, Wishes(), as_stated=True).option) == []
