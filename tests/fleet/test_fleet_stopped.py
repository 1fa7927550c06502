"""The real command stopped by kill -9 in the middle of a fleet, and started again: no answer is lost, doubled
or worked out twice, and in the end it writes what a run writes that nobody disturbed."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.breaking import fork
from tests.fleet.subdivision import small_plan, table
from tests.terminal import ENVIRONMENT, alone

pytestmark = pytest.mark.thorough
COMMAND = ("fleet", "lots.csv", "--out", "out", "--processes", "2")
TABLES = ("lots.csv", "orders.csv", "index.html")


def lots(place: Path, designs: int) -> None:
    """Every design on two lots."""
    place.mkdir()
    small_plan(place / "small.toml")
    rows = [(n, "small.toml", f"{2400 + 5 * (n % designs)} mm") for n in range(2 * designs)]
    table(place / "lots.csv", ("lot", "plan", "patio.run.length"), rows)


def stored(place: Path) -> dict[Path, int]:
    return {path: path.stat().st_mtime_ns for path in (place / "out" / "designs").rglob("*.json")}


def killed(place: Path, after: int, wait: float) -> bool:
    """The command, killed some time after it has kept so many answers more; False where it ended before."""
    had = len(stored(place))
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "start_new_session": True}
    command = [sys.executable, "-m", "mistcalc", *COMMAND]
    running = subprocess.Popen(command, cwd=place, env=ENVIRONMENT, **quiet)
    while running.poll() is None and len(stored(place)) < had + after:
        time.sleep(0.005)
    time.sleep(wait)
    running.kill()
    ended = running.wait() != -signal.SIGKILL
    until = time.monotonic() + 60.0
    while _session(running.pid) and time.monotonic() < until:
        time.sleep(0.05)
    assert not _session(running.pid), "a process of it lives on"
    return not ended


def _session(leader: int) -> list[int]:
    """Processes that a command started, and that are still there."""
    there = []
    for name in filter(str.isdigit, os.listdir("/proc") if os.path.isdir("/proc") else ()):
        try:
            fields = Path(f"/proc/{name}/stat").read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[3]) == leader and fields[0] != "Z":
            there.append(int(name))
    return there


@fork
@pytest.mark.parametrize(("times", "designs"), [(2, 6), pytest.param(50, 110, marks=pytest.mark.long)])
def test_killed_and_started_again_it_loses_doubles_and_repeats_nothing(tmp_path, times, designs):
    lots(tmp_path / "calm", designs)
    assert alone(*COMMAND, cwd=tmp_path / "calm", timeout=900).returncode == 0
    wanted = {path.name: path.read_bytes() for path in stored(tmp_path / "calm")}
    assert len(wanted) == designs
    place, chance, kills = tmp_path / "rough", random.Random(times), 0
    lots(place, designs)
    seen: dict[Path, int] = {}
    for _ in range(times):
        kills += killed(place, chance.choice((0, 1, 1, 2)), chance.uniform(0.0, 0.5))
        now = stored(place)
        assert {path: now.get(path) for path in seen} == seen, "an answer was lost or written again"
        assert all(wanted[path.name] == path.read_bytes() for path in now), "an answer is not whole"
        seen = now
    last = alone(*COMMAND, cwd=place, timeout=900)
    assert f"{designs - len(seen)} design" in last.stdout and f"{len(seen)} there already" in last.stdout
    assert {path.name: path.read_bytes() for path in stored(place)} == wanted
    for name in TABLES:
        assert (place / "out" / name).read_bytes() == (tmp_path / "calm" / "out" / name).read_bytes()
    hidden = [path for path in (place / "out").rglob(".*") if path.is_file()]
    print(
        f"{kills} of {times} killed; {len(seen)} of {designs} kept before the last run; {len(hidden)} pieces"
    )
    assert kills > 0
