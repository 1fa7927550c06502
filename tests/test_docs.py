"""The pages a newcomer reads: every link and path leads somewhere, and tables list all there is."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import mistcalc
from mistcalc.cooling.unknowns import BANDS

TOP = Path(__file__).resolve().parents[1]
PAGES = [TOP / "README.md", TOP / "DEVELOPERS.md", *sorted((TOP / "docs").rglob("*.md"))]
PATH = re.compile(r"`((?:docs|tests|mistcalc|climate_samples|\.ci)/[\w./-]+|DEVELOPERS\.md|README\.md)`")

HISTORY = ("changelog.md", "0005-names-and-folders.md")  # they may name what is no more


def anchors(page: Path) -> set[str]:
    """What a heading may be linked by: lower case, no punctuation, dashes for spaces."""
    heads = re.findall(r"^#+ (.+)$", page.read_text("utf-8"), re.M)
    return {re.sub(r"[^\w -]", "", head.lower()).replace(" ", "-") for head in heads}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(TOP).as_posix())
def test_links_and_paths_lead_somewhere(page):
    text = page.read_text("utf-8")
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        if "://" in target:
            continue
        name, _, anchor = target.partition("#")
        there = (page.parent / name) if name else page
        assert there.exists(), target
        assert not anchor or anchor in anchors(there), target
    for path in PATH.findall(text):
        assert (TOP / path).exists(), path
    if page.name not in HISTORY:
        code = {path.name for folder in ("mistcalc", "tests") for path in (TOP / folder).rglob("*.py")}
        for name in re.findall(r"`([\w./]+\.py)`", text):
            assert name in code or any((TOP / folder / name).exists() for folder in ("", "mistcalc")), name


def test_theory_lists_every_unknown():
    text = (TOP / "docs" / "theory.md").read_text("utf-8")
    table = text.split("| unknown | band |\n|---|---|\n")[1].split("\n\n")[0].splitlines()
    assert len(table) == len(set(table)) == len(BANDS)


def test_decisions_are_numbered_one_after_the_other_and_listed():
    folder = TOP / "docs" / "decisions"
    index = (TOP / "docs" / "index.md").read_text("utf-8")
    for number, page in enumerate(sorted(folder.iterdir()), 1):
        assert re.fullmatch(rf"{number:04}-[a-z-]+\.md", page.name)
        assert page.read_text("utf-8").startswith(f"# {number:04} ")
        assert f"(decisions/{page.name})" in index


def test_the_version_to_cite_is_this_one():
    text = (TOP / "docs" / "citing.md").read_text("utf-8")
    told = re.findall(r"version (\d+\.\d+\.\d+)|version = \{(.*?)\}", text)
    assert ["".join(one) for one in told] == [mistcalc.__version__] * 2
    project = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]
    assert text.count(project["authors"][0]["name"]) == 2 and f"{{{project['license']}}}" in text


@pytest.mark.thorough
def test_the_site_builds_without_a_warning_and_asks_for_nothing_outside(tmp_path):
    """A link that leads nowhere is a warning, and a warning fails."""
    build = [
        sys.executable,
        "-m",
        "sphinx",
        "-W",
        "-q",
        "-d",
        tmp_path / "cache",
        TOP / "docs",
        tmp_path / "site",
    ]
    done = subprocess.run(build, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    made = list((tmp_path / "site").rglob("*.html"))
    assert len(made) > len(list((TOP / "docs").rglob("*.md")))
    fetched = re.compile(r"""<(?:link|script|img|iframe|source)[^>]*(?:href|src)=["'](?:\w+:)?//""")
    assert [page.name for page in made if fetched.search(page.read_text("utf-8"))] == []
    styles = "".join(path.read_text("utf-8") for path in (tmp_path / "site" / "_static").glob("*.css"))
    assert not re.search(r"(?:@import|url\()\s*['\"]?(?:\w+:)?//", styles)
