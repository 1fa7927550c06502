"""Climate files whose clock, place or sunlight is wrong, and what an EPW's head says of rarer heat.

Every damaged file is made here from a shipped sample, as in test_reader.
"""

from __future__ import annotations

import gzip
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import checks, design, files, outdoor_air, words
from mistcalc.errors import InputError
from mistcalc.files.climate.reader import read_climate
from mistcalc.files.climate.station_file import samples_folder
from tests.files.test_reader import (
    DHI,
    DNI,
    DP,
    GHI,
    MONTH,
    SOUND,
    TUCSON,
    WDIR,
    WIND,
    P,
    damaged,
    notes,
    refused,
    roll,
    setting,
)
from tests.properties import HAPropsSI

pytestmark = pytest.mark.thorough


def head(**changes: str) -> list[str]:
    first = TUCSON[0]
    for key, value in changes.items():
        start = first.index(f"{key}=") + len(key) + 1
        end = first.index(";", start)
        first = first[:start] + value + first[end:]
    return [first, TUCSON[1]]


# ------------------------------------------------------------------ clock and place


def test_a_file_in_utc_that_says_so_is_refused():
    """Its rows and its head agree; but afternoons would be looked for in the morning."""
    error = refused(damaged(roll(7), head(tz="0")))
    assert error.code == "climate-zone-far"
    assert error.values["local"] == -7


def test_a_longitude_without_its_sign_is_refused():
    assert refused(damaged(lambda rows: rows, head(lon="110.95"))).code == "climate-zone-far"


def test_a_latitude_without_its_sign_is_doubted():
    found = notes(read_climate(damaged(lambda rows: rows, head(lat="-32.13"))))
    assert found["climate-sun-place"].value("share") > 0.01
    assert found["climate-sun-place"].level == "warn"


def test_rows_on_daylight_time_in_summer_are_named():
    """April to October an hour later by the clock: the year's mean only says that something is off."""

    def change(rows):
        light = [cells[3:] for cells in rows]
        return [
            [*cells[:3], *light[n - 1 if 4 <= int(cells[MONTH]) <= 10 else n]] for n, cells in enumerate(rows)
        ]

    found = notes(read_climate(damaged(change)))
    assert found["climate-noon-drifts"].level == "warn"
    assert found["climate-noon-drifts"].value("hours") == pytest.approx(1.0, abs=0.3)
    assert "climate-noon-off" not in found


def test_a_clock_that_runs_away_is_named():
    """The second half of the year 0.7 h late, the first as early: in the mean it is right."""

    def shifted(name: str) -> np.ndarray:
        values = getattr(SOUND, name)
        hours = np.arange(8760.0)
        late = np.where(hours < 4380, -0.7, 0.7)
        return np.interp(hours - late, hours, values)

    light = {column: shifted(name) for column, name in ((GHI, "ghi"), (DNI, "dni"), (DHI, "dhi"))}

    def change(rows):
        for n, cells in enumerate(rows):
            for column, values in light.items():
                cells[column] = f"{values[n]:.1f}"

    found = notes(read_climate(damaged(change)))
    assert found["climate-noon-drifts"].value("hours") == pytest.approx(1.4, abs=0.25)


# ------------------------------------------------------------------ sunlight that is none


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (setting(DNI, "0"), "apart"),
        (setting(DHI, "400"), "apart"),
        (setting(DNI, "450", lambda cells: cells[MONTH] == "7"), "stuck"),
        (setting(GHI, "0", lambda cells: cells[MONTH] == "7"), "dark"),
    ],
)
def test_made_up_sunlight_is_left_out_and_named(change, why):
    weather = read_climate(damaged(change))
    found = notes(weather)["climate-sun-unlikely"]
    assert found.value(why)
    assert weather.dni is None
    assert weather.dhi is None
    year = outdoor_air.year(weather, files.parse_project(files.example_text("courtyard"), "c").place)
    assert year.beam is None
    assert "no sun at the seats" in words.say(found)


def test_without_sunlight_no_sun_is_reckoned_and_the_plan_of_it_stays():
    weather = read_climate(damaged(setting(DNI, "0")))
    project = files.parse_project(files.example_text("courtyard"), "courtyard")
    ((laid, _),) = design.lay_all(project)
    sun, _ = design.sun_on_patio(project.patios[0], laid, project.place, project.control, weather)
    assert sun.maps
    assert all(air.beam is None for air in outdoor_air.outdoor_afternoons(weather, project.place))


# ------------------------------------------------------------------ stuck sensors


@pytest.mark.parametrize(
    ("column", "value", "name"),
    [(DP, "2.0", "dew_point"), (P, "925", "air_pressure"), (WDIR, "140", "direction")],
)
def test_a_stuck_sensor_is_named(column, value, name):
    days = [str(day) for day in range(3, 9)]
    change = setting(column, value, lambda cells: cells[MONTH] == "7" and cells[1] in days)
    found = notes(read_climate(damaged(change)))["climate-stuck"]
    assert found.value("columns") == (name,)
    assert 100 < found.value("hours") <= 145 or name == "direction"


def test_a_calm_night_is_no_stuck_vane():
    change = setting(WIND, "0", lambda cells: cells[MONTH] == "1")
    assert "climate-stuck" not in notes(read_climate(damaged(change)))


# ------------------------------------------------------------------ rarer heat, other heights

# As such files have it: 43.0/18.4, 42.1/18.3 and 40.9/18.1 degC for one hour in 250, 100 and 50.
DESIGN = (
    "DESIGN CONDITIONS,1,Climate Design Data 2009 ASHRAE Handbook,,Heating,12,-0.4,1,-12.9,1.4,8.9,-10.9,1.6,"
    "9,11.7,9.2,10.3,9.8,3,260,Cooling,7,13,43.0,18.4,42.1,18.3,40.9,18.1,22,34,21.4,33.5,20.8,33.1,5.1,220,17.7,"
    "13.8,26.4,16.4,12.7,27.8,15,11.6,29.1,67.2,34.2,64.9,33.6,62.7,33.1,680,Extremes,11.1,9.6,8.5,26.1,-3,45"
)


def epw(line: str) -> bytes:
    text = gzip.decompress((samples_folder() / "las-vegas-nv.epw.gz").read_bytes()).decode()
    return text.replace("DESIGN CONDITIONS,0", line).encode()


def test_the_rare_heat_of_an_epws_head_is_told_beside_the_hot_afternoon():
    weather = read_climate(epw(DESIGN), "vegas.epw")
    told = [(hour.share, hour.dry_bulb - 273.15, hour.wet_bulb - 273.15) for hour in weather.design]
    assert told == [
        (0.004, pytest.approx(43.0), pytest.approx(18.4)),
        (0.01, pytest.approx(42.1), pytest.approx(18.3)),
        (0.02, pytest.approx(40.9), pytest.approx(18.1)),
    ]
    pressure = float(np.median(weather.air_pressure))
    for hour, share in zip(weather.design, outdoor_air.rare_humidity(weather), strict=True):
        wet = HAPropsSI("B", "T", hour.dry_bulb, "R", share, "P", pressure)  # CoolProp, real moist air
        assert wet == pytest.approx(hour.wet_bulb, abs=0.05)
    project = files.parse_project(files.example_text("courtyard"), "courtyard")
    cool = outdoor_air.outdoor_afternoons(weather, project.place)[0]
    humidity = outdoor_air.rare_humidity(weather)
    low = replace(cool, temperature=cool.temperature - 2.0, key="cooler")
    (found,) = [
        f for f in checks.climate_findings(weather, project.place, (low,), humidity) if "rare" in f.code
    ]
    text = words.say(found)
    assert "one hour in 250 is at 109 °F or over (wet bulb 65 °F), one in 50 at 106 °F or over" in text
    hotter = replace(cool, temperature=cool.temperature + 5.0, key="hotter")
    assert not [
        f for f in checks.climate_findings(weather, project.place, (hotter,), humidity) if "rare" in f.code
    ]


@pytest.mark.parametrize(
    ("asked", "dry", "wet"), [("1 in 50 hours", 40.9, 18.1), ("1 in 250 hours", 43.0, 18.4)]
)
def test_the_hot_afternoon_can_be_that_of_the_head(asked, dry, wet):
    """Its middle against the head's own figures; winds and sun are the typical year's hot hours'."""
    weather = read_climate(epw(DESIGN), "vegas.epw")
    place = files.parse_project(files.example_text("courtyard"), "courtyard").place
    place = replace(place, elevation=weather.elevation)  # so the wet bulb too is the station's
    usual, *others = outdoor_air.outdoor_afternoons(weather, place)
    asked_place = replace(place, hot_afternoon=asked)
    hot, *same = outdoor_air.outdoor_afternoons(weather, asked_place)
    assert hot.middle("temperature") - 273.15 == pytest.approx(dry, abs=0.01)
    assert hot.middle("wet_bulb") - 273.15 == pytest.approx(wet, abs=0.4)  # the middle of bulbs, not of air
    assert np.array_equal(hot.wind, usual.wind) and same == others and hot.key != usual.key
    assert np.ptp(hot.temperature) == pytest.approx(np.ptp(usual.temperature))
    (found,) = checks.climate_findings(weather, asked_place, (hot,), ())
    assert found.code == "climate-rare-taken" and f"one hour in {hot.rare}" in words.say(found)
    cooler = hot.middle("temperature") < usual.middle("temperature")
    assert ("cooler than the typical year's own" in words.say(found)) == cooler
    (found,) = checks.climate_findings(weather, asked_place, (replace(hot, file_middle=330.0),), ())
    assert "own hot afternoon, 134 °F" in words.say(found)
    with pytest.raises(InputError) as refused:
        outdoor_air.outdoor_afternoons(read_climate(epw("DESIGN CONDITIONS,0"), "vegas.epw"), asked_place)
    assert refused.value.code == "rare-heat-unknown"


@pytest.mark.parametrize(
    "line",
    [
        "DESIGN CONDITIONS,0",
        "DESIGN CONDITIONS,1,mine,,Cooling,7,13,x,18.4,42,18,41,18",
        "DESIGN CONDITIONS,1,mine,,Cooling,7,13,40,18.4,42,18,41,18",  # not hotter first
        "DESIGN CONDITIONS,1,mine,,Cooling,7,13,43,48.4,42,18,41,18",  # wet bulb over dry bulb
        "DESIGN CONDITIONS,1,mine,,Cooling,7,13,43",
    ],
)
def test_a_heading_of_another_make_says_nothing(line):
    assert read_climate(epw(line)).design == ()


def test_a_station_far_higher_or_lower_is_named():
    place = files.parse_project(files.example_text("courtyard"), "courtyard").place
    for elevation, way in ((SOUND.elevation + 450, "cooler"), (SOUND.elevation - 450, "warmer")):
        (found,) = checks.climate_findings(SOUND, replace(place, elevation=elevation), (), ())
        assert (found.code, found.level) == ("climate-height", "warn")
        text = words.say(found, "metric")
        assert way in text
        assert "2.9" in text or "3 " in text  # 450 m of the standard atmosphere
    assert checks.climate_findings(SOUND, replace(place, elevation=SOUND.elevation + 250), (), ()) == ()
