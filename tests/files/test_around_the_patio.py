"""What a project file says of the house and of screens: read, assumed, rewritten, refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mistcalc import files, words
from mistcalc.errors import InputErrors
from mistcalc.model.project import House, Screen

PATIO = """\
format = 1
name = "Round about"
units = "metric"
[place]
elevation = "10 m"
climate = "el-paso"
[[patio]]
name = "p"
depth = "3 m"
"""
RUNS = """\
[[patio.run]]
name = "A"
length = "6 m"
then = "outside corner"
[[patio.run]]
name = "B"
length = "5 m"
"""
OPEN_BACK = PATIO + 'back = "open"\n'
OPEN_ENDS = RUNS.replace('length = "6 m"', 'length = "6 m"\nstarts_at = "open"') + 'ends_at = "open"\n'
SCREEN = '[[patio.screen]]\nname = "hedge"\nrun = "A"\nheight = "1.5 m"\n'
IN_SCREEN = "patio[p].screen[hedge]"


def only(text: str):
    with pytest.raises(InputErrors) as caught:
        files.parse_project(text, "house.toml")
    found = caught.value.mistakes
    assert len(found) == 1, found
    said = words.say(found[0])
    assert "{" not in said and "screen-" not in said and "house-" not in said
    return found[0]


def assumed(text: str, of: str) -> set[str]:
    return {
        path.removeprefix(f"patio[p].{of}")
        for path in files.parse_project(text).assumed
        if path.startswith(f"patio[p].{of}")
    }


def test_the_house_is_assumed_until_it_is_told():
    assert assumed(PATIO + RUNS, "house.") == {"above_lid", "past_start", "past_end", "depth"}
    assert assumed(PATIO + RUNS, "back") == {""}
    told = PATIO + 'back = "wall"\nhouse = { above_lid = "3 m", depth = "12 m" }\n' + RUNS
    assert assumed(told, "house.") == {"past_start", "past_end"} and assumed(told, "back") == set()
    patio = files.parse_project(told).patios[0]
    assert (patio.back, patio.house) == ("wall", House(3.0, 3.0, 3.0, 12.0))


def test_nothing_is_assumed_of_a_house_that_does_not_stand():
    assert assumed(OPEN_BACK + OPEN_ENDS, "house.") == set()
    breezeway = RUNS + 'ends_at = "open"\n'
    assert assumed(OPEN_BACK + breezeway, "house.") == {"above_lid", "past_start", "depth"}
    assert files.parse_project(OPEN_BACK + OPEN_ENDS).patios[0].house == House(None, None, None, None)


def test_a_screen_as_it_is_read_and_assumed():
    text = PATIO + RUNS + SCREEN
    assert files.parse_project(text).patios[0].screens == (Screen("hedge", "A", 1.5),)
    assert assumed(text, "screen[hedge].") == {"out", "open"}
    more = 'side = "edge"\nfrom = "1 m"\nto = "4 m"\nout = "0.5 m"\nopen = "50 %"\n'
    told = files.parse_project(text + more)
    assert told.patios[0].screens == (Screen("hedge", "A", 1.5, "edge", 1.0, 4.0, 0.5, 0.5),)
    assert not [path for path in told.assumed if "screen" in path]


@pytest.mark.parametrize(
    ("text", "code", "where"),
    [
        (PATIO + 'back = "fence"\n' + RUNS, "choice-unknown", "patio[p].back"),
        (PATIO + 'house = { depth = "0 m" }\n' + RUNS, "not-above-zero", "patio[p].house.depth"),
        (PATIO + 'house = { depth = "200 m" }\n' + RUNS, "out-of-range", "patio[p].house.depth"),
        (PATIO + 'house = { above_lid = "-1 m" }\n' + RUNS, "out-of-range", "patio[p].house.above_lid"),
        (PATIO + 'house = { past_end = "-1 m" }\n' + RUNS, "out-of-range", "patio[p].house.past_end"),
        (PATIO + 'house = { storeys = 2 }\n' + RUNS, "key-unknown", "patio[p].house.storeys"),
        (PATIO + '[[patio.house]]\ndepth = "9 m"\n' + RUNS, "one-not-many", "patio[p].house"),
        (OPEN_BACK + 'house = { depth = "9 m" }\n' + OPEN_ENDS, "house-nowhere", "patio[p].house"),
        (OPEN_BACK + 'house = { past_end = "1 m" }\n' + RUNS + 'ends_at = "open"', "house-not-at-end",
         "patio[p].house.past_end"),
        (PATIO + RUNS + SCREEN.replace('"A"', '"Z"'), "no-such-name", f"{IN_SCREEN}.run"),
        (PATIO + RUNS + SCREEN + SCREEN, "name-twice", IN_SCREEN),
        (PATIO + RUNS + SCREEN.replace("1.5 m", "0 m"), "not-above-zero", f"{IN_SCREEN}.height"),
        (PATIO + RUNS + SCREEN.replace("1.5 m", "40 m"), "out-of-range", f"{IN_SCREEN}.height"),
        (PATIO + RUNS + SCREEN.replace('height = "1.5 m"', ""), "missing", f"{IN_SCREEN}.height"),
        (PATIO + RUNS + SCREEN + 'open = "100 %"', "out-of-range", f"{IN_SCREEN}.open"),
        (PATIO + RUNS + SCREEN + 'out = "-1 m"', "out-of-range", f"{IN_SCREEN}.out"),
        (PATIO + RUNS + SCREEN + 'side = "front"', "choice-unknown", f"{IN_SCREEN}.side"),
        (PATIO + RUNS + SCREEN + 'from = "1 m"', "missing", f"{IN_SCREEN}.to"),
        (PATIO + RUNS + SCREEN + 'from = "1 m"\nto = "7 m"', "screen-past-side", f"{IN_SCREEN}.to"),
        (PATIO + RUNS + SCREEN + 'from = "-1 m"\nto = "2 m"', "screen-past-side", f"{IN_SCREEN}.from"),
        (PATIO + RUNS + SCREEN + 'from = "2 m"\nto = "2 m"', "screen-no-length", f"{IN_SCREEN}.to"),
        (PATIO + RUNS + SCREEN + 'side = "back"', "screen-at-wall", f"{IN_SCREEN}.side"),
        (PATIO + RUNS + SCREEN + 'side = "start"', "screen-at-wall", f"{IN_SCREEN}.side"),
        (PATIO + RUNS + SCREEN + 'side = "end"', "screen-at-corner", f"{IN_SCREEN}.side"),
        (PATIO + OPEN_ENDS + SCREEN + 'side = "start"\nfrom = "0 m"\nto = "1 m"', "screen-whole-end",
         f"{IN_SCREEN}.from"),
        (OPEN_BACK + RUNS + SCREEN + 'side = "back"\nfrom = "1 m"\nto = "3.5 m"', "screen-past-side",
         f"{IN_SCREEN}.to"),
        (OPEN_BACK + RUNS.replace("6 m", "3 m") + SCREEN + 'side = "back"', "screen-no-length", IN_SCREEN),
    ],
)  # fmt: skip
def test_one_clear_message_for_each_mistake(text: str, code: str, where: str):
    found = only(text)
    assert (found.code, found.where) == (code, where)


def test_messages_name_the_place_and_what_to_write():
    told = words.say(only(PATIO + RUNS + SCREEN + 'from = "1 m"\nto = "7 m"'))
    assert "to is 7 m" in told and "from 0 mm to 6 m" in told
    assert 'starts_at = "open"' in words.say(only(PATIO + RUNS + SCREEN + 'side = "start"'))
    assert 'back = "wall"' in words.say(only(OPEN_BACK + 'house = { depth = "9 m" }\n' + OPEN_ENDS))
    assert "0 % to 95 %" in words.say(only(PATIO + RUNS + SCREEN + 'open = "100 %"'))


# ------------------------------------------------------------------ rewriting


def rewritten(text: str, **changed: object) -> str:
    project = files.parse_project(text)
    wanted = replace(project, patios=(replace(project.patios[0], **changed),))
    after = files.rewrite(text, wanted)
    assert replace(files.parse_project(after), assumed=()) == replace(wanted, assumed=())
    return after


def test_an_edit_beside_them_leaves_house_and_screens_as_written():
    text = OPEN_BACK + 'house = { above_lid = "10 ft" }   # two\n' + RUNS + SCREEN + 'open = "1/2"\n'
    text = text.replace('"1/2"', '"50 %"')
    after = rewritten(text, depth=3.5)
    assert after == text.replace('depth = "3 m"', 'depth = "3.5 m"')


def test_house_and_screens_are_put_in_changed_and_taken_out():
    text = PATIO + RUNS
    with_house = rewritten(text, house=House(3.0, 3.0, 0.0, 9.0))
    assert "above_lid" in with_house and "past_end" in with_house and "past_start" not in with_house
    hedge = Screen("hedge", "B", 1.2, "edge", 0.5, 2.5, 1.0, 0.4)
    with_screen = rewritten(with_house, screens=(hedge,))
    assert "[[patio.screen]]" in with_screen and '"40 %"' in with_screen
    lower = rewritten(with_screen, screens=(replace(hedge, height=1.0, start=None, end=None),))
    assert "from" not in lower and "to =" not in lower
    assert "screen" not in rewritten(lower, screens=())


def test_a_back_that_is_opened_takes_what_no_longer_stands_with_it():
    text = PATIO + 'house = { past_start = "1 m", past_end = "2 m" }\n' + RUNS + 'ends_at = "open"\n'
    after = rewritten(text, back="open", house=House(0.0, 1.0, None, 9.0))
    assert "past_start" in after and "past_end" not in after
