"""Every code the source can raise and every label it can ask for has words."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import mistcalc
from tests.words import scan

FILES = [
    tomllib.loads(path.read_text("utf-8"))
    for path in sorted((Path(mistcalc.__file__).parent / "words" / "en").glob("*.toml"))
]
SECTIONS = {name: table for file in FILES for name, table in file.items() if isinstance(table, dict)}


def found(pattern: str, keys: set[str]) -> bool:
    """Whether a key is of a pattern: most patterns are the key itself."""
    return re.sub(r"\\(.)", r"\1", pattern) in keys or any(map(re.compile(pattern).fullmatch, keys))


def test_a_section_stands_in_one_file():
    assert sum(len(file) for file in FILES) == len({name for file in FILES for name in file})


def test_every_code_of_a_finding_or_an_error_has_a_sentence():
    asked, unread = scan.codes()
    assert len({a.code for a in asked}) > 30
    have = {f"{section}/{code}" for section in ("finding", "error") for code in SECTIONS[section]}
    missing = {f"{a.section} {a.code} ({a.at})" for a in asked if not found(f"{a.section}/{a.code}", have)}
    assert sorted(missing) == []
    assert sorted(unread) == []


def test_every_label_asked_for_exists():
    keys = {f"{section}.{key}" for section, table in SECTIONS.items() for key in table}
    asked = scan.label_keys()
    assert len(asked) > 30
    assert sorted(f"{a.code} ({a.at})" for a in asked if not found(a.code, keys)) == []
