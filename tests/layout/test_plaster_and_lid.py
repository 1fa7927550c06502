"""Stub lengths, the finished face, panels, and the lid drawn out in plan."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mistcalc.layout import lay
from mistcalc.model.project import Framing, Plaster
from tests.layout.lids import FT, IN, courtyard, patio, run

SQFT = FT * FT


def test_stub_is_coats_and_trim_below_framing() -> None:
    """Three-coat plaster: 3/8 scratch + 3/8 brown + 1/8 finish = 7/8 in (ASTM C926, nominal total)."""
    coats = 0.375 + 0.375 + 0.125
    mark = lay(courtyard()).marks[0]
    assert mark.stub_nominal / IN == pytest.approx(coats + 0.5)
    assert mark.stub_min / IN == pytest.approx(coats + 0.5 - 0.25)
    assert mark.stub_max / IN == pytest.approx(coats + 0.5 + 0.25)


def test_foam_adds_to_the_stub() -> None:
    """One-coat over 1 in foam: 1-3/8 in and finish from the framing (common practice, no source)."""
    one_coat = Plaster("one-coat", 0.375 * IN, 1.0 * IN, 0.0, 0.0)
    lid = replace(patio((run("A", 231),)), plaster=one_coat)
    assert lay(lid).marks[0].stub_nominal / IN == pytest.approx(1.375)


@pytest.mark.parametrize(
    ("ends", "datum", "sign"),
    [(("wall", "open"), "start", -1), (("wall", "open"), "end", 1), (("open", "wall"), "start", 1)],
)
def test_after_plaster_walls_come_nearer_and_open_ends_recede(ends, datum, sign) -> None:
    layout = lay(patio((run("A", 231, ends, None, datum),)))
    for mark in layout.marks:
        assert (mark.along_finished - mark.along) / IN == pytest.approx(sign * 0.875)


def test_courtyard_in_plan() -> None:
    """51 x 34 ft overall, open edges 38 and 21 ft, 13 ft deep: 38 x 13 + 13 x 13 + 21 x 13 sq ft."""
    lid = lay(courtyard()).lid
    assert lid.area / SQFT == pytest.approx(13 * (38 + 13 + 21))
    xs, ys = [p[0] for p in lid.outline], [p[1] for p in lid.outline]
    assert (max(xs) - min(xs)) / FT == pytest.approx(51) and (max(ys) - min(ys)) / FT == pytest.approx(34)
    a, b = lid.runs
    assert a.tube[1] == pytest.approx(b.tube[0])  # one tube round the corner
    assert a.tube_length / FT == pytest.approx(38.5) and b.tube_length / FT == pytest.approx(21.5)
    assert b.datum_point == pytest.approx((38 * FT, -21 * FT)) and not b.datum_at_start
    lengths = sorted(round((abs(p[0] - q[0]) + abs(p[1] - q[1])) / FT, 6) for p, q in lid.walls)
    assert lengths == [13, 13, 34, 51]


def test_courtyard_marks_lie_on_the_tube() -> None:
    layout = lay(courtyard())
    for mark in layout.marks:
        x, y = mark.point[0] / IN, mark.point[1] / IN
        if mark.run == "A":
            assert (x, y) == pytest.approx((mark.along / IN, 6))
            assert mark.tube_along == pytest.approx(mark.along)
        else:
            assert (x, y) == pytest.approx((462, -252 + mark.along / IN))
            assert mark.tube_along / IN == pytest.approx(258 - mark.along / IN)


def test_joists_of_the_courtyard() -> None:
    """A's joists go on over the corner square, B's begin at it: none drawn twice, none past the walls."""
    members = lay(courtyard()).lid.members
    along_a = sorted((m.along or 0) / IN for m in members if m.run == "A")
    along_b = sorted((m.along or 0) / IN for m in members if m.run == "B")
    assert along_a == pytest.approx([15.25 + 16 * k for k in range(38)])  # last 607-1/4 of 612
    assert along_b == pytest.approx([15.25 + 16 * k for k in range(15)])  # last 239-1/4 of 252


def test_outside_corner_in_plan() -> None:
    runs = (run("A", 240, ("open", "corner"), "outside"), run("B", 240, ("corner", "open"), None, "end"))
    lid = lay(patio(runs, depth=96)).lid
    assert lid.area / IN**2 == pytest.approx(240 * 96 * 2 - 96 * 96)
    assert lid.runs[0].tube[1] == pytest.approx(lid.runs[1].tube[0])
    assert lid.runs[0].tube[1] == pytest.approx((234 * IN, 6 * IN))


def test_panels_of_the_courtyard() -> None:
    panels = {name: (area / SQFT, ratio) for name, area, ratio in lay(courtyard()).panels}
    assert len(panels) == 8 + 3
    assert panels["A panel 1"] == pytest.approx((79.25 * 156 / 144, 156 / 79.25))
    assert panels["B panel 1"] == pytest.approx((87.25 * 156 / 144, 156 / 87.25))
    assert sum(area for area, _ in panels.values()) == pytest.approx(13 * 72)


def test_a_joist_along_the_line_shifts_it() -> None:
    """Joists along at 6 in: hole 1, clear 3/4, joist 1-1/2 want 2 in from its centre, so 8 in: house side
    first at equal distance, in half inches."""
    along = Framing("along", 1.5 * IN, 9.25 * IN, spacing=16 * IN, first=6 * IN)
    layout = lay(patio((run("A", 231, framing=along),), beam=0))
    assert layout.lid.runs[0].back / IN == pytest.approx(8)
    assert all(m.back / IN == pytest.approx(8) for m in layout.marks)
    assert not layout.clashes and layout.marks[0].member_clear == pytest.approx(0.75 * IN)
    nearer = Framing("along", 1.5 * IN, 9.25 * IN, spacing=16 * IN, first=7 * IN)
    assert lay(patio((run("A", 231, framing=nearer),), beam=0)).lid.runs[0].back / IN == pytest.approx(5)
