"""Air at the patio: which hours make an afternoon, pressure and wind brought to the site, the clock."""

from __future__ import annotations

import dataclasses
import datetime
import zoneinfo

import numpy as np
import psychrolib
import pytest

from mistcalc import outdoor_air
from mistcalc.errors import InputError, RangeError
from mistcalc.files.climate.reader import climate_path, read_climate
from mistcalc.model.project import Place, TypedAfternoon
from mistcalc.physics import air, ventilation

SAMPLES = ("el-paso", "fresno", "houston", "las-vegas", "miami", "palm-springs", "tucson")
STATION = Place(elevation=1186.0, climate="el-paso", surroundings="open", shelter=1.0)
EL_PASO = read_climate(climate_path("el-paso", None))


def by_name(airs):
    return {a.name: a for a in airs}


def typed_place(*afternoons: TypedAfternoon, elevation: float = 0.0) -> Place:
    return Place(elevation=elevation, climate=None, afternoons=afternoons)


# ------------------------------------------------------------------ which hours


@pytest.mark.parametrize("name, damp_and_warm", [("las-vegas", True), ("houston", True), ("el-paso", False)])
def test_afternoons_are_the_hours_the_rule_names_picked_by_hand(name, damp_and_warm, sample):
    """The rule once more in the slowest way: June to September, rows ending 14:00 to 18:00 standard time.

    In El Paso no hour is among the dampest 5 % and warm: there the dampest 5 % of the warm hours stand in.
    """
    weather = sample(name)
    days = [datetime.date(2001, 1, 1) + datetime.timedelta(n) for n in range(365)]
    hours = [
        24 * n + h - 1 for n, d in enumerate(days) if d.month in (6, 7, 8, 9) for h in (14, 15, 16, 17, 18)
    ]
    assert len(hours) == 122 * 5
    t = {h: float(weather.temperature[h]) for h in hours}
    dew = {h: float(air.dew_point(weather.ratio[h], weather.air_pressure[h])) for h in hours}
    hot_from, middle = np.quantile(list(t.values()), 0.97), np.median(list(t.values()))
    warm = [h for h in hours if t[h] >= middle]
    damp = np.quantile([dew[h] for h in (hours if damp_and_warm else warm)], 0.95) - 1e-6
    wanted = {
        "hot": [h for h in hours if t[h] >= hot_from - 1e-6],
        "typical": [h for h in hours if abs(t[h] - middle) <= 1.0 + 1e-6],
        "humid": [h for h in warm if dew[h] >= damp],
    }
    airs = by_name(outdoor_air.outdoor_afternoons(weather, STATION))
    assert list(airs) == ["hot", "typical", "humid"]
    for afternoon, picked in wanted.items():
        found = airs[afternoon]
        assert found.hours_used == len(picked) >= 5
        assert np.array_equal(found.temperature, weather.temperature[picked])
        assert np.array_equal(found.mast_wind, weather.wind[picked])
        assert np.array_equal(found.ratio, weather.ratio[picked])
        calm = weather.wind[picked] == 0
        assert np.array_equal(np.isnan(found.direction), calm)
        assert np.array_equal(found.direction[~calm], weather.direction[picked][~calm])


@pytest.mark.parametrize("name", SAMPLES)
def test_afternoons_of_every_sample_are_in_their_order(name, sample):
    weather = sample(name)
    airs = by_name(outdoor_air.outdoor_afternoons(weather, Place(elevation=weather.elevation, climate=name)))
    hot, typical, humid = airs["hot"], airs["typical"], airs["humid"]
    assert hot.temperature.min() > typical.temperature.max()
    assert humid.middle("dew_point") > typical.middle("dew_point")
    assert humid.middle("temperature") >= typical.middle("temperature")
    # 3 % of 610 hours, more where readings tie at the limit (Palm Springs is in whole degrees)
    assert 18 <= hot.hours_used <= 45
    for a in airs.values():
        assert np.all((a.dew_point <= a.wet_bulb) & (a.wet_bulb <= a.temperature))
        assert np.all((a.relative_humidity > 0) & (a.relative_humidity <= 1))


def test_the_warm_half_year_is_the_other_one_in_the_south():
    """El Paso moved to 31 S and its year turned by 183 days, so that its 1 June is 1 December.

    December to March is one day shorter than June to September, whence the kelvin.
    """
    names = ("temperature", "ratio", "air_pressure", "wind")
    turned = {name: np.roll(getattr(EL_PASO, name), 183 * 24) for name in names}
    south = dataclasses.replace(EL_PASO, latitude=-31.8, direction=None, key="south", **turned)
    north = by_name(outdoor_air.outdoor_afternoons(EL_PASO, STATION))
    for name, a in by_name(outdoor_air.outdoor_afternoons(south, STATION)).items():
        assert a.middle("temperature") == pytest.approx(north[name].middle("temperature"), abs=1.0)
    unturned = dataclasses.replace(EL_PASO, latitude=-31.8, key="winter")
    winter = outdoor_air.outdoor_afternoons(unturned, STATION)[0]
    assert winter.middle("temperature") < north["hot"].middle("temperature") - 10


def test_every_kind_of_afternoon_has_an_hour_even_where_the_air_never_changes():
    still = {name: np.full(8760, x) for name, x in (("temperature", 310.0), ("ratio", 0.01))}
    still["air_pressure"] = np.full(8760, 9e4)
    weather = dataclasses.replace(EL_PASO, key="still", **still)
    assert [a.hours_used for a in outdoor_air.outdoor_afternoons(weather, STATION)] == [610, 610, 610]


def test_percentiles_are_arguments():
    every = by_name(
        outdoor_air.outdoor_afternoons(EL_PASO, STATION, outdoor_air.HourSelection(hot_share=0.5))
    )
    assert every["hot"].hours_used >= 305


def test_a_calm_hour_has_no_direction():
    """TMY files write 0 with no wind: 11 to 13 % of all hours would blow from north."""
    calm = np.arange(8760) % 3 == 0
    source = np.where(calm, 0.0, np.radians(250))
    weather = dataclasses.replace(
        EL_PASO, wind=np.where(calm, 0.0, 3.0), direction=source, key="every third calm"
    )
    for a in (*outdoor_air.outdoor_afternoons(weather, STATION), outdoor_air.year(weather, STATION)):
        still = a.mast_wind == 0
        assert still.any() and np.all(np.isnan(a.direction[still]))
        assert np.all(a.direction[~still] == np.radians(250))
    silent = dataclasses.replace(EL_PASO, direction=None, key="no")
    assert outdoor_air.outdoor_afternoons(silent, STATION)[0].direction is None


def test_the_ordinary_hour_is_one_like_most():
    """Nine like hours and one from another day: never the odd one, whichever quantity is odd."""
    plain = {"t": np.full(10, 310.0), "ratio": np.full(10, 0.01), "wind": np.full(10, 1.0)}
    source = np.full(10, 1.0)
    for name, odd in (("t", 320.0), ("ratio", 0.02), ("wind", 5.0)):
        values = {key: value.copy() for key, value in plain.items()}
        values[name][0] = odd
        assert outdoor_air._ordinary(*values.values(), source) != 0
    turned = source.copy()
    turned[0] = 1.0 + np.pi
    assert outdoor_air._ordinary(*plain.values(), turned) != 0


# ------------------------------------------------------------------ typed in


def test_a_typed_afternoon_needs_no_file():
    """38 degC, 22 % at sea level, against PsychroLib."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    (a,) = outdoor_air.outdoor_afternoons(None, typed_place(TypedAfternoon("hot", 311.15, 0.22, 4.0)))
    assert (a.name, a.source, a.hours_used, a.direction) == ("hot", "typed in", 0, None)
    assert a.air_pressure[0] == pytest.approx(101325, abs=0.1)
    assert a.ratio[0] == pytest.approx(psychrolib.GetHumRatioFromRelHum(38, 0.22, 101325), rel=1e-9)
    # PsychroLib bisects wet bulb and dew point to 1e-3 K
    assert a.wet_bulb[0] - 273.15 == pytest.approx(
        psychrolib.GetTWetBulbFromRelHum(38, 0.22, 101325), abs=1e-3
    )
    assert a.dew_point[0] - 273.15 == pytest.approx(psychrolib.GetTDewPointFromRelHum(38, 0.22), abs=1e-3)
    assert a.relative_humidity[0] == pytest.approx(0.22)


def test_a_typed_wind_is_at_the_mast_or_in_the_yard_and_may_say_where_from():
    """One reading, told three ways. Half of it is left among walls by `shelter`, unless felt in the place."""
    sheltered = dataclasses.replace(typed_place(), surroundings="open", shelter=0.5)

    def air_of(**told):
        typed = TypedAfternoon("hot", 311.15, 0.22, **told)
        return outdoor_air.outdoor_afternoons(None, dataclasses.replace(sheltered, afternoons=(typed,)))[0]

    mast, felt = air_of(wind=4.0, wind_from="SW"), air_of(wind_on_patio=1.5, wind_from="E")
    assert mast.wind[0] == pytest.approx(0.5 * float(ventilation.wind_profile(4.0, 1.5, "open")))
    assert (mast.mast_wind[0], mast.felt) == (4.0, False)
    assert (felt.wind[0], felt.mast_wind, felt.felt) == (1.5, None, True)
    assert np.degrees([mast.direction[0], felt.direction[0]]) == pytest.approx([225.0, 90.0])
    assert air_of(wind=4.0).direction is None
    assert len({a.key for a in (mast, felt, air_of(wind=4.0), air_of(wind_on_patio=4.0))}) == 4


def test_a_typed_afternoon_is_at_the_pressure_of_its_elevation():
    """ASHRAE Handbook of Fundamentals 2017 ch. 1 table 1: 89.875 kPa at 1,000 m (last digit: 1 Pa)."""
    (a,) = outdoor_air.typed(typed_place(TypedAfternoon("hot", 311.15, 0.22, 4.0), elevation=1000.0))
    assert a.air_pressure[0] == pytest.approx(89875, abs=1)


def test_typed_afternoons_stand_before_the_files():
    place = dataclasses.replace(STATION, afternoons=(TypedAfternoon("humid", 305.15, 0.60, 2.0),))
    airs = outdoor_air.outdoor_afternoons(EL_PASO, place)
    assert [a.name for a in airs] == ["hot", "typical", "humid"]
    assert [a.source for a in airs] == ["el-paso-tx", "el-paso-tx", "typed in"]
    assert airs[2].relative_humidity[0] == pytest.approx(0.60)


def test_neither_file_nor_typed_afternoon_is_an_input_error():
    with pytest.raises(InputError) as caught:
        outdoor_air.outdoor_afternoons(None, typed_place())
    assert (caught.value.code, caught.value.where) == ("no-air", "place.climate")


@pytest.mark.parametrize("celsius", [-40.0, 0.0, 60.0])
@pytest.mark.parametrize("share", [0.0, 1e-6, 0.5, 1.0])
def test_odd_air_has_finite_answers_in_order(celsius, share):
    (a,) = outdoor_air.typed(typed_place(TypedAfternoon("hot", celsius + 273.15, share, 0.0)))
    for name in ("temperature", "ratio", "wet_bulb", "dew_point", "relative_humidity", "wind"):
        assert np.isfinite(getattr(a, name)).all(), name
    # a millikelvin of slack: saturated air's three temperatures are found by different roads
    assert a.dew_point[0] <= a.wet_bulb[0] + 1e-3 <= a.temperature[0] + 2e-3
    assert a.relative_humidity[0] == pytest.approx(share, abs=1e-12)
    assert a.wind[0] == 0.0


# ------------------------------------------------------------------ a year, the pressure, equality


def test_a_year_keeps_every_hour():
    year = outdoor_air.year(EL_PASO, STATION)
    assert year.temperature is EL_PASO.temperature
    np.testing.assert_array_equal(year.mast_wind, EL_PASO.wind)
    assert year.hours_used == 8760
    for name in ("wet_bulb", "dew_point", "relative_humidity", "wind"):
        assert np.isfinite(getattr(year, name)).all() and getattr(year, name).shape == (8760,)
    assert (year.wet_bulb <= year.temperature).all()
    assert year.relative_humidity.max() <= 1


def test_pressure_follows_the_height_between_station_and_site():
    """ASHRAE 2017 ch. 1 table 1: 95.461 kPa at 500 m, 89.875 at 1,000 m; the site's is theirs in ratio."""
    weather = dataclasses.replace(EL_PASO, elevation=500.0, key="lower")
    year = outdoor_air.year(weather, Place(elevation=1000.0, climate="x"))
    np.testing.assert_allclose(year.air_pressure / EL_PASO.air_pressure, 89.875 / 95.461, rtol=2e-5)
    np.testing.assert_array_equal(year.ratio, EL_PASO.ratio)


def test_same_weather_and_place_make_equal_air():
    one, other = (outdoor_air.outdoor_afternoons(EL_PASO, STATION) for _ in range(2))
    assert one == other and len({*one, *other}) == 3
    sheltered = dataclasses.replace(STATION, shelter=0.5)
    assert outdoor_air.outdoor_afternoons(EL_PASO, sheltered) != one


# ------------------------------------------------------------------ wind


def test_wind_profile_in_a_city():
    """ASHRAE HoF ch. 24 eq. 4, table 1: (270/10)^0.14 (1/460)^0.33 of 5 m/s is 1.0487 m/s at 1 m."""
    assert ventilation.wind_profile(5.0, 1.0, "city") == pytest.approx(1.0487, abs=5e-5)


def test_wind_profile_returns_the_mast_at_the_mast_and_meets_aloft():
    assert ventilation.wind_profile(5.0, 10.0, "open") == pytest.approx(5.0)
    slower = [
        float(ventilation.wind_profile(5.0, 1.5, terrain)) for terrain in ("water", "open", "suburb", "city")
    ]
    assert slower == sorted(slower, reverse=True)
    with pytest.raises(RangeError):
        ventilation.wind_profile(-1.0, 1.5, "city")


def test_shelter_is_the_share_left():
    open_, half = (
        outdoor_air.patio_wind(np.array([4.0]), dataclasses.replace(STATION, shelter=s)) for s in (1.0, 0.5)
    )
    assert half[0] == pytest.approx(0.5 * open_[0])
    # by hand, open ground at 1.5 m: 4 (1.5/10)^0.14 = 3.067
    assert open_[0] == pytest.approx(3.067, abs=5e-4)


# ------------------------------------------------------------------ clock


def when(ahead: np.ndarray) -> tuple[str, str]:
    edges = np.flatnonzero(np.diff(ahead.astype(int))) + 1
    start = datetime.datetime(2001, 1, 1)  # any year without a leap day
    return tuple(f"{start + datetime.timedelta(hours=int(h)):%m-%d %H}" for h in edges)


@pytest.mark.parametrize(
    "rule, year, begins, ends",
    [
        # US: second Sunday of March, first Sunday of November (calendars of 2023, 2024, 2026); standard hours
        ("us", 2023, "03-12 02", "11-05 01"),
        ("us", 2024, "03-10 02", "11-03 01"),
        ("us", 2026, "03-08 02", "11-01 01"),
        # EU: last Sundays of March and October
        ("eu", 2023, "03-26 02", "10-29 02"),
        ("eu", 2024, "03-31 02", "10-27 02"),
        ("eu", 2026, "03-29 02", "10-25 02"),
    ],
)
def test_daylight_time_begins_and_ends_on_the_right_sunday(rule, year, begins, ends):
    assert when(outdoor_air.on_daylight_time(rule, year)) == (begins, ends)


@pytest.mark.parametrize("rule, zone", [("us", "America/Denver"), ("eu", "Europe/Madrid")])
@pytest.mark.parametrize("year", [2021, 2023, 2025, 2026])
def test_daylight_time_agrees_with_the_time_zone_database(rule, zone, year):
    """Every hour of years without a leap day against the IANA time zone database."""
    there = zoneinfo.ZoneInfo(zone)
    standard = datetime.timezone(there.utcoffset(datetime.datetime(year, 1, 1)))
    starts = [
        datetime.datetime(year, 1, 1, tzinfo=standard) + datetime.timedelta(hours=n) for n in range(8760)
    ]
    wall = [moment.astimezone(there).hour for moment in starts]
    ours = (np.arange(8760) + outdoor_air.on_daylight_time(rule, year)) % 24
    np.testing.assert_array_equal(ours, wall)
