"""What browser tests work with: a server of the page that can be stopped and started, and one visitor."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any
from unittest.mock import patch
from urllib.parse import urlsplit

import mistcalc
from mistcalc import files
from mistcalc.page import store
from tests.short_year import one_month

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Locator, Page, Request

WIDE = {"width": 1280, "height": 1000}
PATIENCE = 60_000  # ms for what ought to come at once, on a machine several times slower than ours
PHONE = {"width": 390, "height": 844}


@dataclass
class Server:
    """The page as `mistcalc page` starts it; it can be stopped and started again at the same address."""

    data: Path
    port: int
    words: Path | None = None  # a folder of languages in place of the package's own
    secrets: Path | None = None  # the login it asks for
    process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def running(self) -> bool:
        return self.process is not None and self.process.poll() is None

    def start(self) -> None:
        login = str(self.secrets) if self.secrets else None
        program = f"from tests.browser.gated import serve; serve({self.port}, {login!r})"
        copy = str(Path(mistcalc.__file__).parents[1])  # this copy, never an installed one
        environment = {**os.environ, "MISTCALC_DATA": str(self.data), "PYTHONPATH": copy}
        if self.words is not None:
            environment["MISTCALC_TEST_WORDS"] = str(self.words)
        log = (self.data / "server.log").open("ab")
        self.process = subprocess.Popen(
            [sys.executable, "-c", program], env=environment, stdout=log, stderr=log, cwd=self.data
        )
        patience = time.monotonic() + 60
        while not self.answers():
            assert self.process.poll() is None, (self.data / "server.log").read_text("utf-8")
            assert time.monotonic() < patience, "the page's server did not start"
            time.sleep(0.1)

    def answers(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.url}/_stcore/health", timeout=1) as answer:
                return answer.status == 200
        except OSError:
            return False

    def restart(self) -> None:
        self.stop()
        self.start()

    def stop(self) -> None:
        """At once, as a machine that is switched off: a server that is asked to end works out first what it
        has begun, and meanwhile the page is neither connected nor cut off."""
        if self.process is not None:
            self.process.kill()
            self.process.wait()

    def at_work(self) -> AbstractContextManager[None]:
        """While inside, whatever takes longer than a moment is not yet done."""
        return self._beside("gate")

    def line_held(self) -> AbstractContextManager[None]:
        """While inside, the server hears all browsers and none hears it."""
        return self._beside("line-held")

    @contextmanager
    def _beside(self, name: str) -> Iterator[None]:
        lying = self.data / name
        lying.touch()
        try:
            yield
        finally:
            lying.unlink()

    def keep(self, text: str) -> str:
        """A new project of that text among those of this server; its id."""
        with patch.dict(os.environ, {"MISTCALC_DATA": str(self.data)}):
            return store.create(text)

    def change(self, address: str, old: str, new: str) -> None:
        """As another tab does: one text of a project for another."""
        with patch.dict(os.environ, {"MISTCALC_DATA": str(self.data)}):
            store.change(_identity(address), lambda text: text.replace(old, new))

    def text(self, address: str) -> str:
        """The project as it lies on disk, for the id in an address."""
        identity = _identity(address)
        return (self.data / "projects" / identity / "project.toml").read_text("utf-8")


@dataclass
class Visit:
    """One person at one browser; `outside` lists every request that was not to our own server."""

    page: Page
    server: Server
    outside: list[str] = field(default_factory=list)
    crashed: bool = False

    def met(self, request: Request) -> None:
        if urlsplit(request.url).hostname not in ("127.0.0.1", None):
            self.outside.append(request.url)

    def crash(self, page: Page) -> None:
        self.crashed = True

    def open_example(self, name: str = "courtyard", view: str = "lid") -> None:
        """A new project like a demo, its year one month, opened by its address: half the work of a click on
        the first page."""
        self.open_text(one_month(files.example_text(name)), view)

    def open_text(self, text: str, view: str = "lid") -> None:
        self._open(f"{self.server.url}/?project={self.server.keep(text)}&view={view}")

    def go(self, view: str) -> None:
        self._open(f"{self.page.url.split('&view=')[0]}&view={view}")

    def _open(self, address: str) -> None:
        self.page.goto(address)
        self.page.locator("h1").first.wait_for()
        self.quiet()

    def quiet(self) -> None:
        """Wait until the page's script has run to its end."""
        self.page.locator('[data-testid="stApp"][data-test-script-state="notRunning"]').wait_for()

    def handle(self, kind: str, name: str) -> Locator:
        """Of a mark, an obstacle or a joist (its run/number) in the strip."""
        return self.page.locator(f'.handle[data-key="{kind}/{name}"]')

    def spot(self, kind: str, name: str) -> Locator:
        """Over an obstacle, a seat or the end of a run on the plan."""
        return self.page.locator(f'.spot[data-key="{kind}/{name}"]')

    def place(self, kind: str, name: str) -> str:
        """Where the strip says a mark or an obstacle is, as its tape reads."""
        return self.handle(kind, name).get_attribute("data-told") or ""

    def on_disk(self) -> str:
        return self.server.text(self.page.url)

    def saves(self, read: Callable[[str], object], wanted: object) -> None:
        """Wait until what `read` finds in the project on disk is as wanted, and stays so."""
        until(lambda: read(self.on_disk()) == wanted)
        self.settled()
        assert read(self.on_disk()) == wanted

    def settled(self) -> None:
        """Wait until nothing is unsaved and no script runs."""
        self.page.locator(".lid .saved", has_text="Not saved yet").wait_for(state="hidden")
        self.page.wait_for_timeout(600)


@dataclass
class Contexts:
    """Browser contexts, emptied and lent again with one tab each: in a new one, as in a new tab, the whole
    page would be loaded and compiled anew."""

    browser: Browser
    free: dict[tuple[tuple[str, Any], ...], list[BrowserContext]] = field(default_factory=dict)
    lent: list[tuple[tuple[tuple[str, Any], ...], BrowserContext]] = field(default_factory=list)

    def take(self, **how: Any) -> Page:
        kind = tuple(sorted(how.items()))
        spare = self.free.setdefault(kind, [])
        context = spare.pop() if spare else self.browser.new_context(accept_downloads=True, **how)
        context.set_default_timeout(PATIENCE)
        self.lent.append((kind, context))
        return context.pages[0] if context.pages else context.new_page()

    def give_back(self, origins: set[str]) -> None:
        """Forget what pages of `origins` kept in those lent, for the next to take; one that can no longer be
        emptied is thrown away, or every later test would fail by it."""
        from playwright.sync_api import Error

        while self.lent:
            kind, context = self.lent.pop()
            try:
                _empty(context, origins)
            except Error:
                with suppress(Error):
                    context.close()
            else:
                self.free[kind].append(context)

    def close(self) -> None:
        for contexts in self.free.values():
            for context in contexts:
                context.close()


def _empty(context: BrowserContext, origins: set[str]) -> None:
    """One blank tab, nothing kept."""
    kept, *others = context.pages or [context.new_page()]
    for page in others:
        page.close()
    kept.evaluate("sessionStorage.clear()")
    kept.goto("about:blank")
    tool = context.new_cdp_session(kept)
    for origin in origins:
        what = {"origin": origin, "storageTypes": "local_storage,indexeddb"}
        tool.send("Storage.clearDataForOrigin", what)
    tool.detach()
    context.clear_cookies()


def drag(page: Page, handle: Locator, right: float, down: float = 0.0) -> None:
    """By mouse, from the middle of a handle so many pixels."""
    handle.scroll_into_view_if_needed()
    x, y = _middle(handle)
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 9):
        page.mouse.move(x + right * step / 8, y + down * step / 8)
        page.wait_for_timeout(20)
    page.mouse.up()


def touch_drag(page: Page, handle: Locator, right: float, down: float = 0.0) -> None:
    """The same by one finger."""
    handle.scroll_into_view_if_needed()
    x, y = _middle(handle)
    touch = page.context.new_cdp_session(page)

    def send(kind: str, *at: tuple[float, float]) -> None:
        points = [{"x": px, "y": py} for px, py in at]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    send("touchStart", (x, y))
    for step in range(1, 13):
        send("touchMove", (x + right * step / 12, y + down * step / 12))
        page.wait_for_timeout(20)
    send("touchEnd")


def _identity(address: str) -> str:
    return address.split("project=")[1].split("&")[0]


def _middle(handle: Locator) -> tuple[float, float]:
    box = handle.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def until(holds: Callable[[], bool], seconds: float = 60.0) -> bool:
    """Whether `holds` comes true within `seconds`: for what is on disk, which no page can wait for."""
    end = time.monotonic() + seconds
    while not holds():
        if time.monotonic() > end:
            return False
        time.sleep(0.1)
    return True


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
