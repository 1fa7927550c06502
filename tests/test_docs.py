"""The pages a newcomer reads: every link and path leads somewhere, and tables list all there is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mistcalc.cooling.unknowns import BANDS

TOP = Path(__file__).resolve().parents[1]
PAGES = [TOP / "README.md", TOP / "DEVELOPERS.md", *sorted((TOP / "docs").rglob("*.md"))]
PATH = re.compile(r"`((?:docs|tests|mistcalc|climate_samples|\.ci)/[\w./-]+|DEVELOPERS\.md|README\.md)`")


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


def test_theory_lists_every_unknown():
    text = (TOP / "docs" / "theory.md").read_text("utf-8")
    table = text.split("| unknown | band |\n|---|---|\n")[1].split("\n\n")[0].splitlines()
    assert len(table) == len(set(table)) == len(BANDS)
