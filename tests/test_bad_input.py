"""One mistake in a sound file, through the command line: one clear line, or a plan without a hole in it.

What a room does with odd values is tested beside the room; here it is what a person at a terminal sees.
"""

from __future__ import annotations

import json
import warnings
from pathlib import Path

import pytest

from tests.terminal import Done, run

pytestmark = pytest.mark.thorough


@pytest.fixture(scope="module")
def sound(tmp_path_factory) -> str:
    """A demo whose afternoon is typed in, so that every value of it stands in the file."""
    folder = tmp_path_factory.mktemp("sound")
    assert run("new", "porch", "--example", "terraza", cwd=folder).returncode == 0
    return (folder / "porch.toml").read_text("utf-8")


def changed(text: str, old: str, new: str) -> str:
    assert text.count(old) >= 1, old
    return text.replace(old, new, 1)


def plan(text: str | bytes, folder: Path) -> Done:
    """`mistcalc plan` of this text; a warning of a library in it would fail the test."""
    data = text.encode() if isinstance(text, str) else text
    (folder / "porch.toml").write_bytes(data)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        done = run("plan", "porch.toml", "--out", "sheets", cwd=folder)
    assert (folder / "porch.toml").read_bytes() == data  # what the user wrote is never lost
    return done


REFUSED = [  # what stands in the file, what is put there, where the message points, what it says or offers
    ('relative_humidity = "22 %"', 'relative_humidity = "120 %"', "hot].relative_humidity", "100 %"),
    ('dry_bulb = "38 degC"', 'dry_bulb = "99 degC"', "hot].dry_bulb", "60 °C"),
    ('dry_bulb = "38 degC"', 'dry_bulb = "-300 degC"', "hot].dry_bulb", "-40 °C"),
    ('wind = "3 m/s"', 'wind = "-1 m/s"', "hot].wind", "0 m/s"),
    ('wind = "3 m/s"', 'wind = "500 m/s"', "hot].wind", "60 m/s"),
    ('length = "12 m"', 'length = "-12 m"', "run[A].length", "more than zero"),
    ('length = "12 m"', 'length = "1 km"', "run[A].length", "300 m"),
    ('along = "3470 mm"', 'along = "35 m"', "obstacle[Lamp 1].along", "12 m"),
    ('along = "9500 mm"', 'along = "95 m"', "seat[bench].along", "12 m"),
    ('wall     = "1.5 mm"', 'wall     = "5 mm"', "line.tube.wall", "no bore"),
    ('wall     = "1.5 mm"', 'wall     = "6 mm"', "line.tube.wall", "no bore"),
    ('from   = "water point"', 'from   = "nowhere"', "line.piece[1].from", "water point"),
    ('to     = "A start"', 'to     = "Q start"', "line.piece[1].to", "A start"),
    ('rise   = "2 m"', 'rise   = "60 m"', "line.piece[1].rise", "6 m"),
    ('flow        = "5 L/h"', 'flow        = "0 L/h"', "line.nozzle.flow", "more than zero"),
    ('residual    = "3.8 bar"', 'residual    = "5 bar"', "water.residual", "static"),
    ('static      = "4.5 bar"', 'static      = "0 bar"', "water.static", "0.1 bar"),
    ('temperature = "24 degC"', 'temperature = "140 degC"', "water.temperature", "70 °C"),
    ('pitch            = "600 mm"', 'pitch            = "0 mm"', "marks.pitch", "25 mm"),
    ('height = "2800 mm"', 'height = "nan mm"', "pergola].height", "10 ft"),
    ('height = "2800 mm"', 'height = "1e400 m"', "pergola].height", "out of any range"),
    ('height = "2800 mm"', 'height = "2800 psi"', "pergola].height", "pressure"),
    ('height = "2800 mm"', 'height = "9 ft 6""', "height", "9 ft 6 in"),
    ('height = "2800 mm"', "height = 2800", "pergola].height", '"2800 mm"'),
    ('height = "2800 mm"', 'height = "tall"', "pergola].height", "3 m"),
    ('height = "2800 mm"', 'heigth = "2800 mm"\nheight = "2800 mm"', "pergola].heigth", "height"),
    ('height = "2800 mm"', 'height = "2800 mm"\nheight = "3 m"', "height", "Remove one"),
    ("format   = 1", "format   = 9", "format", "1"),
    ("format   = 1", "", "format", "format = 1"),
    ('off_below     = "30 degC"', 'off_below     = "36 degC"', "control.off_below", "32 °C"),
    ('language = "en"', 'language = "xx"', "language", "en"),
]


@pytest.mark.parametrize(("old", "new", "where", "says"), REFUSED, ids=[f"{n}" for _, n, _, _ in REFUSED])
def test_a_mistake_is_one_line_with_its_place_and_what_to_write(old, new, where, says, sound, tmp_path):
    done = plan(changed(sound, old, new), tmp_path)
    assert done.returncode == 2, done.stdout
    assert done.stdout == ""
    (line,) = done.stderr.splitlines()
    assert line.startswith("porch.toml line ")
    place, _, sentence = line.removeprefix("porch.toml ").partition(": ")
    assert where in place
    assert says in sentence
    assert not (tmp_path / "sheets").exists()


ODD = [  # odd, but somebody's house: planned, though a finding may fail it
    ('relative_humidity = "22 %"', 'relative_humidity = "0 %"'),
    ('relative_humidity = "22 %"', 'relative_humidity = "100 %"'),
    ('dry_bulb = "38 degC"', 'dry_bulb = "-30 degC"'),
    ('dry_bulb = "38 degC"', 'dry_bulb = "60 degC"'),
    ('wind = "3 m/s"', 'wind = "0 m/s"'),
    ('wind = "3 m/s"', 'wind = "40 m/s"'),
    ('drop_median = "100 um"', 'drop_median = "1 um"'),
    ('drop_median = "100 um"', 'drop_median = "2 mm"'),
    ('at          = "4 bar"', 'at          = "4 bar"\nopens_at = "9 bar"'),
    ('closest          = "450 mm"', 'closest = "500 mm"'),
    ('elevation       = "120 m"', 'elevation       = "5000 m"'),
    ('length = "6 m"', 'length = "90 m"'),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new"), ODD, ids=[n for _, n in ODD])
def test_an_odd_house_is_planned_without_a_hole(old, new, sound, tmp_path):
    done = plan(changed(sound, old, new), tmp_path)
    assert done.stderr == ""
    assert done.returncode in (0, 1)

    def refuse(name: str) -> float:
        raise AssertionError(f"{name} in plan.json")

    found = json.loads((tmp_path / "sheets" / "plan.json").read_text("utf-8"), parse_constant=refuse)
    assert found["marks"]
    assert found["cooling_all"]
    assert done.returncode == int(any(f["level"] == "fail" for f in found["findings"]))
    assert "nan" not in done.stdout.split()


def test_several_mistakes_are_told_together_and_in_the_order_of_the_file(sound, tmp_path):
    text = sound
    for old, new, _, _ in (REFUSED[0], REFUSED[5], REFUSED[9], REFUSED[15]):
        text = changed(text, old, new)
    done = plan(text, tmp_path)
    assert done.returncode == 2
    lines = [int(row.split()[2].rstrip(",:")) for row in done.stderr.splitlines()]
    assert len(lines) == 4
    assert lines == sorted(lines)


@pytest.mark.parametrize(
    "broken",
    [
        lambda text: text[: len(text) // 2],
        lambda text: text[:20],
        lambda text: "",
        lambda text: text.encode("utf-16"),
        lambda text: b"\x00\x01\x02" * 1000,
        lambda text: b"\xff" + text.encode(),
        lambda text: "a = " + "[" * 50_000,
        lambda text: "a" * 3_000_000,
        lambda text: text.replace("\n", "\r"),
        lambda text: text.encode("latin-1"),
    ],
    ids=[
        "cut",
        "cut short",
        "empty",
        "utf-16",
        "binary",
        "not utf-8",
        "deep",
        "long",
        "old line ends",
        "latin-1",
    ],
)
def test_a_broken_file_is_told_in_a_few_lines(broken, sound, tmp_path):
    done = plan(broken(sound), tmp_path)
    assert done.returncode == 2
    rows = done.stderr.splitlines()
    assert 1 <= len(rows) <= 12
    assert all(len(row) < 400 for row in rows)
    assert rows[0].startswith("porch.toml")
