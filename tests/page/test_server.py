"""How the page is started, and what it takes in: files of any kind stay harmless until they are read."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from importlib import resources
from typing import Any

import pytest

from mistcalc import files
from mistcalc.errors import DataError, InputErrors, MistcalcError
from mistcalc.page import open_project, server, store


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))


def test_both_ways_to_start_have_the_same_settings(repository):
    told = tomllib.loads((repository / ".streamlit" / "config.toml").read_text("utf-8"))
    assert dict(flat(told)) == server.OPTIONS


def flat(told: dict[str, Any], above: str = "") -> Iterator[tuple[str, Any]]:
    """The settings of a file under their whole names."""
    for name, value in told.items():
        yield from flat(value, f"{above}{name}.") if isinstance(value, dict) else [(f"{above}{name}", value)]


def test_the_frameworks_colors_are_those_of_the_page():
    """In light and in dark, as page.css has them."""
    css = resources.files("mistcalc.page").joinpath("page.css").read_text("utf-8")
    light, dark = (
        dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", line)) for line in re.findall(r":root \{ (--.*) \}", css)
    )
    for told, colors in ((server.LIGHT, light), (server.DARK, dark)):
        assert told["backgroundColor"] == told["secondaryBackgroundColor"] == colors["paper"]
        assert told["primaryColor"] == told["linkColor"] == colors["chosen"]
        assert (told["textColor"], told["borderColor"]) == (colors["ink"], colors["faint"])


def test_settings_are_settings_of_streamlit():
    from streamlit import config

    assert set(server.OPTIONS) <= set(config.get_config_options())


def test_both_ways_to_start_are_one_script(repository):
    bodies = [
        path.read_text("utf-8").split('"""')[2]
        for path in (repository / "app.py", repository / "mistcalc" / "page" / "page_script.py")
    ]
    assert bodies[0] == bodies[1]


def test_starting_imports_nothing_heavy_before_it_is_asked_to():
    program = "import sys, mistcalc.page.server; print({'streamlit', 'numpy', 'pandas'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


def test_a_project_file_is_copied_with_the_climate_file_beside_it(tmp_path):
    sample = files.climate_path("tucson", None).read_bytes()
    (tmp_path / "house.csv.gz").write_bytes(sample)
    text = files.example_text("courtyard").replace('"el-paso"', '"house.csv.gz"')
    (tmp_path / "house.toml").write_text(text, "utf-8")
    identity = server.keep_copy(tmp_path / "house.toml")
    assert store.read(identity) == text
    kept = store.climate(identity, "house.csv.gz")
    assert kept is not None and kept.read_bytes() == sample
    weather = open_project.weather(open_project.open_saved(identity))
    assert weather is not None and "TUCSON" in weather.station.upper()


def test_a_project_naming_a_file_elsewhere_gets_nothing(tmp_path):
    (tmp_path / "secret.csv").write_text("x", "utf-8")
    inner = tmp_path / "inner"
    inner.mkdir()
    text = files.example_text("courtyard").replace('"el-paso"', '"../secret.csv"')
    (inner / "house.toml").write_text(text, "utf-8")
    with pytest.raises(MistcalcError):
        server.keep_copy(inner / "house.toml")


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\x00\x01\x02" * 1000,
        b"name = ",
        b"\xff\xfe" + "format = 1".encode("utf-16-le"),
        b"[[[[" * 10_000,
        b"a = 1\n" * 100_000 + b"=",
        "name = \"caf\u00e9\"".encode("latin-1"),
    ],
    ids=["empty", "binary", "cut short", "utf-16", "deep", "long", "latin-1"],
)  # fmt: skip
def test_what_is_no_project_is_refused_in_sentences(content):
    with pytest.raises((InputErrors, DataError)) as refused:
        open_project.project_text(content, "house.toml")
    sentences = open_project.error_sentences(refused.value)
    assert sentences and all(sentence.strip() for sentence in sentences)


def test_a_huge_project_is_refused_before_it_is_read():
    with pytest.raises(DataError) as refused:
        open_project.project_text(b"#" * (open_project.PROJECT_BYTES + 1), "house.toml")
    assert refused.value.code == "page-project-too-large"


@pytest.mark.parametrize("content", [b"", b"\x00" * 5000, b"a,b\n1,2\n", b"\x1f\x8b\x08broken"])
def test_what_is_no_climate_file_is_refused_and_not_kept(content):
    identity = store.create(files.example_text("courtyard"))
    with pytest.raises(DataError) as refused:
        open_project.take_climate(identity, content, "house.epw")
    assert open_project.error_sentences(refused.value)[0].strip()
    assert store.climate(identity, "house.epw") is None
    assert store.read(identity) == files.example_text("courtyard")


def test_an_uploaded_climate_is_used_and_undone():
    identity = store.create(files.example_text("courtyard"))
    content = files.climate_path("houston", None).read_bytes()
    open_project.take_climate(identity, content, "my house.csv.gz")
    opened = open_project.open_saved(identity)
    assert opened.project.place.climate == "my house.csv.gz"
    weather = open_project.weather(opened)
    assert weather is not None and "HOUSTON" in weather.station.upper()
    store.undo(identity)
    weather = open_project.weather(open_project.open_saved(identity))
    assert weather is not None and "EL PASO" in weather.station.upper()


@pytest.mark.parametrize(
    ("name", "plain"),
    [
        ("../../etc/passwd", "passwd"),
        ("C:\\temp\\house.epw", "house.epw"),
        ("a\nb\"c.epw", "abc.epw"),
        ("...", "uploaded climate file"),
        ("", "uploaded climate file"),
        ("x" * 300, "x" * 60),
    ],
)  # fmt: skip
def test_an_uploaded_name_is_words_never_a_path(name, plain):
    assert open_project.plain_name(name) == plain


def test_a_port_in_use_is_passed_over():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert server.free_port(port) != port
