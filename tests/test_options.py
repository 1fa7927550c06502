"""The ladder of ways to build a line: equal to looking at every way, never relaxed, true of what it names."""

from __future__ import annotations

import itertools
import json
import re
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mistcalc import cooling, design, files, options, report, takeoff
from mistcalc.design.options import built_so, with_year
from mistcalc.errors import InputError
from mistcalc.model.practice import NOZZLE_CLASSES
from mistcalc.model.project import Prices, Screen, SecondRow
from mistcalc.model.results import (
    BuildOption,
    CostTotal,
    OptionLadder,
    SeatAir,
    Wishes,
    YearTaken,
    quantiles,
    times,
    year_band,
)
from mistcalc.model.second_rows import with_row_feeds
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.owner.options_text import between, over_text, rows_change
from mistcalc.units import parse
from tests.test_design import demo

pytestmark = pytest.mark.thorough


def made(water: float, middle: float, cost: float | None = None, marks: int = 10) -> BuildOption:
    drops, total = np.full((3, 1), middle), None if cost is None else CostTotal(Decimal(str(cost)), 1, 0)
    return BuildOption(
        0.6, 0.15, "n", 1e-6, 7e6, 7e6, False, marks, water, 700.0, total, SeatAir(drops, 0.1)
    )  # fmt: skip


WAYS = st.lists(
    st.tuples(st.integers(1, 60), st.floats(0.0, 12.0), st.integers(100, 120)), min_size=1, max_size=40
)


@given(WAYS)
def test_each_rung_is_the_coolest_for_its_water_by_more_than_can_be_felt(ways):
    """Against every way there is: nothing left out is cooler, by more than SAME, for no more water, and
    nothing that nobody could tell from a rung is cheaper."""
    every = [made(float(water), middle, cost) for water, middle, cost in ways]
    rungs = options.rungs(every)
    assert 1 <= len(rungs) <= options.RUNGS
    for below, above in pairwise(rungs):
        assert above.water > below.water and above.middle > below.middle + options.SAME
    least = min(option.water for option in every)
    assert least <= rungs[0].water <= least * (1 + options.AS_MUCH)
    assert rungs[-1].middle >= max(option.middle for option in every) - options.SAME
    for rung in rungs:
        cheaper = [option.middle for option in every if option.water <= rung.water]
        assert rung.middle >= max(cheaper) - options.SAME
        same = [o for o in every if o.water == rung.water and o.middle >= rung.middle]
        assert rung.cost.total <= min(o.cost.total for o in same)


@given(WAYS, st.integers(1, 60), st.floats(0.0, 12.0))
def test_a_rung_named_instead_takes_less_and_cools_no_less(ways, water, middle):
    rungs = options.rungs([made(float(water), middle, cost) for water, middle, cost in ways])
    now = made(float(water), middle)
    ladder = OptionLadder("hot", "p", Wishes(), "USD", rungs, now, None, (), len(ways), (), Wishes())
    better = [rung for rung in rungs if rung.water < now.water and rung.middle >= now.middle]
    assert (ladder.instead is None) == (not better)
    if ladder.instead is not None:
        number, rung = ladder.instead
        assert rung is better[0] and rungs[number - 1] is rung


@pytest.mark.parametrize(
    ("ends", "told"), [((1, 2), "1 to 2 gal"), ((2, 2), "2 gal"), ((0.2, 3), "0.2 to 3 gal")]
)
def test_a_range_says_its_unit_once(ends, told):
    gallon = 231 * 0.0254**3
    locale = Locale("us", "en")
    band = (ends[0] * gallon, 0.0, ends[1] * gallon)
    assert between(band, lambda value: locale.number(value, "volume"), locale) == told


@pytest.mark.parametrize(
    ("ends", "told"),
    [(("$45", "$49"), "$45 to $49"), (("12 000 L", "12 300 L"), "12 000 to 12 300 L"),
     (("398 pesos of an island", "407 pesos of an island"), "398 to 407 pesos of an island"),
     (("900 L", "1.2 m3"), "900 L to 1.2 m3")],
)  # fmt: skip
def test_a_unit_of_several_words_is_said_once_and_digits_stay(ends, told):
    figures = dict(zip((0.0, 1.0), ends, strict=True))
    assert between((0.0, 0.5, 1.0), figures.__getitem__, Locale("us", "en")) == told


@pytest.mark.parametrize(
    ("language", "told"), [("en", "less than 1 °C cooler"), ("es", "menos de 1 °C más fresco")]
)
def test_nothing_is_about_0_degrees_cooler(language, told):
    locale = Locale("metric", language)
    for span in ((0.0, 0.2), (-0.3, 0.3), (0.1, 0.4)):
        assert locale.label("options.way_now", water=0.1, span=span).endswith(told)
    assert "0" in locale.label("options.way_now", water=0.1, span=(0.1, 1.2)).split(",")[1]


def test_of_ways_nobody_could_tell_apart_the_cheapest_stands():
    dear, cheap = made(20.0, 5.0, 900.0), made(20.5, 4.9, 700.0)
    assert options.rungs([dear, cheap]) == (cheap,)
    assert options.rungs([dear, made(22.0, 5.05, 700.0)]) == (dear,)  # much more water
    few, many = made(20.5, 4.9, marks=8), made(20.0, 5.0, marks=10)  # no part has a price
    assert options.rungs([many, few]) == (few,)


@pytest.fixture(scope="module")
def terraza():
    """Pitches and setbacks of a line on the mains: every one is looked at by hand."""
    project, weather = demo("terraza")
    return project, weather, options.options_of(project, weather, "metric", Wishes())


def test_a_small_grid_is_what_whole_jobs_say_one_by_one(terraza):
    project, weather, ladder = terraza
    answers = []
    tried = [*itertools.product((0.45, 0.6, 0.75, 0.9), (0.15, 0.3, 0.6), (1,))]
    tried += [(pitch, 0.15, share) for pitch in (0.45, 0.6, 0.75, 0.9) for share in (1 / 3, 1 / 2, 2 / 3)]
    for pitch, setback, share in tried:
        (patio,) = project.patios
        second = SecondRow(round(round(patio.depth * share / 0.005) * 0.005, 9), f"2{patio.runs[0].name}")
        runs = tuple(replace(run, second_row=second if share < 1 else None) for run in patio.runs)
        laid_so = replace(patio, line_behind_edge=setback, marks=replace(patio.marks, pitch=pitch), runs=runs)
        way = with_row_feeds(replace(project, patios=(laid_so,)))
        laid = design.lay_all(way)
        layouts = tuple(layout for layout, _ in laid)
        solved, found = design.solve_line(way.plumbing, layouts, design.hottest(weather, way.place))
        if any(f.level == "fail" for f in (*found, *(f for _, each in laid for f in each))):
            continue
        airs = design.outdoor_conditions(weather, way.place)
        (hot, *_), _ = design.afternoons(
            way.patios[0], layouts[0], solved, way.plumbing, airs, way.place.bearing
        )
        answers.append((solved.total_flow, hot.drop["seats"]))
    assert ladder.tried == 24 and len(answers) == 24 - sum(count for _, count in ladder.broken)
    middles = {water: quantiles(drops)[1] for water, drops in answers}
    for rung in ladder.rungs:
        assert any(
            rung.water == pytest.approx(water) and np.allclose(rung.drops, drops, rtol=0.0, atol=1e-9)
            for water, drops in answers
        )
        cheaper = [middle for water, middle in middles.items() if water <= rung.water * (1 + 1e-9)]
        assert rung.middle >= max(cheaper) - options.SAME
    assert ladder.rungs[-1].middle == pytest.approx(max(middles.values()), abs=options.SAME)


def test_ways_of_one_plan_side_by_side_are_each_what_it_is_alone():
    """Nozzles and pressures at the same marks are asked together, those of other plans after them."""
    project, weather = demo("courtyard")
    ways = list(options.ways(project, "us"))
    sawn = {}
    built = [built_so(way, weather, "court", Wishes(), sawn=sawn) for way in (*ways[5:9], *ways[40:43])]
    assert len({id(one.layouts[0]) for one in built}) == 3 == len(sawn)
    air = design.outdoor_conditions(weather, project.place)[0]
    asked = [(*one.at("court"), one.line, one.project.plumbing) for one in built]
    told, roughly = (
        cooling.seats_of_ways(asked, air, project.heading("court"), roughly=near) for near in (False, True)
    )
    for way, seats, near, one in zip(asked, told, roughly, built, strict=True):
        (alone,), _ = design.afternoons(*way, (air,), project.heading("court"))
        assert seats.drops == pytest.approx(alone.drop["seats"], abs=1e-9)
        assert np.median(near.drops) == pytest.approx(np.median(seats.drops), abs=0.02)
        _, parts = design.to_buy(one.project, one.layouts, one.line)
        assert one.option.cost == takeoff.first_cost(parts, project.prices, project.plumbing.tube).complete


def test_a_limit_of_money_is_kept_and_needs_prices(terraza):
    project, weather, ladder = terraza
    bare = replace(project, prices=Prices())
    with pytest.raises(InputError) as refused:
        options.options_of(bare, weather, "metric", Wishes(cost=options.amount("$2,500")))
    assert refused.value.code == "cost-without-prices"
    priced = replace(project, prices=Prices(nozzle=10.0))
    limit = 10.0 * (ladder.stated.marks - 1)
    kept = options.options_of(priced, weather, "metric", Wishes(cost=limit))
    assert kept.rungs and all(float(rung.cost.total) <= limit for rung in kept.rungs)
    assert 0 < dict(kept.broken)["cost"] < kept.tried


def test_a_rung_takes_in_a_year_what_the_year_itself_says():
    """Against the whole year, mist solved, of the project and of one way to build it otherwise."""
    project, weather = demo("courtyard")
    other = next(way for way in options.ways(project, "us") if way.plumbing.nozzle != project.plumbing.nozzle)
    built = [built_so(one, weather, "court", Wishes()) for one in (project, other)]
    told = with_year([one.option for one in built], built, built[0], weather)
    for one, option in zip((project, other), told, strict=True):
        year, _ = design.season_of(one, weather)
        assert option.year.water == pytest.approx(times(year_band(year.runs), year.hourly.water), rel=0.01)
        assert option.year.money == pytest.approx(year_band(year.money.total), rel=0.01)


def test_a_screen_beside_it_is_what_the_project_with_that_screen_says(terraza):
    project, weather, ladder = terraza
    patio = project.patios[0]
    told = ladder.beside[0]
    more = replace(patio, screens=(*patio.screens, Screen("s", told.run, told.height)))
    with_it = replace(project, patios=(more, *project.patios[1:]))
    drops = [design.run(one, weather).cooling[0].drop["seats"] for one in (project, with_it)]
    assert told.mist == pytest.approx(quantiles(drops[1] - drops[0]))


def test_what_is_asked_is_kept_and_never_relaxed(terraza):
    project, weather, free = terraza
    limit = free.rungs[0].water
    kept = options.options_of(project, weather, "metric", Wishes(water=limit))
    assert kept.rungs and all(option.water <= limit * (1 + 1e-6) for option in kept.rungs)
    none = options.options_of(project, weather, "metric", Wishes(water=free.least.water / 2))
    assert none.rungs == () and dict(none.broken)["water"] == none.tried
    text = " ".join(report.options_sentences(none, project, "metric", "en").split())
    assert "nothing was relaxed" in text and "The least water of any is" in text


def test_the_json_tells_the_same_ladder(terraza):
    project, _, ladder = terraza
    tree = json.loads(report.options_json(ladder, project.name))["options"]
    told = [rung["water_m3_s"] for rung in tree["rungs"]]
    assert told == pytest.approx([option.water for option in ladder.rungs], rel=1e-5)
    assert tree["tried"] == 24 and len(tree["steps_K"]) == len(ladder.rungs) - 1


@pytest.mark.parametrize(
    ("language", "tried", "built"), [("en", "pressures met", ", at 4."), ("es", "presiones que", ", a 4.")]
)
def test_on_the_mains_no_other_nozzle_or_pressure_is_spoken_of(terraza, language, tried, built):
    """Nothing of either was tried; the pressure falls as more nozzles run, and nobody builds that."""
    project, _, ladder = terraza
    assert len({way.plumbing.nozzle for way in options.ways(project, "metric")}) == 1
    text = " ".join(report.options_sentences(ladder, project, "metric", language).split())
    assert tried not in text and built not in text
    assert max(rung.pressure for rung in ladder.rungs) > 1.01 * min(rung.pressure for rung in ladder.rungs)


@pytest.mark.parametrize(
    ("language", "told"), [("en", "Rungs 1 and 3: nozzles"), ("es", "Escalones 1 y 3: boquillas")]
)
def test_a_nozzle_that_is_not_the_projects_is_told_as_the_file_has_it(terraza, language, told):
    """Three rungs, first and last of a class of the trade; what is typed from the sentence is that class."""
    project, _, ladder = terraza
    name, flow, at = NOZZLE_CLASSES[1]
    one, two, three = ladder.rungs[:3]
    other = {"nozzle": name, "rated_flow": flow, "rated_at": at}
    mixed = replace(ladder, rungs=(replace(one, **other), two, replace(three, **other)))
    for units, hole in (("us", "0.008 in"), ("metric", "0.20 mm (0.008 in)")):
        text = " ".join(report.options_sentences(mixed, project, units, language).split())
        assert told in text and hole in text
        said = text[text.index(told) :]
        flow_said, at_said = re.search(
            r"([\d.]+ (?:gph|gpm|L/h)) (?:at|a) ([\d,]+ (?:psi|bar))", said
        ).groups()
        assert parse(flow_said, "flow") == pytest.approx(flow, rel=0.01)
        assert parse(at_said.replace(",", ""), "pressure") == pytest.approx(at, rel=0.01)
    text = " ".join(report.options_sentences(ladder, project, "metric", language).split())
    assert told.split(" 1 ")[0] not in text  # all are the project's own


def test_where_every_way_breaks_a_rule_nobody_is_told_that_he_asked_too_much(terraza):
    """A check in the nozzles that the mains cannot open; "No way keeps all that was asked" stood there, where
    nothing had been asked. Where only the project breaks a rule, that is said beside its own figures."""
    project, weather, free = terraza
    shut = replace(project.plumbing, nozzle=replace(project.plumbing.nozzle, opens_at=9e5))
    ladder = options.options_of(replace(project, plumbing=shut), weather, "metric", Wishes())
    assert ladder.rungs == () and dict(ladder.broken)["line"] == ladder.tried
    text = " ".join(report.options_sentences(ladder, project, "metric", "en").split())
    assert (
        "Every way breaks a rule" in text
        and "all that was asked" not in text
        and "as it is now b" not in text
    )
    lame = replace(free, stated=replace(free.stated, breaks=("line",)))
    for told, here in ((free, False), (lame, True)):
        text = " ".join(report.options_sentences(told, project, "metric", "en").split())
        assert ("The project as it is now breaks a rule" in text) == here
        assert (
            "breaks a rule of ceiling or line" in list(over_text(told.stated, told, Locale("us", "en")))
        ) == here


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("currency", ["USD", "", "pesos of an island"])
def test_no_line_of_a_terminal_is_wider_than_it(terraza, language, currency):
    """With what a year takes, hardly any water on the floor, and money of any name."""
    project, _, ladder = terraza
    year = YearTaken((9.5, 10.0, 10.6), (1234.0, 1300.0, 1400.0))
    little = [replace(rung, year=year, air=replace(rung.air, landing=0.004)) for rung in ladder.rungs]
    text = ""
    for told in (ladder, replace(ladder, currency=currency, rungs=tuple(little))):
        text = report.options_sentences(told, project, "metric", language)
        assert max(map(len, text.splitlines())) <= 80
    assert "0.4 %" in text and len(re.findall(r"(?m)^  6\b", text)) == 2  # both tables have their row of it


@pytest.mark.long
def test_a_pumped_line_is_offered_nozzles_and_pressures_of_the_trade():
    project, weather = demo("courtyard")
    ladder = options.options_of(project, weather, "us", Wishes(floor=0.05))
    assert ladder.tried > 20 and len({option.nozzle for option in ladder.rungs}) >= 2
    assert all(option.landing <= 0.05 for option in ladder.rungs)
    ways = list(options.ways(project, "us"))
    assert len(ways) == ladder.tried - 1 and project not in ways
    assert all(files.rewrite(files.example_text("courtyard"), way) for way in ways[:3])


@pytest.mark.parametrize(
    ("language", "one", "two"),
    [("en", "1 way was worked out", "2 break a rule"), ("es", "Se calculó 1 manera:", "2 rompen una regla")],
)
def test_one_way_is_told_as_one(terraza, language, one, two):
    project, _, ladder = terraza
    few = replace(ladder, tried=1, broken=(("lid", 1), ("line", 2)))
    text = " ".join(report.options_sentences(few, project, "metric", language).split())
    assert one in text and two in text
    assert ("1 lays a mark" if language == "en" else "1 pone una marca") in text


def test_a_second_row_moved_is_not_told_as_one_more():
    """From one row to two, from two to two elsewhere, from two to one."""
    one, two = made(20.0, 5.0), replace(made(21.0, 6.0), second=1.2)
    assert rows_change(one, two) == "change_two_rows"
    assert rows_change(two, replace(two, second=1.8)) == "change_second"
    assert rows_change(two, one) == "change_one_row"
