"""Names of marks: a run's name and a number, counted from the datum, never used twice for two places."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from mistcalc.model.project import FixedMark, HouseNames, Patio


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
    stated: frozenset[str]  # names of fixed marks anywhere in the house, and of drilled ones

    @classmethod
    def of(cls, patio: Patio, fixed_marks: Iterable[FixedMark], house: HouseNames) -> MarkNames:
        runs = (*house.runs, *(run.name for run in patio.runs))
        stay = [mark.name for run in patio.runs for mark in run.fixed]
        stay += [mark.name for mark in fixed_marks if mark.drilled]
        return cls(prefixes(runs), frozenset((*house.marks, *stay)))

    def by_run(self, marks: Iterable[FixedMark]) -> dict[str, tuple[FixedMark, ...]]:
        """Marks of an earlier layout by the run their names say; one that says none is left out."""
        out: dict[str, tuple[FixedMark, ...]] = {}
        for mark in marks:
            run = next((run for run, prefix in self.prefix.items() if _number(mark.name, prefix)), None)
            if run is not None:
                out[run] = (*out.get(run, ()), mark)
        return out

    def of_run(
        self,
        run: str,
        along: list[float],
        stay: list[str | None],
        old: Sequence[FixedMark],
        reach: float,
    ) -> list[str]:
        """One name for each mark of a run, given in the order of the tape.

        `stay`: the names of fixed and drilled marks, None elsewhere. `old`: this run's marks of the layout
        before (none for a fresh one). A mark at an old place keeps its old name, one that moved less than
        `reach` takes the name with it, and a new one gets a number never used before.
        """
        names, prefix = list(stay), self.prefix[run]
        for near in (1e-4, reach):
            _claim(names, along, old, near)
        here = {m.name for m in old} | {n for n in stay if n is not None}
        count = max((_number(n, prefix) for n in here), default=0) if old else 0
        used = here | self.stated
        for n, name in enumerate(names):
            if name is not None:
                count = max(count, _number(name, prefix))
                continue
            count += 1
            while f"{prefix}{count}" in used:
                count += 1
            names[n] = f"{prefix}{count}"
        return [n for n in names if n is not None]


def _claim(names: list[str | None], along: list[float], old: Sequence[FixedMark], reach: float) -> None:
    """Give each unnamed mark the nearest unclaimed old name within reach."""
    for n, place in enumerate(along):
        near = [m for m in old if abs(m.along - place) <= reach and m.name not in names]
        if names[n] is None and near:
            names[n] = min(near, key=lambda m: abs(m.along - place)).name
