"""Drawings that libraries other than ours wrote (`drawings/README.md`): read, or refused with what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from mistcalc import files
from tests.terminal import run

DRAWN = Path(__file__).parent / "drawings"
MAP = '[layers]\nl_green = "edge"\nl_red = "wall"\nl_cyan = "joist"\nl_yellow = "light"\nl_blue = "fan"\n'


def test_a_patio_on_layers_that_say_what_they_hold(tmp_path):
    done = run("new", "patio", "--from", str(DRAWN / "patio.dxf"), "--scale-check", "A=7.2 m", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    (patio,) = files.read_project(tmp_path / "patio.toml").patios
    (only,) = patio.runs
    assert (only.length, patio.depth, only.starts_at, only.ends_at) == (7.2, 3.6, "open", "open")
    assert (only.framing.spacing, only.framing.first) == pytest.approx((0.4, 0.4))
    things = [(one.kind, one.along, one.back) for one in patio.obstacles]
    assert things == [
        ("light", 1.8, 1.8),
        ("light", 5.4, 1.8),
        ("column", 0.07, 0.07),
        ("column", 7.13, 0.07),
    ]


def test_a_porch_on_layers_that_say_nothing_is_asked_about_and_read_with_a_map(tmp_path):
    drawing = str(DRAWN / "porch.dxf")
    done = run("new", "porch", "--from", drawing, cwd=tmp_path)
    assert done.returncode == 2 and "l_green" in done.stderr and "--map" in done.stderr
    assert not (tmp_path / "porch.toml").exists()
    (tmp_path / "layers.toml").write_text(MAP, "utf-8")
    done = run("new", "porch", "--from", drawing, "--map", "layers.toml", cwd=tmp_path)
    assert done.returncode == 0 and "24 ft" in done.stdout  # whose length is asked about
    (patio,) = files.read_project(tmp_path / "porch.toml").patios
    (only,) = patio.runs
    assert (only.length, patio.depth) == pytest.approx((24 * 0.3048, 11 * 0.3048))
    assert (only.starts_at, only.ends_at) == ("wall", "wall")
    assert [one.kind for one in patio.obstacles] == ["light", "light", "fan"]


@pytest.mark.parametrize(("said", "told"), [("", "No layer of"), ('l_yellow = "edge"', "shows no edge of a")])
def test_a_librarys_own_example_which_is_no_ceiling_is_refused(said, told, tmp_path):
    (tmp_path / "layers.toml").write_text(f'unit = "in"\n[layers]\n{said}\n', "utf-8")
    drawing = str(DRAWN / "readme-example.dxf")
    done = run("new", "house", "--from", drawing, "--map", "layers.toml", cwd=tmp_path)
    assert done.returncode == 2 and told in done.stderr and not (tmp_path / "house.toml").exists()
