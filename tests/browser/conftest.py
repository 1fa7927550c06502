"""A page server of its own, and a tab in which nothing but that server can be reached."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import pytest

from tests.browser.visits import WIDE, Server, Visit, free_port

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Request, Route


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    started = Server(tmp_path_factory.mktemp("data"), free_port())
    started.start()
    yield started
    started.stop()


@pytest.fixture
def visit(browser: Browser, server: Server) -> Iterator[Callable[..., Visit]]:
    """visit(PHONE) opens a fresh tab with its own storage; afterwards it must have met nothing outside.

    how: what else a context of Playwright takes, such as forced_colors.
    """
    visits: list[Visit] = []

    def open_tab(size: dict[str, int] = WIDE, at: Server = server, touch: bool = False, **how: Any) -> Visit:
        context = browser.new_context(viewport=size, has_touch=touch, accept_downloads=True, **how)  # type: ignore[arg-type]
        made = Visit(context.new_page(), at)

        def ours_only(route: Route, request: Request, made: Visit = made) -> None:
            if urlsplit(request.url).hostname == "127.0.0.1":
                route.continue_()
            else:
                made.outside.append(request.url)
                route.abort()

        context.route("**/*", ours_only)
        visits.append(made)
        return made

    yield open_tab
    for made in visits:
        made.page.context.close()
        assert made.outside == []
