"""Fixtures every test may ask for: a real browser, a shipped year of weather, where this copy is."""

from __future__ import annotations

import functools
import gc
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from mistcalc.model.results import Weather

# --no-sandbox: tests run as root in containers. The rest keeps the browser from calling out.
BROWSER_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",  # a container may have too little shared memory for a page
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
]


def missing_browser(reason: str) -> None:
    """Skip, or fail where a browser is required (MISTCALC_REQUIRE_BROWSER=1)."""
    if os.environ.get("MISTCALC_REQUIRE_BROWSER") == "1":
        pytest.fail(f"a browser is required here: {reason}", pytrace=False)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def repository() -> Path:
    """The top folder of this copy."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def sample() -> Callable[[str], Weather]:
    """sample("el-paso"): the weather of a shipped station, read once."""
    from mistcalc.files import climate_path, read_climate

    return functools.cache(lambda name: read_climate(climate_path(name, None)))


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's own Chromium without a window, which takes a fifth less of the processor than the one with it;
    started once. Tests that ask for it are marked `browser`."""
    executable = shutil.which("chromium-headless-shell")
    if executable is None:
        missing_browser("no Chromium found; apt-get install chromium-headless-shell")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        missing_browser("playwright is not installed; see .lock/test.txt")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=executable, args=BROWSER_ARGUMENTS)
        yield started
        started.close()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files that take long come first, so that no worker is left with one at the end. A browser may be late
    once on a busy machine: its tests get a second try, and only they."""
    slow = {item.path for item in items if item.get_closest_marker("thorough")}
    items.sort(key=lambda item: item.path not in slow)
    for item in items:
        if item.get_closest_marker("browser"):
            item.add_marker(pytest.mark.flaky(reruns=1))


gc.set_threshold(20_000, 20, 20)  # else the collector takes a tenth of the processor's time


def pytest_collection_finish() -> None:
    """What is loaded by now stays: the collector looks no more into it."""
    gc.freeze()


# The same examples every time, so that a run tells about the code and not about luck.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")


@pytest.hookimpl(optionalhook=True)  # where pytest-xdist runs them
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """A file is one worker's, so what its tests share is made once; and while one worker drives a browser no
    other does: two pages on two cores keep each other waiting."""
    from xdist.scheduler import LoadFileScheduling

    class OneBrowser(LoadFileScheduling):
        def _assign_work_unit(self, node: Any) -> None:
            elsewhere = any(
                drives_browser(file) and not all(tests.values())
                for other, files in self.assigned_work.items()
                for file, tests in files.items()
                if other is not node
            )
            wanted = (file for file in self.workqueue if drives_browser(file) != elsewhere)
            if (file := next(wanted, None)) is not None:
                self.workqueue.move_to_end(file, last=False)
            super()._assign_work_unit(node)

    config.option.loadscopereorder = False  # the order of pytest_collection_modifyitems
    return OneBrowser(config, log)


def drives_browser(file: str) -> bool:
    return file.startswith("tests/browser/")


@pytest.fixture
def tab(browser: Browser) -> Iterator[Page]:
    """A fresh tab with its own storage."""
    context = browser.new_context()
    yield context.new_page()
    context.close()
