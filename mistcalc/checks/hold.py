"""Does a line shut in hold? The rule for the test by gauge and for the watch, one rule for both.

Pressures are compared, not volumes: trapped air makes a litre of doubt out of a hair on the gauge, but a
gauge below what any sound line could show is below it.
"""

from __future__ import annotations

import numpy as np

from mistcalc.model.results import HoldBounds

AGAIN_SHARE = 0.6  # of the first hold's loss: dissolving air loses less the second time, a leak does not
LEAK_LIMIT = 0.1e-6 / 60.0  # m3/s: 0.1 mL/min is called a leak in a test; judgement
WATCH_LIMIT = 8e-6  # m3 lost over a watch; judgement


def answers(
    held: HoldBounds, limit: np.ndarray | float, earlier: HoldBounds | None = None, stretch: float = 1.0
) -> np.ndarray:
    """One of leak, again, holds, temperature, unsure for each hold; the first that is true, in this order.

    leak: below what a sound line shows even with all its trapped air dissolved. again: below what it shows
    with none dissolved: dissolving air or a leak, so pump up and hold again. After an `earlier` hold that was
    below too, a hold is a leak that loses 0.6 of what that lost (`stretch`: this one's time over the
    earlier's) and more than the air left could. holds: no more water lost than `limit` [m3] at worst, and
    the gauge has not moved. temperature: no more lost, and temperature explains the gauge. unsure: none of
    these.
    """
    below = held.read < held.low - held.near
    leak = held.read < held.low_dissolved - held.near
    if earlier is not None:
        was_below = earlier.read < earlier.low - earlier.near
        as_much = shortfall(held) >= AGAIN_SHARE * stretch * shortfall(earlier)
        leak |= was_below & as_much & (held.read < held.low_again - held.near)
    tight = held.lost_most <= limit
    still = np.abs(held.fall) <= held.near
    return np.select(
        [leak, below, tight & still, tight], ["leak", "again", "holds", "temperature"], default="unsure"
    )


def shortfall(held: HoldBounds) -> np.ndarray:
    """How far the gauge stands below where it should with nothing lost [Pa]."""
    return held.expected - held.read
