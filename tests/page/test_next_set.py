"""The next set of sheets on the page: what the command line writes with --keep."""

from __future__ import annotations

import json

import pytest

from mistcalc import design, files
from mistcalc.page import store
from mistcalc.page.open_project import OpenProject
from mistcalc.page.views import next_set
from mistcalc.report.common.change_text import moved_text
from mistcalc.report.common.locale_text import Locale
from tests.short_year import one_month

pytestmark = pytest.mark.thorough


def test_a_post_put_over_a_drilled_mark_moves_the_others_and_is_told(tmp_path, monkeypatch):
    """Set A drilled the second mark; in set B a post stands on the fourth: that one alone cannot stay."""
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path))
    text = one_month(files.example_text("bayou"))
    project = files.parse_project(text)
    patio = project.patios[0]
    marks = design.lay(patio, house=project.house_names)[0].marks
    rows = [
        {"name": m.name, "run": m.run, "patio": patio.name, "along_m": m.along, "drilled": m is marks[1]}
        for m in marks
    ]
    told = {"schema": 1, "project": project.name, "revision": "A", "code": "AAA AAA", "marks": rows}
    before = files.parse_earlier_set(json.dumps(told).encode(), "plan.json")
    over = marks[3]
    post = (
        f'\n[[patio.obstacle]]\nname = "New post"\nkind = "column"\nrun = "{over.run}"\n'
        f'along = "{over.along:.4f} m"\nback = "{over.back:.4f} m"\nsize = "6 in"\n'
    )
    head, mark, tail = text.partition("\n[[patio.obstacle]]")
    changed = head + post + mark + tail
    identity = store.create(changed)
    job, sheets = next_set._next_set(OpenProject(identity, changed, files.parse_project(changed)), before, ())
    placed = {mark.name: mark for mark in job.layouts[0].marks}
    assert placed[marks[1].name].drilled and placed[marks[1].name].along == marks[1].along
    assert over.name not in placed or abs(placed[over.name].along - over.along) > 0.05
    assert job.change is not None and job.project.revision.letter == "B"
    assert json.loads(sheets["plan.json"])["revisions"][-1]["letter"] == "B"
    assert over.name in moved_text(job.change, Locale("us", "en"))
