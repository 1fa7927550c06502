"""A page server of its own, and a tab from which nothing but this machine can be reached."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator
from typing import TYPE_CHECKING, Any

import pytest

from tests.browser.visits import WIDE, Contexts, Server, Visit, free_port

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    started = Server(tmp_path_factory.mktemp("data"), free_port())
    started.start()
    yield started
    started.stop()


@pytest.fixture(scope="session")
def _spare(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    made = Server(tmp_path_factory.mktemp("spare"), free_port())
    yield made
    made.stop()


@pytest.fixture
def spare(_spare: Server) -> Server:
    """A second server, for tests that stop it and start it again; one for all of them, for at an address it
    does not know a browser compiles the whole page anew."""
    if not _spare.running:
        _spare.start()
    return _spare


@pytest.fixture(scope="session")
def contexts(browser: Browser) -> Iterator[Contexts]:
    pool = Contexts(browser)
    yield pool
    pool.close()


FAILED = pytest.StashKey[bool]()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if report.failed:
        item.stash[FAILED] = True
    return report


@pytest.fixture
def visit(
    contexts: Contexts, server: Server, request: pytest.FixtureRequest
) -> Iterator[Callable[..., Visit]]:
    """visit(PHONE) opens a fresh tab with its own storage; afterwards it must have met nothing outside.

    how: what else a context of Playwright takes, such as forced_colors.
    """
    visits: list[Visit] = []
    request.node.stash[FAILED] = False  # on a second try too
    if not server.running:
        server.start()

    def open_tab(size: dict[str, int] = WIDE, at: Server = server, touch: bool = False, **how: Any) -> Visit:
        page = contexts.take(has_touch=touch, **how)
        page.set_viewport_size(size)  # type: ignore[arg-type]
        made = Visit(page, at)
        page.context.on("request", made.met)
        page.on("crash", made.crash)
        visits.append(made)
        return made

    yield open_tab
    for made in visits:
        made.page.context.remove_listener("request", made.met)
        made.page.remove_listener("crash", made.crash)
    servers = {made.server.url: made.server for made in visits}
    contexts.give_back({server.url, *servers})
    if request.node.stash[FAILED]:  # what it left the server to work out is not to keep the next one waiting
        for busy in servers.values():
            if busy.running:
                busy.restart()
    for made in visits:
        assert made.outside == []
        assert not made.crashed
