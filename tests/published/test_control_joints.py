"""Control joints of ceiling plaster: ASTM C1063."""

from __future__ import annotations

from dataclasses import replace

import pytest

from mistcalc.checks.joints import joint_findings
from mistcalc.layout import lay
from mistcalc.model.project import Joint, Patio
from tests.layout.lids import FT, IN, courtyard, joists, patio, run
from tests.published.cases import Source

ASTM = Source(
    page="astm-c1063",
    subject="The lid",
    title="ASTM C1063, control joints of a plaster ceiling",
    cite="ASTM C1063, 7.10-7.11: horizontal panels at most 100 sq ft, joints at most 18 ft apart, length at "
    "most 2-1/2 "
    "times width, and a joint where the ceiling framing changes direction",
    read="memory",
    limits="As quoted in the trade; check the edition adopted where you build.",
)


def codes(lid: Patio) -> set[str]:
    return {f.code for f in joint_findings(lid, lay(lid))}


def strip(length: float, depth: float) -> Patio:
    """Two panels, each `length` by `depth` ft, with a joint between them."""
    return patio((run("A", 2 * length * 12, joints=(("J1", length * 12),)),), depth=depth * 12)


@pytest.mark.parametrize(
    ("length", "depth", "broken"),
    [
        (10, 10, set()),  # 100 sq ft exactly
        (10.1, 10, {"panel-large"}),
        (12.5, 8, set()),  # strip 8 ft wide: 12-1/2 ft by the area
        (12.6, 8, {"panel-large"}),
        (15, 6, set()),  # strip 6 ft wide: 15 ft by the ratio, 90 sq ft
        (15.1, 6, {"panel-narrow"}),
        (10, 4, set()),  # strip 4 ft wide: 10 ft
        (10.1, 4, {"panel-narrow"}),
        (7.5, 3, set()),
        (5, 2, set()),
        (5.1, 2, {"panel-narrow"}),
        (18, 5, {"panel-narrow"}),  # 18 ft exactly is not too long
        (18.1, 5, {"panel-narrow", "panel-long"}),
    ],
)
def test_panels(length: float, depth: float, broken: set[str]) -> None:
    what = f"two panels of {length:g} x {depth:g} ft: broken rules"
    ASTM.same(what, sorted(codes(strip(length, depth))), sorted(broken))


def test_numbers_behind_the_finding() -> None:
    lid = strip(20, 10)
    area = next(f for f in joint_findings(lid, lay(lid)) if f.code == "panel-large")
    assert area.provided == pytest.approx(200 * FT**2) and area.required == pytest.approx(100 * FT**2)
    assert area.source == "ASTM C1063" and area.level == "warn"
    long = next(f for f in joint_findings(lid, lay(lid)) if f.code == "panel-long")
    assert long.provided == pytest.approx(20 * FT) and long.required == pytest.approx(18 * FT)


def test_no_joints_stated_is_said_once() -> None:
    lid = patio((run("A", 40 * 12),), depth=13 * 12)
    (told,) = joint_findings(lid, lay(lid))
    assert (told.code, told.level, told.source) == ("joints-unstated", "warn", "ASTM C1063")
    assert told.provided == pytest.approx(520 * FT**2) and told.required == pytest.approx(100 * FT**2)
    small = patio((run("A", 10 * 12),), depth=10 * 12)
    assert joint_findings(small, lay(small)) == ()


@pytest.mark.parametrize(
    "length, depth", [(L, D) for L in (3, 8, 11, 17, 19, 24, 40) for D in (2, 4, 5, 9, 13)]
)
def test_the_limit_that_is_told_is_one_that_is_broken(length: float, depth: float) -> None:
    """With no joints stated the sentence names a figure, and that figure is over its limit."""
    lid = patio((run("A", length * 12),), depth=depth * 12)
    broken = {
        "joints-unstated": (length * depth, 100),
        "joints-unstated-long": (max(length, depth), 18),
        "joints-unstated-narrow": (max(length, depth) / min(length, depth), 2.5),
    }
    told = joint_findings(lid, lay(lid))
    assert bool(told) == any(is_ > most for is_, most in broken.values())
    for finding in told:
        is_, most = broken[finding.code]
        scale = {"m2": FT**2, "m": FT, "1": 1.0}[finding.unit]
        assert is_ > most
        assert (finding.provided, finding.required) == pytest.approx((is_ * scale, most * scale))


def test_courtyard_keeps_the_standard() -> None:
    assert codes(courtyard()) == set()


def test_joint_where_framing_changes_direction() -> None:
    a, b = courtyard().runs
    without = patio((a, run("B", 252, ("corner", "wall"), None, "end", b.framing, (("BJ9", 87.25),))))
    assert "joint-missing" in codes(without)


def test_joint_off_a_joist_wants_blocking() -> None:
    lid = patio((run("A", 240, framing=joists(15.25, 16), joints=(("J1", 100.0),)),), depth=100)
    found = [f for f in joint_findings(lid, lay(lid)) if f.code == "joint-off-member"]
    # joists at 95-1/4 and 111-1/4: the nearer is 4-3/4 off
    assert found[0].provided == pytest.approx(4.75 * IN)
    on_blocking = replace(lid.runs[0], joints=(Joint("J1", 100 * IN, "blocking"),))
    assert "joint-off-member" not in codes(replace(lid, runs=(on_blocking,)))
