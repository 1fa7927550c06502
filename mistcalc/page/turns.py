"""Whoever waits for the screen goes first: work beside it begins when no run of the page is going on.

Python runs one thread at a time. Air worked out for one visitor would else take two thirds of the time that a
mark under another one's finger is waiting for.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Iterator

LONGEST = 2.0  # s: as long as work gives way; then it is somebody's turn who waits for it
_changed = threading.Condition()
_runs = 0  # of the page, going on now
_own = threading.local()  # whether this thread is in one


def _count(by: int) -> None:
    global _runs
    with _changed:
        _runs += by
        _changed.notify_all()


@contextlib.contextmanager
def run_of_page() -> Iterator[None]:
    """While inside, somebody waits for the screen. A part of a view, run within the whole, is of that run."""
    if _within():
        yield
        return
    _own.within = True
    _count(+1)
    try:
        yield
    finally:
        _count(-1)
        _own.within = False


@contextlib.contextmanager
def waiting_for_work() -> Iterator[None]:
    """While inside, a run of the page does nothing but wait for work beside it."""
    counted = _within()
    _count(-counted)
    try:
        yield
    finally:
        _count(+counted)


def give_way() -> None:
    """Said by work beside the page: until no run is going on, yet no longer than LONGEST."""
    if _within():
        return  # not beside it
    with _changed:
        _changed.wait_for(lambda: _runs == 0, LONGEST)


def _within() -> bool:
    return getattr(_own, "within", False)
