"""Who lets pressure down or empties a line is told where, at what gauge, and what to do where no drain is.

Practice (common, no source): a test is let down to zero at a valve made for it before any plug is cracked.
"""

from __future__ import annotations

from functools import cache

import pytest

from mistcalc import design, files, words
from mistcalc.drawing.sheet import Text
from mistcalc.report import sheet_set
from mistcalc.units import meter_volume

pytestmark = pytest.mark.thorough

HOUSE = """format = 1
name = "Invented porch"
units = "us"
[place]
elevation = "80 ft"
[[place.afternoon]]
name = "hot"
dry_bulb = "98 degF"
relative_humidity = "45 %"
wind_on_patio = "3 mph"
wind_from = "S"
[[patio]]
name = "porch"
depth = "10 ft"
height = "9 ft"
plaster = {{ system = "{plaster}" }}
[[patio.run]]
name = "A"
length = "12 ft"
{line}"""
PUMP = '[pump]\nset_pressure = "800 psi"\n'
DRAIN = '[[line.drain]]\nat = "A end"\n'


@cache
def pages(line: str = "", plaster: str = "none") -> dict[str, str]:
    """Text of each kind of sheet."""
    told: dict[str, str] = {}
    done = design.run(files.parse_project(HOUSE.format(line=line, plaster=plaster)), None)
    for sheet in sheet_set.build(done, "us", "en"):
        drawn = (item.text for item in sheet.primitives() if isinstance(item, Text))
        text = " ".join(" ".join(drawn).split())
        told[sheet.title] = f"{told.get(sheet.title, '')} {text}"
    return told


@pytest.mark.parametrize(
    ("line", "where"),
    [(PUMP + DRAIN, "the drain at A end"), (PUMP, "the release valve of the test pump"), (DRAIN, "at A end")],
)
def test_no_plug_is_cracked_before_the_gauge_stands_at_zero(line, where):
    told = pages(line)["Test by gauge"]
    again = told[told.index("trapped air, or a leak") :]
    assert again.index("only with the gauge at 0 crack the far plug") < again.index("hold a second time")
    down = told[told.index("To let the pressure down:") :]
    off = "pump off and locked" if PUMP in line else "water shut and tagged, test pump off"
    assert down.index(off) < down.index(where) < down.index("until the gauge reads 0")
    assert "in the same way" in down and "Let air out at the far plug" not in told


def test_a_line_without_a_drain_is_not_told_to_open_one():
    for line in (PUMP, ""):
        whole = " ".join(pages(line).values())
        assert "This line has no drain: it cannot be emptied" in whole
        for said in ("open the drain", "Drain, and", "Drain after use", "drained dry", "Drain it"):
            assert said not in whole, said


def test_a_drain_is_named_where_an_owner_opens_it_with_the_gauge_at_zero_first():
    for line in (PUMP + DRAIN, DRAIN):
        whole = " ".join(pages(line).values())
        assert "no drain" not in whole
        tonight = whole[whole.index("Frost tonight") :]
        zero, hot = tonight.index("gauge reads 0"), tonight.index("first water can be hot")
        assert zero < hot < tonight.index("open the drain at A end slowly")
        assert "Drain after use" in whole


def test_a_watch_over_a_line_without_a_drain_asks_for_one_before_the_line_is_filled():
    assert "Have one put in before the line is first filled" in pages(PUMP, "three-coat")["Watch"]
    assert "drain the line at A end" in pages(PUMP + DRAIN, "three-coat")["Watch"]


def test_a_line_on_the_mains_is_spoken_to_without_a_pump():
    whole = " ".join(pages(DRAIN).values())
    for said in ("BY THE PUMP", "Pump, tube", "off pump", "locked out", "pump locked", "Pump, nozzles"):
        assert said not in whole, said
    whole = whole.replace("Children", "children")
    for said in ("BY THE STOP VALVE", "children off valves", "shut and tagged"):
        assert said in whole, said
    assert "Nozzles, fittings and the ladder are for whoever put the line in, valve shut" in whole
    pumped = " ".join(pages(PUMP + DRAIN).values())
    assert "Pump, nozzles, fittings and the ladder are for whoever" in pumped
    assert "BY THE PUMP" in pumped and "off pump" in pumped and "pump locked out" in pumped


def test_a_bare_pergola_reads_of_no_cover_and_any_country_of_its_own_rules():
    whole = " ".join(pages(DRAIN).values())
    assert "before it is covered" not in whole and "until its nozzle goes in" in whole
    assert "or your country's own rules" in whole
    assert "before it is covered" in " ".join(pages(DRAIN, "three-coat").values())


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("per_minute", [0.4, 0.6, 3.0, 20.0])  # liters
def test_the_house_meter_is_watched_for_20_to_120_seconds(system, per_minute):
    flow = per_minute / 60e3
    assert 20.0 <= meter_volume(flow, system) / flow <= 120.0


def test_each_test_by_gauge_has_its_lines_and_its_tries_are_no_hold_points():
    bare, plastered = (pages(PUMP + DRAIN, plaster)["Test by gauge"] for plaster in ("none", "three-coat"))
    assert "Before the line is put to use" in bare and "Three tests" in plastered
    assert "FIRST AND SECOND TRY OF EACH TEST" in plastered and "hold 1" not in plastered
    assert all(f"{n} {name}" in plastered for n in ("1st", "2nd") for name in ("clock", "gauge", "tube"))
    quarters = [
        told[told.index("READINGS") : told.index("GAUGE AFTER")].split().count("15")
        for told in (bare, plastered)
    ]
    assert quarters == [1, 3]


def test_test_and_list_of_materials_ask_for_one_gauge():
    told = pages(PUMP + DRAIN)["Test by gauge"]
    done = design.run(files.parse_project(HOUSE.format(line=PUMP + DRAIN, plaster="none")), None)
    (part,) = [part for part in done.parts if part.name == "gauge-pump"]
    assert f"Use a gauge of 0 to {words.number(dict(part.detail)['scale'], 'pressure')}" in told


def test_the_watch_says_what_its_second_number_means():
    told = pages(PUMP + DRAIN, "three-coat")["Watch"]
    assert "is called a leak" not in told and "The second number of the table means" in told
