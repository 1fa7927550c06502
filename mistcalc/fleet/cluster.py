"""Designs on any dask.distributed scheduler, by its address. One that goes away takes nothing with it: what
is left is worked out on this computer, and told."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator
from itertools import chain, islice
from typing import Any

from mistcalc.errors import DataError, MistcalcError
from mistcalc.fleet.runners import AHEAD, RETRIES, Done, Order, Runner, Work, broken_off

CONNECTS, WORKERS, GONE = (
    10.0,
    60.0,
    30.0,
)  # s: to be reached; until there is a worker; until it counts as lost
LOOK = 1.0  # s


def on_cluster(address: str, instead: Runner, notices: list[MistcalcError]) -> Runner:
    """instead: who goes on where the scheduler goes away. Raises DataError where the library is wanting, or
    nobody answers at the address, before anything is worked out."""
    try:
        from distributed import Client
    except ImportError:
        raise DataError("cluster-extra") from None
    try:
        client = Client(address, timeout=CONNECTS, set_as_default=False)
        client.wait_for_workers(1, timeout=WORKERS)
    except (OSError, ValueError, TimeoutError) as fault:
        raise DataError("fleet-no-scheduler", address=address, kind=type(fault).__name__) from None

    def run(work: Work, orders: Iterable[Order]) -> Iterator[Done]:
        cluster = _Cluster(work, client)
        waiting = iter(orders)
        yield from cluster.done(waiting)
        if cluster.gone:
            notices.append(DataError("fleet-scheduler-gone", address=address))
            yield from instead(work, chain(cluster.in_hand, waiting))
        else:
            client.close()

    return run


class _Cluster:
    """What is in hand on a cluster. gone: it answers no more; in_hand: what it had then."""

    def __init__(self, work: Work, client: Any) -> None:
        self.work = work
        self.client = client
        self.futures: dict[Any, Order] = {}
        self.in_hand: list[Order] = []
        self.gone = False
        self.seen = time.monotonic()

    def done(self, waiting: Iterator[Order]) -> Iterator[Done]:
        while not self.gone:
            self._fill(waiting)
            if not self.futures:
                return
            yield from self._done()
            self._look()
        self.in_hand += self.futures.values()

    def _fill(self, waiting: Iterator[Order]) -> None:
        threads = sum(self.client.nthreads().values()) if self._answers() else 0
        for order in islice(waiting, max(threads * (1 + AHEAD) - len(self.futures), 0)):
            future = self.client.submit(
                self.work, order, key=f"mistcalc-{order.key}", pure=False, retries=RETRIES
            )
            self.futures[future] = order

    def _done(self) -> Iterator[Done]:
        from distributed import wait

        try:
            done = wait(list(self.futures), timeout=LOOK, return_when="FIRST_COMPLETED").done
        except TimeoutError:
            return
        except Exception:  # the client has given the scheduler up
            self.gone = True
            return
        for future in done:
            order = self.futures.pop(future)
            if future.status == "finished":
                try:
                    result = future.result(timeout=GONE)
                except Exception:  # it was lost on the way from the worker
                    self.in_hand.append(order)
                    continue
                yield order, result
            elif future.status == "error":
                yield order, broken_off(future.exception())
            else:  # cancelled: the scheduler has forgotten it
                self.in_hand.append(order)

    def _look(self) -> None:
        """Whether there is still somebody to work for us."""
        now = time.monotonic()
        if self._answers():
            self.seen = now
        self.gone = self.gone or now - self.seen > GONE

    def _answers(self) -> bool:
        return self.client.status == "running" and bool(self.client.scheduler_info().get("workers"))
