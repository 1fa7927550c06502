"""Names of marks: "<run><number>", counted from the datum, never used twice for two places."""

from __future__ import annotations

from mistcalc.model.project import FixedMark


def run_of(name: str, runs: list[str]) -> str | None:
    """The run a mark's name belongs to: the longest run name that leaves a number."""
    fits = [r for r in runs if name.startswith(r) and name[len(r) :].isdecimal()]
    return max(fits, key=len, default=None)


def _number(name: str, run: str) -> int:
    return int(name[len(run) :]) if name.startswith(run) and name[len(run) :].isdecimal() else 0


def names_of(
    run: str, along: list[float], stay: list[str | None], old: list[FixedMark], reach: float
) -> list[str]:
    """One name for each mark of a run, given in the order of the tape.

    `stay`: the names of fixed and drilled marks, None elsewhere. `old`: this run's marks of the layout
    before (none for a fresh one). A mark at an old place keeps its old name, one that moved less than
    `reach` takes the name with it, and a new one gets a number never used before.
    """
    names = list(stay)
    for near in (1e-4, reach):
        _claim(names, along, old, near)
    used = {m.name for m in old} | {n for n in stay if n is not None}
    count = max((_number(n, run) for n in used), default=0) if old else 0
    for n, name in enumerate(names):
        if name is not None:
            count = max(count, _number(name, run))
            continue
        count += 1
        while f"{run}{count}" in used:
            count += 1
        names[n] = f"{run}{count}"
    return [n for n in names if n is not None]


def _claim(names: list[str | None], along: list[float], old: list[FixedMark], reach: float) -> None:
    """Give each unnamed mark the nearest unclaimed old name within reach."""
    for n, place in enumerate(along):
        near = [m for m in old if abs(m.along - place) <= reach and m.name not in names]
        if names[n] is None and near:
            names[n] = min(near, key=lambda m: abs(m.along - place)).name
