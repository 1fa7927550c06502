"""Pieces from the fewest sticks: the one-dimensional cutting-stock problem, with the bound that proves it.

By first-fit where that meets the plain bound; else by column generation (Gilmore and Gomory, Operations
Research 9, 1961 and 11, 1963): linear programs over ways of filling a stick, a knapsack for each better
way, and an integer program over all of them at the end. Nothing hangs on a clock, so that the same pieces
are sawn alike every time.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

NANO = 1e-9  # m: lengths are whole ones here
SLACK = 100  # of them: what rounding of many pieces adds up to
MOST_COLUMNS = 120  # ways of filling a stick that are made; past it the bound is the plain one
MOST_NODES = 500  # of the integer program's tree
MOST_FILLS = 20_000  # of the knapsack's tree; past it the bound is weaker, never wrong
ROUNDED = 1e-6  # of a program's sum, from its arithmetic
BETTER = 1e-9  # by which another way must improve a program

Pattern = tuple[int, ...]  # how many of each size are sawn from one stick


def cut(lengths: Sequence[float], stick: float, kerf: float) -> tuple[list[list[int]], int]:
    """(for each stick the places in `lengths` of what is sawn from it, a number no way can go below).

    A saw cut takes `kerf` between two pieces, and none where the last one uses the stick up. Lengths [m];
    raises ValueError where one is longer than a stick.
    """
    room = round((stick + kerf) / NANO) + SLACK
    taken = [round((length + kerf) / NANO) for length in lengths]
    if any(size > room for size in taken):
        raise ValueError(max(lengths))
    sizes = tuple(sorted(set(taken), reverse=True))
    wanted = tuple(taken.count(size) for size in sizes)
    patterns: Sequence[Pattern] = _first_fit(sizes, wanted, room)
    least = max(_plain_bound(taken, room), 0)
    if len(patterns) > least:
        patterns, least = _by_columns(sizes, wanted, room, tuple(patterns), least)
    return _named(patterns, sizes, taken), least


def _plain_bound(taken: Sequence[int], room: int) -> int:
    """By length; by pieces longer than half a stick, of which no two share one."""
    return max(math.ceil(sum(taken) / room), sum(2 * size > room for size in taken))


def _first_fit(sizes: Sequence[int], wanted: Sequence[int], room: int) -> list[Pattern]:
    """Longest piece first, into the first stick that holds it."""
    left: list[int] = []
    filled: list[list[int]] = []
    for n, (size, count) in enumerate(zip(sizes, wanted, strict=True)):
        for _ in range(count):
            at = next((at for at, rest in enumerate(left) if size <= rest), len(left))
            if at == len(left):
                left.append(room)
                filled.append([0] * len(sizes))
            left[at] -= size
            filled[at][n] += 1
    return [tuple(one) for one in filled]


@lru_cache(maxsize=64)  # lines that differ in nozzles and pressure are sawn alike
def _by_columns(
    sizes: Pattern, wanted: Pattern, room: int, known: tuple[Pattern, ...], least: int
) -> tuple[Sequence[Pattern], int]:
    """The fewest sticks that ways found by column generation allow, and the bound those prove."""
    from scipy.optimize import Bounds, LinearConstraint, linprog, milp  # only a line that needs it loads it

    columns = list(dict.fromkeys(known))
    need = np.array(wanted, float)
    while len(columns) < MOST_COLUMNS and least < len(known):
        ways = np.array(columns, float).T
        solved = linprog(np.ones(len(columns)), A_ub=-ways, b_ub=-need, method="highs-ds")
        prices = np.maximum(-solved.ineqlin.marginals, 0.0)
        worth, most, better = _knapsack(sizes, wanted, prices, room)
        least = max(least, math.ceil(solved.fun / max(most, 1.0) - ROUNDED))  # Farley's bound
        if worth <= 1.0 + BETTER or better in columns:
            break
        columns.append(better)
    ways = np.array(columns, float).T
    whole = milp(
        np.ones(len(columns)), constraints=LinearConstraint(ways, lb=need), bounds=Bounds(0, np.inf),
        integrality=np.ones(len(columns)), options={"node_limit": MOST_NODES},
    )  # fmt: skip
    if whole.x is None or round(whole.fun) >= len(known):
        return known, least
    counts = np.round(whole.x).astype(int)
    chosen = [column for column, count in zip(columns, counts, strict=True) for _ in range(count)]
    return _trimmed(chosen, wanted), least


def _knapsack(
    sizes: Sequence[int], wanted: Sequence[int], prices: np.ndarray, room: int
) -> tuple[float, float, Pattern]:
    """(worth, what none is worth more than, a way to fill a stick) that is worth most at these prices: by
    branch and bound, the two worths alike unless it was cut short."""
    order = sorted(
        (n for n in range(len(sizes)) if prices[n] > 0.0), key=lambda n: (-prices[n] / sizes[n], n)
    )
    best, best_way, nodes = 0.0, [0] * len(sizes), 0
    way = [0] * len(sizes)

    def fill(at: int, left: int, worth: float) -> None:
        nonlocal best, best_way, nodes
        nodes += 1
        if worth > best + BETTER:
            best, best_way = worth, way.copy()
        if at == len(order) or nodes > MOST_FILLS:
            return
        n = order[at]
        if worth + prices[n] / sizes[n] * left <= best + BETTER:
            return
        for count in range(min(wanted[n], left // sizes[n]), -1, -1):
            way[n] = count
            fill(at + 1, left - count * sizes[n], worth + count * float(prices[n]))
        way[n] = 0

    fill(0, room, 0.0)
    dearest = float(prices[order[0]]) / sizes[order[0]] * room if order else 0.0
    return best, best if nodes <= MOST_FILLS else dearest, tuple(best_way)


def _trimmed(chosen: Sequence[Pattern], wanted: Sequence[int]) -> list[Pattern]:
    """Without the pieces that nobody wants; sticks left empty go."""
    left = list(wanted)
    kept = []
    for pattern in chosen:
        taken = tuple(min(count, rest) for count, rest in zip(pattern, left, strict=True))
        left = [rest - count for rest, count in zip(left, taken, strict=True)]
        kept.append(taken)
    return [pattern for pattern in kept if any(pattern)]


def _named(patterns: Sequence[Pattern], sizes: Sequence[int], taken: Sequence[int]) -> list[list[int]]:
    """Which pieces are sawn from each stick: those of a size in their own order, like sticks together."""
    waiting = {size: [n for n, one in enumerate(taken) if one == size] for size in sizes}
    sticks = []
    for pattern, count in sorted(Counter(patterns).items(), reverse=True):
        for _ in range(count):
            sticks.append([
                waiting[size].pop(0) for size, many in zip(sizes, pattern, strict=True) for _ in range(many)
            ])  # fmt: skip
    return sticks
