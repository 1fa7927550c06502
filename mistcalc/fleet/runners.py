"""Who works designs out: this process, more of them on this computer. Each yields what it has as soon as it
has it, holds few at a time, and tries twice more what a fault or a lost process broke off."""

from __future__ import annotations

import multiprocessing
import multiprocessing.connection
import os
import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from typing import Any, Protocol

from mistcalc.errors import DataError, MistcalcError, raised_at

RETRIES = 2
AHEAD = 3  # designs handed on a process beyond the one it has


class Order(Protocol):
    """What can be worked out anywhere: all it needs, pickled, by the name it is known by."""

    @property
    def key(self) -> str: ...


Result = str | MistcalcError
Work = Callable[[Any], Result]  # of an Order; known by its name in every process
Done = tuple[Any, Result]  # the Order, and what came of it
Runner = Callable[[Work, Iterable[Any]], Iterator[Done]]


def serial(work: Work, orders: Iterable[Order]) -> Iterator[Done]:
    """One after the other, here: the reference."""
    for order in orders:
        yield order, _tried(work, order)


def _tried(work: Work, order: Order) -> Result:
    fault: BaseException | None = None
    for _ in range(1 + RETRIES):
        try:
            return work(order)
        except Exception as broken:
            fault = broken
    return broken_off(fault)


def broken_off(fault: BaseException | None) -> MistcalcError:
    """A fault of ours as an error that a row can tell."""
    if fault is None or isinstance(fault, BrokenProcessPool):
        return DataError("fleet-process-lost", count=1 + RETRIES)
    return DataError("fleet-fault", kind=type(fault).__name__, at=raised_at(fault), count=1 + RETRIES)


def on_cores(processes: int) -> Runner:
    """So many processes of this computer. One that dies takes with it what all had in hand: those are tried
    again, one at a time if need be, so that only the design that kills its process is lost."""

    def run(work: Work, orders: Iterable[Order]) -> Iterator[Done]:
        waiting = iter(orders)
        while True:
            pool = _Pool(work, processes)
            try:
                yield from pool.done(waiting)
            finally:
                pool.close()
            if not pool.broken:
                return
            for order in pool.in_hand:
                yield order, _alone(work, order)

    return run


def _alone(work: Work, order: Order) -> Result:
    """A design in a process of its own, twice at most: it was in hand once when one died."""
    fault: BaseException | None = None
    for _ in range(RETRIES):
        with ProcessPoolExecutor(1, mp_context=_context(), initializer=_end_with_parent) as pool:
            try:
                return pool.submit(work, order).result()
            except Exception as broken:
                fault = broken
    return broken_off(fault)


class _Pool:
    """Processes with a few designs ahead of each. broken: one died; in_hand: what was lost with it."""

    def __init__(self, work: Work, processes: int) -> None:
        self.work = work
        self.room = processes * (1 + AHEAD)
        self.pool = ProcessPoolExecutor(processes, mp_context=_context(), initializer=_end_with_parent)
        self.futures: dict[Future[Result], tuple[Order, int]] = {}
        self.in_hand: list[Order] = []
        self.broken = False

    def done(self, waiting: Iterator[Order]) -> Iterator[Done]:
        while not self.broken:
            for order in islice(waiting, max(self.room - len(self.futures), 0)):
                self._submit(order, 0)
            if not self.futures:
                return
            done, _ = wait(self.futures, return_when=FIRST_COMPLETED)
            for future in done:
                order, times = self.futures.pop(future)
                fault = future.exception()
                if fault is None:
                    yield order, future.result()
                elif isinstance(fault, BrokenProcessPool):
                    self.broken = True
                    self.in_hand.append(order)
                elif times < RETRIES:
                    self._submit(order, times + 1)
                else:
                    yield order, broken_off(fault)
        for future, (order, _) in self.futures.items():
            if future.done() and not future.cancelled() and future.exception() is None:
                yield order, future.result()
            else:
                self.in_hand.append(order)

    def _submit(self, order: Order, times: int) -> None:
        try:
            self.futures[self.pool.submit(self.work, order)] = (order, times)
        except BrokenProcessPool:
            self.broken = True
            self.in_hand.append(order)

    def close(self) -> None:
        self.pool.shutdown(wait=False, cancel_futures=True)


def _context() -> multiprocessing.context.BaseContext:
    """Processes that share no lock and no thread with this one; quick to start where the system can."""
    kinds = multiprocessing.get_all_start_methods()
    context = multiprocessing.get_context("forkserver" if "forkserver" in kinds else "spawn")
    if "forkserver" in kinds:
        context.set_forkserver_preload(["mistcalc.fleet.solving"])
    return context


def _end_with_parent() -> None:
    """A process whose parent was killed ends, rather than wait for ever for more to do."""
    parent = multiprocessing.parent_process()
    if parent is None:
        return

    def watch(sentinel: int) -> None:
        multiprocessing.connection.wait([sentinel])
        os._exit(1)

    threading.Thread(target=watch, args=(parent.sentinel,), daemon=True).start()
