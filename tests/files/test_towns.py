"""Towns that may be named instead of a sample, and the sample measured nearest to a place."""

import math

import pytest

from mistcalc import design, files, words
from mistcalc.errors import DataError, InputErrors
from mistcalc.files.climate.near_towns import nearest_sample, sample_or_town, towns

LAID = {"runs": ["26 ft"], "depth": "12 ft"}


def station_note(text: str, units: str = "us"):
    project = files.parse_project(text)
    weather = files.read_climate(files.climate_path(project.place.climate, None))
    found = [f for f in design.of_climate(weather, project.place, ()) if f.code.startswith("climate-station")]
    return project, [(f.level, words.say(f, units, "en")) for f in found]


def test_a_town_is_known_by_name_alone_and_every_sample_has_one():
    names = [name.split(",")[0] for name in towns()]
    assert len(set(names)) == len(names) > 60
    for name, town in towns().items():
        assert sample_or_town(name.upper()) == town
    near_a_station = [
        town for town in towns().values() if town.name == files.climate_place(town.place.climate)
    ]
    assert len(near_a_station) == len(files.climate_sample_names())
    assert sample_or_town(" ciudad JUAREZ") == towns()["Ciudad Juárez, CHH"]
    with pytest.raises(DataError) as caught:
        sample_or_town("las crusez")
    assert caught.value.values["like"] == ("Las Cruces, NM",)


def test_a_project_near_a_town_takes_the_nearest_sample_and_says_how_far_it_is():
    project, notes = station_note(files.new_project_text("N", near="Las Cruces", **LAID))
    assert project.place.climate == "el-paso"
    assert project.place.elevation == pytest.approx(1190, abs=0.2)
    # 41 miles southeast by a map of the interstate between them, 45 miles by road: from memory
    ((level, told),) = notes
    assert level == "note" and "miles southeast" in told and "as high" in told
    assert int(told.split(" miles")[0].split()[-1]) == pytest.approx(41, abs=3)


def test_a_place_on_earth_alone_is_air_enough_and_what_is_too_far_is_warned_of():
    text = files.new_project_text("N", near="Phoenix", **LAID)
    stated = 'climate   = "tucson"'
    assert stated in text
    project, notes = station_note(text.replace(stated, "#"), "metric")
    assert project.place.climate == "tucson" and "place.climate" in project.assumed
    ((level, told),) = notes
    assert level == "warn" and "km southeast" in told and "higher" in told and "cooler" in told
    with pytest.raises(InputErrors) as caught:
        files.parse_project(text.replace(stated, "#").replace("longitude", "# longitude"))
    assert [(m.code, m.where) for m in caught.value.mistakes] == [("missing", "place.longitude")]


def test_each_sample_is_the_nearest_to_its_own_station():
    for name in files.climate_sample_names():
        weather = files.read_climate(files.climate_path(name, None))
        assert nearest_sample(math.radians(weather.latitude), math.radians(weather.longitude)) == name
