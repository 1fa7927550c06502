"""How high the ends of tubes lie, from what each tube is said to rise."""

from __future__ import annotations

from collections.abc import Sequence

TAPE = 0.025  # m: what is measured round a ring may be out by an inch

Join = tuple[str, str, float | None]  # from, to, rise [m]; None: nobody said


def node_heights(joins: Sequence[Join]) -> tuple[dict[str, dict[str, float]], list[tuple[int, float]]]:
    """Heights [m] of everything joined, and where a ring does not close.

    A rise nobody stated is level, unless the tube closes a ring: then it rises by what its ends differ. So
    stated rises are laid first. Returns ({name: {everything joined to it: height}}, [(index of a stated join
    that closes a ring and is out by more than an inch, what it would have to rise)]).
    """
    group: dict[str, dict[str, float]] = {}
    clashes = []
    for n, (start, end, rise) in sorted(enumerate(joins), key=lambda join: join[1][2] is None):
        start_group, other = group.setdefault(start, {start: 0.0}), group.setdefault(end, {end: 0.0})
        if start_group is other:
            needed = start_group[end] - start_group[start]
            if rise is not None and abs(needed - rise) > TAPE:
                clashes.append((n, needed))
            continue
        shift = start_group[start] + (rise or 0.0) - other[end]
        for name, height in other.items():
            start_group[name] = height + shift
            group[name] = start_group
    return group, clashes
