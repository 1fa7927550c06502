"""Files for other programs: read back by the libraries their readers would use, equal to the nouns."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from mistcalc.model.results import FATES, KNOWABLE, BoredBack, BoredRun, Carpentry, Finding, Part
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.lists_csv import marks_csv, materials_csv
from mistcalc.report.exports.results_json import findings_json, plan_json
from tests import builders
from tests.builders import IN
from tests.report.jobs import job

DOCS = Path(__file__).parents[2] / "docs" / "plan-json.md"

US = Locale("us", "en")


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def told(design=None) -> dict:
    """plan.json parsed as strictly as any reader: no NaN, no Infinity."""

    def refuse(name: str) -> None:
        raise AssertionError(name)

    return json.loads(plan_json(design or builders.design()), parse_constant=refuse)


# ------------------------------------------------------------------ plan.json


def test_marks_are_those_of_the_layout_with_their_flow():
    design = builders.design()
    marks = told(design)["marks"]
    assert [m["name"] for m in marks] == ["A1", "A2", "A3", "A4"]
    assert [m["along_m"] for m in marks] == pytest.approx([0.9144, 1.524, 2.1336, 2.7432], abs=1e-12)
    for mark, solved in zip(marks, design.line.marks, strict=True):
        assert mark["flow_m3_s"] == pytest.approx(solved.flow, rel=1e-9)
        assert mark["pressure_gauge_Pa"] == pytest.approx(solved.pressure_gauge, rel=1e-9)


def test_bores_and_blocking_are_those_of_the_framers_page():
    work = job("courtyard").carpentry
    tree = told(job("courtyard"))["carpentry"]
    for written, one in zip(tree["bores"], work.bores, strict=True):
        assert written["alongs_m"] == pytest.approx(one.alongs, abs=1e-9)
        assert written["hole_m"] == pytest.approx(one.hole, abs=1e-9)
    blocks, asks = ([one.why for one in work.blocking if one.asks == asked] for asked in (False, True))
    assert [one["why"] for one in tree["blocking"]] == blocks and blocks
    assert [one["why"] for one in tree["asks"]] == asks


def test_cooling_is_the_band_of_the_draws():
    cooled = told()["cooling_all"]
    assert [c["afternoon"] for c in cooled] == ["hot", "typical", "humid"]
    hot = cooled[0]["drop_K"]
    assert tuple(hot["seats"].values()) == pytest.approx(builders.BANDS["seats"])
    assert tuple(hot["near_line"].values()) == pytest.approx(builders.BANDS["near_line"])
    assert told()["cooling"] == cooled[0]


def test_feel_is_the_band_of_each_column_and_null_outside_an_index_s_range():
    felt = told()["cooling"]["feel"]
    assert list(felt["set_K"]) == ["shade", "fan", "mist", "both"]
    # Of the draws 78, 79, 80, 81, 82 degF the 10, 50 and 90 % points are 78.4, 80 and 81.6.
    expected = [builders.fahrenheit(f) for f in (78.4, 80.0, 81.6)]
    assert tuple(felt["set_K"]["mist"].values()) == pytest.approx(expected)
    assert tuple(felt["heat_index_K"]["mist"].values()) == pytest.approx([k + 8 for k in expected])
    assert felt["utci_K"] is None
    assert felt["fan_supposed_m_s"] == 0.6
    (seat,) = felt["at_seats"]
    assert seat["set_K"] == felt["set_K"] and seat["name"] == builders.design().layouts[0].lid.seats[0].name
    bare = builders.design(cooling=(replace(builders.cooling(), feel=None),))
    assert told(bare)["cooling"]["feel"] is None


def test_a_move_is_in_the_direction_of_its_key():
    moves = {
        "house": ("back_m", 0.3),
        "back": ("back_m", 0.3),
        "edge": ("back_m", -0.3),
        "along+": ("along_m", 0.3),
        "along-": ("along_m", -0.3),
    }
    for toward, (key, by) in moves.items():
        found = Finding("x", "warn", "porch/L1", fix=(("move", "L1"), ("toward", toward), ("by", 0.3)))
        assert told(builders.design(findings=(found,)))["findings"][0]["fix"] == {"move": "L1", key: by}


def test_what_is_not_a_number_is_null_and_said():
    line = builders.line()
    odd = replace(line, far_gauge=float("nan"), duty=line.duty, flow_spread=float("inf"))
    data = told(builders.design(line=odd, findings=()))
    assert data["hydraulics"]["far_gauge_Pa"] is None
    assert data["hydraulics"]["flow_spread"] is None
    where = {f["where"] for f in data["findings"] if f["code"] == "no-value"}
    assert where == {"hydraulics/far_gauge_Pa", "hydraulics/flow_spread"}


def test_numpy_scalars_and_tuples_become_plain():
    found = Finding(
        "x", "note", "a", provided=np.float64(0.5), values=(("marks", ("A1", "A2")), ("n", np.int64(3)))
    )
    data = told(builders.design(findings=(found,)))["findings"][0]
    assert data["provided"] == 0.5
    assert data["values"] == {"marks": ["A1", "A2"], "n": 3}


def test_what_sums_leave_over_is_nothing():
    """-1.5e-26 on one processor and 0 on another are one text."""
    mark = replace(builders.design().line.marks[0], flow=-1.5e-26, pressure_gauge=-0.0)
    line = replace(builders.design().line, marks=(mark,))
    text = plan_json(builders.design(line=line))
    assert "e-26" not in text and "-0.0" not in text


def test_an_empty_job_is_still_json():
    bare = builders.design(afternoons=(), cooling=(), findings=(), parts=())
    assert told(bare)["cooling"] is None


def test_the_same_design_gives_the_same_bytes():
    assert plan_json(builders.design()) == plan_json(builders.design())


def test_every_key_is_documented_and_every_documented_key_is_there():
    def keys(value: object) -> set[str]:
        if isinstance(value, dict):
            return set(value) | {k for v in value.values() for k in keys(v)}
        return {k for v in value for k in keys(v)} if isinstance(value, list) else set()

    lit = np.full((1, 5, 1), 0.4)
    cooled = builders.cooling("hot")
    felt = replace(cooled.feel, lit=lit, sun_rise=20 * lit)
    data = told(
        builders.design(
            change=builders.plan_change(),
            sun=(builders.patio_sun(),),
            cooling=(replace(cooled, feel=felt),),
            carpentry=Carpentry(
                (BoredRun("p", "A", (0.4, 0.8), 0.4, 0.15, 0.02, 0.1, 0.2),),
                bores_back=(BoredBack("p", "A", "2A", 0.0, (0.4, 0.8), 0.02, 0.1, 0.2),),
            ),
        )
    )
    for finding in data["findings"]:
        finding["values"] = {}  # free names, told as such
    for part in data["materials"]["parts"]:
        part["detail"] = {}
    said = set(
        re.findall(r"`([a-z][A-Za-z0-9_]*)`", re.sub(r"```.*?```", "", DOCS.read_text("utf-8"), flags=re.S))
    )
    not_keys = {
        "null",
        "true",
        "false",
        "fail",
        "warn",
        "note",
        "danger",
        "caution",
        "along_m",
        "back_m",
        "_m",
        "_K",
        "_Pa",
        "_m3_s",
        "_m_s",
        "_rad",
        *("_h", "_J"),
        "_s",
        "floor_water",
        "scale_water",
        *("drilled", "fixed", "member", "joint", "sweep", "body", "close", "wide", "end", "line", "added"),
        *("run", "little", "fan", "off", "stopped", "no_water"),  # values of `mist`
        *("builder", "installer", "owner", "trades"),
        *("edge", "back", "start", "end"),  # sides of a run
        *(
            "light",
            "breeze",
            "calm",
            "worst_side",
            "best_side",
            "weather",
            *KNOWABLE,
        ),  # names of winds, drivers, things to find out
    }
    assert sorted(keys(data) - said) == []
    assert sorted(said - keys(data) - not_keys) == []


COUNTED = ("starts", "evenings_bearable", "evenings_gained", "cost", "cost_of_an_evening")
UNIT = r"_(h|J|K_h|m|K|Pa|m3|kg|W|V|A|m3_s|m_s|kg_s|kg_m3|Pa_K|1_K|rad|s)$|^hours_a_day$"


def test_units_are_in_the_keys():
    data = told(builders.design(change=builders.plan_change()))
    bare = {
        "schema",
        "minor_k",
        *("draws", "utci_answered", "residual"),
        "humidity_ratio",
        "hours_used",
        "iterations",
        "flow_spread",
        *("uniformity_cu", "uniformity_du", "used_share", "smallest_share", "langelier", "ryznar"),
        "shut_days",
        *("standing", "evenings", "marks", "clips", "days_a_season", "has", "needs"),
        *("least", "left_over", "part", "of"),
        *("quantity", "pack", "packs", "price", "total", "priced", "unpriced"),  # `currency` is beside them
        "share",
        "provided",
        "required",
        "by",
        *("still", "calm_share", *FATES, "set", "utci", "heat_index"),
        *("dry", "damp", "dewy", "wet", "landed", "landed_beyond"),
        *("hours_by_month", "hours_to_soonest_end", "hours_to_latest_end"),  # counts of hours
    }

    def check(value: object, key: str = "", under: str = "") -> None:
        if isinstance(value, dict):
            for name, inner in value.items():
                check(inner, name, key if re.search(UNIT, key) or key in COUNTED else under)
        elif isinstance(value, list):
            for inner in value:
                check(inner, key, under)
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            assert under or key in bare or re.search(UNIT, key), key

    check(data)


def test_findings_alone():
    alone = json.loads(findings_json(builders.design()))
    assert alone["findings"] == told()["findings"]


# ------------------------------------------------------------------ CSV


def test_marks_csv_says_each_distance_three_ways_and_they_agree():
    for row, mark in zip(rows(marks_csv(builders.design(), US)), builders.layout().marks, strict=True):
        feet, rest = row["from datum (ft-in)"].split("-", 1)
        whole = int(feet.rstrip("'")) * 12 + _inches(rest.rstrip('"'))
        assert whole == pytest.approx(mark.along / IN, abs=1 / 16)  # a tape reads 1/8 in
        assert _inches(row["from datum (in)"]) == whole
        assert int(row["from datum (mm)"]) == pytest.approx(mark.along * 1000, abs=0.5)
        assert int(row["after plaster (mm)"]) == pytest.approx(mark.along_finished * 1000, abs=0.5)


def _inches(text: str) -> float:
    total = 0.0
    for piece in text.split():
        over, _, under = piece.partition("/")
        total += int(over) / int(under or 1)
    return total


def test_marks_csv_in_hand_read_values():
    # Marks 24 in apart from 36 in; joists at 15-1/4 + 16 n in; plaster 7/8 in on the datum wall.
    first, second, *_ = rows(marks_csv(builders.design(), US))
    assert first["mark"] == "A1"
    assert first["from datum (ft-in)"] == "3'-0\""
    assert first["after plaster (ft-in)"] == "2'-11 1/8\""
    assert first["from last (ft-in)"] == ""
    assert first["next to it"] == "4-3/4 in past joist center"
    assert second["from last (ft-in)"] == "2'-0\""
    assert second["next to it"] == "3-1/4 in before joist center"
    assert second["stub (in)"] == "1 3/8"


@pytest.mark.parametrize(
    "start",
    ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "\n=1", "＝1", '=HYPERLINK("http://x","y")'],
)
def test_no_cell_starts_a_formula(start):
    # The signs are those of the OWASP page "CSV Injection", and their full-width forms.
    layout = builders.layout()
    marks = tuple(replace(m, near=start, name=start) for m in layout.marks)
    lid = replace(layout.lid)
    text = marks_csv(builders.design(layouts=(replace(layout, marks=marks, lid=lid),)), US)
    text += materials_csv(
        builders.design(parts=(Part("drain-valve", 1, "", (("at", start), ("pressure", 8.6e6))),)), US
    )
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert any(start.strip() in cell for cell in cells)
    assert [
        cell
        for cell in cells
        if cell.lstrip()[:1] in ("=", "+", "-", "@", "＝") or re.search("[\t\r\n]", cell)
    ] == []


def test_materials_csv():
    design = builders.design(
        parts=(Part("nozzle", 4, "", (("nozzle", "0.012 in orifice"),)), Part("plug", 4, ""))
    )
    got = rows(materials_csv(design, US))
    assert [(r["part"], r["quantity"], r["detail"]) for r in got] == [
        ("Nozzle", "4", "0.012 in orifice"),
        ("Plug for a stub", "4", ""),
    ]
