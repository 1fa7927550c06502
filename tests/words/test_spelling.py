"""What people read is spelled the American way and speaks of one thing by one word (docs/names.md)."""

from __future__ import annotations

import re
import string
import tomllib
from pathlib import Path

import pytest

import mistcalc

ROOT = Path(__file__).resolve().parents[2]
FOLDER = Path(mistcalc.__file__).parent / "words" / "en"

# British spellings, from the usual lists of differences (Merriam-Webster gives the American form of each).
BRITISH = (
    r"colour\w*", r"grey\w*", r"mould\w*", r"odour\w*", r"vapour\w*", r"neighbour\w*", r"favour\w*",
    r"behaviour\w*", r"honour\w*", r"labour\w*", r"centre\w*", r"fibre\w*", r"\w*metres?", r"\w*litres?",
    r"judgement\w*", r"licence\w*", r"defence", r"storeys?", r"kerbs?", r"tyres?", r"draught\w*",
    r"sulphur\w*",
    r"aluminium", r"programme\w*", r"catalogue\w*", r"whilst", r"towards", r"spelt", r"learnt", r"burnt",
    r"travell\w+", r"cancelled", r"modell\w+", r"labell\w+", r"levell\w+", r"analyse\w*", r"catalyse\w*",
    r"(organ|real|recogn|minim|maxim|summar|equal|util|atom|pressur|normal|special|stabil)is(e[ds]?|ing|ation)",
)  # fmt: skip
# Words with another in their place: of our own making, or a second word for one thing.
OUT = {
    r"lids?": "patio ceiling",
    r"members?": "joist",
    r"reckon(s|ed)?": "work out",
    r"at a stroke": "fast",
    r"mend(s|ed|ing)?": "fix",
    r"anew": "again",
    r"bullet": "",
    r"the eye reads": "it shows",
    r"as in a mirror": "reflected",
    r"is supposed": "",
    r"were it to": "if it",
    r"in brackets": "in parentheses",
    r"what was found": "",
    r"look[ -]again": "LOOK",
    r"warn": "LOOK",
    r"feel for": "",
}


def sentences(table: dict, path: str = "") -> list[tuple[str, str]]:
    """(dotted key, template without the names in its braces) of every right-hand side."""
    found = []
    for key, value in table.items():
        if isinstance(value, dict):
            found += sentences(value, f"{path}{key}.")
        else:
            parts = string.Formatter().parse(value)
            said = " ".join(f"{text} {(how or '').partition('plural ')[2]}" for text, _, how, _ in parts)
            found.append((path + key, said.strip()))
    return found


def told() -> list[tuple[str, str]]:
    return [
        one
        for file in sorted(FOLDER.glob("*.toml"))
        for one in sentences(tomllib.loads(file.read_text("utf-8")))
    ]


def hits(words: tuple[str, ...], text: str) -> list[str]:
    return [m.group() for word in words for m in re.finditer(rf"(?i)\b{word}\b", text)]


def test_the_list_finds_what_it_is_for():
    for word in (
        "colour",
        "grey",
        "moulding",
        "litre",
        "millimetres",
        "centre",
        "atomise",
        "neighbouring",
        "vapour",
    ):
        assert hits(BRITISH, f"a {word} b"), word
    for word in (
        "color",
        "gray",
        "molding",
        "liter",
        "meter",
        "center",
        "gauge",
        "rise",
        "wise",
        "otherwise",
        "noise",
    ):
        assert not hits(BRITISH, f"a {word} b"), word


def test_every_sentence_is_spelled_the_american_way():
    found = [(key, hit) for key, text in told() for hit in hits(BRITISH, text)]
    assert found == []


def test_one_thing_has_one_word():
    found = [(key, hit) for key, text in told() for hit in hits(tuple(OUT), text)]
    assert found == []


def test_wood_is_a_material_and_framing_what_the_ceiling_hangs_on():
    allowed = {
        "start.ceiling_wood",
        "new_file.system",
        "finding.caution-wet-plaster",
        "finding.caution-wet-wood",
        "caution_short.wet-wood",
        "paper_plaster.wood",
    }
    assert {key for key, text in told() if hits((r"wood\w*",), text)} <= allowed


def test_a_verdict_has_the_same_words_everywhere():
    words = dict(told())
    assert words["verdict.pass"] == "PASS"
    assert words["verdict.look-again"] == words["level.warn"] == "LOOK"
    assert words["verdict.no"] == words["level.fail"] == "FAIL"
    assert words["level.danger"] == "DANGER" and words["level.caution"] == "CAUTION"


@pytest.mark.parametrize(
    "name", ["README.md", "docs/cautions.md", "docs/names.md", "docs/project-file.md", "docs/site-log.md"]
)
def test_pages_for_people_are_spelled_the_same_way(name):
    text = re.sub(r"`[^`]*`", "", (ROOT / name).read_text("utf-8"))
    assert hits(BRITISH, text) == []


def test_the_readme_says_first_what_it_does_for_whom_and_from_what_in_one_breath():
    first = (ROOT / "README.md").read_text("utf-8").split("\n\n")[1]
    assert first.count(".") == 1 and len(first.split()) <= 60
    for said in ("plans", "builds, installs or owns", "from one short file", "hole"):
        assert said in first
