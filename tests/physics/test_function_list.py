"""Equations as a library of their own: each says what it answers, in which unit, and where it is from."""

from __future__ import annotations

import inspect
import re

import psychrolib
import pytest

from tests.physics import function_list
from tests.physics.function_list import KEPT, answer, equations, modules, source

EQUATIONS = [(name, *pair) for name, module in modules().items() for pair in equations(module)]
KNOWN = {f"{module}.{name}": function for module, name, function in EQUATIONS}


def test_the_page_is_what_the_docstrings_say(capsys):
    text = function_list.PAGE.read_text("utf-8")
    assert text == function_list.page()
    (example,) = re.findall(r"^```python\n(.*?)^```$", text, re.M | re.S)
    exec(compile(example, "docs/physics.md", "exec"), {})
    told = psychrolib.GetTWetBulbFromRelHum(38.0, 0.15, 88e3)  # iterates to 0.001 K
    assert float(capsys.readouterr().out) == pytest.approx(told, abs=0.002)


@pytest.mark.parametrize(("module", "name", "function"), EQUATIONS, ids=KNOWN.keys())
def test_an_equation_says_unit_source_and_arguments(module, name, function):
    told = inspect.getdoc(function) or ""
    assert "[" in answer(function) or name == "hardness_class", "no unit of the answer"
    assert source(function), "no source"
    told += inspect.getdoc(modules()[module]) or ""
    seen: set[str] = set()
    while sent_on := set(re.findall(r"as\s+(?:for|in)\s+`([\w.]+)`", told)) - seen:
        for other in sent_on:
            told += inspect.getdoc(KNOWN.get(other) or KNOWN[f"{module}.{other}"]) or ""
        seen |= sent_on
    silent = [p for p in inspect.signature(function).parameters if not re.search(rf"\b{p}\b", told)]
    assert silent == [], "arguments nobody explains"


@pytest.mark.parametrize("name", KEPT)
def test_names_that_others_compute_with_stay(name):
    arguments = list(inspect.signature(KNOWN[name]).parameters)
    asked = KEPT[name].split()
    assert arguments[: len(asked)] == asked
