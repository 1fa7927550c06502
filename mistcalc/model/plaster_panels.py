"""How large, long and narrow a panel of a plastered ceiling may be between its control joints.

ASTM C1063 as quoted in the trade; check the adopted edition. Rooms choose by it and checks judge by it.
"""

from __future__ import annotations

from mistcalc.model.quantities import Metre
from mistcalc.units import parse

LARGEST_PANEL = parse("100 sq ft", "area")
LONGEST_PANEL = parse("18 ft", "length")  # either way
NARROWEST_PANEL = 2.5  # length over width
SLACK = 1e-6


def within_limits(side: Metre, depth: Metre) -> bool:
    """May a panel be so long and so deep?"""
    low, high = sorted((side, depth))
    most = 1 + SLACK
    large, long = low * high > LARGEST_PANEL * most, high > LONGEST_PANEL * most
    return not (large or long or high > low * NARROWEST_PANEL * most)


def longest_side(depth: Metre) -> Metre:
    """Of a panel so deep."""
    return min(LARGEST_PANEL / depth, LONGEST_PANEL, NARROWEST_PANEL * depth)
