"""Random site logs of random houses: every line is read, every answer has its sentence in every language."""

from __future__ import annotations

import math
import random
import re

import pytest

from mistcalc import design, files, words
from mistcalc.design import site
from mistcalc.files.site_log import site_line
from mistcalc.line.diagnosis import fault_table
from mistcalc.model.results import Design, Diagnosis
from mistcalc.model.site_log import SiteEntry, apply_strikes
from mistcalc.model.site_readings import BY_FIELD
from tests.random_projects import project_text
from tests.random_site_log import site_log_text

LOGS = 6  # of each house
SEEDS = [pytest.param(seed, marks=pytest.mark.thorough if seed else ()) for seed in range(12)]


@pytest.fixture(autouse=True)
def small_tables(monkeypatch):
    """Enough draws for what is said, not for how well; the real ones take seconds a line."""
    monkeypatch.setattr(fault_table, "DRAWS", 60)
    monkeypatch.setattr(fault_table, "DRAWS_WITHOUT_SHEET", 60)
    site.fault_table.cache_clear()
    yield
    site.fault_table.cache_clear()


def job_of(seed: int, sample) -> Design:
    project = files.parse_project(project_text(seed))
    return design.run_without_air(project, sample(project.place.climate) if project.place.climate else None)


def judged(job: Design, entries: tuple[SiteEntry, ...]):
    """All that a door tells of a log."""
    project, line = job.project, job.line
    visits, found = design.judge_call_backs(project, line, entries)
    verdicts, tested = (), ()
    if job.hold is not None:
        verdicts, tested = design.judge_pressure_tests(
            project.plumbing, line, project.place, job.hold, entries
        )
    holes, built = design.judge_holes(job, entries)
    return visits, verdicts, holes, (*found, *tested, *built, *design.struck_out(entries))


def is_an_answer(diagnosis: Diagnosis) -> None:
    shares = [cause.share for cause in diagnosis.causes]
    assert math.fsum(shares) == pytest.approx(1.0) and shares == sorted(shares, reverse=True)
    assert shares[-1] >= 0.0
    assert diagnosis.likely == tuple(cause.cause for cause in diagnosis.causes[: len(diagnosis.likely)])
    assert sum(shares[: len(diagnosis.likely)]) >= 0.9 - 1e-9
    for cause in diagnosis.causes:
        if cause.extent:
            low, middle, high = cause.extent
            assert 0.0 <= low <= middle <= high < math.inf, cause


@pytest.mark.parametrize("seed", SEEDS)
def test_every_answer_has_its_sentence(seed, sample):
    job = job_of(seed, sample)
    for n in range(LOGS):
        entries = files.parse_site_log(text := site_log_text(1000 * seed + n, job))
        assert len(entries) == len(text.splitlines())
        again = files.parse_site_log("\n".join(site_line(entry) for entry in entries))
        assert again == entries  # what is written back is read back
        visits, _, holes, findings = judged(job, entries)
        for _, diagnosis in visits:
            if diagnosis is not None:
                is_an_answer(diagnosis)
        told = {entry.mark for entry in apply_strikes(entries).kept if entry.field.startswith("mark ")}
        assert told <= {hole.name for hole in holes}
        for finding in findings:
            for language in words.languages():
                for units in ("us", "metric"):
                    said = words.say(finding, units, language)
                    assert said != finding.code and not re.search(r"[{}]|\bnan\b|\binf\b", said), said


@pytest.mark.parametrize("seed", SEEDS)
def test_a_log_in_any_order_says_the_same(seed, sample):
    """Two phones' logs are put one behind the other."""
    job = job_of(seed, sample)
    entries = list(files.parse_site_log(site_log_text(1000 * seed, job)))
    first = judged(job, tuple(entries))
    random.Random(seed).shuffle(entries)
    again = judged(job, tuple(entries))
    assert again[:3] == first[:3]
    assert sorted(map(words.say, again[3])) == sorted(map(words.say, first[3]))


@pytest.mark.thorough
def test_every_reading_is_drawn(sample):
    """One that no log of these holds is tested by nothing."""
    drawn: set[str] = set()
    for seed in range(4):
        job = job_of(seed, sample)
        for n in range(12):
            drawn |= {entry.field for entry in files.parse_site_log(site_log_text(1000 * seed + n, job))}
    assert set(BY_FIELD) <= drawn and "strike" in drawn
