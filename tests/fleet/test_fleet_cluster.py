"""A fleet on a dask.distributed scheduler: the same answers to the byte, a lost worker's designs worked out
by another, a lost scheduler's on this computer."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from mistcalc.fleet import FleetWish, cluster, run_fleet
from tests.fleet.subdivision import small_plan, table
from tests.terminal import ENVIRONMENT, run

DESIGNS = 12
SCHEDULER = """
import sys
from distributed import LocalCluster
if __name__ == "__main__":
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        print(cluster.scheduler_address, *(worker.pid for worker in cluster.workers.values()), flush=True)
        sys.stdin.read()
"""


@pytest.fixture
def started(tmp_path):
    """A scheduler with two workers as a process of its own; its address, and their numbers."""
    pytest.importorskip("distributed")
    script = tmp_path / "scheduler.py"
    script.write_text(SCHEDULER)
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True, "start_new_session": True}
    process = subprocess.Popen([sys.executable, str(script)], env=ENVIRONMENT, **pipes)
    address, *workers = process.stdout.readline().split()
    yield process, address, [int(worker) for worker in workers]
    process.stdin.close()
    try:
        process.wait(20)
    finally:
        process.kill()
        for worker in workers:
            try:
                os.kill(int(worker), signal.SIGKILL)
            except ProcessLookupError:
                continue


def lots(place: Path) -> Path:
    place.mkdir()
    small_plan(place / "small.toml")
    rows = [(n, "small.toml", f"{2400 + 5 * n} mm") for n in range(DESIGNS)]
    return table(place / "lots.csv", ("lot", "plan", "patio.run.length"), rows)


def calm(tmp_path: Path) -> dict[str, bytes]:
    run_fleet(FleetWish(lots(tmp_path / "calm"), tmp_path / "calm" / "out", processes=1))
    return written(tmp_path / "calm" / "out")


def written(out: Path) -> dict[str, bytes]:
    return {str(path.relative_to(out)): path.read_bytes() for path in out.rglob("*") if path.is_file()}


@pytest.mark.long
def test_one_of_two_workers_killed_midway_nothing_is_lost(tmp_path, started):
    _, address, workers = started
    table_there, out = lots(tmp_path / "far"), tmp_path / "far" / "out"

    def kill_one(what: str, done: int, of: int) -> None:
        if done == 3:
            os.kill(workers[0], signal.SIGKILL)

    done = run_fleet(FleetWish(table_there, out, processes=1, scheduler=address), kill_one)
    assert done.answered and f"{DESIGNS} designs worked out now" in done.text
    assert written(out) == calm(tmp_path)


@pytest.mark.long
def test_a_scheduler_that_goes_away_is_told_and_the_rest_is_worked_out_here(tmp_path, started, monkeypatch):
    process, address, workers = started
    monkeypatch.setattr(cluster, "GONE", 3.0)
    table_there, out = lots(tmp_path / "far"), tmp_path / "far" / "out"

    def kill_all(what: str, done: int, of: int) -> None:
        if done == 3:
            for number in (process.pid, *workers):
                os.kill(number, signal.SIGKILL)

    done = run_fleet(FleetWish(table_there, out, processes=1, scheduler=address, language="en"), kill_all)
    assert done.answered and f"The scheduler at {address} went away" in " ".join(done.text.split())
    assert written(out) == calm(tmp_path)


def test_nobody_at_the_address_is_told_before_anything_is_worked_out(tmp_path, monkeypatch):
    pytest.importorskip("distributed")
    monkeypatch.setattr(cluster, "CONNECTS", 0.5)
    place = lots(tmp_path / "far").parent
    for address in ("tcp://127.0.0.1:9", "nonsense://x"):
        done = run("fleet", "lots.csv", "--out", "out", "--scheduler", address, cwd=place)
        assert done.returncode == 2 and address in done.stderr and done.stderr.count("\n") == 1
        assert not list((place / "out").rglob("*.json"))


def test_without_the_library_it_is_said_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    place = lots(tmp_path / "far").parent
    done = run("fleet", "lots.csv", "--out", "out", "--scheduler", "tcp://127.0.0.1:9", cwd=place)
    assert done.returncode == 2 and 'pip install ".[cluster]"' in done.stderr
