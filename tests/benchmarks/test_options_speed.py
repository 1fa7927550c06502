"""Ways to build a line, as a ratio to 1,000 plumes in the same run: plan and line of each, and its air."""

from __future__ import annotations

import numpy as np
import pytest

from mistcalc import design, files, options
from mistcalc.cooling import seats_of_ways
from mistcalc.design.options import built_so
from mistcalc.model.results import Wishes
from tests.benchmarks.test_afternoon_speed import spray
from tests.benchmarks.timing import best

pytestmark = pytest.mark.benchmark

LINE, AIR, ROUGHLY = 0.8, 1.5, 0.8  # of 1,000 plumes, a way: plan and line; its air; near enough to choose by


def test_many_ways_are_balanced_at_once():
    project = files.parse_project(files.example_text("courtyard"), "courtyard")
    weather = files.read_climate("el-paso")
    air = design.outdoor_conditions(weather, project.place)[0]
    built = []

    def lines():
        design.lay.cache_clear()
        design.solve_line.cache_clear()
        sawn = {}  # as `options_of` keeps it
        ways = options.ways(project, "us")
        built[:] = [built_so(way, weather, "court", Wishes(), sawn=sawn) for way in ways]

    line = best(lines, 1)
    asked = [(*way.at("court"), way.line, way.project.plumbing) for way in built]
    bearing = project.place.bearing
    seats_of_ways(asked, air, bearing, np.arange(1))  # the wind of every plan, once
    whole = best(lambda: seats_of_ways(asked, air, bearing), 1)
    roughly = best(lambda: seats_of_ways(asked, air, bearing, roughly=True), 1)
    thousand = best(spray(1000), 7)
    each = {"plan and line": line, "its air": whole, "its air to choose by": roughly}
    told = ", ".join(
        f"{what} x{seconds / thousand / len(built):.2f} ({1e3 * seconds / len(built):.0f} ms)"
        for what, seconds in each.items()
    )
    print(f"\n{len(built)} ways, each of 1,000 plumes ({thousand * 1e3:.0f} ms): {told}")
    chosen = (line + roughly) / len(built)
    print(f"{1e3 * chosen:.0f} ms to choose among, 500 in {500 * chosen:.0f} s (aims 15 ms and 10 s)")
    for seconds, most in ((line, LINE), (whole, AIR), (roughly, ROUGHLY)):
        assert seconds <= most * thousand * len(built)
