"""The command line as a person at a terminal meets it."""

from __future__ import annotations

import importlib
import io
import json
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.short_year import one_month
from tests.terminal import ENVIRONMENT, alone, run

pytestmark = pytest.mark.thorough


@pytest.fixture(scope="module")
def demo(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    done = run("new", "courtyard", "--example", "courtyard", cwd=folder)
    assert done.returncode == 0, done.stderr
    return folder / "courtyard.toml"


@pytest.fixture(scope="module")
def small(tmp_path_factory) -> Path:
    """A demo whose afternoon is typed in: quick to plan in a process of its own."""
    folder = tmp_path_factory.mktemp("small")
    assert run("new", "terraza", "--example", "terraza", cwd=folder).returncode == 0
    return folder / "terraza.toml"


@pytest.fixture(scope="module")
def planned(demo) -> tuple[subprocess.CompletedProcess[str], Path]:
    (demo.parent / "july.toml").write_text(one_month(demo.read_text("utf-8")), "utf-8")
    return alone("plan", "july.toml", "--out", "sheets", cwd=demo.parent), demo.parent / "sheets"


# ------------------------------------------------------------------ help


def test_help_says_what_there_is_and_loads_nothing_heavy(tmp_path):
    heavy = (
        "numpy",
        "scipy",
        "pandas",
        "streamlit",
        "altair",
        "reportlab",
        "ezdxf",
        "psychrolib",
        "fluids",
        "tomlkit",
    )
    code = (
        "import sys\nfrom mistcalc.cli import main\n"
        "try:\n    main(['--help'])\n"
        f"finally:\n    print([m for m in {heavy} if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, env=ENVIRONMENT
    )
    assert done.returncode == 0
    assert done.stdout.strip().endswith("[]")
    for command in ("new", "check", "plan", "season", "options", "fleet", "page"):
        assert command in done.stdout


@pytest.mark.parametrize("command", ["new", "check", "plan", "season", "options", "fleet", "page"])
def test_every_command_tells_its_language_as_the_language(command, tmp_path):
    """Fleet and page told it as what --site takes."""
    told = " ".join(run(command, "--help", cwd=tmp_path).stdout.split())
    assert "--language {en,es} language of the words and sheets" in told


# ------------------------------------------------------------------ new


@pytest.mark.parametrize("example", ["courtyard", "bayou", "terraza"])
def test_an_example_is_written_says_it_is_invented_and_plans(example, tmp_path):
    assert run("new", "house.toml", "--example", example, cwd=tmp_path).returncode == 0
    text = (tmp_path / "house.toml").read_text("utf-8")
    assert "invented" in text.lower()
    (tmp_path / "house.toml").write_text(one_month(text), "utf-8")
    done = run("plan", "house.toml", "--json", cwd=tmp_path)
    assert done.returncode in (0, 1), done.stderr
    assert json.loads(done.stdout)["marks"]


def test_new_never_writes_over_a_file(tmp_path):
    (tmp_path / "house.toml").write_text("mine")
    done = run("new", "house", "--example", "courtyard", cwd=tmp_path)
    assert done.returncode == 2
    assert "house.toml" in done.stderr
    assert (tmp_path / "house.toml").read_text() == "mine"


def test_new_from_lengths_writes_the_file_and_prints_the_summary(tmp_path):
    done = run(
        "new", "my-house", "--run", "38 ft", "--run", "21 ft", "--depth", "13 ft", "--corner", "inside",
        "--near", "el-paso", cwd=tmp_path,
    )  # fmt: skip
    assert done.returncode in (0, 1), done.stderr
    assert (tmp_path / "my-house.toml").is_file()
    assert "BUILDER" in done.stdout and "OWNER" in done.stdout
    assert run("plan", "my-house.toml", cwd=tmp_path).returncode == done.returncode


def test_new_without_a_climate_says_what_it_guessed(tmp_path):
    done = run("new", "porch", "--run", "20 ft", "--depth", "9 ft", cwd=tmp_path)
    assert done.returncode in (0, 1), done.stderr
    assert "hot afternoon and the elevation in it are guesses" in done.stdout
    assert (tmp_path / "porch.toml").read_text("utf-8").count("A GUESS") == 2


def test_new_with_a_bare_number_says_what_to_write(tmp_path):
    done = run("new", "x", "--run", "38", "--depth", "13 ft", "--near", "el-paso", cwd=tmp_path)
    assert done.returncode == 2
    assert "38 ft" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "arguments",
    [
        ("x",),
        ("x", "--run", "38 ft"),
        ("x", "--example", "bayou", "--run", "38 ft"),
        ("", "--example", "bayou"),
        ("..", "--example", "bayou"),
    ],
)
def test_new_with_nothing_to_lay_or_no_name(arguments, tmp_path):
    done = run("new", *arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert "fault in mistcalc" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_new_where_there_is_no_folder_names_the_file_asked_for(tmp_path):
    done = run("new", "none/house", "--example", "bayou", cwd=tmp_path)
    assert done.returncode == 2
    assert done.stderr.startswith("none/house")


# ------------------------------------------------------------------ plan


def test_plan_writes_the_set_and_prints_one_screen(planned):
    done, folder = planned
    assert done.returncode in (0, 1), done.stderr
    names = {path.name for path in folder.iterdir()}
    assert {"marks.csv", "materials.csv", "plan.json", "line.inp", "summary.txt"} <= names
    assert {".pdf", ".svg", ".dxf"} <= {path.suffix for path in folder.iterdir()}
    assert all(path.stat().st_size for path in folder.iterdir())
    assert len(done.stdout.splitlines()) <= 40
    assert not list(folder.parent.glob(".sheets*"))


def test_exit_code_is_that_of_the_findings(planned):
    done, folder = planned
    levels = {f["level"] for f in json.loads((folder / "plan.json").read_text("utf-8"))["findings"]}
    assert done.returncode == (1 if "fail" in levels else 0)


def test_the_courtyard_has_the_marks_of_its_expected_row(planned):
    # The layout rules' first expected row: A 3'-0" by 2 ft to 37'-0", B 2'-4" to 20'-4"; 28 marks.
    data = json.loads((planned[1] / "plan.json").read_text("utf-8"))
    inches = {m["name"]: m["along_m"] / 0.0254 for m in data["marks"]}
    assert len(inches) == 28
    a = sorted(v for name, v in inches.items() if name.startswith("A"))
    b = sorted(v for name, v in inches.items() if name.startswith("B"))
    assert a == pytest.approx([36 + 24 * n for n in range(18)], abs=1e-6)
    assert b == pytest.approx([28 + 24 * n for n in range(10)], abs=1e-6)


def test_plan_reads_standard_input(demo, tmp_path):
    done = run("plan", "-", "--json", cwd=tmp_path, stdin=demo.read_bytes())
    assert done.returncode in (0, 1), done.stderr
    assert json.loads(done.stdout)["project"] == "Tinaja Lane"


def test_metric_is_one_word_away(demo, tmp_path):
    done = run("plan", str(demo), "--units", "metric", cwd=tmp_path)
    assert "°C" in done.stdout and "°F" not in done.stdout and "psi" not in done.stdout


def test_check_lists_findings_and_cautions(demo, tmp_path):
    done = run("check", str(demo), cwd=tmp_path)
    assert done.returncode in (0, 1)
    assert "no mistakes" in done.stdout
    assert "L2" in done.stdout  # the light put too near on purpose
    assert "\nDANGER\n" in done.stdout and "\nCAUTION\n" in done.stdout


SITE = """{"when": "2027-03-01T08:00", "field": "test start", "value": "4.5 bar"}
{"when": "2027-03-01T08:00", "field": "test tube", "value": "20 degC"}
{"when": "2027-03-01T08:15", "field": "test gauge", "value": "1 bar"}
{"when": "2027-03-01T08:15", "field": "test tube", "value": "20 degC"}
"""


def test_check_takes_in_what_was_read_on_site(small, tmp_path):
    project = tmp_path / "job.toml"
    project.write_bytes(small.read_bytes())
    phone, log = tmp_path / "phone.jsonl", tmp_path / "job.site.jsonl"
    phone.write_text(SITE, "utf-8")
    first = run("check", str(project), "--site", str(phone), cwd=tmp_path)
    assert "Test 1, whole line: cannot tell" in first.stdout
    assert len(log.read_text("utf-8").splitlines()) == 4
    again = run("check", str(project), "--site", str(phone), str(log), cwd=tmp_path)
    assert again.stdout == first.stdout
    assert len(log.read_text("utf-8").splitlines()) == 4
    phone.write_text(SITE + "no entry\n", "utf-8")
    broken = run("check", str(project), "--site", str(phone), cwd=tmp_path)
    assert broken.returncode == 2 and "phone.jsonl line 5" in broken.stderr and not broken.stdout
    assert len(log.read_text("utf-8").splitlines()) == 4
    reading = json.loads(SITE.splitlines()[-1])
    strike = {"field": "strike", "value": f"{reading['when']} {reading['field']} {reading['value']}"}
    phone.write_text(json.dumps({"when": "2027-03-01T09:00", **strike}), "utf-8")
    struck = run("check", str(project), "--site", str(phone), cwd=tmp_path)
    assert struck.stdout != first.stdout and "Struck out of the site log" in struck.stdout
    none = run("check", str(project), "--site", str(tmp_path / "none"), cwd=tmp_path)
    assert none.returncode == 2 and "no such site log" in none.stderr


CALL_BACK = """\
{"when": "2027-05-01T10:00", "field": "commissioning gauge", "value": "1000 psi"}
{"when": "2027-05-01T10:00", "field": "commissioning meter", "value": "0.81 gpm"}
{"when": "2027-07-01T17:00", "field": "call-back gauge", "value": "1000 psi"}
{"when": "2027-07-01T17:05", "field": "call-back meter", "value": "0.69 gpm"}
{"when": "2027-07-01T17:10", "field": "call-back inlet", "value": "56 psi"}
{"when": "2027-07-01T17:15", "field": "call-back weak", "value": "A3, A9, B2, B5"}
{"when": "2027-07-01T17:20", "field": "call-back port", "value": "99000 psi"}
"""


def test_a_call_back_in_the_site_log_is_answered_and_what_cannot_be_is_left_out(demo, tmp_path):
    """Four of 28 nozzles shut take 4/28 of the meter's flow at the same gauge: plugged, by arithmetic."""
    project = tmp_path / "court.toml"
    project.write_bytes(demo.read_bytes())
    phone = tmp_path / "phone.jsonl"
    phone.write_text(CALL_BACK.replace("99000 psi", "5000 psi"), "utf-8")
    done = run("check", str(project), "--site", str(phone), cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    told = " ".join(done.stdout.split())
    low, high = re.search(r"plugged nozzles, about \d+. It may be (\d+) to (\d+)", told).groups()
    assert int(low) <= 4 <= int(high)
    assert "Begin with A3, A9, B2 and B5." in told
    assert "left out: a gauge on the far-end port" in told  # its gauge ends at 1,500 psi
    assert "without readings from the day" not in told
    phone.write_text(CALL_BACK, "utf-8")
    refused = run("check", str(project), "--site", str(phone), cwd=tmp_path)
    assert refused.returncode == 2 and "phone.jsonl line 7" in refused.stderr


# ------------------------------------------------------------------ what can go wrong


def test_mistakes_are_one_line_each_with_file_line_and_path(demo, tmp_path):
    text = (
        demo.read_text("utf-8")
        .replace('length = "38 ft"', "length = 38", 1)
        .replace('height = "10 ft"', 'height = "-10 ft"', 1)
    )
    assert "length = 38\n" in text
    (tmp_path / "broken.toml").write_text(text, "utf-8")
    for command in ("check", "plan"):
        done = run(command, "broken.toml", cwd=tmp_path)
        assert done.returncode == 2
        assert done.stdout == ""
        lines = done.stderr.splitlines()
        assert len(lines) == 2
        line = next(n for n, row in enumerate(text.splitlines(), 1) if row.startswith("length = 38"))
        assert f"broken.toml line {line}, patio[court].run[A].length: " in done.stderr
        assert "38 ft" in done.stderr


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00\x01\x02" * 100, b"\xff\xfe" + "a = 1".encode("utf-16-le"), b"[[[", b'x = "9 ft 6""'],
)
def test_files_that_are_no_project(content, tmp_path):
    (tmp_path / "bad.toml").write_bytes(content)
    done = run("plan", "bad.toml", "--out", "sheets", cwd=tmp_path)
    assert done.returncode == 2
    assert done.stderr.startswith("bad.toml")
    assert not (tmp_path / "sheets").exists()


def test_files_that_are_not_there(demo, tmp_path):
    for arguments in (
        ("plan", "none.toml"),
        ("check", "."),
        ("plan", str(demo), "--climate", "none.epw"),
        ("page", "none.toml"),
    ):
        done = run(*arguments, cwd=tmp_path)
        assert done.returncode == 2, arguments
        assert len(done.stderr.splitlines()) == 1


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no device without an end")
@pytest.mark.parametrize("arguments", [("/dev/zero",), ("DEMO", "--climate", "/dev/zero")])
def test_a_file_without_an_end_is_refused(arguments, demo, tmp_path):
    done = run("plan", *(str(demo) if a == "DEMO" else a for a in arguments), cwd=tmp_path)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1


def test_a_climate_file_that_is_none(demo, tmp_path):
    (tmp_path / "bad.epw").write_bytes(b"LOCATION,nowhere\n" * 3)
    done = run("plan", str(demo), "--climate", "bad.epw", cwd=tmp_path)
    assert done.returncode == 2
    assert "bad.epw" in done.stderr


def test_out_is_a_file(demo, tmp_path):
    (tmp_path / "sheets").write_text("mine")
    done = run("plan", str(demo), "--out", "sheets", cwd=tmp_path)
    assert done.returncode == 2
    assert (tmp_path / "sheets").read_text() == "mine"


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="needs a folder nobody can write in")
def test_a_folder_nobody_can_write_in(small, tmp_path):
    done = run("plan", str(small), "--out", "/proc/sheets", cwd=tmp_path)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1


def test_a_terminal_without_a_degree_sign(small, tmp_path):
    plain = io.TextIOWrapper(io.BytesIO(), "ascii")
    done = run("plan", str(small), cwd=tmp_path, out=plain)
    assert done.returncode in (0, 1)
    assert b"OWNER" in plain.buffer.getvalue()  # type: ignore[attr-defined]


def test_a_fault_of_ours_is_one_line_that_says_so(small, tmp_path, monkeypatch):
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("mistcalc.design.run", broken)
    done = run("plan", str(small), cwd=tmp_path)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert "ZeroDivisionError at test_cli.py" in done.stderr


def test_a_library_that_is_not_there_is_named_with_how_to_get_it(small, tmp_path, monkeypatch):
    """Another Python than the one it was installed for was told a line of ours."""
    monkeypatch.setitem(sys.modules, "psychrolib", None)
    monkeypatch.delitem(sys.modules, "mistcalc.physics.air")
    monkeypatch.setattr("mistcalc.design.run", lambda *_: importlib.import_module("mistcalc.physics.air"))
    done = run("plan", str(small), cwd=tmp_path)
    assert done.returncode == 2 and len(done.stderr.splitlines()) == 1
    assert "psychrolib is not installed" in done.stderr and "fault in mistcalc" not in done.stderr


# ------------------------------------------------------------------ what only a process can show


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_under_stdout_is_a_clear_line(tmp_path):
    with open("/dev/full", "w") as full:
        streams = {"capture_output": False, "stdout": full, "stderr": subprocess.PIPE}
        done = alone("new", "-", "--example", "terraza", cwd=tmp_path, **streams)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1


def test_a_closed_pipe_is_no_error(tmp_path):
    command = f"{sys.executable} -m mistcalc new - --example courtyard | head -c 10"
    done = subprocess.run(command, shell=True, cwd=tmp_path, capture_output=True, text=True, env=ENVIRONMENT)
    assert done.stderr == ""
    assert len(done.stdout) == 10


def test_ctrl_c_ends_quietly_and_leaves_nothing_behind(small, tmp_path):
    process = subprocess.Popen(
        [sys.executable, "-m", "mistcalc", "plan", str(small), "--out", "sheets"],
        cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=ENVIRONMENT,
    )  # fmt: skip
    time.sleep(0.7)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=120)
    assert "Traceback" not in err
    assert process.returncode in (130, -signal.SIGINT, 0, 1)
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []
