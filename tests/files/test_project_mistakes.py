"""Bad project files: one clear mistake each, all of a file together, never a traceback."""

from __future__ import annotations

import os

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc import files, words
from mistcalc.errors import InputErrors
from mistcalc.files.text.reading import MOST_BYTES
from tests.bent_lids import BOW
from tests.random_projects import project_text

SMALL = """\
format = 1
name = "Small"
[place]
elevation = "10 m"
climate = "el-paso"
[[patio]]
name = "p"
depth = "9 ft"
[[patio.run]]
name = "A"
length = "20 ft"
"""
OBSTACLE = """\
[[patio.obstacle]]
name = "O"
kind = "light"
run = "A"
along = "9 ft"
back = "4 ft"
size = "6 in"
"""
HOT = """\
[[place.afternoon]]
name = "hot"
dry_bulb = "38 degC"
relative_humidity = "22 %"
wind = "3 m/s"
"""
PLATE = '[pump]\nnameplate = { flow = "1 gpm", pressure = "70 bar", motor = "1 hp" }'
STEP, ITS, COAT = '[[dates.step]]\nname = "{name}"\n{more}', "dates.step[lath]", "scratch coat"
TWO_ZONES = '[[line.zone]]\nname = "z"\nruns = ["A"]\n[[line.zone]]\nname = "y"\nruns = ["A"]'
IN_PATIO = "patio[p].obstacle[O]"


def mistakes(text: str | bytes) -> list:
    with pytest.raises(InputErrors) as caught:
        files.parse_project(text, "house.toml")
    return list(caught.value.mistakes)


def only(text: str | bytes):
    found = mistakes(text)
    assert len(found) == 1, found
    return found[0]


# ------------------------------------------------------------------ one key wrong


@pytest.mark.parametrize(
    ("old", "new", "code", "where"),
    [
        ('depth = "9 ft"', "depth = 9", "unit-missing", "patio[p].depth"),
        ('depth = "9 ft"', 'depth = "9"', "unit-missing", "patio[p].depth"),
        ('depth = "9 ft"', 'depth = "9 psi"', "unit-of-other-kind", "patio[p].depth"),
        ('depth = "9 ft"', 'depth = "0 ft"', "out-of-range", "patio[p].depth"),
        ('depth = "9 ft"', 'depth = "1 km"', "out-of-range", "patio[p].depth"),
        ('depth = "9 ft"', 'detph = "9 ft"', "key-unknown", "patio[p].detph"),
        ('length = "20 ft"', 'length = "-20 ft"', "not-above-zero", "patio[p].run[A].length"),
        ('length = "20 ft"', 'length = "1 km"', "out-of-range", "patio[p].run[A].length"),
        ('length = "20 ft"', 'length = "1e400 ft"', "number-out-of-reach", "patio[p].run[A].length"),
        ('length = "20 ft"', 'length = "nan m"', "number-not-finite", "patio[p].run[A].length"),
        ('length = "20 ft"', "length = inf", "number-not-finite", "patio[p].run[A].length"),
        ('length = "20 ft"', "length = true", "quantity-not-text", "patio[p].run[A].length"),
        ('length = "20 ft"', 'length = ["20 ft"]', "quantity-not-text", "patio[p].run[A].length"),
        ('length = "20 ft"', 'length = "20 ft"\nthen = "inside corner"', "corner-after-last",
          "patio[p].run[A].then"),
        ('length = "20 ft"', 'length = "20 ft"\ndepth = "4 in"', "out-of-range", "patio[p].run[A].depth"),
        ('length = "20 ft"', 'length = "20 ft"\nthen = "left"', "choice-unknown", "patio[p].run[A].then"),
        ('name = "Small"', 'name = ""', "name-empty", "name"),
        ('name = "Small"', 'name = " x"', "name-spaced", "name"),
        ('name = "Small"', 'name = "a\\u001b[31m"', "text-unprintable", "name"),
        ('name = "Small"', f'name = "{"x" * 61}"', "text-too-long", "name"),
        ('name = "Small"', "name = 7", "text-wanted", "name"),
        ('name = "Small"', 'name = "Small"\nunits = "imperial"', "choice-unknown", "units"),
        ('name = "Small"', 'name = "Small"\nlanguage = "xx"', "choice-unknown", "language"),
        ('name = "Small"\n', "", "missing", "name"),
        ('climate = "el-paso"\n', "", "no-air", "place"),
        ('elevation = "10 m"\n', "", "missing", "place.elevation"),
        ("[[patio]]", "[patio]", "many-not-one", "patio"),
        ("[place]", "[[place]]", "one-not-many", "place"),
        ("format = 1", "format = 2", "format-newer", "format"),
        ("format = 1", 'format = "1"', "format-unknown", "format"),
        ("format = 1", "format = 0", "format-unknown", "format"),
        ("format = 1\n", "", "format-missing", "format"),
    ],
)  # fmt: skip
def test_one_wrong_key(old, new, code, where):
    assert old in SMALL
    text = SMALL.replace(old, new).replace("\n[patio.run]", "\n[[patio.run]]")
    if old == "[[patio]]":
        text = text.split("[[patio.run]]")[0]
    found = only(text)
    assert (found.code, found.where) == (code, where)
    assert words.say(found)


@pytest.mark.parametrize(
    ("more", "code", "where"),
    [
        (OBSTACLE.replace('"A"', '"Z"'), "no-such-name", f"{IN_PATIO}.run"),
        (OBSTACLE.replace('along = "9 ft"', 'along = "21 ft"'), "outside-lid", f"{IN_PATIO}.along"),
        (OBSTACLE.replace('back = "4 ft"', 'back = "10 ft"'), "outside-lid", f"{IN_PATIO}.back"),
        (OBSTACLE.replace('"light"', '"lamp"'), "choice-unknown", f"{IN_PATIO}.kind"),
        (OBSTACLE.replace('"light"', '"grill"').replace('size = "6 in"\n', ""), "missing",
          f"{IN_PATIO}.size"),
        (OBSTACLE + OBSTACLE, "name-twice", "patio[p].obstacle[O]"),
        (OBSTACLE + 'air_speed = "1 m/s"', "only-for-fans", f"{IN_PATIO}.air_speed"),
        (OBSTACLE.replace('"light"', '"fan"').replace('"6 in"', '["6 in", "7 in"]'), "fan-one-size",
          f"{IN_PATIO}.size"),
        ('[patio.marks]\npitch = "40 in"', "order", "patio[p].marks.pitch"),
        ('[patio.marks]\nclosest = "30 in"', "order", "patio[p].marks.closest"),
        ("[patio.marks]\nhole = '0 in'", "not-above-zero", "patio[p].marks.hole"),
        ('[line.tube]\nwall = "0.2 in"', "no-bore", "line.tube.wall"),
        ('[line.nozzle]\ndrop_median = "20 um"\ndrop_sauter = "16 um"', "drop-size-twice",
          "line.nozzle.drop_sauter"),
        ('[line.tube]\nkerb = "1 mm"', "key-unknown", "line.tube.kerb"),
        ('[line]\nkerf = "1 mm"', "key-unknown", "line.kerf"),
        ('[line.tube]\ntemper = "drawn"', "only-for-copper", "line.tube.temper"),
        ('[line.nozzle]\nflow = "6 L/h"', "missing", "line.nozzle.at"),
        ('[line.nozzle]\nexponent = "0.5"', "number-wanted", "line.nozzle.exponent"),
        ('[line.nozzle]\nexponent = 2.0', "out-of-range", "line.nozzle.exponent"),
        ('[[line.piece]]\nfrom = "A start"\nto = "A end"\nlength = "3 m"', "run-not-fed", "line.piece"),
        ('[line.drain]\nat = "C end"', "no-such-name", "line.drain.at"),
        ('[[line.zone]]\nname = "z"\nruns = ["A", "C"]', "no-such-name", "line.zone[z].runs"),
        ('[[line.zone]]\nname = "z"\nruns = []', "list-wanted", "line.zone[z].runs"),
        ('[[line.zone]]\nname = "z"\nruns = "A"', "list-wanted", "line.zone[z].runs"),
        (TWO_ZONES, "run-in-two-zones", "line.zone[y].runs"),
        ('[water]\nstatic = "50 psi"\nresidual = "60 psi"', "order", "water.residual"),
        ('[water]\nstatic = "50 psi"\nresidual = "50 psi"', "residual-is-static", "water.residual"),
        ('[water]\ntemperature = "-40 degC"', "out-of-range", "water.temperature"),
        ("[water]\nph = 15", "out-of-range", "water.ph"),
        ("[water]\nph = nan", "number-not-finite", "water.ph"),
        ("[dates]\nscratch_coat = '2027-03-08'", "date-wanted", "dates.scratch_coat"),
        (STEP.format(name="lath", more="days = -1"), "out-of-range", f"{ITS}.days"),
        (STEP.format(name="lath", more="days = 1.5"), "whole-wanted", f"{ITS}.days"),
        (STEP.format(name="lath", more='trade = "latherer"'), "choice-unknown", f"{ITS}.trade"),
        (STEP.format(name="lath", more='after = ["lath"]'), "step-after-itself", f"{ITS}.after"),
        (STEP.format(name="lath", more='after = ["papr"]'), "no-such-step", f"{ITS}.after"),
        (STEP.format(name="lath", more='after = ["brown coat + 7 days"]'), "step-circle", f"{ITS}.after"),
        (STEP.format(name="lath", more='after = ["paper + 400 days"]'), "close-in-long", "dates.step"),
        (STEP.format(name=COAT, more="days = 0"), "not-above-zero", f"dates.step[{COAT}].days"),
        (STEP.format(name="lathing", more="days = 2"), "step-new", "dates.step[lathing]"),
        ('[dates]\nwork_days = ["Monday"]', "choice-unknown", "dates.work_days[1]"),
        ("[dates]\ndays_off = 2027-03-08", "list-wanted", "dates.days_off"),
        ("[dates]\ndays_off = ['2027-03-08']", "date-wanted", "dates.days_off[1]"),
        ('[control]\nhours = ["14:00"]', "list-short", "control.hours"),
        ('[control]\nmonths = ["May"]', "list-short", "control.months"),
        ('[control]\nhours = ["14:00", "25:00"]', "clock-out-of-day", "control.hours[2]"),
        ('[control]\nmonths = ["May", "Sommer"]', "month-wanted", "control.months[2]"),
        ("[prices]\nwater = 7.5", "unit-missing", "prices.water"),
        ("[pump]\nnameplate = 3", "table-wanted", "pump.nameplate"),
        (PLATE, "missing", "pump.nameplate.volts"),
        ("[patio.obstacle]\nname = 'x'", "many-not-one", "patio[p].obstacle"),
        (HOT.replace("22 %", "101 %"), "out-of-range", "place.afternoon[hot].relative_humidity"),
        (HOT.replace("38 degC", "61 degC"), "out-of-range", "place.afternoon[hot].dry_bulb"),
        (HOT.replace("3 m/s", "-1 m/s"), "out-of-range", "place.afternoon[hot].wind"),
    ],
)  # fmt: skip
def test_one_wrong_addition(more, code, where):
    found = only(SMALL + more + "\n")
    assert (found.code, found.where) == (code, where)
    assert found.line is not None and found.line <= SMALL.count("\n") + more.count("\n") + 1


def test_all_mistakes_of_a_file_come_together_in_the_order_they_stand():
    text = SMALL.replace('"10 m"', "10").replace('"20 ft"', '"20 feets"') + (
        '[patio.marks]\npich = "2 ft"\n[line.tube]\nwall = "1/4 in"\n'
        '[[line.zone]]\nname = "z"\nruns = ["B"]\n'
    )
    found = mistakes(text)
    assert [m.code for m in found] == [
        "unit-missing",
        "unit-unknown",
        "key-unknown",
        "no-bore",
        "run-in-no-zone",
        "no-such-name",
    ]
    lines = [m.line for m in found]
    assert lines[:4] == [4, 11, 13, 15]
    assert found[2].values["nearest"] == "pitch"


def test_a_key_in_the_wrong_table_is_sent_home():
    found = only(SMALL + '[line]\nkerf = "1 mm"\n')
    assert found.values["home"] == "line.tube" and found.line == 13


def test_line_numbers_of_keys_in_every_writing():
    text = SMALL + 'joints = [\n  { name = "J1", along = "3 ft" },\n  { name = "J2", along = "90 ft" },\n]\n'
    found = only(text)
    assert (found.code, found.where, found.line) == ("outside-lid", "patio[p].run[A].joints[J2].along", 14)


# ------------------------------------------------------------------ impossible lids


def test_a_kilometre_of_lid_and_ten_thousand_nozzles_are_refused():
    run = '[[patio.run]]\nname = "B"\nlength = "200 m"\n'
    long = SMALL.replace('"20 ft"', '"150 m"\nthen = "inside corner"') + run
    assert [m.code for m in mistakes(long)] == ["lid-too-long"]
    fine = '[patio.marks]\npitch = "25 mm"\nclosest = "25 mm"\n'
    crowded = only(SMALL.replace('"20 ft"', '"250 m"') + fine)
    assert (crowded.code, crowded.values["count"]) == ("too-many-nozzles", 10_000)


def test_too_many_things():
    many = "".join(OBSTACLE.replace('"O"', f'"O{n}"') for n in range(501))
    assert only(SMALL + many).code == "too-many"


# ------------------------------------------------------------------ syntax


@pytest.mark.parametrize(
    ("line", "code", "instead"),
    [
        ("""length = "9' 6 1/2"\"""", "inch-mark-in-string", '"9 ft 6-1/2 in"'),
        ("""length = '2'-11 1/4"'""", "inch-mark-in-string", '"2 ft 11-1/4 in"'),
        ("""datum = { end = "start", surface = "x", at = "3' 2"" }""", "inch-mark-in-string", '"3 ft 2 in"'),
        ("length = 9 ft", "value-not-quoted", '"9 ft"'),
        ("length = 9' 6\"", "value-not-quoted", '"9 ft 6 in"'),
        ("length = “9 ft”", "value-not-quoted", '"9 ft"'),
        ("about = Tinaja", "value-not-quoted", '"Tinaja"'),
        ("drilled = True", "value-not-quoted", "true"),
        ("length =", "value-missing", None),
        ('length = "9 ft', "not-closed", None),
        ('centres = ["9 ft"', "not-closed", None),
        ("length", "toml-syntax", None),
        ("length: 9 ft", "toml-syntax", None),
    ],
)
def test_syntax_comes_alone_with_its_line_and_the_right_spelling(line, code, instead):
    found = only(SMALL.replace('length = "20 ft"', line) + 'wrong = "key"\n')
    assert (found.code, found.line) == (code, 11)
    assert found.values.get("instead") == instead
    assert words.say(found)


@pytest.mark.parametrize(
    ("more", "line", "first"),
    [('length = "3 ft"', 12, 11), ("[place]", 12, 3), ("[line]\na = 1\n[pump]\n[line]", 15, 12)],
)
def test_a_key_or_table_that_stands_twice(more, line, first):
    found = only(SMALL + more + "\n")
    assert (found.code, found.line, found.values["first"]) == ("key-twice", line, first)


# ------------------------------------------------------------------ files no person typed


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b"", "file-empty"),
        (b" \r\n\t\n", "file-empty"),
        (b"\xef\xbb\xbf", "file-empty"),
        (b"\x89PNG\r\n\x1a\n\0\0", "file-not-text"),
        (SMALL.encode("utf-16"), "file-wrong-encoding"),
        (SMALL.replace("Small", "Córdoba").encode("latin-1"), "file-wrong-encoding"),
        (b"x" * (MOST_BYTES + 1), "file-too-big"),
        (b"a = " + b"[" * 20_000, "nested-too-deep"),
        (b"a = " + b"{a=" * 10_000, "nested-too-deep"),
        (b"a = " + b"[" * 100_000, "file-too-full"),
        (b"a = [" + b"1," * 100_000 + b"]", "file-too-full"),
        (b"".join(b"a%d.b.c.d.e.f.g = 1\n" % n for n in range(40_000)), "file-too-full"),
        (b"".join(b"[a%d.b.c]\n" % n for n in range(40_000)), "file-too-full"),
        (b"a = " + b"9" * 100_000, "toml-syntax"),
        (b"a" + b".a" * 400_000 + b" = 1", "nested-too-deep"),  # a reader's time grows with its square
        (b"[" + b"a." * 400_000 + b"a]", "nested-too-deep"),
        (b"# only a comment\n", "format-missing"),
        (b"month,day,hour,db_C\n1,1,1,3.0\n", "toml-syntax"),
    ],
)
def test_hostile_bytes(raw, code):
    assert only(raw).code == code


def test_a_file_of_nothing_but_mistakes_is_told_in_part():
    found = mistakes(SMALL.replace("[place]", "".join(f"k{n} = 1\n" for n in range(500)) + "[place]"))
    assert [m.code for m in found[-2:]] == ["key-unknown", "more-mistakes"]
    assert len(found) == found[-1].values["told"] + 1


@pytest.mark.parametrize(
    "wrong",
    [
        "".join(f"{'k' * 7000}{n} = 1\n" for n in range(100)),
        "".join(f'"{"é" * 7000}{n}" = "{"v" * 2000}"\n' for n in range(40)),
        "".join(f'[[patio]]\nname = "{"n" * 9000}"\nheight = "{"9" * 9000}"\n' for n in range(40)),
    ],
    ids=["keys", "quoted keys", "values"],
)
def test_no_message_is_longer_than_a_person_reads(wrong):
    """A hundred mistakes at most, each a sentence or two, whatever the length of what is wrong."""
    with pytest.raises(InputErrors) as caught:
        files.parse_project(SMALL.replace("[place]", wrong + "[place]"), "house.toml")
    lines = words.say(caught.value).splitlines()
    assert len(lines) <= 101
    assert max(map(len, lines)) < 400


def test_wrong_encoding_names_its_line():
    assert only(SMALL.replace("Small", "Córdoba").encode("latin-1")).line == 2


def test_files_that_cannot_be_opened(tmp_path):
    for path, code in ((tmp_path / "none.toml", "file-missing"), (tmp_path, "file-is-folder")):
        with pytest.raises(InputErrors) as caught:
            files.read_project(path)
        assert caught.value.mistakes[0].code == code
    with pytest.raises(InputErrors) as caught:
        files.read_project("bad\0name.toml")
    assert caught.value.mistakes[0].code == "file-unreadable"


def test_a_huge_file_is_not_read_to_its_end(tmp_path):
    path = tmp_path / "huge.toml"
    with path.open("wb") as stream:
        os.truncate(stream.fileno(), 200_000_000)
    with pytest.raises(InputErrors) as caught:
        files.read_project(path)
    assert caught.value.mistakes[0].code == "file-too-big"


def test_markup_and_control_characters_never_come_back_raw():
    text = SMALL + '"\\u001b[2J" = 1\n'
    found = only(text)
    assert found.code == "key-unknown"
    assert found.where.isprintable() and str(found.values["key"]).isprintable()


COURTYARD = files.example_text("courtyard")
LINES = COURTYARD.splitlines()


@settings(max_examples=60, deadline=None)
@given(
    number=st.integers(0, len(LINES) - 1),
    junk=st.text(alphabet="ab=[]{}\"'#.,19 ftinpsi%-/\\\x00é", max_size=20),
    keep=st.booleans(),
)
def test_any_damaged_line_is_read_or_refused_in_words(number, junk, keep):
    lines = [*LINES]
    lines[number] = lines[number] + junk if keep else junk
    read_or_refused("\n".join(lines))


def read_or_refused(text: str) -> None:
    try:
        project = files.parse_project(text)
        files.alternate_projects(project, text.encode())
    except InputErrors as caught:
        assert caught.mistakes
        for mistake in caught.mistakes:
            assert words.say(mistake) and words.say(mistake, language="es")
            assert not str(mistake.values.get("key")).isdigit()  # a number is a place in a list, and no key


WRONG = (
    '""', "0", "-1", "true", "[]", "{}", "2027-03-07", '"-3 ft"', '"5 psi"', '["Jan"]', "[[1]]", "[{}]",
    '"inside corner"', '["first test"]', '"99 %"', '["N", "Mon"]', '"9 a month"', '"90 ft"',
)  # fmt: skip


@pytest.mark.thorough
@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 199), number=st.integers(0, 9999), wrong=st.sampled_from(WRONG))
def test_any_key_given_another_value_is_read_or_refused_in_words(seed, number, wrong):
    """Of random projects, which state every key there is."""
    lines = project_text(seed).splitlines()
    keyed = [n for n, line in enumerate(lines) if " = " in line]
    at = keyed[number % len(keyed)]
    lines[at] = f"{lines[at].partition(' = ')[0]} = {wrong}"
    read_or_refused("\n".join(lines))


def test_a_value_in_a_list_is_told_with_the_lists_key():
    found = only(SMALL + '[control]\ndays = ["Mon", "Lunes"]\n')
    assert (found.where, found.values["key"]) == ("control.days[2]", "days")


@settings(max_examples=40, deadline=None)
@given(cut=st.integers(0, len(COURTYARD)))
def test_any_truncated_file_is_read_or_refused(cut):
    try:
        files.parse_project(COURTYARD[:cut])
    except InputErrors as caught:
        assert caught.mistakes


def ring(lengths: tuple[str, ...], corners: tuple[str, ...], more: str = "") -> str:
    runs = [
        f'[[patio.run]]\nname = "{name}"\nlength = "{length}"\nthen = "{corner} corner"\n'
        for name, length, corner in zip("ABCDEF", lengths, corners, strict=False)
    ]
    head, rest = SMALL.split("[[patio.run]]")[0], "".join(runs)
    return head + rest + more


@pytest.mark.parametrize(
    ("text", "code", "where"),
    [
        (ring(("20 ft", "10 ft", "20 ft", "9 ft 11 in"), ("inside",) * 4), "ring-open", "patio[p].run"),
        (ring(("20 ft", "10 ft", "20 ft", "10 ft"), ("inside",) * 3 + ("outside",)), "ring-turns",
         "patio[p].run[D].then"),
        (ring(("20 ft", "10 ft", "20 ft"), ("inside",) * 3), "corner-after-last", "patio[p].run[C].then"),
        (ring(("20 ft", "10 ft") * 2, ("outside",) * 4, '[patio.house]\npast_end = "3 ft"\n'), "house-no-end",
         "patio[p].house.past_end"),
        (ring(("20 ft", "10 ft") * 2, ("outside",) * 4).replace('then', 'starts_at = "wall"\nthen', 1),
         "end-at-corner", "patio[p].run[A].starts_at"),
        (ring(("20 ft", "10 ft") * 2, ("inside",) * 4).replace('then', 'depth = "1 ft"\nthen', 1).replace(
            'depth = "9 ft"', 'depth = "9 ft"\nline_behind_edge = "2 ft"'), "order", "patio[p].run[A].depth"),
    ],
)  # fmt: skip
def test_a_ring_that_cannot_be(text, code, where):
    found = only(text)
    assert (found.code, found.where) == (code, where)
    assert words.say(found)
    assert files.parse_project(ring(("20 ft", "10 ft", "20 ft 1/8 in", "10 ft"), ("inside",) * 4))


BEND = 'then = "outside bend"\nbend = "15 deg"\n'


@pytest.mark.parametrize(
    ("text", "code", "where"),
    [
        (BOW.replace(BEND, 'then = "outside bend"\n', 1), "missing", "patio[bow].run[A].bend"),
        (BOW.replace(BEND, 'then = "straight on"\nbend = "15 deg"\n', 1), "bend-without",
         "patio[bow].run[A].bend"),
        (BOW.replace('depth = "11 ft"\ndepth_at_end = "8 ft"', 'depth = "9 ft"'), "bend-depths",
         "patio[bow].run[B].then"),
        (BOW.replace('name = "B"\nlength = "8 ft"\ndepth = "11 ft"\n' + BEND,
                     'name = "B"\nlength = "8 ft"\ndepth = "11 ft"\nthen = "inside corner"\n'),
         "taper-at-corner", "patio[bow].run[C].depth_at_end"),
        ((ring(("20 ft", "10 ft") * 2, ("inside",) * 4) + "\n").replace(
            'name = "D"\nlength = "10 ft"\nthen = "inside corner"',
            'name = "D"\nlength = "10 ft"\nthen = "inside bend"\nbend = "9 deg"'),
         "ring-bend", "patio[p].run[D].then"),
    ],
)  # fmt: skip
def test_a_bend_that_cannot_be(text, code, where):
    found = only(text)
    assert (found.code, found.where) == (code, where)
    assert words.say(found)


@pytest.mark.parametrize(
    ("text", "code", "where"),
    [
        (SMALL.replace('length = "20 ft"', 'length = "20 ft"\nrise = "15 ft"'), "slope-too-steep",
         "patio[p].run[A].rise"),
        (SMALL.replace('length = "20 ft"', 'length = "20 ft"\nrise = "-7 ft"'), "slope-too-low",
         "patio[p].run[A].rise"),
        (ring(("20 ft", "10 ft") * 2, ("inside",) * 4).replace("then", 'rise = "1 ft"\nthen', 1),
         "ring-rises", "patio[p].run"),
        (SMALL.replace('length = "20 ft"', 'length = "20 ft"\nthen = "straight on"'), "corner-after-last",
         "patio[p].run[A].then"),
    ],
)  # fmt: skip
def test_a_slope_that_cannot_be(text, code, where):
    found = only(text)
    assert (found.code, found.where) == (code, where)
    assert words.say(found)
