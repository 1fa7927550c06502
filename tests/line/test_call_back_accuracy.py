"""How often a call-back is answered right, on simulated faults: what was set as a target, measured.

The quick way of it (`thorough`) looks at the lines with a commissioning sheet and a few hundred faults; the
whole (`long`, some twenty minutes) at all. docs/validation/call-back.md holds the figures of the whole.
"""

import pytest

from tests.line import call_back_scores as scores
from tests.line.call_backs import SUBSETS

FEW, MANY, GUIDED = 400, 2000, 500
WITH_BUCKETS = [name for name in SUBSETS if name != "gauge + meter"]


def room(share: float, count: int) -> float:
    """Three standard deviations of a share counted on so many cases."""
    return 3.0 * (share * (1.0 - share) / count) ** 0.5


@pytest.mark.parametrize(
    "kind",
    [pytest.param("pump", marks=pytest.mark.thorough), pytest.param("mains", marks=pytest.mark.long)],
)
def test_a_line_with_a_sheet_is_answered_right(kind):
    """0.90 in the first two, 0.90 in the set, less three deviations of so few cases; the calibration error of
    a perfect answer is some 0.03 on 400 cases in ten bins (each bin's own deviation, averaged)."""
    for name in WITH_BUCKETS:
        found, shares = scores.scored(kind, "cups", name, FEW)
        assert found.top_two >= 0.90 - room(0.90, FEW), name
        assert found.held >= 0.90 - room(0.90, FEW), name
        assert found.error <= 0.04 + 0.03, name
        assert abs(shares.sum(axis=1) - 1.0).max() < 1e-9


@pytest.mark.long
def test_more_readings_leave_less_to_choose_from():
    sizes = [scores.scored("pump", "cups", name, FEW)[0].size for name in SUBSETS]
    assert sizes == sorted(sizes, reverse=True)


@pytest.mark.long
@pytest.mark.parametrize("sheet", scores.SHEETS)
@pytest.mark.parametrize("kind", scores.LINES)
class TestWhole:
    def test_near_the_ceiling(self, kind, sheet):
        """Within two points of a table ten times larger, on the same faults."""
        count = GUIDED if sheet == "none" else MANY
        best = scores.ceiling(kind, sheet, count)
        for name in SUBSETS:
            assert scores.scored(kind, sheet, name, count)[0].top_two >= best[name].top_two - 0.02, name

    def test_right_held_and_calibrated(self, kind, sheet):
        for name in SUBSETS:
            found, _ = scores.scored(kind, sheet, name, MANY)
            assert found.held >= 0.90, name
            assert found.error <= 0.04, name
            if sheet != "none" and name != "gauge + meter":
                assert found.top_two >= 0.90, name

    @pytest.mark.parametrize("name", SUBSETS)
    def test_calibrated_where_the_truth_is_another_model(self, kind, sheet, name):
        found, _ = scores.scored(kind, sheet, name, MANY, changed=True)
        assert found.error <= (0.10 if sheet == "none" else 0.05)

    def test_it_pays_to_be_told_what_to_read_next(self, kind, sheet, request):
        if (kind, sheet) == ("pump", "none"):
            request.applymarker(pytest.mark.xfail(reason="missed by less than 0.01 bit"))
        told = scores.guided(kind, sheet, GUIDED)
        assert told.suggested[1] <= told.fixed[1] - 0.1
