"""Key paths and their places, against two TOML libraries: tomllib reads values, tomlkit writes odd files."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from mistcalc import files
from mistcalc.files.text.toml_positions import ScanError, locate_keys


def leaves(value: Any, path: tuple = ()):
    """Every leaf, and every array and table written in brackets, with its path."""
    yield path, value
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in inner:
        yield from leaves(one, (*path, key))


def check_places(text: str) -> int:
    """All leaves are found; the text at each place is that value and nothing else."""
    places, count = locate_keys(text), 0
    for path, value in leaves(tomllib.loads(text)):
        if path in places.items:
            start, end = places.items[path].value
            assert tomllib.loads(f"x = {text[start:end]}") == {"x": value}, path
            count += 1
        else:
            assert isinstance(value, (dict, list)), path
    assert count == len(places.items)
    return count


@pytest.mark.parametrize("demo", files.EXAMPLES)
def test_every_value_of_the_demos_is_where_it_is_said_to_be(demo):
    assert check_places(files.example_text(demo)) > 60


def test_odd_but_legal_toml():
    text = (
        'a.b."c d".e = 1 # [not.a.table]\r\n'
        "'lit key' = 'C:\\dir # no comment'\n"
        '"qu\\"ote\\u0041" = """\nlong "quoted" ] } text\\\n  on""" # done\n'
        "m = '''\nraw \\ ''two'' '''\n"
        "arr = [ # open\n  1, 2, # two\n  [ 'x', { y = [1, 2] , z.w = 2026-11-25 } ],\n]\n"
        "[ t . u ]\nk=1979-05-27 07:32:00\n[[ list ]]\n[list.sub]\nq = { }\n[[list]]\n"
        "[[list.deep]]\nn = 1e3\n[[list.deep]]"
    )
    assert check_places(text) > 15
    places = locate_keys(text)
    assert places.line(("list", 1, "deep", 1)) == text.count("\n") + 1
    assert places.line(("arr", 2, 1, "y")) == text[: text.index("{ y")].count("\n") + 1
    assert places.line(("list", 0, "sub", "missing")) == places.line(("list", 0, "sub"))


KEYS = st.text(alphabet="abé.\"' ]#", max_size=5)
VALUES = st.recursive(
    st.one_of(st.text(max_size=12), st.integers(-99, 99), st.booleans(), st.dates(), st.floats(-9, 9)),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(KEYS, inner, max_size=3)),
    max_leaves=12,
)


@given(st.dictionaries(KEYS, VALUES, max_size=4))
def test_places_in_whatever_another_library_writes(data):
    check_places(tomlkit.dumps(data))


@given(st.text(alphabet="a=[]{}\"'#.,1 \n\\", max_size=40))
def test_any_text_ends_in_places_or_in_one_error(text):
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        try:
            locate_keys(text)
        except ScanError as stop:
            assert 0 <= stop.offset <= len(text)
    else:
        check_places(text)
