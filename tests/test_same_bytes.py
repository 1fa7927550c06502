"""The same project gives the same bytes: whatever hash seed, threads, processor, from terminal or page."""

from __future__ import annotations

import hashlib
import platform
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from mistcalc import files
from mistcalc.page import open_project, server, store
from tests.terminal import ENVIRONMENT

pytestmark = pytest.mark.thorough

PLAN = """
import hashlib, json, sys
from pathlib import Path
from mistcalc import design, files, report
for path in map(Path, sys.argv[1:]):
    project = files.read_project(path)
    climate = project.place.climate
    weather = files.read_climate(files.climate_path(climate, path.parent)) if climate else None
    made = report.contents(design.run(project, weather)).items()
    told = {n: hashlib.sha256(t if isinstance(t, bytes) else t.encode()).hexdigest() for n, t in made}
    print(json.dumps(told))
"""
# As on a processor that knows the least that is asked for: numpy, linear algebra, the C library.
OLD_PROCESSOR = {
    "NPY_DISABLE_CPU_FEATURES": " ".join(np.show_config(mode="dicts")["SIMD Extensions"].get("found", ())),
    "OPENBLAS_CORETYPE": "Prescott" if platform.machine() in ("x86_64", "AMD64") else "ARMV8",
    "GLIBC_TUNABLES": "glibc.cpu.hwcaps=-AVX2,-FMA,-FMA4,-AVX512F",
}
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMEXPR_NUM_THREADS")


@pytest.fixture(scope="module")
def house(tmp_path_factory) -> Path:
    """A demo with a climate file of its own beside it, and another, in metric units, without any."""
    folder = tmp_path_factory.mktemp("house")
    (folder / "our year.csv.gz").write_bytes(files.climate_path("tucson", None).read_bytes())
    text = files.example_text("bayou").replace('"houston"', '"our year.csv.gz"')
    assert "our year" in text
    (folder / "house.toml").write_text(text, "utf-8")
    (folder / "other.toml").write_text(files.example_text("terraza"), "utf-8")
    return folder / "house.toml"


def told(house: Path, **set_: str) -> str:
    command = [sys.executable, "-c", PLAN, str(house), str(house.with_name("other.toml"))]
    done = subprocess.run(command, env={**ENVIRONMENT, **set_}, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def plain(house) -> str:
    return told(house, PYTHONHASHSEED="0", **dict.fromkeys(THREADS, "1"))


def test_neither_seeds_nor_threads_nor_processors_move_a_byte(house, plain):
    """Seeds 0 and 7 order two words otherwise, which a DXF once showed."""
    assert plain.count(": ") >= 20
    assert told(house, PYTHONHASHSEED="7", **dict.fromkeys(THREADS, "4"), **OLD_PROCESSOR) == plain


def test_page_and_terminal_give_a_project_the_same_files(house, plain, tmp_path, monkeypatch):
    """Opened from its file, uploaded, or a demo: the code on the sheets, and every byte of them."""
    from mistcalc.page.views import paper

    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    opened = open_project.open_saved(server.keep_copy(house))
    assert hashes(paper.written(open_project.full_design(opened))) == plain.splitlines()[0]

    identity = store.create(open_project.project_text(house.read_bytes(), house.name))
    open_project.take_climate(identity, (house.parent / "our year.csv.gz").read_bytes(), "our year.csv.gz")
    assert (
        open_project.full_design(open_project.open_saved(identity)).code
        == open_project.full_design(opened).code
    )


@pytest.mark.parametrize("example", files.EXAMPLES)
def test_page_and_terminal_give_a_demo_the_same_code(example, tmp_path, monkeypatch):
    from mistcalc import design

    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    opened = open_project.open_saved(store.create(files.example_text(example)))
    project, climate = opened.project, opened.project.place.climate
    weather = files.read_climate(files.climate_path(climate, tmp_path)) if climate else None
    job = design.run(project, weather)
    design.outdoor_conditions.cache_clear()  # as in two programs
    airs = design.outdoor_conditions(open_project.weather(opened), project.place)
    assert design.code_of_contents(replace(job, project=opened.project, afternoons=airs)) == job.code


def hashes(made: dict[str, bytes]) -> str:
    import json

    return json.dumps({name: hashlib.sha256(told).hexdigest() for name, told in made.items()})
