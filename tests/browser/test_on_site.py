"""What a crew's phones send is taken back on the page, in any order and twice over."""

from __future__ import annotations

import pytest

from mistcalc import files
from tests.browser.test_page import AIR, ready
from tests.browser.visits import Visit

pytestmark = pytest.mark.browser
FIRST = """{"project": "Tinaja Lane", "code": "", "lines": 1}
{"when": "2027-03-01T08:00", "field": "mark drilled", "mark": "A1", "value": "3 ft"}
"""
SECOND = FIRST.replace("A1", "A2").replace("3 ft", "5 ft")


def send(tab: Visit, tmp_path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text, "utf-8")
    tab.page.locator("input[type=file]").first.set_input_files(tmp_path / name)


def test_the_marks_go_out_and_what_phones_send_comes_back(visit, tmp_path):
    tab = visit()
    tab.open_example(view="on-site")
    ready(tab, "on-site")
    with tab.page.expect_download() as taken:
        tab.page.get_by_role("button", name="Download marks.html").click()
    taken.value.save_as(tmp_path / "marks.html")
    assert "Tinaja Lane" in (tmp_path / "marks.html").read_text("utf-8")
    for number, (name, text) in enumerate(
        (("two.jsonl", SECOND), ("one.jsonl", FIRST), ("again.jsonl", SECOND))
    ):
        send(tab, tmp_path, name, text)
        holes = min(number + 1, 2)
        tab.page.locator("h1", has_text=f"{holes} of 28 holes are drilled.").wait_for(timeout=AIR)
    send(tab, tmp_path, "other.jsonl", FIRST.replace("Tinaja Lane", "Another house"))
    tab.page.locator(".refused", has_text="Another house").wait_for(timeout=AIR)
    with tab.page.expect_download() as taken:
        tab.page.get_by_role("button", name="Download the site log").click()
    taken.value.save_as(tmp_path / "log.jsonl")
    assert {entry.mark for entry in files.read_site_log(tmp_path / "log.jsonl")} == {"A1", "A2"}
    # The next set: a plan.json of another job is refused in words, and nothing is drawn for it.
    (tmp_path / "plan.json").write_text(
        '{"schema": 1, "project": "Another house", "revision": "A", "marks": []}'
    )
    tab.page.locator("input[type=file]").nth(1).set_input_files(tmp_path / "plan.json")
    tab.page.locator(".refused", has_text="Another house").first.wait_for(timeout=AIR)
