"""The page's server, whose long work waits for as long as a file named `gate` lies in its data folder.

Otherwise a test of what is shown *while* something is worked out would hang on how fast the machine is.
While a file named `line-held` lies there, nothing it sends goes out, as on a line that stands still.
Of the ways to build a line it tries one in twelve: how many there are, tests of their own say.
MISTCALC_TEST_WORDS, where set, is a folder of languages in place of the package's own.
"""

from __future__ import annotations

import importlib
import os
import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from mistcalc import options
from mistcalc.page import server
from mistcalc.page.views import background_work
from tests.short_year import one_way_in_twelve

if TYPE_CHECKING:
    from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

T = TypeVar("T")
GATE = Path(os.environ["MISTCALC_DATA"]) / "gate"
LINE_HELD = Path(os.environ["MISTCALC_DATA"]) / "line-held"


class Gated(ThreadPoolExecutor):
    def submit(self, run: Callable[..., T], *given: object) -> Future[T]:  # type: ignore[override]
        def gated() -> T:
            while GATE.exists():
                time.sleep(0.05)
            return run(*given)

        return super().submit(gated)


def hold_line() -> None:
    from streamlit.runtime.app_session import AppSession

    flush = AppSession.flush_browser_queue

    def held(session: AppSession) -> list[ForwardMsg]:
        return [] if LINE_HELD.exists() else flush(session)

    AppSession.flush_browser_queue = held  # type: ignore[method-assign, assignment]


def serve(port: int, secrets: str | None = None) -> None:
    if folder := os.environ.get("MISTCALC_TEST_WORDS"):
        importlib.import_module("mistcalc.words.sentences")._folder = lambda: Path(folder)  # type: ignore[attr-defined]
    options.ways = one_way_in_twelve(options.ways)
    background_work._workers = Gated(max_workers=2)
    hold_line()
    server.serve(port=port, headless=True, secrets=secrets)
