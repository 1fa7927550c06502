"""A page server of its own, and a tab from which nothing but this machine can be reached."""

from __future__ import annotations

from collections.abc import Callable, Iterator
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


@pytest.fixture
def visit(contexts: Contexts, server: Server) -> Iterator[Callable[..., Visit]]:
    """visit(PHONE) opens a fresh tab with its own storage; afterwards it must have met nothing outside.

    how: what else a context of Playwright takes, such as forced_colors.
    """
    visits: list[Visit] = []

    def open_tab(size: dict[str, int] = WIDE, at: Server = server, touch: bool = False, **how: Any) -> Visit:
        page = contexts.take(has_touch=touch, **how)
        page.set_viewport_size(size)  # type: ignore[arg-type]
        made = Visit(page, at)
        page.context.on("request", made.met)
        visits.append(made)
        return made

    yield open_tab
    for made in visits:
        made.page.context.remove_listener("request", made.met)
    contexts.give_back({server.url, *(made.server.url for made in visits)})
    for made in visits:
        assert made.outside == []
