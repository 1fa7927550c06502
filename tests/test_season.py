"""A typical year: the control's hours against other clocks and loops, tallies against hand arithmetic."""

from __future__ import annotations

import csv
import datetime
import io
import json
from dataclasses import replace
from functools import cache
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc import cooling, design, files, outdoor_air, report, season, words
from mistcalc.checks import SEASON_LIMITS
from mistcalc.cooling import unknowns
from mistcalc.cooling.hour_sampling import hours_of
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Polyline, Text
from mistcalc.errors import DataError, InputError
from mistcalc.model.project import Control
from mistcalc.model.results import COMFORT_COLUMNS, HourlyUse, SeasonHours, month_bands, year_band
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.season_export import season_csv
from mistcalc.report.owner.season_page import season_pages
from mistcalc.report.owner.season_text import RangeBars, SeasonTable, _stops, season_blocks
from tests.terminal import run
from tests.test_design import demo, planned

CONTROL = Control(304.0, 302.0, 0.55, 4.5, (14.0, 20.0), (5, 9))
NOT_AHEAD = np.zeros(8760, dtype=bool)
GALLON, KWH = 231 * 0.0254**3, 3.6e6


@cache
def year_of(name: str):
    return design.season_of(*demo(name))


# ------------------------------------------------------------------ when it runs


@pytest.mark.parametrize(
    ("hours", "months"), [((14.0, 20.0), (5, 9)), ((20.0, 2.0), (11, 2)), ((0.0, 0.0), (7, 7))]
)
def test_hours_of_use_are_those_on_the_wall(hours, months):
    """Against the computer's own time zones: the hours of El Paso, in standard time and out of it."""
    ahead = outdoor_air.on_daylight_time("us", 2026)
    table = season.timetable(replace(CONTROL, hours=hours, months=months), ahead)
    mountain = datetime.timezone(datetime.timedelta(hours=-7))
    wanted = [(months[0] + n - 1) % 12 + 1 for n in range((months[1] - months[0]) % 12 + 1)]
    for hour in range(0, 8759):
        standard = datetime.datetime(2026, 1, 1, tzinfo=mountain) + datetime.timedelta(hours=hour)
        wall = standard.astimezone(ZoneInfo("America/Denver"))
        start, end = hours
        inside = start <= wall.hour < end if start < end else wall.hour >= start or wall.hour < end
        assert table.used[hour] == (inside and wall.month in wanted), wall
        assert (table.month[hour] + 1, table.clock[hour]) == (wall.month, wall.hour)


@given(st.lists(st.sampled_from([290.0, 301.9, 302.0, 303.0, 304.0, 304.1, 310.0]), min_size=1, max_size=40))
def test_a_thermostat_keeps_its_state_between_its_two_temperatures(temperatures):
    state, wanted = False, []
    for t in temperatures * 3:  # the year is a ring: a third turn knows how the second ended
        state = True if t > CONTROL.on_above else False if t < CONTROL.off_below else state
        wanted.append(state)
    told = season.thermostat(CONTROL, np.array(temperatures))
    assert told.tolist() == wanted[-len(temperatures) :]


def test_every_hour_of_use_runs_or_has_one_reason_not_to():
    dice = np.random.default_rng(3)
    table = season.timetable(CONTROL, NOT_AHEAD)
    warm = dice.random(8760) < 0.6
    humidity, wind = dice.random((4, 8760)), 9.0 * dice.random((4, 8760))
    year = season.control_year(CONTROL, table, warm, humidity, wind)
    reasons = np.stack([year.runs, *year.kept_off.values()]).astype(int)
    assert np.array_equal(reasons.sum(axis=0), np.broadcast_to(table.used, (4, 8760)))
    assert not np.any(year.runs & (humidity > 0.55)) and not np.any(year.runs & (wind > 4.5))
    for runs, starts in zip(year.runs, year.starts, strict=True):
        assert starts.sum() == sum(runs[n] and not runs[n - 1] for n in range(8760))


# ------------------------------------------------------------------ tallies


def made_up(runs: np.ndarray, **values: float) -> SeasonHours:
    """300 K in the shade and 1 K less of everything with the mist on, where nothing else is said."""
    held = {"gain": 1.0, "humidity": 0.4, "carried_out": 0.1, "landing": 0.0, "depression": 15.0, **values}
    full = {name: np.full(runs.shape, value) for name, value in held.items()}
    shade = np.full(runs.shape, 300.0)
    columns = {"shade": shade, "fan": shade, "mist": shade - full["gain"], "both": shade - full["gain"]}
    rest = {name: full[name] for name in ("depression", "humidity", "carried_out", "landing")}
    return SeasonHours("p", columns, columns, **rest, fans=False, residual=0.0)


@pytest.mark.parametrize(
    ("values", "outcome", "harms"),
    [
        ({"gain": 3.0}, "good", ()),
        ({"gain": 0.2}, "little", ()),
        ({"gain": 0.2, "carried_out": 0.8}, "blown", ()),
        ({"gain": 0.2, "depression": 4.0}, "damp", ()),
        ({"gain": 3.0, "humidity": 0.95}, "good", ("humid",)),
        ({"gain": 3.0, "landing": 2.0, "humidity": 0.95}, "good", ("wet_floor", "humid")),
        ({"gain": np.nan}, "little", ()),
    ],
)
def test_an_hour_it_runs_is_counted_once_and_harm_beside_it(values, outcome, harms):
    table = season.timetable(CONTROL, NOT_AHEAD)
    calm = np.zeros((2, 8760))
    warm = np.arange(8760) % 2 == 0
    year = season.control_year(CONTROL, table, warm, calm, calm)
    felt = made_up(year.runs[:, table.used], **values)
    hourly, even = HourlyUse(2.0, None, 0.5), np.full(8760, 300.0)
    told = season.tally(table, year, (felt,), SEASON_LIMITS, "x", even, hourly)
    (patio,) = told.patios
    runs = 153 * 3  # every second of six hours, on the days of May to September
    assert year_band(told.runs) == (runs, runs, runs)
    assert {name: year_band(counts)[1] for name, counts in patio.outcomes.items()} == {
        **dict.fromkeys(patio.outcomes, 0.0), outcome: runs
    }  # fmt: skip
    assert {name for name, counts in patio.harms.items() if year_band(counts)[1] == runs} == set(harms)
    if values["gain"] == 3.0:  # 300 K is over 26 degC (299.15 K), 297 K is not
        assert year_band(patio.comfortable["shade"])[1] == 0.0
        assert year_band(patio.comfortable["mist"])[1] == runs
        assert year_band(patio.degree_hours["shade"])[1] == pytest.approx(0.85 * 918)
        assert year_band(patio.degree_hours["mist"])[1] == pytest.approx(0.85 * (918 - runs))


@pytest.mark.thorough
@pytest.mark.parametrize("name", ["courtyard", "bayou"])
def test_water_power_and_mineral_of_a_year_by_hand(name):
    """Hours, times what a meter reads in one; the water's minerals stay; a pump's watts for so long."""
    told, _ = year_of(name)
    project, job = demo(name)[0], planned(name)
    flow, water = sum(mark.flow for mark in job.line.marks), project.plumbing.water  # m3/s
    left = water.hardness if water.solids is None else water.solids
    assert told.hourly.water == pytest.approx(3600 * flow, rel=1e-6)
    assert told.hourly.mineral == pytest.approx(3600 * flow * left, rel=1e-6)
    assert told.hourly.mineral_at_least == (water.solids is None)
    power = job.line.duty.electric_power
    assert told.hourly.energy == (None if power is None else pytest.approx(3600 * power))
    tree = json.loads(report.season_json(told, (), name))["season"]
    for point, hours in tree["run_h"]["year"].items():
        assert tree["water_m3"][point] == pytest.approx(hours * 3600 * flow, rel=1e-6)


@pytest.mark.thorough
def test_the_courtyards_year_in_trade_units():
    """28 nozzles of 0.029 gpm at 1,000 psi: 28 x 0.029 x 60 = 48.7 gal an hour, less what the line loses."""
    told, _ = year_of("courtyard")
    assert told.hourly.water / GALLON == pytest.approx(28 * 0.029 * 60, rel=0.01)
    assert told.hourly.mineral == pytest.approx(told.hourly.water * 0.42, rel=1e-9)  # 420 mg/L
    assert 0.5 < told.hourly.energy / KWH < 1.1  # a pump of 1 hp, not at full load


@pytest.mark.thorough
@pytest.mark.parametrize("name", ["courtyard", "bayou"])
def test_parts_of_a_year_make_the_year(name):
    told, _ = year_of(name)
    used = told.used
    assert used.sum() == 153 * 6
    assert np.array_equal(told.runs + sum(told.kept_off.values()), np.broadcast_to(used, told.runs.shape))
    assert np.all(told.starts <= told.runs) and np.all(told.longest_day <= 6)
    for patio in told.patios:
        assert np.array_equal(sum(patio.outcomes.values()), told.runs)
        assert patio.answered == 1.0 and patio.residual < 5e-3
        for column in COMFORT_COLUMNS:
            assert np.all(patio.comfortable[column] <= patio.bearable[column])
            assert np.all(patio.bearable[column] <= used)
            assert np.all(patio.degree_hours[column] >= 0)
        mean = [middle for _, middle, _ in month_bands(patio.degree_hours["mist"])]
        assert all(held > 0 for held, month in zip(used.sum(axis=1), mean, strict=True) if month > 0)


@pytest.mark.thorough
def test_hours_solved_alone_agree():
    """A dozen hours of the year and one draw of it, each by itself, as an afternoon would be."""
    project, weather = demo("courtyard")
    job, year = planned("courtyard"), outdoor_air.year(weather, project.place)
    asked = (project.patios[0], job.layouts[0], job.line, project.plumbing)
    u = unknowns.draws(5)
    table = season.timetable(project.control, outdoor_air.on_daylight_time("us", 2026))
    warm = season.thermostat(project.control, year.temperature)
    used = np.flatnonzero(table.used & warm)[np.random.default_rng(13).permutation(500)[:12]]
    together = cooling.season_hours(*asked, year, used, np.ones(12, bool), project.place.bearing, u)
    for place, hour in enumerate(used):
        alone = hours_of(year, np.array([hour]))
        (one,) = cooling.every_hour(*asked, (alone,), project.place.bearing, u.one(place % 5))
        assert together.depression[place % 5, place] == pytest.approx(one.depression[0, 0], abs=1e-9)
        for column in COMFORT_COLUMNS:
            for index in ("utci", "effective"):
                answer = getattr(together, index)[column][place % 5, place]
                assert answer == pytest.approx(getattr(one.feel, index)[column][0, 0], abs=0.02)


def test_shade_is_the_same_whether_the_mist_may_run_or_not():
    project, weather = demo("courtyard")
    job, year = planned("courtyard"), outdoor_air.year(weather, project.place)
    asked = (project.patios[0], job.layouts[0], job.line, project.plumbing)
    used, u = np.arange(5000, 5006), unknowns.draws(3)
    off, on = (
        cooling.season_hours(*asked, year, used, np.full(6, misted), project.place.bearing, u)
        for misted in (False, True)
    )
    for column in ("shade", "fan"):
        np.testing.assert_allclose(off.utci[column], on.utci[column], rtol=0, atol=1e-9)
    assert np.isnan(off.utci["mist"]).all() and np.isfinite(on.utci["mist"]).all()
    assert all(np.isnan(off.effective[column]).all() for column in COMFORT_COLUMNS)  # nothing to compare
    assert all(np.isfinite(on.effective[column]).all() for column in COMFORT_COLUMNS)


@given(st.lists(st.booleans(), min_size=6, max_size=6))
@settings(max_examples=10, deadline=None)
def test_what_is_felt_in_an_hour_does_not_hang_on_the_others(misted):
    """Whichever hours the mist may run in: each of them has the figures it has where all do."""
    project, weather = demo("bayou")
    job, year = planned("bayou"), outdoor_air.year(weather, project.place)
    asked = (project.patios[0], job.layouts[0], job.line, project.plumbing, year, np.arange(5004, 5010))
    some, every = (
        cooling.season_hours(*asked, np.array(which), project.place.bearing, unknowns.draws(3))
        for which in (misted, [True] * 6)
    )
    for column in COMFORT_COLUMNS:
        for index in ("utci", "effective"):
            one, all_ = (getattr(told, index)[column][:, misted] for told in (some, every))
            np.testing.assert_allclose(one, all_, rtol=0, atol=1e-9)


def test_a_stop_that_nothing_reaches_is_told_as_none():
    project, _ = demo("courtyard")

    def told(humidity: float, wind: float) -> str:
        return _stops(replace(project.control, humidity_stop=humidity, wind_stop=wind), Locale("us", "en"))

    assert told(1.0, 60.0) == "no stop for damp air or wind"
    assert told(0.5, 60.0) == "off over 50 % humidity"
    assert "10 mph" in told(1.0, 4.47) and "%" not in told(1.0, 4.47)


def test_a_stop_meant_as_none_is_no_note():
    project, weather = demo("courtyard")
    codes = []
    for humidity, wind in ((0.95, 50.0), (1.0, 60.0)):
        control = replace(project.control, not_from=(), humidity_stop=humidity, wind_stop=wind)
        _, findings = design.season_of(replace(project, control=control), weather)
        codes.append({f.code for f in findings if f.code.endswith("stop-idle")})
    assert codes == [{"season-wind-stop-idle", "season-humidity-stop-idle"}, set()]


def test_a_station_too_far_is_told_before_the_year():
    """250 km away and 900 m lower: no year of this place."""
    project, weather = demo("courtyard")
    far = replace(project, place=replace(project.place, latitude=0.59, longitude=-1.86, elevation=2100.0))
    for one, expected in ((project, False), (far, True)):
        _, findings = design.season_of(one, weather)
        assert any(f.code in ("climate-station", "climate-height") for f in findings) is expected


def test_a_line_without_water_leaves_the_shade_as_it_is():
    project, weather = demo("courtyard")
    job, year = planned("courtyard"), outdoor_air.year(weather, project.place)
    dry = replace(job.line, marks=tuple(replace(mark, flow=0.0) for mark in job.line.marks))
    told = cooling.season_hours(
        project.patios[0], job.layouts[0], dry, project.plumbing, year, np.arange(5000, 5003),
        np.ones(3, bool), project.place.bearing, unknowns.draws(3),
    )  # fmt: skip
    assert np.array_equal(told.utci["mist"], told.utci["shade"])


@pytest.mark.thorough
def test_draws_of_a_year_are_spread_over_all():
    project, weather = demo("courtyard")
    job, year = planned("courtyard"), outdoor_air.year(weather, project.place)
    house = ((project.patios[0], job.layouts[0]),)
    asked = (house, job.line, project.plumbing, year)
    hours = np.arange(5000, 5030)
    u = cooling.spread_draws(*asked, hours, project.place.bearing)
    assert u.wind.shape == (21, 1) and len(np.unique(u.wind)) == 21
    everything = unknowns.draws()
    some = hours_of(year, hours)
    answers = [
        cooling.every_hour(*house[0], *asked[1:3], (some,), project.place.bearing, draws)[0]
        for draws in (u, everything)
    ]
    cooled = [answer.drop["seats"].mean(axis=1) for answer in answers]
    assert np.all(np.diff(cooled[0]) > 0)
    for share in (0.1, 0.5, 0.9):
        assert np.quantile(cooled[0], share) == pytest.approx(np.quantile(cooled[1], share), abs=0.3)
    nothing = cooling.spread_draws(*asked, hours[:0], project.place.bearing)
    assert nothing.wind.shape == (21, 1)


# ------------------------------------------------------------------ what is said


@pytest.mark.thorough
def test_a_year_without_benefit_says_so_before_any_number():
    told, findings = year_of("bayou")
    text = report.season_sentences(told, findings, demo("bayou")[0], "us", "en")
    assert findings[0].code == "season-no-benefit"
    assert text.index("next to nothing") < text.index("WHAT IT TAKES")
    assert "A fan does more" in text
    assert "season-no-benefit" not in {finding.code for finding in year_of("courtyard")[1]}


@pytest.mark.thorough
def test_a_control_that_never_starts_is_named_with_its_hours():
    project, weather = demo("courtyard")
    never = replace(project, control=replace(project.control, on_above=333.0))
    told, findings = design.season_of(never, weather)
    assert [finding.code for finding in findings] == ["season-never-runs"]
    assert told.runs.sum() == 0.0 and year_band(told.kept_off["cool"])[1] == 918
    text = report.season_sentences(told, findings, never, "metric", "en")
    assert "never runs" in text and "WHAT IT TAKES" not in text
    assert "°F" not in text and "gal" not in text
    json.loads(report.season_json(told, findings, "x"))


@pytest.mark.thorough
def test_lines_fit_a_terminal_and_middles_are_those_of_the_tallies():
    told, findings = year_of("courtyard")
    text = report.season_sentences(told, findings, demo("courtyard")[0], "us", "en")
    assert max(map(len, text.splitlines())) <= 80
    assert f"{year_band(told.runs)[1]:.0f}" in text
    low, middle, high = (f"{hours:.0f}" for hours in year_band(told.patios[0].bearable["mist"]))
    assert f"{middle} ({low} to {high})" in text
    days, july = (line for line in text.splitlines() if line.startswith("  July") and "$" not in line)
    shown = [float(cell) for cell in days.split()[1:]]
    noticed = np.median(told.patios[0].outcomes["good"], axis=0)[6]
    assert shown == [round(count) for count in noticed[told.used[6] > 0]]
    assert july.split()[1] == f"{month_bands(told.runs)[6][1]:.0f}"


def test_without_a_climate_file_there_is_one_clear_message(tmp_path):
    (tmp_path / "house.toml").write_text(files.example_text("terraza"), "utf-8")
    done = run("season", "house.toml", cwd=tmp_path)
    assert done.returncode == 2 and done.stdout == ""
    assert len(done.stderr.splitlines()) == 1 and "climate = " in done.stderr
    with pytest.raises(InputError) as caught:
        design.season_of(demo("terraza")[0], None)
    assert caught.value.code == "season-no-climate" and words.say(caught.value)


def test_half_a_year_of_data_is_told(tmp_path):
    rows = ["# station=Half; lat=32; lon=-106; tz=-7; elev_m=1000; hour=hour ending"]
    rows.append("month,day,hour,db_C,rh_pct,wspd_ms")
    for hour in range(4380):
        day = datetime.date(2025, 1, 1) + datetime.timedelta(days=hour // 24)
        rows.append(f"{day.month},{day.day},{hour % 24 + 1},{20 + hour % 24 * 0.5},30,{1 + hour % 5}")
    (tmp_path / "half.csv").write_text("\n".join(rows), "utf-8")
    (tmp_path / "house.toml").write_text(files.example_text("terraza"), "utf-8")
    done = run("season", "house.toml", "--climate", "half.csv", cwd=tmp_path)
    assert done.returncode == 2
    assert "4,380 hours of the 8,760" in done.stderr, done.stderr
    with pytest.raises(DataError):
        files.read_climate(tmp_path / "half.csv")


@pytest.mark.thorough
def test_a_set_with_a_climate_file_holds_the_year_by_month():
    job = design.with_season(planned("courtyard"), demo("courtyard")[1])
    assert job.season == year_of("courtyard")[0]
    tree = json.loads(report.plan_json(job))
    alone = json.loads(report.season_json(*year_of("courtyard"), "x"))
    assert tree["season"] == alone["season"]
    assert {"season-wind-stop-idle"} <= {finding["code"] for finding in tree["findings"]}
    rows = list(csv.DictReader(io.StringIO(season_csv(job.season))))
    assert [row["month"] for row in rows] == [str(n) for n in range(1, 13)]
    assert sum(float(row["run_h_p50"]) for row in rows) == year_band(job.season.runs)[1]
    july = rows[6]
    assert float(july["water_m3_p50"]) == pytest.approx(
        float(july["run_h_p50"]) * job.season.hourly.water, rel=1e-5
    )
    assert float(july["used_h"]) == 31 * 6


def test_without_a_climate_file_a_set_has_no_year():
    job = design.with_season(planned("terraza"), None)
    assert job.season is None and json.loads(report.plan_json(job))["season"] is None


@pytest.mark.thorough
def test_the_owners_page_holds_what_the_terminal_tells():
    """Every cell of every table, on sheets that follow one another; nothing of a job without a year."""
    job = design.with_season(planned("bayou"), demo("bayou")[1])
    for units in ("us", "metric"):
        locale = Locale(units, "en")
        drafts = season_pages(job, PAPERS["letter"], locale)
        told = {item.text for draft in drafts for item in draft.items if isinstance(item, Text)}
        for block in season_blocks(job.season, job.findings, job.project, locale):
            if isinstance(block, SeasonTable):
                assert {cell for row in block.rows for cell in row if cell} <= told
            elif isinstance(block, RangeBars):
                assert {bar.text for _, bars in block.rows for bar in bars} <= told
                for column in zip(*(bars for _, bars in block.rows), strict=True):
                    shares = [bar.shares for bar in column]
                    assert max(high for _, _, high in shares) == pytest.approx(1.0)
                    assert all(0.0 <= low <= middle <= high for low, middle, high in shares)
        for items in (draft.items for draft in drafts):
            assert all(item.box().bottom > 0 for item in items)
            writing = [item.box() for item in items if isinstance(item, Text)]
            bars = [item.box() for item in items if isinstance(item, Polyline) and item.fill]
            assert not any(bar.meets(text) for bar in bars for text in writing)
    assert season_pages(planned("terraza"), PAPERS["letter"], Locale("us", "en")) == ()


@pytest.mark.long
def test_all_hours_of_all_months_go_on_over_the_page():
    project, weather = demo("bayou")
    always = replace(
        project, control=replace(project.control, hours=(0.0, 0.0), months=(1, 12), on_above=305.0)
    )
    told, findings = design.season_of(always, weather)
    assert told.hours_used == 8760
    job = replace(planned("bayou"), season=told, findings=findings)
    drafts = season_pages(job, PAPERS["letter"], Locale("us", "en"))
    hours = [item.text for draft in drafts for item in draft.items if isinstance(item, Text)]
    assert len(drafts) > 1 and {"12 am", "11 pm", "January", "December"} <= set(hours)
