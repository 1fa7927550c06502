"""One verdict an afternoon, and every door says the same of it."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import design, files
from mistcalc.checks import mist_verdict, zone_cooling_findings
from mistcalc.model.project import TypedAfternoon
from mistcalc.model.results import Finding, InformationValue
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.results_json import plan_json
from mistcalc.report.job_summary import job_summary_text
from mistcalc.report.owner import afternoon_text
from tests import builders

WET = Finding("wet-likely", "note", "porch/humid")
LITTLE = Finding("little-cooling", "note", "porch/humid")
FELT = Finding("little-felt", "note", "porch/humid")
FULL = Finding("air-saturated", "note", "porch/humid")
DRY = Finding("no-water", "fail", "porch/humid")


def test_the_verdict_says_what_the_owner_will_see_and_why_it_is_little():
    seats = replace(WET, values=(("glasses", ("sofa",)),))
    damp = replace(LITTLE, values=(("damp", True), ("blown", False), ("small", True)))
    told = mist_verdict(builders.cooling("humid"), (seats, damp))
    assert (told.advice, told.floor, told.signs) == ("little", "wet", ("wet_floor",))
    assert (told.glasses, told.little) == (("sofa",), ("damp", "small"))
    assert mist_verdict(builders.cooling("humid"), (WET,)).advice == "wet"
    assert mist_verdict(builders.cooling("humid"), (FELT,)).little == ("felt",)
    assert mist_verdict(builders.cooling("humid"), ()).little is None


def test_the_cold_lies_where_it_is_still_and_claims_are_told_where_they_are_not_reached():
    """20 degF is the least that the trade promises; no source."""
    cooled = builders.cooling()
    still = replace(cooled.layers, still=np.full((2, 3), 0.6))
    assert mist_verdict(replace(cooled, layers=still), ()).lies is not None
    assert mist_verdict(replace(cooled, layers=replace(still, still=np.full((2, 3), 0.4))), ()).lies is None
    low, high = mist_verdict(cooled, ()).claims
    assert (low * 1.8, high * 1.8) == pytest.approx((20.0, 40.0))
    assert mist_verdict(builders.cooling(scale=3.0), ()).claims is None


@pytest.mark.parametrize(
    ("found", "call", "outcome"),
    [
        ((), "run", "dry"),
        ((replace(WET, where="porch/hot"),), "run", "dry"),
        ((WET,), "run", "wet"),
        ((LITTLE,), "little", "little"),
        ((LITTLE, WET), "little", "little-wet"),
        ((FELT,), "damp", "little"),
        ((replace(LITTLE, values=(("fan_more", True),)),), "fan", "little"),
        ((FULL, WET), "off", "no-gain"),
        ((DRY, FULL), "no_water", "no-water"),
    ],
)
def test_the_verdict_is_the_worst_of_what_was_found(found, call, outcome):
    verdict = mist_verdict(builders.cooling("humid"), found)
    assert (verdict.call, verdict.outcome) == (call, outcome)


def test_an_afternoon_the_control_sits_out_is_not_one_to_run_it_on():
    """64 % humidity where the mist stops at 55 %: "run the mist" beside "turn it off" was printed."""
    control = builders.project().control
    damp = np.array([0.64, 0.64, 0.40])
    air = replace(builders.air(), relative_humidity=damp, wind=np.full(3, 0.5), hours_used=3)
    verdict = mist_verdict(builders.cooling(), (), air, control)
    assert (verdict.call, verdict.outcome) == ("stopped", "stopped")
    assert verdict.stopped == pytest.approx(2 / 3)
    dry = mist_verdict(builders.cooling(), (), replace(air, relative_humidity=damp - 0.3), control)
    assert (dry.call, dry.stopped) == ("run", 0.0)
    windy = replace(air, relative_humidity=damp - 0.3, wind=np.full(3, control.wind_stop + 0.1))
    assert mist_verdict(builders.cooling(), (), windy, control).call == "stopped"
    assert mist_verdict(builders.cooling("humid"), (FULL,), air, control).call == "off"


def test_zones_that_never_run_together_are_said_to_cool_apart():
    """Two zones under one patio ceiling: the cooling is worked with both on, so it is of no hour."""
    line = builders.line()
    marks = tuple(replace(m, zone="long" if n < 2 else "short") for n, m in enumerate(line.marks))
    (whole,) = line.sets
    apart = tuple(replace(whole, zones=(name,)) for name in ("long", "short"))

    def codes(**changes: object) -> list[str]:
        told = zone_cooling_findings(builders.patio(), replace(line, **changes), ("hot", "humid"))
        return [f"{f.code} {f.where} {f.level}" for f in told]

    assert codes(marks=marks, sets=apart) == ["zones-apart porch/hot warn"]
    assert codes(marks=marks, sets=(*apart, replace(whole, zones=("long", "short")))) == []
    assert codes() == []


def test_only_what_narrows_the_range_is_worth_finding_out():
    """The range of the builder is 2 to 6.5 K: 4.5 wide, nine tenths of which are 4.05."""
    told = (
        InformationValue("wind", 2.0),
        InformationValue("wind_speed", 4.0),
        InformationValue("openness", 4.1),
    )
    verdict = mist_verdict(replace(builders.cooling(), worth=told), ())
    assert verdict.find_out == ("wind", "wind_speed")
    narrow = replace(builders.cooling(scale=0.05), worth=tuple(replace(w, left=0.05 * w.left) for w in told))
    assert mist_verdict(narrow, ()).find_out == ()  # a windy pavilion: "0 °C wide" tells nobody anything


@pytest.mark.thorough
def test_in_saturated_air_every_door_says_leave_it_off():
    """38 degC at 100 %: the sheet said leave it off, the summary "no use", the page "about 0 degF cooler"."""
    read = files.parse_project(files.example_text("terraza"), "terraza")
    full = TypedAfternoon("hot", 303.15, 1.0, 1.0)
    done = design.run(replace(read, place=replace(read.place, climate=None, afternoons=(full,))), None)
    (cooled,), (verdict,) = done.cooling, done.verdicts
    assert (verdict.call, verdict.outcome) == ("off", "no-gain")
    locale = Locale("us", "en")
    assert "leave the mist off" in afternoon_text.sentence(done, cooled, locale)  # page and sheet
    assert locale.label("outcome.no-gain") in job_summary_text(done)
    assert json.loads(plan_json(done))["cooling"]["mist"] == "off"


def test_the_sentence_holds_the_range_and_says_of_what():
    cooled = builders.cooling()
    done = builders.design(
        cooling=(cooled,),
        afternoons=(replace(builders.air(), hours_used=21),),
    )
    said = afternoon_text.sentence(done, cooled, Locale("us", "en"))
    assert "4 to 12 °F cooler" in said and "8 such afternoons in 10" in said  # 2.0 and 6.5 K
    typed = builders.design(cooling=(cooled,), afternoons=(builders.air(),))
    assert "8 chances in 10" in afternoon_text.sentence(typed, cooled, Locale("us", "en"))


def test_winds_are_rows_a_person_can_look_up():
    rows = afternoon_text.wind_rows(builders.cooling(), Locale("us", "en"))
    assert [row.often for row in rows] == ["1 in 10", "7 in 10", "2 in 10", "2 in 10"]
    assert "northeast" in rows[-1].name and "smoke" in rows[0].name
    assert rows[1].cooler == "4 to 11 °F"
    rare = replace(builders.WINDS[0], share=0.02, band=None)
    (row,) = afternoon_text.wind_rows(replace(builders.cooling(), winds=(rare,)), Locale("us", "en"))
    assert (row.often, row.cooler) == ("hardly ever", "too seldom to say")


@pytest.mark.thorough
def test_shares_of_winds_sum_to_all_of_the_draws():
    """Calm, light air and breeze leave no draw out; the worst side is some of the last two."""
    read = files.parse_project(files.example_text("courtyard"), "courtyard")
    weather = files.read_climate(files.climate_path("el-paso", None))
    for cooled in design.run(read, weather).cooling:
        told = {one.name: one for one in cooled.winds}
        assert sum(told[name].share for name in ("calm", "light", "breeze")) == pytest.approx(1.0)
        bands = [one.band for one in cooled.winds if one.band]
        least, most = np.min(cooled.drop["seats"]), np.max(cooled.drop["seats"])
        assert all(least <= low <= middle <= high <= most for low, middle, high in bands)
        assert told["worst_side"].band[1] < cooled.band("seats")[1] < told["best_side"].band[1]


def test_a_fan_is_wanted_where_the_plan_has_none_and_it_would_clearly_do_more():
    """Clearly: by what is noticed sitting still, 2 degF of SET (our judgment)."""
    cooled = replace(builders.cooling(), feel=builders.feel())
    gain = cooled.feel.band("mist", (0.5,))[0] - cooled.feel.band("both", (0.5,))[0]
    assert gain * 1.8 > 2.0
    assert mist_verdict(cooled, ()).fan_wanted
    assert not mist_verdict(replace(cooled, feel=replace(cooled.feel, fan_supposed=None)), ()).fan_wanted
    alike = {**cooled.feel.effective, "both": cooled.feel.effective["mist"] - 1.0}
    assert not mist_verdict(replace(cooled, feel=replace(cooled.feel, effective=alike)), ()).fan_wanted
    assert not mist_verdict(replace(cooled, feel=None), ()).fan_wanted


def test_where_the_mist_does_little_a_fan_stands_in_only_if_it_cools():
    """Clearly is 1 degF of SET (our judgment); in a breeze, or in hot dry air, a fan may do nothing."""
    cooled = replace(builders.cooling(), feel=builders.feel())
    felt = cooled.feel.effective
    assert mist_verdict(cooled, ()).instead == "fan"
    idle = replace(cooled.feel, effective={**felt, "fan": felt["shade"] - 0.1})
    assert mist_verdict(replace(cooled, feel=idle), ()).instead == "shade"
    assert mist_verdict(replace(cooled, feel=None), ()).instead == "shade"
