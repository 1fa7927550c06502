"""Names of marks: a run's name and a number, counted from the datum, never used twice for two places."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from mistcalc.model.earlier_set import EarlierMark
from mistcalc.model.project import HouseNames, Patio


def prefixes(runs: Iterable[str]) -> dict[str, str]:
    """What the marks of each run of a house are called before their number: the run's name, with "-" after
    it where another run's marks could be called the same (runs A and A1 would both have an A11)."""
    out: dict[str, str] = {}
    for run in sorted(set(runs), key=lambda name: (len(name), name)):
        prefix = run
        while any(_meet(prefix, other) for other in out.values()):
            prefix += "-"
        out[run] = prefix
    return out


def _meet(name: str, other: str) -> bool:
    """Whether both with a number after them could be one name."""
    short, long = sorted((name, other), key=len)
    rest = long[len(short) :]
    return long.startswith(short) and (not rest or rest.isdecimal())


def _number(name: str, prefix: str) -> int:
    """The number after a prefix; 0 where it is no such name."""
    number = name[len(prefix) :]
    return int(number) if name.startswith(prefix) and number.isdecimal() else 0


@dataclass(frozen=True)
class MarkNames:
    """How the marks of one patio are called, so that each name is used once in the whole house."""

    prefix: dict[str, str]  # by run, of the whole house; no two fit one name
    taken: frozenset[str]  # names of fixed marks anywhere in the house, and of all marks of earlier sets

    @classmethod
    def of(cls, patio: Patio, house: HouseNames) -> MarkNames:
        runs = (*house.runs, *(row.name for row in patio.rows))
        fixed = [mark.name for row in patio.rows for mark in row.fixed]
        return cls(prefixes(runs), frozenset((*house.marks, *house.earlier, *fixed)))

    def of_run(
        self, run: str, along: list[float], stay: list[str | None], old: Sequence[EarlierMark], reach: float
    ) -> list[str]:
        """One name for each mark of a run, given in the order of the tape.

        `stay`: the names of marks that are fixed or at their old place, None elsewhere. `old`: this run's
        marks of the set before (none for a fresh one). A mark that moved less than `reach` takes its name
        with it, and a new one gets a number never used before.
        """
        names, prefix = list(stay), self.prefix[run]
        _take_along(names, along, old, reach)
        here = {m.name for m in old} | {n for n in stay if n is not None}
        count = max((_number(n, prefix) for n in here), default=0) if old else 0
        used = here | self.taken
        for n, name in enumerate(names):
            if name is not None:
                count = max(count, _number(name, prefix))
                continue
            count += 1
            while f"{prefix}{count}" in used:
                count += 1
            names[n] = f"{prefix}{count}"
        return [n for n in names if n is not None]


def _take_along(
    names: list[str | None], along: list[float], old: Sequence[EarlierMark], reach: float
) -> None:
    """Give unnamed marks the names of old ones less than `reach` off: as many as may be, by the least squares
    of the steps, and none past another mark."""
    walls = [place for place, name in zip(along, names, strict=True) if name is not None]
    given = set(names)
    spare = sorted((m for m in old if m.name not in given), key=lambda m: m.along)
    unnamed = [n for n, name in enumerate(names) if name is None]

    at = [mark.along for mark in spare]
    # By the last old name used: how many less are without one, the squares, and the pairs as a chain.
    best: dict[int, tuple[int, float, tuple]] = {-1: (0, 0.0, ())}  # type: ignore[type-arg]
    for n in unnamed:
        near = range(bisect_right(at, along[n] - reach), bisect_left(at, along[n] + reach))
        may = [k for k in near if not _between(walls, *sorted((along[n], at[k])))]
        if not may:
            continue
        first = min((best[last] for last in best if last < may[0]), key=lambda way: way[:2])
        best = {may[0] - 1: first, **{last: way for last, way in best.items() if last >= may[0]}}
        after = dict(best)
        for k in may:
            count, cost, pairs = min((best[last] for last in best if last < k), key=lambda way: way[:2])
            taken = (count - 1, cost + (along[n] - at[k]) ** 2, (pairs, n, k))
            after[k] = min(after.get(k, taken), taken, key=lambda way: way[:2])
        best = after
    pairs = min(best.values(), key=lambda way: way[:2])[2]
    while pairs:
        pairs, n, k = pairs
        names[n] = spare[k].name


def _between(walls: list[float], low: float, high: float) -> bool:
    return bisect_left(walls, high) > bisect_right(walls, low)
