"""docs/project-file.md names every key with its default and range, and its examples read."""

from __future__ import annotations

import re

import pytest

from mistcalc import files, units
from mistcalc.files.project import dependent_defaults
from mistcalc.files.project.key_specs import TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.schema import ROOT
from mistcalc.model.close_in import USUAL


@pytest.fixture(scope="module")
def page(repository) -> str:
    return (repository / "docs" / "project-file.md").read_text("utf-8")


def tables(entry: TableSpec | TableListSpec, path: tuple[str, ...] = ()):
    table = entry.table if isinstance(entry, TableListSpec) else entry
    if path:
        yield (f"[[{'.'.join(path)}]]" if isinstance(entry, TableListSpec) else f"[{'.'.join(path)}]"), table
    else:
        yield "At the top of the file", table
    for name, inner in table.keys.items():
        if not isinstance(inner, ValueSpec):
            yield from tables(inner, (*path, name))


def test_every_key_has_its_row_with_its_default(page):
    rows = {}
    for block in page.split("\n## Clearances")[0].split("\n### ")[1:]:
        told = {m[1]: m[0] for m in re.finditer(r"^\| `(\w+)` \|.*$", block, re.M)}
        rows |= dict.fromkeys(block.splitlines()[0].split(", "), told)  # alike tables stand together
    for heading, table in tables(ROOT):
        leaves = {name: leaf for name, leaf in table.keys.items() if isinstance(leaf, ValueSpec)}
        assert set(rows[heading]) == set(leaves), heading
        for name, leaf in leaves.items():
            row = rows[heading][name]
            assert ("must be stated" in row) == leaf.required
            if leaf.default and leaf.kind not in ("clock", "month"):
                assert all(f"`{text}`" in row for text in leaf.default if text), (heading, name)
            assert leaf.low is None or leaf.positive or f"| {leaf.low} to {leaf.high} |" in row
            assert not leaf.positive or leaf.high is None or f"| above 0 to {leaf.high} |" in row
            assert (
                all(f"`{choice}`" in row or leaf.kind == "counts" for choice in leaf.choices)
                or name == "kind"
            )


def test_clearances_are_the_ones_used(page):
    for kind, (us, metric) in dependent_defaults.CLEARANCES.items():
        assert f"| `{kind}` | {us} | {metric} |" in page


def test_the_smallest_file_reads(page):
    text, _ = re.findall(r"```toml\n(.*?)```", page, re.S)
    assert "patio[porch].marks.pitch" in files.parse_project(text).assumed


def test_the_line_shown_reads(page):
    smallest, line = re.findall(r"```toml\n(.*?)```", page, re.S)
    two = smallest + '[[patio]]\nname = "side"\ndepth = "9 ft"\n[[patio.run]]\nname = "B"\nlength = "9 ft"\n'
    plumbing = files.parse_project(two + line + "[pump]\n").plumbing
    assert [str(piece.end) for piece in plumbing.pieces] == ["tee 1", "A start", "B start", "drain"]
    assert plumbing.pieces[0].one_way and plumbing.on_run("B").nozzle is not None


def test_spellings_shown_are_understood(page):
    section = page.split("## How values are written")[1].split("\n* ")[0]
    kinds = (
        *units.KINDS,
        "slope",
        "price_volume",
        "price_energy",
        "price_length",
        "price_each",
        "price_month",
        "clock",
    )
    shown = re.findall(r'`"([^`]+)"`', section)
    assert len(shown) > 20
    for text in shown:
        read = []
        for kind in kinds:
            try:
                read.append(units.parse(text, kind))
            except Exception:
                continue
        assert read, text


def test_the_steps_shown_read_and_the_usual_ones_are_those_used(page):
    smallest = re.findall(r"```toml\n(.*?)```", page, re.S)[0]
    (shown,) = re.findall(r"```\n(\[dates\].*?)```", page, re.S)
    dates = files.parse_project(smallest + shown).dates
    assert [step.name for step in dates.steps] == ["insulation", "paper", "lath"]
    rows = re.findall(r"^\| ([\w ]+) \| (\w+) \| (\d+) \|(.*?)\|.*\|$", page, re.M)
    usual = [
        (step.name, step.trade, str(step.days),
         ", ".join(f"`{a.name} + {a.days} days`" if a.days else f"`{a.name}`" for a in step.after))
        for step in USUAL
    ]  # fmt: skip
    assert [(name, trade, days, after.strip()) for name, trade, days, after in rows] == usual
