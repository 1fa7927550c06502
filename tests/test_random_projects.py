"""Whole jobs of random projects: they read, they run, and what must hold of every job holds."""

from __future__ import annotations

import json
import math
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from mistcalc import design, files, report
from mistcalc.files.project.key_specs import TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.schema import ROOT
from mistcalc.model.project import Project
from mistcalc.model.results import Cooling, Design, Layout, Member, Point, Weather
from mistcalc.units import parse
from tests.random_projects import project_text

Sample = Callable[[str], Weather]
LONG, CHUNK = 2000, 50
NEAR = 1e-6  # m


def leaves(
    entry: ValueSpec | TableSpec | TableListSpec, path: tuple[str, ...] = ()
) -> Iterator[tuple[str, ...]]:
    if isinstance(entry, ValueSpec):
        yield path
        return
    for name, inner in (entry.table if isinstance(entry, TableListSpec) else entry).keys.items():
        yield from leaves(inner, (*path, name))


def paths(value: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield (*path, name)
            yield from paths(inner, (*path, name))
    elif isinstance(value, list):
        for inner in value:
            yield from paths(inner, path)


@pytest.mark.thorough
def test_every_key_is_drawn():
    """A key that none of the first 200 states is tested by nothing: tests/random_projects.py says how."""
    drawn = {path for seed in range(200) for path in paths(tomllib.loads(project_text(seed)))}
    assert sorted(set(leaves(ROOT)) - drawn) == []


def test_a_seed_is_one_text():
    assert project_text(7) == project_text(7) != project_text(8)


@pytest.mark.thorough
def test_an_alternate_makes_the_project_it_says():
    """Through a name in brackets, with points and brackets of its own, to one patio and no other."""
    reached = 0
    for seed in range(60):
        project = files.parse_project(text := project_text(seed))
        for alternate, made in zip(project.alternates, files.alternate_projects(project, text), strict=True):
            change = dict(alternate.change)
            assert made.about == "another" and made.paper.sheet == change["paper.sheet"]
            assert made.plumbing.water.ph == change.get("water.ph", project.plumbing.water.ph)
            for was, patio in zip(project.patios, made.patios, strict=True):
                named = f"patio[{was.name}].plaster.tolerance" in change
                tolerance = parse("1/8 in", "length") if named else was.plaster.tolerance
                runs = was.runs
                if "patio.run.framing.covers_corner" in change:
                    off = (replace(run.framing, covers_corner=False) for run in runs)
                    runs = tuple(replace(run, framing=wood) for run, wood in zip(runs, off, strict=True))
                plaster = replace(was.plaster, tolerance=tolerance)
                assert patio == replace(was, plaster=plaster, runs=runs)
                reached += named
    assert reached > 3


# ------------------------------------------------------------------ what must hold of every job


def check(seed: int, sample: Sample) -> None:
    text, other = project_text(seed), project_text(seed + 1)
    project = files.parse_project(text)
    assert files.rewrite(text, project) == text
    assert_same(files.parse_project(files.rewrite(other, project)), project)
    weather = sample(project.place.climate) if project.place.climate else None
    job = design.run(project, weather)
    told = report.plan_json(job)
    tree = json.loads(told, parse_constant=lambda sign: pytest.fail(f"{sign} in plan.json"))
    assert "no-value" not in {finding["code"] for finding in tree["findings"]}
    assert report.plan_json(job) == told
    for units in ("us", "metric"):
        assert "nan" not in report.job_summary_text(job, units).lower().split()
    for patio, layout in zip(project.patios, job.layouts, strict=True):
        marks_are_on_their_runs(layout)
        holes_miss_wood_or_say_so(layout, patio.marks.hole / 2)
    names_are_used_once(job)
    water_is_kept(job)
    for cooled in job.cooling:
        cooling_is_sound(cooled)


def cooling_is_sound(cooled: Cooling) -> None:
    """Ranges in order, no draw past its own wet bulb, all of the water accounted for."""
    for place, drop in cooled.drop.items():
        low, middle, high = cooled.band(place)
        assert low <= middle <= high
        assert np.all(drop <= cooled.depression), (place, (drop - cooled.depression).max())
    if cooled.water_flow > 0:
        assert np.allclose(sum(cooled.fates.values()), 1.0, rtol=0, atol=1e-12)
        assert all(np.all(share >= 0) for share in cooled.fates.values())
    if cooled.winds:
        assert sum(told.share for told in cooled.winds[:3]) == pytest.approx(1.0)
    if cooled.drivers:
        assert sum(driver.share for driver in cooled.drivers) == pytest.approx(1.0)


def assert_same(read: Project, wanted: Project) -> None:
    """All but what is assumed: what has been changed is now stated."""
    for name in wanted.__dataclass_fields__:
        if name != "assumed":
            assert getattr(read, name) == getattr(wanted, name), name


def names_are_used_once(job: Design) -> None:
    names = Counter(mark.name for layout in job.layouts for mark in layout.marks)
    assert not [name for name, count in names.items() if count > 1]


def marks_are_on_their_runs(layout: Layout) -> None:
    tubes = {row.name: row.tube_length for row in layout.lid.rows}
    for mark in layout.marks:
        assert -NEAR <= mark.tube_along <= tubes[mark.run] + NEAR, mark


def holes_miss_wood_or_say_so(layout: Layout, radius: float) -> None:
    """A hole that cuts into a member, measured here in plan, is among the clashes that stop the drill."""
    told = {clash.mark for clash in layout.clashes if clash.rule == "member" and clash.hard}
    for mark in layout.marks:
        for member in layout.lid.members:
            if from_wood(mark.point, member) < radius - NEAR:
                assert mark.name in told, (mark, member)


def from_wood(point: Point, member: Member) -> float:
    """From a point to a member, a rectangle in plan."""
    (x, y), ((x0, y0), (x1, y1)) = point, member.line
    long = math.hypot(x1 - x0, y1 - y0)
    along = ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / (long or 1.0)
    across = math.sqrt(max((x - x0) ** 2 + (y - y0) ** 2 - along**2, 0.0))
    return math.hypot(max(-along, along - long, 0.0), max(across - member.width / 2, 0.0))


def water_is_kept(job: Design) -> None:
    """Each zone passes what its nozzles do, and what enters the line leaves it by the largest zone's."""
    line = job.line
    for zone in line.zones:
        passed = math.fsum(mark.flow for mark in line.marks if mark.zone == zone.name)
        assert passed == pytest.approx(zone.flow, rel=1e-9, abs=1e-15)
    out = {tube.start: 0.0 for tube in line.tubes}
    for tube in line.tubes:
        out[tube.start] += tube.flow
        out[tube.end] = out.get(tube.end, 0.0) - tube.flow
    if line.tubes:
        assert out[line.supply_node] == pytest.approx(
            line.total_flow, rel=1e-6, abs=1e-10
        )  # m3/s, a hundredth of a drop


QUICK = [pytest.param(seed, marks=pytest.mark.thorough if seed >= 1 else ()) for seed in range(20)]


@pytest.mark.parametrize("seed", QUICK)
def test_random_project(seed: int, sample: Sample) -> None:
    check(seed, sample)


@pytest.mark.long
@pytest.mark.parametrize("first", range(0, LONG, CHUNK))
def test_many_random_projects(first: int, sample: Sample) -> None:
    failed = {}
    for seed in range(first, first + CHUNK):
        try:
            check(seed, sample)
        except (Exception, pytest.fail.Exception) as fault:
            failed[seed] = f"{type(fault).__name__}: {fault}"[:300]
    assert not failed, "\n".join(f"{seed}: {said}" for seed, said in failed.items())
