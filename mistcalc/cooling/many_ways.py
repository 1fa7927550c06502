"""Many ways to build a patio's line in the same air: the seats' cooling of each, all balanced at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from mistcalc.cooling.balance import PASSES, balance_of
from mistcalc.cooling.balance_inputs import BalanceInputs, inputs_of, joined, parted
from mistcalc.cooling.case import Case, case_of, spray_of, with_line
from mistcalc.cooling.hour_sampling import hours_of_draws
from mistcalc.cooling.place_air import PlaceAir
from mistcalc.cooling.unknowns import draws
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import Air, Layout, Line, SeatAir

ROUGHLY = 1  # passes, of ways to choose among
CONDITIONS = 2000  # draws times ways solved at once: under 150 MB

Way = tuple[Patio, Layout, Line, Plumbing]


def seats_of_ways(
    ways: Sequence[Way], air: Air, bearing: float, which: np.ndarray | None = None, roughly: bool = False
) -> tuple[SeatAir, ...]:
    """What `afternoon_cooling` says of the seats under each, draw by draw, to the last digits. which: those
    of its draws alone, in that order; None: all. roughly: the middle of the draws within 0.02 K, 19 draws in
    20 within 0.001, one within 0.06 (courtyard)."""
    everything = draws()
    count = len(everything.wind)
    chosen = np.arange(count) if which is None else which
    u, hours = everything.some(chosen), hours_of_draws(air, count, chosen)
    most = max(CONDITIONS // len(chosen), 1)
    told: dict[int, SeatAir] = {}
    of_plan: dict[tuple[int, int], tuple[Case, BalanceInputs]] = {}  # its wind and ways out, worked out once
    passes = ROUGHLY if roughly else PASSES
    still = SeatAir(np.zeros((len(chosen), 1)), 0.0)
    sprays = [(n, spray) for n, way in enumerate(ways) if (spray := spray_of(*way[:3])) is not None]
    for start in range(0, len(sprays), most):
        some = sprays[start : start + most]
        cases, inputs = [], []
        for n, spray in some:
            patio, layout, _, plumbing = ways[n]
            plan = id(patio), id(layout)
            if plan not in of_plan:
                case = case_of(patio, layout, spray, plumbing, (hours,), bearing, u)
                of_plan[plan] = case, inputs_of(case)
            case = with_line(of_plan[plan][0], layout, spray, plumbing)
            cases.append(case)
            inputs.append(inputs_of(case, of_plan[plan][1]))
        asked, places = joined(inputs)
        answer = balance_of(asked, passes)
        floor = answer.fates["floor_under"] + answer.fates["floor_outside"]
        for alike in _runs_of_one_plan(cases):
            whole = slice(places[alike.start].start, places[alike.stop - 1].stop)
            drops = PlaceAir(cases[alike.start], parted(answer, [whole])[0]).seats()[0]
            for (n, _), place in zip(some[alike], places[alike], strict=True):
                here = slice(place.start - whole.start, place.stop - whole.start)
                told[n] = SeatAir(drops[:, here], float(floor[:, place].mean()))
    return tuple(told.get(n, still) for n in range(len(ways)))


def _runs_of_one_plan(cases: Sequence[Case]) -> Iterator[slice]:
    """Cases that follow each other with nozzles in the same places: seats ask them all at once."""
    begin = 0
    for n in range(1, len(cases) + 1):
        if n == len(cases) or cases[n].ground is not cases[begin].ground:
            yield slice(begin, n)
            begin = n
