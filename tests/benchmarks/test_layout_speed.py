"""Laying a patio: how time grows from the courtyard to 120 ft, in one run. Seconds are printed with -s."""

from __future__ import annotations

import pytest

from mistcalc.layout import lay
from mistcalc.model.project import Patio
from tests.benchmarks.timing import best
from tests.layout.lids import courtyard, joists, patio, run, thing

pytestmark = pytest.mark.benchmark


def long_lid(length: float) -> Patio:
    """A straight run with ducts on the line that a row of one pitch cannot miss."""
    ducts = tuple(
        thing(f"D{n}", "vent", "A", 29 + 31.5 * n + (7 * n) % 13, 6, 12) for n in range(int(length / 32) - 1)
    )
    return patio((run("A", length, framing=joists(15.25, 16)),), ducts)


def test_work_grows_with_length_not_faster() -> None:
    """Four times the length takes at most ten times the time: the search is linear in places, and the
    longer lid falls one pattern further (jogged, after regular was tried in vain)."""
    thirty, hundred_twenty = long_lid(30 * 12), long_lid(120 * 12)
    patterns = lay(thirty).pattern, lay(hundred_twenty).pattern
    assert patterns[1] in ("regular", "jogged", "broken")  # the costly branch, not the first lattice
    short, long = best(lambda: lay(thirty), 5), best(lambda: lay(hundred_twenty), 3)
    house = best(lambda: lay(courtyard()), 10)
    print(
        f"\ncourtyard {house * 1e3:.1f} ms; 30 ft {patterns[0]} {short * 1e3:.0f} ms; "
        f"120 ft {patterns[1]} {long * 1e3:.0f} ms"
    )
    assert long < 10 * short
