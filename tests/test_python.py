"""The door for Python: five names that load nothing before they are used, and the page that shows them."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import pytest

import mistcalc
from mistcalc import files
from mistcalc.errors import MistcalcError
from tests.terminal import ENVIRONMENT

HEAVY = {"numpy", "scipy", "pandas", "pyarrow", "streamlit", "altair", "reportlab", "ezdxf", "ifcopenshell"}


def loaded(program: str, *arguments: str) -> set[str]:
    """Which heavy libraries are in memory once a program has run in a process of its own."""
    program += f"\nimport sys; print(*({HEAVY} & sys.modules.keys()))"
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments], capture_output=True, text=True, env=ENVIRONMENT
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.splitlines()[-1].split())


def test_the_package_has_five_names_its_equations_and_a_version():
    assert dir(mistcalc) == sorted(mistcalc.__all__)
    five = {"read_climate", "read_project", "run", "say", "write"}
    assert set(mistcalc.__all__) == {"__version__", "physics"} | five
    assert all(callable(getattr(mistcalc, name)) for name in five)
    with pytest.raises(AttributeError, match="reed_project"):
        mistcalc.reed_project  # noqa: B018


def test_equations_are_reached_by_their_names_alone_and_loaded_one_by_one():
    program = (
        "import sys, mistcalc\n"
        "assert not any(name.startswith('mistcalc.physics') for name in sys.modules)\n"
        "assert abs(mistcalc.physics.air.pressure_at_elevation(0.0) - 101325) < 1\n"
        "assert 'mistcalc.physics.comfort' not in sys.modules\n"
        "assert dir(mistcalc.physics) == sorted(mistcalc.physics.__all__)\n"
        "assert not hasattr(mistcalc.physics, 'air_pressure')"
    )
    assert loaded(program) == {"numpy"}


@pytest.mark.thorough
def test_importing_loads_nothing_and_each_name_only_what_it_needs():
    assert loaded("import mistcalc; mistcalc.say") == set()
    assert loaded("import mistcalc; mistcalc.read_project; mistcalc.read_climate") == {"numpy"}
    assert loaded("import mistcalc; mistcalc.run") <= {"numpy", "scipy"}
    assert loaded("import mistcalc; mistcalc.write") == {"numpy"}


def test_equations_load_numpy_and_no_part_of_the_program():
    program = (
        "import pkgutil, importlib, sys, mistcalc.physics as room\n"
        "for module in pkgutil.iter_modules(room.__path__):\n"
        "    importlib.import_module(f'mistcalc.physics.{module.name}')\n"
        "parts = {name.split('.')[1] for name in sys.modules if name.startswith('mistcalc.')}\n"
        "assert parts == {'physics', 'errors'}, parts"
    )
    assert loaded(program) == {"numpy"}


@pytest.mark.thorough
def test_a_command_that_writes_no_table_loads_no_table_library(tmp_path):
    project = tmp_path / "house.toml"
    project.write_text(files.example_text("bayou"), "utf-8")
    program = "import sys; from mistcalc.cli import main; main(sys.argv[1:])"
    assert loaded(program, "check", str(project)) <= {"numpy", "scipy"}


def test_without_streamlit_the_page_says_what_to_install():
    """As where the extra was not installed: a module that is None cannot be found."""
    program = (
        "import sys; sys.modules['streamlit'] = None; from mistcalc.cli import main; sys.exit(main(['page']))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, env=ENVIRONMENT)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1 and 'pip install ".[page]"' in done.stderr


def test_a_sample_is_read_by_its_name_and_a_stranger_is_a_file():
    assert "EL PASO" in mistcalc.read_climate("el-paso").station.upper()
    with pytest.raises(MistcalcError):
        mistcalc.read_climate("atlantis.epw")
    for meant in ("tuscon", "Tuscon ", "el paso"):
        with pytest.raises(MistcalcError) as refused:
            mistcalc.read_climate(meant)
        assert refused.value.code == "climate-unknown" and "Did you mean" in mistcalc.say(refused.value)


def test_weather_that_a_project_names_is_not_left_out_in_silence():
    project = files.parse_project(files.example_text("courtyard"))
    with pytest.raises(MistcalcError) as refused:
        mistcalc.run(project)
    assert 'read_climate("el-paso")' in mistcalc.say(refused.value)
    typed_in = files.parse_project(files.example_text("terraza"))
    assert mistcalc.run(typed_in).cooling


@pytest.mark.thorough
def test_the_code_of_the_page_runs(repository, tmp_path, monkeypatch, capsys):
    """Blocks in their order, in one namespace; and each name of its table is one there is."""
    text = (repository / "docs" / "python.md").read_text("utf-8")
    assert set(re.findall(r"^\| `(\w+)` \|", text, re.M)) == set(mistcalc.__all__) - {"__version__"}
    (tmp_path / "tinaja-lane.toml").write_text(files.example_text("courtyard"), "utf-8")
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    for block in re.findall(r"^```python\n(.*?)^```$", text, re.M | re.S):
        exec(compile(block, "docs/python.md", "exec"), names)
    said = capsys.readouterr().out.splitlines()
    assert said[0].startswith("Design('Tinaja Lane'") and max(len(line) for line in said) < 400
    assert (tmp_path / "tinaja-lane-sheets" / "sheets-builder.pdf").exists()
    assert [line.split(" apart")[0] for line in said[-2:]] == ["0.45 m", "0.60 m"]


def test_nouns_print_in_a_line():
    project = files.parse_project(files.example_text("courtyard"))
    weather = mistcalc.read_climate("el-paso")
    long = {type(noun).__name__: repr(noun) for noun in nouns((mistcalc.run(project, weather), weather))}
    assert {"Project", "Weather", "Line", "Cooling", "CoolingMap"} < long.keys()
    book = [name for name, text in long.items() if len(text) > 800 or "\n" in text]
    assert book == [], "take ShortRepr (mistcalc/model/reprs.py) for these"


def nouns(value: object) -> Iterator[object]:
    """A noun and all that it holds."""
    if is_dataclass(value):
        yield value
        value = tuple(getattr(value, field.name) for field in fields(value))
    if isinstance(value, dict):
        value = tuple(value.values())
    if isinstance(value, tuple):
        for each in value:
            yield from nouns(each)
