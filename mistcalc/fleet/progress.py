"""How far a fleet is, on one line of a terminal: done of how many, and what time is left."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TextIO

from mistcalc import words

EVERY = 0.5  # s between two writings
KNOWN = 2.0  # s of work before a time left is told


class Progress:
    """Called with what is done; writes over its own line, and clears it at the end."""

    def __init__(self, stream: TextIO, language: str, clock: Callable[[], float] = time.monotonic) -> None:
        self.stream, self.language, self.clock = stream, language, clock
        self.begun, self.written, self.width = 0.0, float("-inf"), 0

    def __call__(self, what: str, done: int, of: int) -> None:
        now = self.clock()
        if done == 0:
            self.begun, self.written = now, float("-inf")
        if done < of and now - self.written < EVERY:
            return
        self.written = now
        text = "" if done >= of else self._text(what, done, of, now - self.begun)
        self.stream.write(f"\r{text:<{self.width}}" if text else f"\r{'':<{self.width}}\r")
        self.stream.flush()
        self.width = len(text)

    def _text(self, what: str, done: int, of: int, taken: float) -> str:
        text = words.label(f"fleet.progress_{what}", language=self.language, done=done, of=of)
        if not done or taken < KNOWN:
            return text
        left = taken / done * (of - done)
        return f"{text}, {words.label('fleet.progress_left', language=self.language, left=_rough(left))}"


def _rough(seconds: float) -> str:
    """ "45 s", "12 min", "3.5 h": no finer than it is known."""
    if seconds < 90.0:
        return f"{max(round(seconds / 5) * 5, 5)} s"
    return f"{round(seconds / 60)} min" if seconds < 5400.0 else f"{seconds / 3600:.1f} h"
