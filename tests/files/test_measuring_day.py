"""What loggers write, in the spellings that occur, and what is asked for where it cannot be known.

The spellings are common practice, no source, but for quotes and commas, which are RFC 4180's (from memory).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from mistcalc import words
from mistcalc.errors import InputErrors
from mistcalc.files import example_text, is_measuring_day, parse_project, read_measuring_day
from mistcalc.files.measuring_day.values import ahead, span, wind
from mistcalc.model.measuring_day import OUTSIDE

PROJECT = parse_project(example_text("courtyard"), "courtyard")
MIST = ("14:20 to 14:40", "15:00 to 15:20", "15:40 to 16:00")
FIRST, LAST, STEP = 14 * 60, 16 * 60 + 25, 0.5  # minutes
LINES = """unit = "degC"
clock = "same as the watch"
time = "Date Time"
mist = ["14:20 to 14:40", "15:00 to 15:20", "15:40 to 16:00"]
wind = ["0.7 m/s from SW", "calm", "1.5 mph from S"]
[[sensor]]
at = "outside"
column = "Out"
humidity = "RH"
[[sensor]]
at = "chairs"
column = "Chairs"
offset = "0.5 degC"
looked = ["dry", "dry", "dry"]
"""


def minutes():
    return np.arange(FIRST, LAST, STEP)


def stamp(minute: float, pattern: str) -> str:
    hour, rest = divmod(minute, 60)
    second = round(rest % 1 * 60)
    half = "AM" if hour < 12 else "PM"
    return pattern.format(h=int(hour), m=int(rest), s=second, h12=int(hour - 1) % 12 + 1, half=half)


def csv(
    pattern="2027-07-15 {h:02d}:{m:02d}:{s:02d}",
    sep=",",
    point=".",
    head=("Date Time", "Out", "RH", "Chairs"),
):
    rows = [sep.join(head)]
    for minute in minutes():
        cells = [stamp(minute, pattern), "38.25", "16.5", f"{35.5 + minute / 600:.2f}"]
        rows.append(sep.join(cell.replace(".", point) if n else cell for n, cell in enumerate(cells)))
    return "\n".join(rows) + "\n"


@pytest.fixture
def folder(tmp_path):
    def write(data: str | bytes, lines: str | None = LINES, name: str = "day.csv") -> Path:
        path = tmp_path / name
        path.write_bytes(data.encode() if isinstance(data, str) else data)
        if lines is not None:
            path.with_suffix(".toml").write_text(lines, "utf-8")
        return path

    return write


def read(path: Path):
    return read_measuring_day(path, PROJECT)


def mistakes(path: Path) -> str:
    with pytest.raises(InputErrors) as caught:
        read(path)
    said = words.say(caught.value)
    assert "(" not in said.split(":")[-1] or "{" not in said  # no sentence in its general form
    return said


def as_expected(day) -> bool:
    outside, chairs = day.outside, day.inside[0]
    return (
        [r.at for r in day.records] == [OUTSIDE, "chairs"]
        and outside.time[0] == FIRST * 60
        and len(chairs.time) == len(minutes())
        and np.allclose(outside.temperature, 311.4)
        and np.allclose(outside.humidity, 0.165)
        and np.allclose(chairs.temperature, 308.15 + minutes() / 600, atol=0.006)
        and day.rounds[0] == (14 * 3600 + 1200, 14 * 3600 + 2400)
    )


# ------------------------------------------------------------------ spellings


@pytest.mark.parametrize(
    ("pattern", "sep", "point"),
    [
        ("2027-07-15 {h:02d}:{m:02d}:{s:02d}", ",", "."),
        ("2027-07-15T{h:02d}:{m:02d}:{s:02d}-07:00", ",", "."),
        ("2027/07/15 {h:02d}:{m:02d}:{s:02d}", "\t", "."),
        ("15.07.2027 {h:02d}:{m:02d}:{s:02d}", ";", ","),
        ("07/15/2027 {h12}:{m:02d}:{s:02d} {half}", ",", "."),
        ("7/15/27 {h12}:{m:02d}:{s:02d} {half}", "\t", ","),
        ("15-Jul-2027 {h:02d}:{m:02d}:{s:02d}", ";", "."),
    ],
)
def test_dates_clocks_and_separators(pattern, sep, point, folder):
    assert as_expected(read(folder(csv(pattern, sep, point))))


def test_spreadsheet_days(folder):
    # Day 45488 of the 1900 system is 2024-07-15 (any spreadsheet says so); 0.6 of it is 14:24.
    rows = ["Date Time,Out,RH,Chairs"]
    rows += [f"{45488 + minute / 1440:.6f},38.25,16.5,{35.5 + minute / 600:.2f}" for minute in minutes()]
    day = read(folder("\n".join(rows)))
    assert np.allclose(day.outside.time, minutes() * 60, atol=0.1)


@pytest.mark.parametrize("ends", ["\r\n", "\r", "\n"])
def test_line_ends_and_a_byte_order_mark(ends, folder):
    assert as_expected(read(folder(b"\xef\xbb\xbf" + csv().replace("\n", ends).encode())))


def test_utf_16_as_spreadsheets_save_unicode_text(folder):
    assert as_expected(read(folder(csv(sep="\t").encode("utf-16"))))


def test_a_degree_sign_of_latin_1(folder):
    text = csv(head=("Date Time", "Out (°C)", "RH", "Chairs"))
    assert as_expected(read(folder(text.encode("cp1252"), LINES.replace('"Out"', '"Out (°C)"'))))


def test_lines_before_the_header_a_units_line_quotes_and_marks_for_missing(folder):
    rows = csv().split("\n")
    rows[6] = rows[6].replace("38.25", "-9999")
    rows[7] = rows[7].replace("38.25", "NaN")
    rows[8] = rows[8].replace("38.25", '"38.25"')
    before = ["Porch logger; exported 2027", "Serial: 1234, firmware 2", ""]
    path = folder("\n".join([*before, rows[0], "-,degC,%,degC", *rows[1:]]))
    outside = read(path).outside
    assert len(outside.time) == len(minutes()) - 2 and np.allclose(outside.temperature, 311.4)


def test_date_and_time_in_two_columns(folder):
    text = csv("2027-07-15,{h:02d}:{m:02d}:{s:02d}", head=("Date", "Time", "Out", "RH", "Chairs"))
    assert as_expected(read(folder(text, LINES.replace('"Date Time"', '["Date", "Time"]'))))


def test_columns_by_number_and_letters_lost_from_headings(folder):
    numbered = (
        LINES.replace('"Date Time"', "1").replace('"Out"', "2").replace('"RH"', "3").replace('"Chairs"', "4")
    )
    numbered = numbered.replace("at = 4", 'at = "chairs"')
    assert as_expected(read(folder(csv(), numbered)))
    assert as_expected(read(folder(csv().split("\n", 1)[1], numbered)))  # no header at all


def test_fahrenheit(folder):
    text = csv().replace("38.25", "100.85")
    lines = LINES.replace('column = "Out"', 'column = "Out"\nunit = "degF"')
    assert as_expected(read(folder(text, lines)))


def test_the_clock_of_the_logger(folder):
    shifted = csv().replace(" 16:", " 23:").replace(" 15:", " 22:").replace(" 14:", " 21:")
    assert as_expected(read(folder(shifted, LINES.replace("same as the watch", "7 h ahead"))))


def test_two_files_of_two_loggers(folder):
    folder(csv(sep=";", point=",", pattern="15.07.2027 {h:02d}:{m:02d}:{s:02d}"), None, "chairs.csv")
    lines = LINES.replace('column = "Chairs"', 'file = "chairs.csv"\ncolumn = "Chairs"')
    assert as_expected(read(folder(csv(), lines)))


def test_the_description_itself_may_be_given_or_stand_in_the_file(folder):
    path = folder(csv())
    assert as_expected(read(path.with_suffix(".toml")))
    own = "".join(f"# {line}\n" for line in LINES.splitlines())
    assert as_expected(read(folder(own + csv(), None, "own.csv")))


def test_mist_by_a_column(folder):
    rows = csv().splitlines()
    on = [any(a <= m < a + 20 for a in (860, 900, 940)) for m in minutes()]
    text = "\n".join(
        [rows[0] + ",Pump", *(f"{row},{'ON' if o else 'off'}" for row, o in zip(rows[1:], on, strict=True))]
    )
    lines = LINES.replace(LINES.splitlines()[3], 'mist = { column = "Pump", on = "on" }')
    assert as_expected(read(folder(text, lines)))


def test_several_days_in_one_file(folder):
    both = csv() + csv("2027-07-16 {h:02d}:{m:02d}:{s:02d}").split("\n", 1)[1]
    said = mistakes(folder(both))
    assert "fit 2 days" in said and "day = 2027-07-15" in said
    assert as_expected(read(folder(both, "day = 2027-07-16\n" + LINES)))


# ------------------------------------------------------------------ what is asked, and refused with the line


def test_a_file_without_its_description_gets_the_lines_to_write(folder):
    said = mistakes(folder(csv(), None))
    for wanted in (
        "day.toml",
        'time = "Date Time"',
        'unit = "degF"',
        'at = "outside"',
        'humidity = "RH"',
        "mist = [",
    ):
        assert wanted in said


def test_the_lines_it_says_to_write_are_read(folder):
    """Copied as they are, with the columns put in, they are a description."""
    said = mistakes(folder(csv(), None))
    lines = said[said.index("patio =") : said.index("docs/measuring-day.md")]
    lines = lines.replace('column = "Temp"', 'column = "Out"').replace(
        "heading of the one that hung at chairs", "Chairs"
    )
    assert len(read(folder(csv(), lines.replace('unit = "degF"', 'unit = "degC"'))).records) == 2


def test_day_or_month_first_is_asked_where_only_the_writer_knows(folder):
    text = csv("07/08/2027 {h:02d}:{m:02d}:{s:02d}")
    said = mistakes(folder(text))
    assert "day.csv line 2" in said and 'date = "day first"' in said and 'date = "month first"' in said
    assert as_expected(read(folder(text, 'date = "month first"\n' + LINES)))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('unit = "degC"\n', "", "unit is missing"),
        ('degC"\nclock', 'C"\nclock', 'unit = "degF" or unit = "degC"'),
        ('clock = "same as the watch"\n', "", "clock is missing"),
        ("same as the watch", "-07:00", '"7 h behind"'),
        ('"chairs"', '"sofa"', 'no seat "sofa". Write at = and one of: chairs, table and outside'),
        ('"Chairs"\n', '"Chair"\n', 'no column "Chair"'),
        ('"calm", ', "", "one wind for each time"),
        ("m/s from SW", "m/s", 'like "1.5 mph from SW"'),
        ("0.5 degC", "9 degC", "broken"),
        ('"dry", "dry", "dry"', '"dry", "dripping", "dry"', "dry, damp and wet"),
        ("14:40", "14:25", "shorter than 15 minutes"),
        ("15:20", "13:20", "do not rise"),
        ('"14:20 to 14:40", "15:00 to 15:20", ', "", "two are the least"),
        ('humidity = "RH"\n', "", "How humid it was outside"),
        ("outside", "table", "One sensor outside is wanted"),
        ("looked", "lookd", "Did you mean looked?"),
    ],
)
def test_a_mistake_in_the_description_says_what_to_write(old, new, said, folder):
    assert old in LINES
    assert said in mistakes(folder(csv(), LINES.replace(old, new)))


@pytest.mark.parametrize(
    ("old", "new", "line", "said"),
    [
        ("14:10:00,", "14:09:30,", 22, "It stands twice"),
        ("14:10:00,", "13:10:00,", 22, "It goes back"),
        ("14:10:00,38.25", "14:10:00,warm", 22, '"warm" is no number'),
        ("14:10:00,38.25", "14:10:00,382.5", 22, "from -20 to 70"),
        ("2027-07-15 14:10:00", "yesterday", 22, "is no time I can read"),
    ],
)
def test_a_mistake_in_the_readings_is_told_with_its_line(old, new, line, said, folder):
    assert csv().count(old) == 1
    told = mistakes(folder(csv().replace(old, new)))
    assert f"day.csv line {line}" in told and said in told


def test_a_heading_of_another_unit(folder):
    text = csv(head=("Date Time", "Out", "RH", "Chairs (°F)"))
    assert "says degF, these lines say degC" in mistakes(
        folder(text, LINES.replace('"Chairs"', '"Chairs (°F)"'))
    )


def test_humidity_as_a_share(folder):
    assert "Humidity is wanted in percent" in mistakes(folder(csv().replace("16.5", "0.165")))


def test_decimal_commas_between_commas(folder):
    assert "Commas part both" in mistakes(folder(csv(point=",")))


def test_less_than_six_tenths_of_the_readings(folder):
    rows = csv().split("\n")

    def thinned(*parts):
        kept = (row for n, row in enumerate(rows) if not (n % 3 and any(part in row for part in parts)))
        return "\n".join(kept)

    one = read(folder(thinned(" 15:1")))  # one round is left out, two remain
    assert one.pairs(one.inside[0]) == (0, 2)
    said = mistakes(folder(thinned(" 15:1", " 15:5")))
    assert "outside: from 15:10 to 15:20 there are" in said and "60 % is the least" in said


def test_readings_too_seldom(folder):
    rows = csv().split("\n")
    assert "too seldom" in mistakes(folder("\n".join([rows[0], *rows[1::10]])))


def test_no_readings_before_the_first_mist_leaves_two_pairs(folder):
    rows = csv().split("\n")
    late = [row for row in rows if " 14:0" not in row and " 14:1" not in row]
    day = read(folder("\n".join(late)))
    assert day.pairs(day.inside[0]) == (1, 2)


@pytest.mark.parametrize("raw", [b"", b"\x00\x01", b'"', b"a,b\n", "\n".join(["x"] * 50).encode()])
def test_what_is_no_table_at_all(raw, folder):
    assert mistakes(folder(raw))


def test_files_that_are_days():
    assert is_measuring_day("a.csv") and is_measuring_day("A.TSV") and is_measuring_day("a.toml")
    assert not is_measuring_day("courtyard.site.jsonl") and not is_measuring_day("monday.txt")


def test_single_values():
    assert span("2:20 pm to 2:40 pm") == span("14:20-14:40") == (51600.0, 52800.0)
    assert span("14:20:30 to 14:40:00")[0] == 51630.0
    assert ahead("1 h 30 min behind") == -5400.0 and ahead("40 s ahead") == 40.0
    assert wind("calm").side is None and wind("2 mph from se").speed == pytest.approx(0.894, abs=1e-3)
    assert wind("0.7 m/s from 90 deg of plan").in_plan
