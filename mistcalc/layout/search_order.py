"""Which way along the tube a row is looked for: the same way on a lid and on its mirror image.

Of rows that rank alike the search takes the first it meets. So that a mirrored lid gets the mirrored row, it
begins where `mirror_image.against_the_walk` says.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from mistcalc.layout.run_grid import BlockedTube, RunGrid
from mistcalc.model.mirror_image import against_the_walk, mirrored_patio
from mistcalc.model.project import Patio, Run


@dataclass(frozen=True, eq=False)
class SearchOrder:
    """`strips` as they are searched, of those of the plan: the same, or all of them the other way round."""

    strips: list[RunGrid]
    of_plan: list[RunGrid]
    turned: bool

    @classmethod
    def of(cls, strips: list[RunGrid], patio: Patio) -> SearchOrder:
        if not against_the_walk(patio):
            return cls(strips, strips, False)
        runs = mirrored_patio(patio).runs
        turned = [_turned(strip, n, runs[n]) for n, strip in enumerate(reversed(strips))]
        return cls(turned, strips, True)

    def number(self, number: int) -> int:
        """Of a strip searched: its number in the plan."""
        return len(self.of_plan) - 1 - number if self.turned else number

    def index(self, number: int, index: int) -> int:
        """Of a place on a strip searched: its index in the plan."""
        return self.of_plan[self.number(number)].count - 1 - index if self.turned else index

    def marks(self, number: int, indices: np.ndarray) -> np.ndarray:
        """Places on a strip searched as indices in the plan, in tube order."""
        if not self.turned:
            return indices
        return (self.of_plan[self.number(number)].count - 1 - indices)[::-1]

    def blocked(self, gone: Sequence[BlockedTube]) -> list[BlockedTube]:
        if not self.turned:
            return list(gone)
        return [self._blocked(tube) for tube in reversed(gone)]

    def _blocked(self, gone: BlockedTube) -> BlockedTube:
        strip = self.of_plan[self.number(gone.strip.number)]
        long = strip.lead + strip.count - 1 + strip.tail
        return BlockedTube(strip, long - gone.end, long - gone.start)


def _turned(strip: RunGrid, number: int, run: Run) -> RunGrid:
    """The strip counted from its other end. Of its frame only the run is turned: the search reads no more."""
    last = strip.count - 1

    def spans(named: Iterable[tuple[str, int, int]]) -> tuple[tuple[str, int, int], ...]:
        return tuple((name, last - high, last - low) for name, low, high in named)

    return replace(
        strip,
        band=replace(strip.band, run=run),
        number=number,
        first=strip.first + strip.sense * last,
        sense=-strip.sense,
        lead=strip.tail,
        tail=strip.lead,
        free=strip.free[::-1],
        inside=strip.inside[::-1],
        hits=strip.hits[::-1],
        short=strip.short[::-1],
        warm=spans(strip.warm),
        hard=spans(strip.hard),
        fixed=tuple(last - i for i in reversed(strip.fixed)),
        fixed_marks=strip.fixed_marks[::-1],
    )
