"""A fleet: what it says of a lot is what the whole job says, each design is worked out once, and whatever is
wrong with a lot is told in its row while the rest goes on."""

from __future__ import annotations

import csv
import io
import json
import math
import os
from dataclasses import replace
from pathlib import Path

import pytest

from mistcalc import design, files, words
from mistcalc.design.lot import lot_answer
from mistcalc.errors import ConvergenceError, DataError, InputError, InputErrors, MistcalcError, RangeError
from mistcalc.fleet import FleetWish, run_fleet
from mistcalc.fleet.answer_json import answer_from_text, answer_text
from mistcalc.fleet.content_keys import content_key, family_key
from mistcalc.fleet.overview import fleet_report
from mistcalc.fleet.progress import Progress
from mistcalc.fleet.tables import wrong_text
from mistcalc.fleet.totals import FleetRow
from mistcalc.fleet.working import Fleet
from mistcalc.model.lot import Lot
from mistcalc.model.mirror_image import mirrored
from mistcalc.report.common.locale_text import Locale
from tests.fleet.subdivision import small_plan, table
from tests.terminal import run
from tests.test_design import demo

DEMOS = ("courtyard", "bayou", "terraza")
OF_DAYS = {"hold-frost", "scratch-on-day-off", "close-in-order", "coat-early"}


@pytest.fixture(scope="module")
def answers():
    return {name: (demo(name), lot_answer(*demo(name))) for name in DEMOS}


# ------------------------------------------------------------------ one design


@pytest.mark.thorough
@pytest.mark.parametrize("name", DEMOS)
def test_a_row_says_what_the_whole_job_says(name, answers):
    (project, weather), answer = answers[name]
    job = design.run(project, weather)
    wanted = [f for f in job.findings if f.level in ("fail", "warn", "danger", "caution")]
    assert set(answer.findings) == {f for f in wanted if f.code not in OF_DAYS}
    assert answer.marks == sum(len(layout.marks) for layout in job.layouts)
    assert (answer.flow, answer.far_gauge, answer.verdict) == (
        job.line.total_flow, job.line.far_gauge, job.line_verdict.word,
    )  # fmt: skip
    assert answer.parts == job.first_cost.parts
    for told, cooled in zip(answer.afternoons, job.cooling, strict=True):
        assert (told.patio, told.afternoon) == (cooled.patio, cooled.afternoon)
        assert told.drop == cooled.band("seats") and told.felt == cooled.feel.band("mist")


@pytest.mark.thorough
def test_a_patio_that_looks_its_own_way_is_answered_so(answers):
    (project, weather), answer = answers["courtyard"]
    own = replace(project, patios=tuple(replace(patio, turned=1.0) for patio in project.patios))
    house = replace(project, place=replace(project.place, bearing=project.place.bearing + 1.0))
    turned = lot_answer(own, weather).afternoons
    assert turned == lot_answer(house, weather).afternoons != answer.afternoons


@pytest.mark.parametrize("name", DEMOS)
def test_an_answer_is_read_back_to_the_digit(name, answers):
    _, answer = answers[name]
    assert answer_from_text("k", answer_text("k", answer)) == answer


def test_a_text_that_is_no_answer_is_refused(answers):
    text = answer_text("k", answers["terraza"][1])
    told = json.loads(text)
    broken = [
        text[:-40],
        "",
        "[]",
        "{}",
        json.dumps({**told, "schema": 9}),
        json.dumps({**told, "answer": 1}),
    ]
    del told["answer"]["marks"]
    for one in [*broken, json.dumps(told)]:
        with pytest.raises(ValueError):
            answer_from_text("k", one)
    with pytest.raises(ValueError):
        answer_from_text("another", text)


def test_errors_arrive_whole_from_another_process():
    import pickle

    mistake = InputError("key-unknown", "patio.x", 3, key="x")
    for error in (
        mistake, InputErrors("a.toml", (mistake,)), DataError("disk", path="p"),
        RangeError("t", 1.0, 0.0, 0.5, "K"), ConvergenceError("A1", 1.0, "Pa", 9),
    ):  # fmt: skip
        again = pickle.loads(pickle.dumps(error))
        assert type(again) is type(error) and again.__dict__.keys() == error.__dict__.keys()
        assert str(again) == str(error) and again.code == error.code


# ------------------------------------------------------------------ keys


def test_names_days_and_paper_are_no_part_of_a_design_and_all_else_is():
    project, _ = demo("courtyard")
    key = content_key(project, "c", "p")
    for same in (
        replace(project, name="Lot 4"), replace(project, about="x"), replace(project, language="es"),
        replace(project, mirrored_from="x"),
        replace(project, dates=replace(project.dates, scratch_coat=None)),
        replace(project, paper=replace(project.paper, sheet="A4")),
        replace(project, place=replace(project.place, climate="copy-of-it")),
    ):  # fmt: skip
        assert content_key(same, "c", "p") == key
    turned = replace(project, place=replace(project.place, bearing=1.0))
    patio = project.patios[0]
    deeper = replace(project, patios=(replace(patio, depth=patio.depth + 0.01), *project.patios[1:]))
    others = [content_key(turned, "c", "p"), content_key(deeper, "c", "p")]
    others += [content_key(project, "d", "p"), content_key(project, "c", "q")]
    assert len({key, *others}) == 5
    assert family_key(turned, "c") == family_key(project, "c") != family_key(deeper, "c")


# ------------------------------------------------------------------ a table of twelve


HEADS = ("lot", "plan", "facing", "phase", "patio.marks.pitch", "# remark")
ROWS = [
    *((lot, "small.toml", "W", "1", "", "on the hill") for lot in range(1, 6)),
    *((lot, "small.toml", "90 deg", "2", "", "") for lot in range(6, 9)),
    *((lot, "small.toml", 270, "2", "0.5 m", "") for lot in range(9, 13)),
]


def wish(place: Path, **more) -> FleetWish:
    return FleetWish(place / "lots.csv", place / "out", **{"processes": 1, "units": "metric", **more})


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.fixture(scope="module")
def twelve(tmp_path_factory) -> Path:
    place = tmp_path_factory.mktemp("twelve")
    small_plan(place / "small.toml")
    table(place / "lots.csv", HEADS, ROWS)
    done = run_fleet(wish(place))
    assert done.answered and done.sound and "3 designs worked out now" in done.text
    return place


@pytest.mark.thorough
def test_twelve_lots_are_three_designs_and_a_second_run_works_out_none(twelve):
    rows = read(twelve / "out" / "lots.csv")
    assert [row["lot"] for row in rows] == [str(row[0]) for row in ROWS]
    assert len({row["design"] for row in rows}) == 3
    stored = sorted((twelve / "out" / "designs").rglob("*.json"))
    before = {path: path.stat().st_mtime_ns for path in stored}
    tables = {name: (twelve / "out" / name).read_bytes() for name in ("lots.csv", "orders.csv", "index.html")}
    again = run_fleet(wish(twelve))
    assert len(stored) == 3 and "0 designs worked out now, 3 there already" in again.text
    assert {path: path.stat().st_mtime_ns for path in stored} == before
    assert {name: (twelve / "out" / name).read_bytes() for name in tables} == tables


def test_two_processes_write_what_one_writes(twelve, tmp_path):
    for name in ("small.toml", "lots.csv"):
        (tmp_path / name).write_bytes((twelve / name).read_bytes())
    run_fleet(wish(tmp_path, processes=2))
    names = {path.relative_to(twelve) for path in (twelve / "out").rglob("*") if path.is_file()}
    assert {path.relative_to(tmp_path) for path in (tmp_path / "out").rglob("*") if path.is_file()} == names
    assert all((twelve / name).read_bytes() == (tmp_path / name).read_bytes() for name in names)


@pytest.mark.thorough
def test_facing_is_where_the_open_edge_looks_and_its_cost_is_the_difference_of_two_rows(twelve):
    rows = {row["lot"]: row for row in read(twelve / "out" / "lots.csv")}
    assert (rows["1"]["facing (deg)"], rows["6"]["facing (deg)"]) == ("270", "90")
    middle = {lot: float(rows[lot]["air cooler, middle (degC)"]) for lot in ("1", "6")}
    less = {lot: float(rows[lot]["less than best facing (degC)"]) for lot in ("1", "6")}
    best = max(middle, key=middle.__getitem__)
    assert less[best] == 0.0 and max(less.values()) > 0.0
    assert max(less.values()) == pytest.approx(abs(middle["1"] - middle["6"]), abs=0.11)
    assert rows["9"]["less than best facing (degC)"] == ""  # no other way round of it
    project = files.read_project(twelve / "small.toml")
    assert project.place.bearing == 0.0  # a run that is walked north with the house on the left looks east
    assert lot_answer(project, None).afternoons[0].drop[1] == pytest.approx(middle["6"], abs=0.051)


@pytest.mark.thorough
def test_a_mirrored_lot_is_the_mirrored_plan_looking_the_same_way(tmp_path):
    plan = small_plan(tmp_path / "small.toml")
    table(tmp_path / "lots.csv", ("lot", "plan", "mirrored", "facing"), [
        (1, "small.toml", "no", "S"), (2, "small.toml", "yes", "S"), (3, "small.toml", "yes", ""),
    ])  # fmt: skip
    run_fleet(wish(tmp_path))
    rows = {row["lot"]: row for row in read(tmp_path / "out" / "lots.csv")}
    assert [rows[lot]["facing (deg)"] for lot in "123"] == ["180", "180", "90"]
    project = files.read_project(plan)
    turned = replace(project, place=replace(project.place, bearing=math.pi / 2))
    for lot, wanted in (("1", turned), ("2", mirrored(turned)), ("3", mirrored(project))):
        middle = lot_answer(wanted, None).afternoons[0].drop[1]
        assert float(rows[lot]["air cooler, middle (degC)"]) == pytest.approx(middle, abs=0.051)
    assert rows["1"]["design"] != rows["2"]["design"] != rows["3"]["design"]


def test_orders_add_up_to_the_lots(twelve):
    orders = read(twelve / "out" / "orders.csv")
    lots = read(twelve / "out" / "lots.csv")
    nozzles = [o for o in orders if o["part"] == words.label("part.nozzle")]
    assert sum(float(o["quantity"]) for o in nozzles) == sum(int(row["marks"]) for row in lots)
    assert {(o["phase"], o["plan"]) for o in orders} == {("1", "small.toml"), ("2", "small.toml")}
    assert all(int(o["lots"]) == (5 if o["phase"] == "1" else 7) for o in nozzles)


def test_packs_are_opened_for_all_lots_of_a_plan_together(tmp_path):
    plan = small_plan(tmp_path / "small.toml").read_text("utf-8")
    price = '[[prices.part]]\nname = "nozzle"\nprice = "10.00 each"\npack = 10\n'
    (tmp_path / "small.toml").write_text(plan + price, "utf-8")
    table(tmp_path / "lots.csv", ("lot", "plan"), [(n, "small.toml") for n in range(12)])
    run_fleet(wish(tmp_path))
    orders = {row["part"]: row for row in read(tmp_path / "out" / "orders.csv")}
    nozzles, spares = (orders[words.label(f"part.{name}")] for name in ("nozzle", "spare-nozzle"))
    assert (nozzles["quantity"], spares["quantity"]) == ("24", "12")  # two and one spare a lot
    assert (nozzles["packs to buy"], nozzles["total"]) == ("3", "30.00")
    assert (spares["packs to buy"], spares["total"]) == ("1", "10.00")  # six of its ten are left of the third


# ------------------------------------------------------------------ what is wrong with a lot or a table


BAD = {
    "twice": ("small.toml", "", "", "", ""),
    "no-plan": ("nowhere.toml", "", "", "", ""),
    "no-climate": ("small.toml", "", "atlantis", "", ""),
    "no-path": ("small.toml", "", "", "1 m", ""),
    "no-run": ("small.toml", "", "", "", "2 m"),
    "hand": ("small.toml", "perhaps", "", "", ""),
    "empty": ("", "", "", "", ""),
}


def test_each_bad_lot_is_a_row_with_its_mistake_and_the_good_one_is_worked_out(tmp_path):
    small_plan(tmp_path / "small.toml")
    rows = [(name, *cells) for name, cells in BAD.items()]
    rows += [("twice", "small.toml", "", "", "", ""), ("good", "small.toml", "no", "", "", "")]
    heads = ("lot", "plan", "mirrored", "climate", "patio.ceilnig", "patio[yard].run[Z].length")
    table(tmp_path / "lots.csv", heads, rows)
    done = run_fleet(wish(tmp_path, language="en"))
    assert not done.answered and "1 fine" not in done.text
    told = {row["lot"]: row for row in read(tmp_path / "out" / "lots.csv")}
    assert told["good"]["marks"] != "" and told["good"]["what is wrong"] != told["no-path"]["what is wrong"]
    for name, said in {
        "twice": "stands 2 times", "no-plan": "nowhere.toml: There is no such file", "no-climate": "atlantis",
        "no-path": "There is no key", "no-run": "leads nowhere", "hand": '"perhaps"', "empty": "no plan",
    }.items():  # fmt: skip
        assert told[name]["stands"] == "no answer" and said in told[name]["what is wrong"], told[name]
    page = (tmp_path / "out" / "index.html").read_text("utf-8")
    assert "2 lots" in done.text and "leads nowhere" in page


def test_what_two_patios_have_alike_is_told_once(answers):
    found = next(f for _, answer in answers.values() for f in answer.of_level("warn"))
    both = replace(answers["courtyard"][1], findings=(found, replace(found, where="the other")))
    locale = Locale("us", "en")
    fleet = Fleet((FleetRow(Lot("7", "a.toml", 2), "key"),), {"key": both}.get, None)
    assert [group.lots for group in fleet_report(fleet, locale).found] == [("7",)]
    assert wrong_text(both, locale) == locale.say(found)


def test_the_exit_code_tells_fine_from_fails_from_no_answer(tmp_path):
    heads, fine, failing = (
        ("lot", "plan", "line.nozzle.opens_at"),
        (1, "small.toml", ""),
        (2, "small.toml", "3.99 bar"),
    )
    small_plan(tmp_path / "small.toml")
    command = ("fleet", "lots.csv", "--out", "out", "--processes", "1")
    table(tmp_path / "lots.csv", heads, [fine])
    assert run(*command, cwd=tmp_path).returncode == 0
    table(tmp_path / "lots.csv", heads, [fine, failing])
    failed = run(*command, cwd=tmp_path)
    assert failed.returncode == 1 and "1 to fix" in failed.stdout
    table(tmp_path / "lots.csv", heads, [fine, failing, (3, "none.toml", "")])
    lost = run(*command, cwd=tmp_path)
    assert lost.returncode == 2 and "none.toml" in lost.stdout and lost.stderr == ""


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("", "no lot"),
        ("lot,plan\n", "no lot"),
        ("lot;size\n1;2\n", "no column plan"),
        ("lot,plan,Plan\n1,a,b\n", "twice"),
        ("lot,plan\n1,a\x00b\n", "CSV"),
        ('lot,plan\n1,"a\n', "damaged"),
    ],
)
def test_what_is_no_table_is_refused_in_a_line(content, words, tmp_path):
    (tmp_path / "lots.csv").write_text(content, "utf-8")
    done = run("fleet", "lots.csv", "--out", "out", cwd=tmp_path)
    assert done.returncode == 2 and words in done.stderr and done.stderr.count("\n") == 1


def test_tables_of_spreadsheets_are_read(tmp_path):
    (tmp_path / "a.csv").write_bytes("\ufefflot;plan;mirrored\r\n1;a.toml;sí\r\n\r\n2;ñ.toml;\r\n".encode())
    (tmp_path / "b.csv").write_bytes("lot,plan\n1,ñ.toml\n".encode("cp1252"))
    (tmp_path / "c.csv").write_text('lot,plan,patio.name,n\n7,a.toml,"say ""x""",3,4\n', "utf-8")
    (first, _), (second, _) = files.read_lots(tmp_path / "a.csv")
    assert (first.mirrored, second.plan, second.line) == (True, "ñ.toml", 4)
    assert files.read_lots(tmp_path / "b.csv")[0][0].plan == "ñ.toml"
    ((lot, wrong),) = files.read_lots(tmp_path / "c.csv")
    assert wrong is not None and wrong.code == "lot-cells" and lot.name == "7"


def test_cells_say_what_the_project_file_says_with_quotes_left_out(tmp_path):
    heads = ("lot", "plan", "a", "b", "c", "d", "e", "f")
    table(tmp_path / "l.csv", heads, [(1, "p", "30 in", "3", "true", '"3"', "[1, 2]", "1\nx = 2")])
    ((lot, _),) = files.read_lots(tmp_path / "l.csv")
    assert dict(lot.changes) == {"a": "30 in", "b": 3, "c": True, "d": "3", "e": [1, 2], "f": "1\nx = 2"}


def test_parquet_is_read_as_csv_is(tmp_path):
    pa, pq = pytest.importorskip("pyarrow"), pytest.importorskip("pyarrow.parquet")
    rows = {"lot": [1, 2], "plan": ["a.toml", "b.toml"], "facing": [90.0, None], "mirrored": [True, False]}
    pq.write_table(pa.table(rows), tmp_path / "lots.parquet")
    (first, _), (second, _) = files.read_lots(tmp_path / "lots.parquet")
    assert (first.name, first.facing, first.mirrored) == ("1", pytest.approx(math.pi / 2), True)
    assert (second.plan, second.facing, second.mirrored) == ("b.toml", None, False)
    (tmp_path / "broken.parquet").write_bytes(b"PAR1 nothing else")
    with pytest.raises(InputErrors):
        files.read_lots(tmp_path / "broken.parquet")


def test_without_pyarrow_it_is_said_what_to_install(tmp_path, monkeypatch):
    import sys

    monkeypatch.setitem(sys.modules, "pyarrow", None)
    (tmp_path / "lots.parquet").write_bytes(b"PAR1....")
    done = run("fleet", "lots.parquet", "--out", "out", cwd=tmp_path)
    assert done.returncode == 2 and 'pip install ".[parquet]"' in done.stderr


# ------------------------------------------------------------------ the folder


def test_a_folder_of_somebody_else_is_left_alone(twelve, tmp_path):
    (tmp_path / "lots.csv").write_text("mine")
    refused = run("fleet", str(twelve / "lots.csv"), "--out", str(tmp_path), cwd=tmp_path)
    assert refused.returncode == 2 and "lots.csv" in refused.stderr
    assert (tmp_path / "lots.csv").read_text() == "mine" and os.listdir(tmp_path) == ["lots.csv"]
    inside = run("fleet", str(twelve / "lots.csv"), "--out", str(twelve), cwd=tmp_path)
    assert inside.returncode == 2 and "another folder" in inside.stderr


def test_answers_of_another_version_are_counted_and_left_damaged_ones_are_worked_out_again(twelve, tmp_path):
    place = tmp_path / "t"
    place.mkdir()
    for name in ("small.toml", "lots.csv"):
        (place / name).write_bytes((twelve / name).read_bytes())
    run_fleet(wish(place))
    (ours,) = (place / "out" / "designs").iterdir()
    other = ours.with_name("0123456789ab")
    ours.rename(other)
    done = run_fleet(wish(place))
    assert "3 designs worked out now" in done.text and "3 answers of another version" in done.text
    first = sorted(ours.rglob("*.json"))[0]
    whole = first.read_text("utf-8")
    first.write_text(whole[: len(whole) // 2], "utf-8")
    again = run_fleet(wish(place))
    assert "1 design worked out now, 2 there already" in again.text and "damaged" in again.text
    assert first.read_text("utf-8") == whole
    (place / "out" / "fleet.json").write_text('{"schema": 99, "kind": "fleet"}')
    with pytest.raises(DataError, match="fleet-newer"):
        run_fleet(wish(place))


def test_a_disk_that_takes_no_more_is_told_counted_and_costs_no_answer(twelve, tmp_path, monkeypatch):
    for name in ("small.toml", "lots.csv"):
        (tmp_path / name).write_bytes((twelve / name).read_bytes())

    def full(path: Path, content: str | bytes) -> None:
        if "designs" in Path(path).parts:
            raise OSError(28, "No space left on device")
        real(path, content)

    real = files.write_file
    monkeypatch.setattr(files, "write_file", full)
    done = run_fleet(wish(tmp_path))
    told = " ".join(done.text.split())  # wherever its lines break
    assert not done.answered and "No space left" in told and "3 answers are not kept" in told
    assert (tmp_path / "out" / "lots.csv").read_bytes() == (twelve / "out" / "lots.csv").read_bytes()


def test_a_design_without_an_answer_is_not_told_as_there_already(twelve, tmp_path, monkeypatch):
    for name in ("small.toml", "lots.csv"):
        (tmp_path / name).write_bytes((twelve / name).read_bytes())
    monkeypatch.setattr("mistcalc.fleet.working.solve", lambda order: DataError("fleet-worker-version"))
    done = run_fleet(wish(tmp_path, language="en"))
    assert not done.answered and "0 designs worked out now, 0 there already" in done.text


# ------------------------------------------------------------------ faults, words


def faulty(order) -> str | MistcalcError:
    raise ZeroDivisionError


def deadly(order) -> str | MistcalcError:
    if order.key == "kills":
        os._exit(9)
    return order.key


class Asked:
    """An order of nothing but its key."""

    def __init__(self, key: str) -> None:
        self.key = key


def test_a_fault_is_tried_three_times_and_then_told():
    from mistcalc.fleet.runners import on_cores, serial

    for runner in (serial, on_cores(1)):
        ((_, result),) = runner(faulty, [Asked("a")])
        assert isinstance(result, DataError) and (result.code, result.values["count"]) == ("fleet-fault", 3)


@pytest.mark.thorough
def test_a_design_that_kills_its_process_takes_no_other_with_it():
    from mistcalc.fleet.runners import on_cores

    keys = ["a", "b", "kills", "c", "d", "e"]
    done = {order.key: result for order, result in on_cores(2)(deadly, map(Asked, keys))}
    assert done.keys() == set(keys)
    assert all(done[key] == key for key in keys if key != "kills")
    assert isinstance(done["kills"], DataError) and done["kills"].code == "fleet-process-lost"


def test_what_a_person_wrote_is_text_on_the_page_and_in_spreadsheets(tmp_path):
    small_plan(tmp_path / "small.toml")
    evil = '<script>alert("x")</script>'
    table(tmp_path / "lots.csv", ("lot", "plan", "phase"), [(evil, "small.toml", "=1+1"), ("2", evil, "")])
    run_fleet(wish(tmp_path))
    page = (tmp_path / "out" / "index.html").read_text("utf-8")
    assert "<script" not in page and "&lt;script&gt;" in page and "http" not in page.replace("http-equiv", "")
    assert read(tmp_path / "out" / "lots.csv")[0]["phase"] == "'=1+1"


def test_progress_tells_what_is_left_and_clears_its_line():
    now, stream = [0.0], io.StringIO()
    shown = Progress(stream, "en", lambda: now[0])
    shown("designs", 0, 100)
    now[0] = 30.0
    shown("designs", 25, 100)
    assert (
        stream.getvalue().endswith("25 of 100 designs, about 90 s left") or "2 min left" in stream.getvalue()
    )
    shown("designs", 100, 100)
    assert stream.getvalue().endswith("\r") and not stream.getvalue().rsplit("\r", 2)[1].strip()


# ------------------------------------------------------------------ sheets


@pytest.mark.thorough
def test_sheets_are_made_once_a_design_and_a_cover_a_lot_bears_their_code(tmp_path):
    from pypdf import PdfReader

    small_plan(tmp_path / "small.toml", name="Plan Small")
    rows = [("1", "small.toml", ""), ("2/A", "small.toml", ""), ("3", "small.toml", "3.99 bar")]
    table(tmp_path / "lots.csv", ("lot", "plan", "line.nozzle.opens_at"), rows)
    run_fleet(wish(tmp_path, sheets=True))
    packs = sorted(path for path in (tmp_path / "out" / "packs").iterdir() if path.is_dir())
    codes = {pack.name: json.loads((pack / "plan.json").read_text("utf-8"))["code"] for pack in packs}
    assert len(packs) == 2 == len(set(codes.values()))
    lots = {row["lot"]: row["sheets"] for row in read(tmp_path / "out" / "lots.csv")}
    assert lots["1"] == lots["2/A"] != lots["3"]
    covers = sorted((tmp_path / "out" / "covers").iterdir())
    assert [cover.name for cover in covers][:1] == ["1.pdf"] and len(covers) == 3
    for lot, cover in zip(("1", "2/A", "3"), covers, strict=True):
        text = " ".join(page.extract_text() for page in PdfReader(cover).pages)
        assert f"Lot {lot}" in text and codes[lots[lot].removeprefix("packs/")] in text
        assert ("DO NOT BUILD" in text) == (lot == "3")
    made = {path: path.stat().st_mtime_ns for pack in packs for path in pack.iterdir()}
    run_fleet(wish(tmp_path, sheets=True))
    assert {path: path.stat().st_mtime_ns for pack in packs for path in pack.iterdir()} == made
