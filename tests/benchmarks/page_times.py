"""How long the page lets one wait: `python -m tests.benchmarks.page_times`, with nothing else running.

Printed, never asserted: milliseconds between a key and the screen that answers it (the 95th of a hundred), as
multiples of one `design.lay` in the same run; of them the server's, from what it was asked until all of the
answer has left (timed_server.py); and its own processor time. What is asked of an idle machine of two cores
stands beside. Ten visitors share one browser here, so theirs holds its work too.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

from mistcalc import design, files
from mistcalc.page.edits import apply_edit
from mistcalc.page.plan_edits import MoveThing
from tests.benchmarks.timing import best
from tests.browser.visits import WIDE, Server, Visit, free_port
from tests.conftest import BROWSER_ARGUMENTS

if TYPE_CHECKING:
    from playwright.sync_api import Browser

    from mistcalc.model.project import Patio

TICKS = os.sysconf("SC_CLK_TCK")
PATIENCE = 300_000  # ms
# From the next key to the first paint after the script has run to its end and nothing is being worked out;
# pictured: to that of another drawing.
WATCH = """(pictured) => { window.waited = new Promise((done) => {
  const app = document.querySelector('[data-testid="stApp"]');
  let from = 0, ran = false;
  addEventListener("keydown", () => (from = from || performance.now()), { capture: true });
  const seen = new MutationObserver(() => {
    const working = document.querySelector('[class*="st-key-working"]');
    if (app.dataset.testScriptState !== "notRunning") ran = true;
    else if (from && ran && !working) {
      seen.disconnect();
      requestAnimationFrame(() => done(performance.now() - from));
    }
  });
  if (!pictured) return seen.observe(app, { attributes: true, attributeFilter: ["data-test-script-state"] });
  const drawn = () => document.querySelector(".diagram img").src;
  const before = drawn();
  const look = () => {
    if (from && drawn() !== before) done(performance.now() - from);
    else requestAnimationFrame(look);
  };
  look();
}); }"""


class PlainServer(Server):
    """The page as people start it: nothing held back, every way tried."""

    def start(self) -> None:
        program = f"from tests.benchmarks import timed_server; timed_server.serve({self.port})"
        environment = {**os.environ, "MISTCALC_DATA": str(self.data)}
        log = (self.data / "server.log").open("ab")
        self.process = subprocess.Popen(
            [sys.executable, "-c", program], env=environment, stdout=log, stderr=log
        )
        while not self.answers():
            assert self.process.poll() is None, (self.data / "server.log").read_text("utf-8")
            time.sleep(0.05)

    def _proc(self, name: str) -> str:
        assert self.process is not None
        return Path(f"/proc/{self.process.pid}/{name}").read_text("ascii")

    def processor_time(self) -> float:
        """Of the server so far, s."""
        user, system = self._proc("stat").rsplit(")", 1)[1].split()[11:13]
        return (int(user) + int(system)) / TICKS

    def served(self) -> list[float]:
        """ms of each run so far."""
        noted = self.data / "served"
        return [float(line) for line in noted.read_text("ascii").split()] if noted.exists() else []

    def memory(self) -> int:
        """Held now, MB."""
        return int(self._proc("statm").split()[1]) * os.sysconf("SC_PAGE_SIZE") // 2**20


def main(often: int = 100) -> None:
    project, steps = files.parse_project(files.example_text("courtyard")), count()

    def moved() -> Patio:
        edit = MoveThing("court", "obstacles", "L2", "A", 5.0 + 0.003175 * next(steps))
        return apply_edit(project, edit).patios[0]

    patios = [moved() for _ in range(5)]
    lay = best(lambda: design.lay(patios.pop()))
    print(f"one lay: {1000 * lay:.1f} ms of processor time")
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        server = PlainServer(Path(data), free_port())
        server.start()
        path = shutil.which("chromium-headless-shell")
        browser = playwright.chromium.launch(executable_path=path, args=BROWSER_ARGUMENTS)
        try:
            _measured(server, browser, often, lay)
        finally:
            browser.close()
            server.stop()


def _measured(server: PlainServer, browser: Browser, often: int, lay: float) -> None:
    def told(what: str, waits: Sequence[float], served: Sequence[float], used: float, asked: float) -> None:
        p95, half = (_share(waits, share) for share in (0.95, 0.5))
        print(
            f"{what}: 95 % within {p95:.0f} ms ({p95 / 1000 / lay:.0f} lays; asked {asked:.0f}), half within "
            f"{half:.0f}; its runs took the server {_share(served, 0.95):.0f} ms (95 %), half of them "
            f"{_share(served, 0.5):.0f}; {1000 * used / len(waits):.0f} ms of processor time each"
        )

    few = max(often // 5, 1)  # of what takes longer
    begun = time.monotonic()
    first = _visitor(server, browser)
    first.page.goto(server.url)
    first.page.locator("h1").first.wait_for()
    print(f"first picture after the server answers: {1000 * (time.monotonic() - begun):.0f} ms (asked 2000)")
    first.open_example()

    turn = count()
    arrows = lambda: ("ArrowRight", "ArrowLeft")[next(turn) % 2]  # noqa: E731
    first.handle("mark", "A5").focus()
    told("a mark by a key, to marks laid anew", *_waits(server, [first], often, arrows), 100)
    before = server.memory()
    told("the same again", *_waits(server, [first], often, arrows), 100)
    print(f"memory: {before} MB, after {often} changes more {server.memory()} MB")

    first.go("line")
    pressure = _typed(first, "Set pressure", "psi", 900)
    told("a field, to its picture", *_waits(server, [first], few, pressure, pictured=True), 300)
    told("the same, to the end of the view", *_waits(server, [first], few, pressure), 500)
    first.go("lid")
    first.page.locator("summary", has_text="Spacing").click()
    pitch = _typed(first, "Pitch wanted", "in", 26, 8)
    told("a field, to the cooling of the seats", *_waits(server, [first], few, pitch), 1000)
    others = [_visitor(server, browser) for _ in range(9)]
    for one in others:
        one.open_example()
    everyone = [first, *others]
    for one in everyone:
        one.handle("mark", "A5").focus()
    told("ten at once, a mark each", *_waits(server, everyone, few, arrows), 1500)


def _visitor(server: Server, browser: Browser) -> Visit:
    page = browser.new_context(viewport=WIDE).new_page()  # type: ignore[arg-type]
    page.set_default_timeout(PATIENCE)
    return Visit(page, server)


def _typed(visit: Visit, title: str, unit: str, first: int, parts: int = 1) -> Callable[[], str]:
    """What types the next value into a field; the key that then sends it."""
    numbers = count(1)

    def type_next() -> str:
        field = visit.page.get_by_label(title, exact=True).locator("visible=true").first
        field.fill(f"{first + next(numbers) / parts} {unit}")
        return "Enter"

    return type_next


def _share(times: Sequence[float], share: float) -> float:
    """What that share of times is within."""
    return sorted(times)[round(share * (len(times) - 1))]


def _waits(
    server: PlainServer, visits: Sequence[Visit], often: int, key: Callable[[], str], pictured: bool = False
) -> tuple[list[float], list[float], float]:
    """(ms from a key to what answers it, ms the server took for each run, its processor time for all, s)."""
    waits, used = [], 0.0
    before_all = len(server.served())
    for _ in range(often):
        pressed = [key() for _ in visits]
        for visit in visits:
            visit.page.evaluate(WATCH, pictured)
        before = server.processor_time()
        for visit, name in zip(visits, pressed, strict=True):
            visit.page.keyboard.press(name)
        waits += [visit.page.evaluate("window.waited") for visit in visits]
        for visit in visits:  # what follows is not in the way of the next
            visit.page.wait_for_timeout(700)
            visit.quiet()
        used += server.processor_time() - before
    return waits, server.served()[before_all:], used


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
