"""A row of plumes bent by the wind, against a solver of flow, heat and drops that resolves one of them.

Computed by another method, not measured: docs/validation/jet-in-cross-wind.md says how.
"""

import numpy as np
import pytest

from tests.second_method import jet, jet_page


@pytest.mark.parametrize("wind", [1.0, 2.0])
def test_depth_of_the_row(wind):
    """0.15 m: by so much the solver's two models of turbulence differ, and its meshes by 0.08 m."""
    theirs = jet_page.figure(jet.read(), f"w{wind:g}-cell0.035-kEpsilon", "depth", "m")
    assert jet_page.ours(wind) == pytest.approx(theirs, abs=0.15)


@pytest.mark.parametrize("run", ["w0.3-cell0.06-kEpsilon", "w1-cell0.035-kEpsilon", "w2-cell0.035-kEpsilon"])
def test_a_row_is_nearer_than_plumes_that_know_no_neighbors(run):
    theirs = jet_page.figure(jet.read(), run, "depth", "m")
    wind = float(run.split("-")[0][1:])
    row, alone = (np.abs(jet_page.ours(wind, lift=lift) - theirs)[1:] for lift in (1.0, 0.0))
    assert np.all(row < alone)


def test_the_page_holds_the_figures():
    assert jet_page.FILE.read_text(encoding="utf-8") == jet_page.text(jet.read())
