"""Judgments are made in `checks`; doors only phrase and place them. Read from the source, door by door."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from mistcalc import design, files
from mistcalc.checks import all_cautions
from mistcalc.model import practice, site_readings
from mistcalc.model.results import LEVELS, Finding
from mistcalc.report.common.findings_by_reader import about_air, about_lid, about_line, about_sun
from tests import builders
from tests.source import parsed

DOORS = ("report", "page", "words", "cli.py")
PLACING = "findings_by_reader.py"  # the one file that may ask for a finding's audience and level
TESTS_OF_TEXT = {"startswith", "endswith"}


def findings_examined(source: str, may_place: bool = False) -> list[str]:
    """Lines that look into a finding's code, or decide something by its level."""
    out = []
    for node in ast.walk(parsed(source)):
        if isinstance(node, ast.Compare):
            sides = [node.left, *node.comparators]
            if any(_code(side) for side in sides) or (not may_place and any(map(_level, sides))):
                out.append(f"{node.lineno}: {ast.unparse(node)}")
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            if node.func.attr in TESTS_OF_TEXT and _code(node.func.value):
                out.append(f"{node.lineno}: {ast.unparse(node)}")
        elif isinstance(node, (ast.SetComp, ast.ListComp)) and _code(node.elt):
            out.append(f"{node.lineno}: {ast.unparse(node)}")  # codes gathered to be looked for
    return out


def figures_judged(source: str) -> list[str]:
    """Quantiles taken, and figures that a comment calls judged or usual: thresholds in the making."""
    taken = [
        f"{node.lineno}: {ast.unparse(node)}"
        for node in ast.walk(parsed(source))
        if isinstance(node, ast.Call)
        and ast.unparse(node.func).split(".")[-1] in ("quantile", "quantiles", "percentile", "median")
    ]
    lines = enumerate(source.splitlines(), 1)
    return taken + [
        f"{n}: {line}" for n, line in lines if re.search(r"= .*#.*(judge?ment|common practice)", line)
    ]


def _code(node: ast.expr) -> bool:
    """`finding.code`, whatever the finding is called; an error's own code is none."""
    return (
        isinstance(node, ast.Attribute)
        and node.attr == "code"
        and ast.unparse(node.value) not in ("mistake", "error", "fault", "said", "message")
    )


def _level(node: ast.expr) -> bool:
    told = isinstance(node, ast.Constant) and node.value in LEVELS
    return told or (isinstance(node, ast.Attribute) and node.attr == "level")


def door_files(repository: Path) -> list[Path]:
    made = [repository / "mistcalc" / door for door in DOORS]
    return [path for door in made for path in (sorted(door.rglob("*.py")) if door.is_dir() else [door])]


def test_no_door_looks_into_a_finding(repository):
    seen = {
        str(path.relative_to(repository)): found
        for path in door_files(repository)
        if (found := findings_examined(path.read_text("utf-8"), path.name == PLACING))
    }
    assert len(door_files(repository)) > 60
    assert seen == {}


def test_no_door_holds_a_threshold_or_takes_a_quantile(repository):
    seen = {str(p): found for p in door_files(repository) if (found := figures_judged(p.read_text("utf-8")))}
    assert seen == {}
    assert figures_judged("x = np.median(v)") and figures_judged("STILL = 0.5  # of it; judgement")


def test_a_figure_that_rooms_and_checks_share_is_written_once(repository):
    """`model/practice.py` has them; nobody else gives one of its names a value of his own."""
    names = {name for name in vars(practice) if name.isupper()}
    written = [
        f"{path.name}: {target.id}"
        for path in sorted((repository / "mistcalc").rglob("*.py"))
        for node in parsed(path.read_text("utf-8")).body
        if isinstance(node, ast.Assign)
        for target in ast.walk(node)
        if isinstance(target, ast.Name) and isinstance(target.ctx, ast.Store) and target.id in names
    ]
    assert sorted(written) == sorted(f"practice.py: {name}" for name in names)


def lists_of_readings(source: str) -> list[str]:
    """Lists that say again which readings there are."""
    names = set(site_readings.NAMES) | {"start", "draw", "tube", "vessel"}
    lists = (n for n in ast.walk(parsed(source)) if isinstance(n, (ast.Tuple, ast.List, ast.Set)))
    told = ((n, {e.value for e in n.elts if isinstance(e, ast.Constant)}) for n in lists)
    return [f"{n.lineno}: {ast.unparse(n)}" for n, said in told if len(said & names) > 2 and said <= names]


def test_which_readings_there_are_is_written_once(repository):
    """`model/site_readings.py` has them for site log, forms, sheets and diagnosis."""
    seen = {
        path.name: found
        for path in sorted((repository / "mistcalc").rglob("*.py"))
        if path.name != "site_readings.py" and (found := lists_of_readings(path.read_text("utf-8")))
    }
    assert seen == {}
    assert lists_of_readings("GAUGES = ('gauge', 'inlet', 'port')")


def test_the_manual_of_the_site_log_names_every_reading(repository):
    told = (repository / "docs" / "site-log.md").read_text("utf-8")
    assert [field for field in site_readings.BY_FIELD if f"`{field}`" not in told] == []


@pytest.mark.parametrize(
    "line",
    [
        "x = f.code.startswith('hold-')",
        "x = [f for f in found if f.code == 'wet-likely']",
        "codes = {finding.code for finding in found}",
        "x = one.code in ('little-cooling', 'little-felt')",
        "x = any(f.level == 'fail' for f in found)",
        "x = one.level != 'note'",
    ],
)
def test_the_walk_finds_what_it_looks_for(line):
    assert findings_examined(line)


def test_phrasing_and_placing_are_not_taken_for_it():
    assert not findings_examined("words = voice.label(f'level.{finding.level}'); name = finding.code")
    assert not findings_examined("x = f.level == 'fail'", may_place=True)
    assert findings_examined("x = f.code == 'x'", may_place=True)


# ------------------------------------------------------------------ audiences


@pytest.fixture(scope="module")
def whole():
    return {name: whole_job(name) for name in ("courtyard", "bayou", "terraza")}


def whole_job(name: str):
    project = files.parse_project(files.example_text(name), name)
    climate = project.place.climate
    return design.run(project, files.read_climate(files.climate_path(climate, None)) if climate else None)


def of_climate(finding: Finding) -> bool:
    return finding.code.startswith("climate-")


def test_what_is_found_of_a_design_says_for_whom_it_is(whole):
    for job in whole.values():
        silent = {f.code for f in job.findings if not f.audience and not of_climate(f)}
        assert silent == set()


def test_every_finding_stands_on_the_sheet_of_its_reader(whole):
    """None is lost between the sheets: each is the builder's, the installer's, the owner's or a caution."""
    for job in whole.values():
        patios = [patio.name for patio in job.project.patios]
        shown = {f for patio in patios for f in about_lid(job.findings, patio)} | set(
            about_line(job.findings)
        )
        shown |= {f for c in job.cooling for f in about_air(job, c.patio, c.afternoon)}
        shown |= {f for patio in patios for f in about_sun(job, patio)}
        left = {f for f in job.findings if f not in shown and f.topic != "caution"}
        assert {f.code for f in left if not of_climate(f)} == set()


def test_a_thing_called_hot_stays_with_the_builder():
    """Its path is that of an afternoon, and once it was told to the owner as one."""
    thing = Finding(
        "thing-on-joist", "warn", "porch/hot", values=(("patio", "porch"),), audience=("builder",)
    )
    made = builders.design(findings=(thing,))
    assert about_lid(made.findings, "porch") == (thing,)
    assert about_air(made, "porch", "hot") == ()


def test_every_caution_is_somebodys():
    for caution in all_cautions(builders.project()):
        assert set(caution.audience) & {"builder", "installer", "owner"}, caution.code
