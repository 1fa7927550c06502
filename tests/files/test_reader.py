"""Climate files: three forms of one year read equal; damaged copies are mended aloud or refused by name.

Every damaged file is made here from a shipped sample, so each test shows what the damage is.
"""

from __future__ import annotations

import gzip
import re
import zlib
from collections.abc import Callable
from types import SimpleNamespace

import numpy as np
import pytest

from mistcalc.errors import DataError
from mistcalc.files.climate import station_file
from mistcalc.files.climate.reader import climate_path, read_climate
from mistcalc.files.climate.station_file import SAMPLES, samples_folder

pytestmark = pytest.mark.thorough

HEAD = 2  # lines before the first row of the plain form
MONTH, DAY, HOUR, DB, DP, P, WIND, WDIR, GHI, DNI, DHI = range(11)


def text_of(file: str) -> str:
    return gzip.decompress((samples_folder() / file).read_bytes()).decode()


TUCSON = text_of("tucson-az.csv.gz").splitlines()
SOUND = read_climate(samples_folder() / "tucson-az.csv.gz")


def row(month: int, day: int, hour: int) -> int:
    """Line index of an hour in the Tucson sample."""
    return next(n for n, line in enumerate(TUCSON) if line.startswith(f"{month},{day},{hour},"))


def damaged(change: Callable[[list[list[str]]], object], head: list[str] | None = None) -> bytes:
    """The Tucson sample with its rows changed in place (or replaced by what `change` returns)."""
    rows = [line.split(",") for line in TUCSON[HEAD:]]
    rows = change(rows) or rows  # type: ignore[assignment]
    lines = [*(head or TUCSON[:HEAD]), *(",".join(cells) for cells in rows)]
    return ("\n".join(lines) + "\n").encode()


def setting(column: int, value: str, where: Callable[[list[str]], bool] = lambda cells: True):
    def change(rows: list[list[str]]) -> None:
        for cells in rows:
            if where(cells):
                cells[column] = value

    return change


def notes(weather) -> dict:
    return {finding.code: finding for finding in weather.notes}


def refused(content: bytes) -> DataError:
    with pytest.raises(DataError) as caught:
        read_climate(content, "house.csv")
    assert caught.value.values["name"] == "house.csv"
    return caught.value


# ------------------------------------------------------------------ sound files


@pytest.mark.parametrize(
    "one, other",
    [("tucson-az.csv.gz", "tucson-az.tmy3.csv.gz"), ("las-vegas-nv.csv.gz", "las-vegas-nv.epw.gz")],
)
def test_forms_of_one_station_read_equal(one, other):
    a, b = (read_climate(samples_folder() / name) for name in (one, other))
    assert a == b
    assert (a.latitude, a.longitude, a.elevation, a.utc_offset) == (
        b.latitude,
        b.longitude,
        b.elevation,
        b.utc_offset,
    )
    for name in ("temperature", "ratio", "air_pressure", "wind", "direction", "ghi", "dni", "dhi"):
        np.testing.assert_array_equal(getattr(a, name), getattr(b, name), err_msg=name)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_reads_without_a_warning(name, sample):
    weather = sample(name)
    assert [f.code for f in weather.notes] == []
    assert weather.temperature.shape == (8760,)
    for values in (weather.temperature, weather.ratio, weather.air_pressure, weather.wind, weather.direction):
        assert np.isfinite(values).all()


def test_path_text_bytes_and_unpacked_bytes_read_equal(tmp_path):
    packed = (samples_folder() / "tucson-az.csv.gz").read_bytes()
    plain = tmp_path / "my station.csv"
    plain.write_bytes(gzip.decompress(packed))
    for source in (packed, gzip.decompress(packed), plain, str(plain)):
        assert read_climate(source) == SOUND
    assert read_climate(plain).source == "my station"
    assert read_climate(packed, "../../etc/tucson.csv.gz").source == "../../etc/tucson"  # shown, never opened
    assert read_climate(packed).source == "upload"


def test_tmy3_rows_disagree_with_their_own_humidity_and_say_so():
    """The RH column of TMY3 parts from the dew point by over 5 points in some tens of hours a year."""
    found = notes(read_climate(samples_folder() / "tucson-az.tmy3.csv.gz"))
    assert list(found) == ["climate-humidity-apart"]
    assert 10 < found["climate-humidity-apart"].value("count") < 60


def test_a_station_owner_may_write_trade_units():
    """The same year in degF, inches of mercury and mph, by the definitions of those units."""
    head = [TUCSON[0], TUCSON[1].replace("db_C,dp_C,p_hPa,wspd_ms", "db_F,dp_F,p_inHg,wspd_mph")]

    def change(rows):
        for cells in rows:
            cells[DB], cells[DP] = (repr(float(cells[n]) * 1.8 + 32) for n in (DB, DP))
            cells[P] = repr(float(cells[P]) * 100 / 3386.389)
            cells[WIND] = repr(float(cells[WIND]) * 3600 / 1609.344)

    weather = read_climate(damaged(change, head))
    np.testing.assert_allclose(weather.temperature, SOUND.temperature, rtol=0, atol=1e-9)
    np.testing.assert_allclose(weather.ratio, SOUND.ratio, rtol=1e-9)
    np.testing.assert_allclose(weather.wind, SOUND.wind, rtol=1e-9, atol=1e-12)


def test_semicolons_and_decimal_commas_read_the_same():
    lines = [TUCSON[0], *(line.replace(",", ";").replace(".", ",") for line in TUCSON[1:])]
    assert read_climate("\n".join(lines).encode()) == SOUND


def test_rows_counted_from_the_start_of_the_hour_are_read_when_the_file_says_so():
    head = [TUCSON[0].replace("hour=hour ending", "hour=hour beginning"), TUCSON[1]]

    def change(rows):
        for cells in rows:
            cells[HOUR] = str(int(cells[HOUR]) - 1)

    assert read_climate(damaged(change, head)) == SOUND


def test_hour_nought_ends_the_day_before_when_the_file_says_ending():
    def change(rows):
        for now, after in zip(rows, rows[1:] + rows[:1], strict=True):
            if now[HOUR] == "24":
                now[MONTH], now[DAY], now[HOUR] = after[MONTH], after[DAY], "0"

    weather = read_climate(damaged(change))
    assert weather == SOUND
    assert weather.notes == ()


# ------------------------------------------------------------------ mended, and said


def test_leap_day_is_left_out():
    def change(rows):
        at = next(n for n, cells in enumerate(rows) if cells[:3] == ["3", "1", "1"])
        return rows[:at] + [["2", "29", *cells[2:]] for cells in rows[at - 24 : at]] + rows[at:]

    weather = read_climate(damaged(change))
    assert weather == SOUND
    assert notes(weather)["climate-leap-day"].value("count") == 24


def test_repeated_rows_are_dropped():
    weather = read_climate(damaged(lambda rows: rows[:100] + rows[90:]))
    assert weather == SOUND
    found = notes(weather)["climate-repeated"]
    assert (found.level, found.value("count"), found.value("differing")) == ("note", 10, 0)


def test_repeated_rows_that_disagree_are_warned_of_and_the_first_kept():
    def change(rows):
        again = [list(cells) for cells in rows[4000:4003]]
        for cells in again:
            cells[DB] = "20.0"
        return rows + again

    weather = read_climate(damaged(change))
    assert weather == SOUND
    assert notes(weather)["climate-repeated"].level == "warn"
    assert notes(weather)["climate-repeated"].value("differing") == 3


def test_shuffled_rows_are_put_in_order():
    def change(rows):
        order = np.random.default_rng(7).permutation(len(rows))
        return [rows[n] for n in order]

    weather = read_climate(damaged(change))
    assert weather == SOUND
    assert notes(weather)["climate-shuffled"].value("count") > 4000  # half of 8,759 steps go back


@pytest.mark.parametrize("code", ["9999", "99.9", "-9900", "", "NA"])
def test_missing_codes_are_gaps_never_numbers(code):
    wanted = row(7, 10, 15) - HEAD

    def change(rows):
        rows[wanted][DB] = code

    weather = read_climate(damaged(change))
    found = notes(weather)["climate-filled"]
    assert (found.level, found.value("count"), found.value("columns")) == ("note", 1, ("temperature",))
    assert found.value("first") == "07-10 15:00"
    around = SOUND.temperature[[wanted - 1, wanted + 1]]
    assert weather.temperature[wanted] == pytest.approx(around.mean())


def test_a_long_gap_takes_the_same_hours_of_the_days_either_side():
    start = row(7, 10, 1) - HEAD

    def change(rows):
        for cells in rows[start : start + 30]:
            cells[DB] = "9999"

    weather = read_climate(damaged(change))
    assert notes(weather)["climate-filled"].level == "warn"
    for hour, after in ((start + 3, 48), (start + 15, 24)):  # the gap ends at 6:00 of the next day
        expected = SOUND.temperature[[hour - 24, hour + after]].mean()
        assert weather.temperature[hour] == pytest.approx(expected)


def test_missing_rows_are_named_once_for_all_columns():
    start = row(7, 10, 1) - HEAD
    weather = read_climate(damaged(lambda rows: rows[:start] + rows[start + 3 :]))
    found = notes(weather)
    assert found["climate-rows-missing"].value("count") == 3
    assert len(found["climate-filled"].value("columns")) >= 7
    assert len(weather.notes) <= 3


def test_a_header_that_is_not_utf8_is_read_and_noted():
    content = damaged(lambda rows: None).replace(b"TUCSON INTERNATIONAL AP", "CAÑÓN DEL ORO".encode("cp1252"))
    weather = read_climate(content)
    assert weather.station == "CAÑÓN DEL ORO"
    assert notes(weather)["climate-encoding"].value("line") == 1
    np.testing.assert_array_equal(weather.temperature, SOUND.temperature)


def test_one_impossible_hour_is_taken_out_and_filled():
    wanted = row(7, 10, 15) - HEAD

    def change(rows):
        rows[wanted][DB] = "64.0"

    weather = read_climate(damaged(change))
    found = notes(weather)["climate-impossible"]
    assert (found.level, found.value("worst"), found.value("first")) == ("warn", 64.0, "07-10 15:00")
    assert weather.temperature[wanted] == pytest.approx(SOUND.temperature[[wanted - 1, wanted + 1]].mean())


def test_relative_humidity_of_176_percent_is_never_used():
    """Only relative humidity in the file, one hour of it impossible."""
    head = [TUCSON[0], TUCSON[1].replace("dp_C", "rh_pct")]
    wanted = row(8, 1, 12) - HEAD

    def change(rows):
        for cells in rows:
            t, dew = float(cells[DB]), float(cells[DP])
            cells[DP] = f"{100 * magnus(dew) / magnus(t):.2f}"
        rows[wanted][DP] = "176"

    weather = read_climate(damaged(change, head))
    assert notes(weather)["climate-impossible"].value("worst") == 176.0
    assert notes(weather)["climate-by-relative-humidity"].value("count") == 8760
    inside = np.arange(8760) != wanted
    # Magnus and Hyland-Wexler differ by up to 0.1 % above freezing and 0.6 % at -20 degC; the share was
    # rounded to 0.01 points, up to 0.1 % of the driest air.
    np.testing.assert_allclose(weather.ratio[inside], SOUND.ratio[inside], rtol=0.01)


def magnus(celsius: float) -> float:
    """Saturation pressure over water, hPa: WMO-No. 8 (2018), annex 4.B."""
    return 6.112 * np.exp(17.62 * celsius / (243.12 + celsius))


def test_dew_point_above_dry_bulb_is_taken_as_saturated_and_said():
    wanted = row(8, 1, 6) - HEAD

    def change(rows):
        rows[wanted][DP] = repr(float(rows[wanted][DB]) + 1.0)

    weather = read_climate(damaged(change))
    assert notes(weather)["climate-supersaturated"].value("count") == 1
    assert weather.ratio[wanted] > SOUND.ratio[wanted]


def test_without_pressure_the_standard_atmosphere_at_the_station_stands_in():
    weather = read_climate(damaged(setting(P, "")))
    assert "climate-no-pressure" in notes(weather)
    # ICAO standard atmosphere at 777 m, 92.3 kPa (from memory of the tables, to 0.1 kPa)
    assert weather.air_pressure[0] == pytest.approx(92.3e3, abs=60)


def test_pressure_reduced_to_sea_level_is_not_believed():
    weather = read_climate(damaged(setting(P, "1013")))
    found = notes(weather)["climate-pressure-unlikely"]
    assert (found.level, found.value("usual")) == ("warn", 101300.0)
    assert weather.air_pressure[0] == pytest.approx(92.3e3, abs=60)


def test_columns_the_job_can_do_without_are_none_and_noted():
    head = [TUCSON[0], ",".join(TUCSON[1].split(",")[: WIND + 1])]
    weather = read_climate(damaged(lambda rows: [cells[: WIND + 1] for cells in rows], head))
    assert weather.direction is weather.ghi is weather.dni is weather.dhi is None
    assert notes(weather)["climate-column-absent"].value("columns") == ("ghi", "dni", "dhi", "direction")
    np.testing.assert_array_equal(weather.temperature, SOUND.temperature)


def test_a_place_without_longitude_is_assumed_aloud():
    head = [re.sub(r"lon=[^;]*; tz=[^;]*; ", "", TUCSON[0]), TUCSON[1]]
    assert "climate-place-assumed" in notes(read_climate(damaged(lambda rows: None, head)))


# ------------------------------------------------------------------ doubted, and said


def test_wind_constant_all_year_is_doubted():
    found = notes(read_climate(damaged(setting(WIND, "3.1"))))["climate-wind-constant"]
    assert (found.level, found.value("value"), found.value("share")) == ("warn", 3.1, 1.0)


def filler(rows, share: float) -> None:
    for cells in rows:
        t = float(cells[DB])
        log = np.log(share / 100 * magnus(t) / 6.112)
        cells[DP] = f"{243.12 * log / (17.62 - log):.1f}"


def test_a_month_of_constant_humidity_is_doubted():
    found = notes(read_climate(damaged(lambda rows: filler(rows[4344:5088], 40))))  # July
    assert found["climate-humidity-constant"].level == "warn"
    assert 700 <= found["climate-humidity-constant"].value("hours") <= 790


def test_a_year_of_constant_humidity_is_refused():
    assert refused(damaged(lambda rows: filler(rows, 50))).code == "climate-humidity-constant"


def test_a_stuck_thermometer_is_doubted():
    found = notes(read_climate(damaged(setting(DB, "31.0", lambda c: c[MONTH] == "7" and int(c[DAY]) < 9))))
    assert 190 <= found["climate-temperature-constant"].value("hours") <= 200


def roll(hours: int, sun: bool = True):
    def change(rows):
        kept = [cells[:3] for cells in rows]
        rest = [cells[3:] for cells in rows]
        rest = rest[-hours:] + rest[:-hours] if hours else rest
        return [[*a, *(b if sun else [*b[:5], "", "", ""])] for a, b in zip(kept, rest, strict=True)]

    return change


@pytest.mark.parametrize("hours", [-1, 1])
def test_rows_one_hour_off_are_doubted(hours):
    """Daylight time, or rows stamped at the start of the hour."""
    found = notes(read_climate(damaged(roll(hours))))["climate-noon-off"]
    assert found.level == "warn"
    assert found.value("hours") == pytest.approx(hours, abs=0.1)  # the sound file: within 0.05 h


@pytest.mark.parametrize("sun", [True, False])
def test_utc_instead_of_local_time_is_refused(sun):
    """Tucson is at UTC-7: in UTC its rows come seven hours later by the clock."""
    error = refused(damaged(roll(7, sun)))
    assert error.code == "climate-clock-utc"
    assert error.values["by"] == ("sun" if sun else "temperature")


@pytest.mark.parametrize("sun", [True, False])
def test_a_clock_far_off_is_refused(sun):
    assert refused(damaged(roll(-6, sun))).code == "climate-clock"


# ------------------------------------------------------------------ refused


def test_fahrenheit_in_a_celsius_column_is_refused():
    def change(rows):
        for cells in rows:
            cells[DB] = f"{float(cells[DB]) * 1.8 + 32:.1f}"

    error = refused(damaged(change))
    assert (error.code, error.values["column"]) == ("climate-impossible", "temperature")
    assert error.values["worst"] == pytest.approx(107.1, abs=0.1)  # 41.7 degC, the sample's hottest hour


@pytest.mark.parametrize(
    "change, code",
    [
        (lambda rows: rows[:4000], "climate-short"),
        (lambda rows: rows[4344:5088], "climate-short"),
        (lambda rows: rows[:4344] + rows[4440:], "climate-gap"),
        (setting(WIND, "999", lambda c: c[MONTH] == "7"), "climate-gap"),
        (setting(DB, "?", lambda c: c[MONTH] == "7"), "climate-not-number"),
        (setting(HOUR, "25", lambda c: c[MONTH] == "7"), "climate-rows-broken"),
        (lambda rows: [*rows, *([*c[:3], "1.0", *c[4:]] for c in rows)], "climate-rows-disagree"),
        (lambda rows: rows * 3, "climate-too-many-rows"),
        (lambda rows: [cells[:4] for cells in rows], "climate-rows-broken"),
        (setting(WIND, ""), "climate-columns-missing"),
        (setting(DP, ""), "climate-columns-missing"),
        (setting(DB, "inf"), "climate-impossible"),
        (lambda rows: [[]], "climate-empty"),
    ],
)
def test_what_cannot_be_used_is_refused_by_name(change, code):
    assert refused(damaged(change)).code == code


def test_hours_from_nought_to_23_without_a_word_are_refused():
    """Start or end of the hour? Either could be meant; an hour's error is not guessed at."""
    head = [TUCSON[0].replace("; hour=hour ending, local standard time", ""), TUCSON[1]]

    def change(rows):
        for cells in rows:
            cells[HOUR] = str(int(cells[HOUR]) - 1)

    assert refused(damaged(change, head)).code == "climate-hour-convention"


@pytest.mark.parametrize(
    "head, code",
    [
        (lambda a, b: [re.sub(r"lat=[^;]*; ", "", a), b], "climate-header"),
        (lambda a, b: [re.sub(r"elev_m=[^;]*; ", "", a), b], "climate-header"),
        (lambda a, b: [a.replace("lat=32.133", "lat=132"), b], "climate-place"),
        (lambda a, b: [a.replace("elev_m=777.0", "elev_m=high"), b], "climate-place"),
        (lambda a, b: [a.replace("elev_m=777.0", "elev_m=nan"), b], "climate-place"),
        (lambda a, b: [a, b.replace("day", "date")], "climate-columns-missing"),
        (lambda a, b: [a, b.replace("dp_C", "db_C")], "climate-column-twice"),
        (lambda a, b: [a, b.replace("dp_C", "db_F")], "climate-column-twice"),
        (lambda a, b: [b], "climate-form-unknown"),
    ],
)
def test_a_head_that_does_not_say_enough_is_refused(head, code):
    assert refused(damaged(lambda rows: None, head(*TUCSON[:HEAD]))).code == code


def test_a_sub_hourly_epw_is_refused():
    text = text_of("las-vegas-nv.epw.gz").replace("DATA PERIODS,1,1,", "DATA PERIODS,1,4,")
    error = refused(text.encode())
    assert (error.code, error.values["per_hour"]) == ("climate-not-hourly", "4")


def test_epw_missing_codes_and_high_pressure_are_told_apart():
    """999999 Pa is EPW's "missing"; 99999 Pa is a pressure."""
    lines = text_of("las-vegas-nv.epw.gz").splitlines()
    for n, value in ((4000, "999999"), (4001, "99999")):
        cells = lines[n].split(",")
        cells[9] = value
        lines[n] = ",".join(cells)
    weather = read_climate("\n".join(lines).encode())
    assert notes(weather)["climate-filled"].value("count") == 1
    assert weather.air_pressure[4001 - 8] == 99999.0


@pytest.mark.parametrize(
    "content, code",
    [
        (b"", "climate-empty"),
        (b" \n\n", "climate-empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "climate-binary"),
        (b"PK\x03\x04 and so on", "climate-zip"),
        (b"\x1f\x8bnot really", "climate-gzip"),
        ((samples_folder() / "tucson-az.csv.gz").read_bytes()[:50_000], "climate-gzip"),
        (b"<html><body>404</body></html>", "climate-form-unknown"),
        (b"LOCATION,Nowhere\n" * 20, "climate-header"),
        (b'"' * 300_000, "climate-form-unknown"),
        (b"#" + b"a" * 3_000_000, "climate-form-unknown"),
        (b"# lat=1; elev_m=1", "climate-header"),
    ],
)
def test_files_that_are_something_else(content, code):
    assert refused(content).code == code


def test_a_small_file_that_unpacks_to_a_huge_one_is_refused(monkeypatch):
    assert 10_000_000 < station_file.LARGEST < 100_000_000
    monkeypatch.setattr(station_file, "LARGEST", 1_000_000)  # the same at a size that packs quickly
    bomb = gzip.compress(b"#" * 1_000_001)
    assert len(bomb) < 2000
    assert refused(bomb).code == "climate-too-large"
    assert refused(gzip.compress(b"#" * 500_001) * 2).code == "climate-too-large"


def test_a_file_of_many_empty_ones_is_given_up(monkeypatch):
    """Each costs no more than a piece of the file; 2 MB of them once took half a minute."""
    opened, given = [], []

    def counted(*, wbits: int) -> object:
        opened.append(1)
        inflater = zlib.decompressobj(wbits=wbits)

        class Counting:
            eof = property(lambda self: inflater.eof)
            unused_data = property(lambda self: inflater.unused_data)

            def decompress(self, piece: memoryview, most: int) -> bytes:
                given.append(len(piece))
                return inflater.decompress(piece, most)

        return Counting()

    monkeypatch.setattr(station_file, "zlib", SimpleNamespace(decompressobj=counted, error=zlib.error))
    assert refused(gzip.compress(b"") * 50_000).code == "climate-gzip"
    assert len(opened) <= station_file.MEMBERS
    assert max(given) <= station_file.PIECE


def test_a_file_in_blocks_is_read_whole():
    """As programs write that let one begin in the middle: a gzip file for every 64 kB."""
    text = "\n".join(TUCSON).encode()
    blocks = [text[at : at + 2**16] for at in range(0, len(text), 2**16)]
    assert len(blocks) == 5
    assert read_climate(b"".join(map(gzip.compress, [*blocks, b""]))) == SOUND


def test_a_file_of_200_mb_is_refused_without_being_read(tmp_path):
    path = tmp_path / "house.csv"
    with path.open("wb") as file:
        file.truncate(200_000_000)
    with pytest.raises(DataError) as caught:
        read_climate(path)
    assert (caught.value.code, caught.value.values["size"]) == ("climate-too-large", 200_000_000)


def test_a_packed_file_in_two_parts_is_read_whole():
    text = "\n".join(TUCSON).encode()
    assert read_climate(gzip.compress(text[:100_000]) + gzip.compress(text[100_000:])) == SOUND


# ------------------------------------------------------------------ names


def test_names_of_samples_and_of_files_beside_the_project(tmp_path):
    assert climate_path("El-Paso", None).name == "el-paso-tx.csv.gz"
    assert climate_path("el-paso-tx", None) == climate_path("el-paso", tmp_path)
    own = tmp_path / "weather" / "house.epw"
    own.parent.mkdir()
    own.write_text("x")
    project = tmp_path / "house.toml"
    project.write_text("")
    assert (
        climate_path("weather/house.epw", tmp_path)
        == climate_path("weather/house.epw", project)
        == own.resolve()
    )


@pytest.mark.parametrize(
    "name, beside, code",
    [
        ("el-pasо", None, "climate-unknown"),  # a Cyrillic o
        ("house.epw", None, "climate-unknown"),
        ("", True, "climate-unknown"),
        ("a\0b", True, "climate-unknown"),
        ("house.epw", True, "climate-no-file"),
        ("../house.epw", True, "climate-outside"),
        ("/etc/hostname", True, "climate-outside"),
    ],
)
def test_names_that_lead_nowhere(tmp_path, name, beside, code):
    with pytest.raises(DataError) as caught:
        climate_path(name, tmp_path if beside else None)
    assert caught.value.code == code


def test_a_near_miss_names_the_sample_meant():
    with pytest.raises(DataError) as caught:
        climate_path("el paso", None)
    assert caught.value.values["like"] == ("el-paso",)


def test_the_name_of_a_town_is_answered_with_the_sample_nearest_to_it():
    """Las Cruces lies some 60 km from El Paso, and 430 km from Tucson."""
    with pytest.raises(DataError) as caught:
        climate_path("las cruces", None)
    assert (caught.value.values["town"], caught.value.values["nearest"]) == ("Las Cruces, NM", "el-paso")
