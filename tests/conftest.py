"""Fixtures every test may ask for: a real browser, a shipped year of weather, where this copy is."""

from __future__ import annotations

import functools
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
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
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
    """Debian's own Chromium, headless, started once; tests that ask for it are marked `browser`."""
    executable = shutil.which("chromium")
    if executable is None:
        missing_browser("no chromium found; apt-get install chromium")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        missing_browser("playwright is not installed; see .lock/test.txt")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=executable, args=BROWSER_ARGUMENTS)
        yield started
        started.close()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A browser may be late once on a busy machine: its tests get a second try, and only they."""
    for item in items:
        if item.get_closest_marker("browser"):
            item.add_marker(pytest.mark.flaky(reruns=1))


# The same examples every time, so that a run tells about the code and not about luck.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.load_profile("steady")


@pytest.hookimpl(optionalhook=True)  # where pytest-xdist runs them
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """A file of browser tests is one worker's, and a second one waits until little else is left: two pages on
    two cores keep each other waiting.

    Not left to --dist loadgroup, which sets groups in a way that pytest 9.2 no longer reads.
    """
    from xdist.scheduler import LoadScopeScheduling

    class OneBrowser(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return nodeid.split("::")[0] if nodeid.startswith("tests/browser/") else nodeid

        def _assign_work_unit(self, node: Any) -> None:
            first = next(iter(self.workqueue))
            running = (
                scope
                for work in self.assigned_work.values()
                for scope in work
                if not all(work[scope].values())
            )
            if first.startswith("tests/browser/") and any(s.startswith("tests/browser/") for s in running):
                self.workqueue.move_to_end(first)
            super()._assign_work_unit(node)

    return OneBrowser(config, log)


@pytest.fixture
def tab(browser: Browser) -> Iterator[Page]:
    """A fresh tab with its own storage."""
    context = browser.new_context()
    yield context.new_page()
    context.close()
