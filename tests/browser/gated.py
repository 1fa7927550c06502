"""The page's server, whose long work waits for as long as a file named `gate` lies in its data folder.

Otherwise a test of what is shown *while* something is worked out would hang on how fast the machine is.
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
from typing import TypeVar

from mistcalc import options
from mistcalc.page import server
from mistcalc.page.views import background_work
from tests.short_year import one_way_in_twelve

T = TypeVar("T")
GATE = Path(os.environ["MISTCALC_DATA"]) / "gate"


class Gated(ThreadPoolExecutor):
    def submit(self, make: Callable[[], T]) -> Future[T]:  # type: ignore[override]
        def gated() -> T:
            while GATE.exists():
                time.sleep(0.05)
            return make()

        return super().submit(gated)


def serve(port: int, secrets: str | None = None) -> None:
    if folder := os.environ.get("MISTCALC_TEST_WORDS"):
        importlib.import_module("mistcalc.words.sentences")._folder = lambda: Path(folder)  # type: ignore[attr-defined]
    options.ways = one_way_in_twelve(options.ways)
    background_work._workers = Gated(max_workers=2)
    server.serve(port=port, headless=True, secrets=secrets)
