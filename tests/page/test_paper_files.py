"""What the Paper view offers is what `plan --out` writes of the same file: alternates and a crew's language
were missing from it."""

from __future__ import annotations

import pytest

from mistcalc import files
from mistcalc.page import open_project, store
from mistcalc.page.views import paper

ALTERNATE = """
[[alternate]]
name = "Wider"
change = { "patio.marks.pitch" = "700 mm" }
"""


@pytest.mark.thorough
def test_alternates_and_the_crew_s_language_are_among_the_files(tmp_path, monkeypatch):
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path))
    text = files.example_text("terraza").replace("\nunits", '\ncrew_language = "es"\nunits', 1) + ALTERNATE
    opened = open_project.open_saved(store.create(open_project.project_text(text.encode(), "terraza.toml")))
    job = paper._whole(opened, open_project.full_design(opened), ())
    assert [column.name for column in job.bids] == ["", "Wider"]
    assert {"marks.txt", "marks-es.txt", "sheets-builder.pdf"} <= paper.written(job).keys()
