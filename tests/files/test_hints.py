"""What a message proposes is what a person meant: the unit, the word, the key."""

from __future__ import annotations

import re

import pytest

from mistcalc import words
from mistcalc.errors import InputErrors
from mistcalc.files import EXAMPLES, example_text
from tests.files.test_project_mistakes import OBSTACLE, SMALL, mistakes, only

FAN = OBSTACLE.replace('"light"', '"fan"').replace('"6 in"', '"60"')
OWN_TUBE = '[[line.run]]\nname = "A"\ntube = { outside = "0.375", wall = "1 mm" }\n'


@pytest.mark.parametrize(
    ("more", "us", "metric"),
    [
        ('[patio.marks]\npitch = "24"\n', "24 in", "24 cm"),
        ("[patio.marks]\npitch = 600\n", "600 mm", "600 mm"),  # 600 in is none a mark may lie apart
        ('[patio.marks]\nclear_of_members = "0.75"\n', "0.75 in", "0.75 cm"),
        (FAN, "60 in", "60 cm"),
        (OWN_TUBE, "0.375 in", "0.375 cm"),
        ('[line.nozzle]\nflow = 0.5\nat = "60 psi"\n', "0.5 gph", "0.5 L/min"),
        ('[line.nozzle]\nflow = "6 L/h"\nat = "60 psi"\ndrop_median = "27"\n', "27 um", "27 um"),
        ('[patio.edge_beam]\nwidth = "3-1/2"\n', "3-1/2 in", "3-1/2 cm"),
        ("[control]\non_above = 90\n", "90 degF", "90 degF"),  # 90 degC is none a patio reaches
    ],
)
def test_a_bare_number_is_answered_with_its_likely_unit(more, us, metric):
    values = only(SMALL + more).values
    assert (values["us"], values["metric"]) == (us, metric)


@pytest.mark.parametrize(("length", "us"), [("38", "38 ft"), ("456", "456 in")])
def test_a_run_is_in_feet_unless_that_would_be_a_street(length, us):
    assert only(SMALL.replace('"20 ft"', f'"{length}"')).values["us"] == us


def test_a_value_of_no_use_is_answered_with_one_for_this_key():
    assert '"24 in" or "600 mm"' in words.say(only(SMALL + '[patio.marks]\npitch = "two feet"\n'))
    assert '"1200 ft" or "400 m"' in words.say(only(SMALL.replace('"10 m"', '"high"')))


def test_far_ends_of_a_range_are_whole_feet_inside_it():
    """-450 m and 5000 m are -1476.4 ft and 16404.2 ft."""
    said = words.say(only(SMALL.replace('"10 m"', '"9 km"')))
    assert said == "elevation is 9 km; it must lie from -1,476 ft to 16,404 ft."


# ------------------------------------------------------------------ commas


def commas(text: str) -> list[int]:
    """Where a comma parts two values: outside quotes and remarks, and not the last of its list."""
    found, quoted, remark = [], False, False
    for at, sign in enumerate(text):
        quoted, remark = (False, False) if sign == "\n" else (quoted != (sign == '"' and not remark), remark)
        remark = remark or (sign == "#" and not quoted)
        last = re.match(r"(?:\s|#[^\n]*\n)*[\]}]", text[at + 1 :])
        if sign == "," and not quoted and not remark and not last:
            found.append(at)
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_comma_left_out_is_named_and_put_back(name):
    """Every one of a demo's, in turn: within a line, or at its end in a list of many lines."""
    text = example_text(name)
    lines = text.split("\n")
    assert len(commas(text)) > 8
    for at in commas(text):
        found = only(text[:at] + text[at + 1 :])
        assert found.code == "comma-missing", found
        said = found.values["instead"].replace(" ", "").rstrip(",")
        assert said in lines[found.line - 1].replace(" ", ""), found


def test_a_key_of_the_whole_file_under_a_head_is_sent_to_the_top():
    found = only(SMALL + '[revision]\nletter = "B"\nunits = "us"\n')
    assert found.code == "key-unknown" and "at the top of the file" in words.say(found)


@pytest.mark.parametrize(
    "written", ["03/08/2027", "3/8/27", "2027/03/08", "8.3.2027", "15-03-2027", "2027-3-8"]
)
def test_a_date_in_another_order_or_with_other_signs_is_not_told_to_be_quoted(written):
    found = only(SMALL + f"[dates]\nscratch_coat = {written}\n")
    assert found.code == "date-wanted" and "like 2027-03-08" in words.say(found)


@pytest.mark.parametrize(
    ("written", "instead"),
    [
        ("[patio.run]", "[[patio.run]]"),
        ("[[patio.run]", "[[patio.run]]"),
        ("[patio.run]]  # the next", "[[patio.run]]"),
        ("[patio.run", "[[patio.run]]"),
        ("[[line.tube]]", "[line.tube]"),
        ("[[patio run]", "[[patiorun]]"),
        ("[line.]", "[[patio.run]]"),
    ],
)
def test_a_heading_with_wrong_brackets_is_told_the_right_ones(written, instead):
    found = only(SMALL + f'[line.tube]\noutside = "3/8 in"\n{written}\nname = "B"\n')
    assert (found.code, found.values["instead"]) == ("heading-unread", instead)
    assert found.line == SMALL.count("\n") + 3 and instead in words.say(found)


# ------------------------------------------------------------------ words and keys


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("post", "column"),
        ("pocket door", "door glass"),
        ("Slider", "door glass"),
        ("ceiling fan", "fan"),
        ("can light", "light"),
        ("BBQ", "grill"),
        ("receptacle", "outlet"),
        ("girder", "beam"),
        ("colum", "column"),
        ("swing", ""),  # nobody can tell
    ],
)
def test_an_obstacle_of_another_name(said, meant):
    found = only(SMALL + OBSTACLE.replace('"light"', f'"{said}"'))
    assert (found.code, found.values["nearest"]) == ("choice-unknown", meant)


@pytest.mark.parametrize(
    ("text", "nearest", "home"),
    [
        (SMALL + '[paper]\nsize = "letter"\n', "sheet", ""),
        (SMALL.replace("elevation", "altitude"), "elevation", ""),
        (SMALL + "[patio.marks]\nspacing = '2 ft'\n", "pitch", ""),
        (SMALL + "framing = { pitch = '2 ft' }\n", "spacing", ""),
        (SMALL + "kerf = '2 mm'\n", "", "line.tube"),
        (SMALL + "[line]\nslope = '1 %'\n", "", "line.drain"),
        (SMALL + "[pump]\nflow = '1 gpm'\n", "", "pump.nameplate"),  # not a nozzle's
    ],
)
def test_a_key_of_another_name_or_in_another_place(text, nearest, home):
    found = only(text)
    assert (found.code, found.values["nearest"], found.values["home"]) == ("key-unknown", nearest, home)


@pytest.mark.parametrize(
    ("key", "after"),
    [(key, 'depth = "9 ft"') for key in ("slope", "rise", "roof_pitch")] + [("slope", 'length = "20 ft"')],
)
def test_a_sloping_lid_is_told_where_it_is_written(key, after):
    """Where `slope` and `rise` are at home, in a drain and a piece, is no help to who draws a sloping lid."""
    found = only(SMALL.replace(after, f'{after}\n{key} = "1 in"'))
    assert found.code == "lid-is-level"
    assert 'rise = "2 ft"' in words.say(found) and "taken as level" in words.say(found)


def test_no_flood_of_text():
    """A hundred strange keys, long ones too, are told in a few pages; keys of a table are listed once."""
    found = mistakes(SMALL + "[pump]\n" + "".join(f"{'k' * 4000}{n} = 1\n" for n in range(200)))
    told = words.say(InputErrors("house.toml", tuple(found)))
    assert 100 <= len(found) <= 101
    assert len(told) < 40_000 and told.count("nameplate") == 1
