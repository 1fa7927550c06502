"""How a benchmark takes time: the least of several calls, in this process's own time, since the machine may
be busy with other things."""

from __future__ import annotations

import time
from collections.abc import Callable


def best(call: Callable[[], object], repeats: int = 5) -> float:
    """Least processor time of `repeats` calls, s."""
    times = []
    for _ in range(repeats):
        start = time.process_time()
        call()
        times.append(time.process_time() - start)
    return min(times)
