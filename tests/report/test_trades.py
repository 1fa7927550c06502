"""Every trade's page read back: only its own numbers, all of them, on one sheet, over nothing."""

from __future__ import annotations

import datetime
import io
import json
import random
import re
from collections import Counter
from dataclasses import replace
from functools import cache

import icalendar
import pytest
from pypdf import PdfReader

from mistcalc import design
from mistcalc.drawing.frame import PAPERS
from mistcalc.drawing.sheet import Polyline, Sheet, Text
from mistcalc.model.project import Dates
from mistcalc.model.results import Design
from mistcalc.report import plan_json
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.calendar_ics import close_in_ics
from mistcalc.report.findings_and_cautions import findings_text
from mistcalc.report.sheet_set import files
from mistcalc.report.trades.key_plan import datum_words
from mistcalc.report.trades.trade_set import SLIPS, trade_files, trade_sheets
from tests.report.jobs import TEXTS, job, patio, run, solved, thing
from tests.report.jobs import text_of as text
from tests.report.test_sheet_set import overlaps, words

DEMOS = ("courtyard", "bayou", "terraza")
MONDAY = datetime.date(2027, 3, 8)


@cache
def dated(name: str) -> Design:
    made = job(name)
    project = replace(made.project, dates=Dates(MONDAY))
    calendar, findings = design.dates(project)
    return replace(made, project=project, calendar=calendar, findings=(*made.findings, *findings))


@cache
def pages(name: str, with_dates: bool = True, language: str = "en") -> dict[str, tuple[Sheet, ...]]:
    made = dated(name) if with_dates else replace(job(name), calendar=None)
    return trade_sheets(made, Locale(made.project.units, language))


ALL = [(name, with_dates) for name in (*DEMOS, *TEXTS) for with_dates in (True, False)]


@pytest.mark.thorough
@pytest.mark.parametrize(("name", "with_dates"), ALL)
def test_pages_lie_within_their_paper_and_nothing_over_another(name, with_dates):
    paper = PAPERS["letter" if job(name).project.units == "us" else "A4"]
    for trade, sheets in pages(name, with_dates).items():
        for sheet in sheets:
            assert all(paper.inside.holds(item.box()) for item in sheet.primitives()), trade
            assert overlaps(sheet) == [], trade
            assert all(item.height >= 2.5 for item in sheet.primitives() if isinstance(item, Text))
            assert job(name).code in words(sheet)


@pytest.mark.thorough
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", DEMOS)
def test_a_demo_needs_one_page_a_trade(name, language):
    """Framer, electrician and installer had two in Spanish."""
    plastered = any(patio.plaster.system != "none" for patio in job(name).project.patios)
    assert set(pages(name)) == set(SLIPS) - (set() if plastered else {"plasterer"})
    made = pages(name, language=language)
    assert {trade: len(sheets) for trade, sheets in made.items()} == dict.fromkeys(made, 1)
    assert [overlaps(sheet) for sheets in made.values() for sheet in sheets] == [[]] * len(made)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", DEMOS)
def test_no_word_is_cut_short(name, language):
    """In Spanish the holds to sign for, the coats and the stub ended in dots."""
    for trade, sheets in pages(name, language=language).items():
        assert all("…" not in words(sheet) for sheet in sheets), trade


def test_a_line_on_the_mains_has_no_pump_to_lock_or_to_protect_the_water_from():
    for trade in ("electrician", "plumber"):
        (pumped,), (mains,) = pages("courtyard")[trade], pages("terraza")[trade]
        assert "pump" in words(pumped).lower()
        told = words(mains).lower().replace("this line has no pump", "")
        assert "pump" not in told, trade


def test_runs_hooked_on_like_surfaces_have_one_line_of_datums():
    made = dated("courtyard")
    patio = made.project.patios[0]
    same = [replace(run, datum=replace(run.datum, surface="face of post")) for run in patio.runs]
    alike = replace(made, project=replace(made.project, patios=(replace(patio, runs=tuple(same)),)))
    names = ", ".join(run.name for run in same)
    assert len(same) > 1 and datum_words(alike, Locale("us", "en")) == f"DATUM {names}: face of post."


@pytest.mark.parametrize("name", DEMOS)
def test_no_mark_stands_on_the_framers_page_and_every_hole_does(name):
    made, (sheet,) = dated(name), pages(name)["framer"]
    told, locale = words(sheet), Locale(made.project.units, "en")
    marks = [mark for layout in made.layouts for mark in layout.marks]
    assert not {mark.name for mark in marks} & set(re.split(r"[^A-Za-z0-9]+", told))
    for bored in made.carpentry.bores:
        assert locale.tape(bored.alongs[0]) in told and locale.tape(bored.alongs[-1]) in told
        assert f"{len(bored.alongs)} joists" in told and locale.number(bored.hole, "bit") in told
    for block in made.carpentry.blocking:
        assert all(locale.tape(along) in told for along in block.alongs[:1])


@pytest.mark.parametrize("name", ("courtyard", "bayou"))
def test_each_number_in_a_box_on_the_key_plan_is_a_row_of_a_list(name):
    for sheets in pages(name).values():
        (sheet,) = sheets
        boxes = [item.box() for item in sheet.items if isinstance(item, Polyline) and len(item.points) == 4]
        numbers = [
            item.text for item in sheet.items
            if isinstance(item, Text) and item.text.isdigit() and item.height == 2.5 and item.bold
            and any(box.width < 8 and box.holds(item.box().grown(-0.2)) for box in boxes)
        ]  # fmt: skip
        assert all(
            count in (1, 2) for count in Counter(numbers).values()
        )  # a number may find no room on the plan
        assert sorted(set(map(int, numbers))) == list(range(1, len(set(numbers)) + 1))


def test_days_come_from_the_calendar():
    made = dated("courtyard")
    framing = made.calendar.step("framing")
    told = words(pages("courtyard")["framer"][0])
    assert framing.first == datetime.date(2027, 2, 16) and "Tue Feb 16" in told and "Thu Feb 18" in told
    assert "electrician, Fri Feb 19" in told  # who is next
    plumber = words(pages("courtyard")["plasterer"][0])
    assert "Hold 1 signed: line tested. By Fri Feb 26." in plumber and "Mon Mar 8" in plumber
    bare = pages("courtyard", False)["framer"][0]
    assert not re.search(r"(Mon|Tue|Wed|Thu|Fri) [A-Z][a-z]{2} \d", words(bare)) and "START" in words(bare)


def test_the_installer_signs_for_every_hold_and_reads_its_gauge():
    told = words(pages("courtyard")["installer"][0])
    for n, hold in enumerate(("All tube in", "Lath on", "Brown coat", "Nozzles"), 1):
        assert re.search(rf"{n} \w{{3}} \d+: {hold}", told)
    assert told.count("Signed") == told.count("From") == 4


def test_a_thing_that_is_to_move_says_so_to_the_electrician():
    told = words(pages("courtyard")["electrician"][0])
    assert re.search(r"""Move to\s+back\s+3'-6"\.""", told)


def test_a_move_out_of_the_mist_that_ends_at_a_joist_is_not_told_to_the_electrician():
    """Nobody has worked out where it would be clear of both."""
    made, locale = dated("courtyard"), Locale("us", "en")
    (layout,) = made.layouts
    fix = replace(next(f for f in layout.fixes if f.move == "L2"), toward="along+", by=0.3048)
    moving = replace(made, layouts=(replace(layout, fixes=(fix,)),))
    told = str(SLIPS["electrician"](moving, locale)).replace("\\", "")
    assert "Move to 17'-7 1/4" in told  # a foot on from where it is
    judged = next(f for f in made.findings if f.where == "court/L2")
    still = replace(judged, values=(*judged.values, ("still_on_joist", True)))
    stays = replace(moving, findings=(*made.findings, still))
    assert "Move to" not in str(SLIPS["electrician"](stays, locale))


@pytest.mark.thorough
def test_a_mirrored_house_says_so_in_the_titles_of_its_files():
    """A print queue and a telephone's calendar show nothing else."""
    made, locale = dated("courtyard"), Locale("us", "en")
    mirrored = replace(made, project=replace(made.project, mirrored_from="Plan 1"))
    title = f"{made.project.name} (mirrored)"
    bound = (
        trade_files(mirrored, (locale,))["trade-painter.pdf"],
        files(mirrored, "us", "en")["sheets-builder.pdf"],
    )
    assert all(PdfReader(io.BytesIO(content)).metadata.title == title for content in bound)
    assert mirrored.calendar is not None
    days = icalendar.Calendar.from_ical(close_in_ics(mirrored, mirrored.calendar, locale))
    assert str(days["X-WR-CALNAME"]) == title


@pytest.mark.thorough
@pytest.mark.parametrize(("long", "asked"), [("30 ft", True), ("9 ft", False)])
def test_the_plasterer_is_asked_for_joints_where_none_are_stated_and_some_are_wanted(long, asked):
    """9 ft by 10 ft keeps ASTM C1063 in one panel; 30 ft by 10 ft has three times its 100 sq ft."""
    made = solved(text(patio("porch", "10 ft", run("A", long))))
    assert ("none planned" in str(SLIPS["plasterer"](made, Locale("us", "en")))) is asked


def test_a_file_a_trade_with_a_page_a_language():
    made = dated("courtyard")
    written = trade_files(made, (Locale("us", "en"),))
    assert set(written) == {f"trade-{name}.pdf" for name in SLIPS}
    assert all(len(PdfReader(io.BytesIO(content)).pages) == 1 for content in written.values())
    twice = trade_files(made, (Locale("us", "en"), Locale("metric", "en")))
    first, second = PdfReader(io.BytesIO(twice["trade-framer.pdf"])).pages
    assert "2-3/8 in" in first.extract_text() and "mm" in second.extract_text()


def lamps(runs: str, each: int) -> str:
    """A row of lights 2 ft behind the edge of each run: all within 3 ft of marks, many on a joist."""
    alongs = [(r, 14 + 28 * n) for r in runs for n in range(each)]
    return "".join(
        thing(f"L{n}", "light", r, f"{along} in", "2 ft", '["6 in", "6 in"]', "3 ft")
        for n, (r, along) in enumerate(alongs, 1)
    )


@pytest.mark.thorough
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_page_a_trade_holds_a_u_of_thirty_lights_and_a_ring(language):
    """27 lights made 28 findings and an electrician's page of two; a ring's framer and plasterer had two."""
    corner = {"then": "inside corner"}
    u = patio(
        "u",
        "12 ft",
        run("A", "24 ft", **corner),
        run("B", "24 ft", **corner),
        run("C", "24 ft"),
        lamps("ABC", 10),
    )
    ring = patio(
        "ring", "8 ft", 'plaster = { joints = "propose" }', *(run(r, long, **corner) for r, long in
        zip("ABCD", ("36 ft", "24 ft", "36 ft", "24 ft"), strict=True)), lamps("ABCD", 4),
    )  # fmt: skip
    for lid in (u, ring):
        made = solved(text(lid))
        sheets = trade_sheets(made, Locale("us", language))
        assert {trade: len(of) for trade, of in sheets.items()} == dict.fromkeys(sheets, 1)
        assert [overlaps(sheet) for (sheet,) in sheets.values()] == [[]] * len(sheets)
        told = words(sheets["electrician"][0]).split()
        assert {thing.name for thing in made.project.patios[0].obstacles} <= set(told)
        assert "…" not in "".join(told)
        lines = findings_text([f for f in made.findings if f.value("patio")], "us", language)
        assert not [line for line in lines if re.search(r"\bL2[:;]? (is|queda)\b", line)]
        assert sum("ASTM" not in line and bool(re.search(r"\bL2\b", line)) for line in lines) <= 3


@pytest.mark.parametrize(
    ("language", "across"), [("en", "across the joists"), ("es", "atraviesa las viguetas")]
)
def test_a_joint_over_joists_that_lie_its_run_s_way_lies_across_them(language, across):
    """The plasterer read "on a joist" of joints no joist lies along."""
    framing = '{ lies = "along", spacing = "16 in", first = "15-1/4 in", width = "1-1/2 in" }'
    lid = patio("shed", "12 ft", 'plaster = { joints = "propose" }', run("A", "40 ft", framing))
    made = solved(text(lid))
    (sheet,) = trade_sheets(made, Locale("us", language))["plasterer"]
    joints = made.layouts[0].lid.joints
    assert len(joints) >= 1
    assert [one.joint.name for one in joints if f"{one.joint.name}, {across}." not in words(sheet)] == []


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("seed", range(4))
def test_the_framer_is_told_to_measure_first_just_where_nobody_stated_the_joists(seed, language):
    """Two patios of one to two runs, each with its joists stated or not, in any mixture."""
    dice = random.Random(seed)
    stated = {name: dice.random() < 0.5 for name in "ABC"}
    framing = {
        name: '{ spacing = "16 in", first = "15-1/4 in" }' if stated[name] else "{ }" for name in "ABC"
    }
    made = solved(
        text(
            patio("porch", "12 ft", run("A", "24 ft", framing["A"], then="inside corner"),
                  run("B", "15 ft", framing["B"])),
            patio("walk", "9 ft", run("C", "13 ft", framing["C"])),
        )
    )  # fmt: skip
    slip = SLIPS["framer"](made, Locale("us", language))
    first = slip.lists[0]
    head = Locale("us", language).label("paper_trade.measure")
    guessed = [name for name, known in stated.items() if not known]
    assert [row.label for row in first.rows] == guessed if guessed else first.head != head
    word = {"en": "measure first", "es": "primero mida"}[language]
    bores = [row for part in slip.lists for row in part.rows if "3/4 in" in row.words]
    assert bores
    for row in bores:
        assert (word in row.words) == bool(set(row.label.split(", ")) & set(guessed)), row
        assert not (word in row.words and set(row.label.split(", ")) - set(guessed)), row
    assert "________" in first.rows[0].where or not guessed
    assert json.loads(plan_json(made))["carpentry"]["assumed"] == guessed
