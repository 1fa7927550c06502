"""The smallest fix clears, a smaller one does not, and things that cannot move are not moved."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from mistcalc.layout import lay
from mistcalc.model.project import FixedMark, Obstacle, Patio
from mistcalc.model.results import Fix, Layout
from tests.layout.lids import IN, along_in, courtyard, joists, patio, run, thing
from tests.layout.random_lids import lid
from tests.layout.raw import broken_rules, inside, within_clearance


def shifted(thing_: Obstacle, toward: str, by: float) -> Obstacle:
    along = by if toward == "along+" else -by if toward == "along-" else 0.0
    back = by if toward == "house" else -by if toward == "edge" else 0.0
    return replace(thing_, along=thing_.along + along, back=thing_.back + back)


def with_fix(lid_: Patio, fix: Fix, by: float | None = None, toward: str | None = None) -> Patio:
    return replace(
        lid_,
        obstacles=tuple(
            shifted(o, toward or fix.toward, fix.by if by is None else by) if o.name == fix.move else o
            for o in lid_.obstacles
        ),
    )


def clears(lid_: Patio, layout: Layout, name: str) -> bool:
    """With the row held: no mark in its clearance, none under it."""
    under = any(against == name for _, _, against in broken_rules(lid_, layout))
    return name not in within_clearance(lid_, layout) and not under


def test_courtyard_light() -> None:
    layout = lay(courtyard())
    (fix,) = layout.fixes
    assert (fix.move, fix.toward, fix.ends) == ("L2", "house", ("A7", "A8", "A9"))
    assert fix.by / IN == pytest.approx(15)
    # by hand: the light is then 21 + 15 = 36 in from the line, its clearance
    again = lay(with_fix(courtyard(), fix))
    assert not again.clashes and along_in(again, "A") == along_in(layout, "A")


@pytest.mark.thorough
def test_smallest_on_random_lids() -> None:
    seen = 0
    for seed in range(60):
        lid_ = lid(seed)
        layout = lay(lid_)
        for fix in layout.fixes:
            if fix.purpose != "clearance":
                continue
            seen += 1
            assert clears(with_fix(lid_, fix), layout, fix.move), seed
            whole = round(fix.by / IN)
            assert fix.by / IN == pytest.approx(whole)
            for toward in ("house", "along+", "along-"):
                for less in range(max(1, whole - 3), whole):
                    smaller = with_fix(lid_, fix, less * IN, toward)
                    if not inside(smaller, next(o for o in smaller.obstacles if o.name == fix.move)):
                        continue
                    assert not clears(smaller, layout, fix.move), (seed, fix, toward, less)
            again = lay(with_fix(lid_, fix))
            if again.pattern == layout.pattern == "equal" and again.pitch == layout.pitch:
                before = len(within_clearance(lid_, layout))
                assert len(within_clearance(with_fix(lid_, fix), again)) < before, seed
    assert seen > 10


def test_posts_glass_and_beams_stay() -> None:
    posts = (
        thing("column", "column", "A", 60, 9, (4, 1), 30),
        thing("door glass", "door glass", "A", 130, 9, (4, 1), 30),
        thing("beam", "beam", "A", 190, 9, (4, 1), 30),
    )
    layout = lay(patio((run("A", 240),), posts))
    assert {c.against for c in layout.clashes} == {"column", "door glass", "beam"}
    assert layout.fixes == ()


def duct_lid(seed: int) -> Patio:
    """A straight lid with ducts right over the line."""
    draw = random.Random(seed)
    length = draw.randint(200, 420)
    places = [(draw.randint(20, length - 20), draw.choice((8, 12, 14))) for _ in range(draw.randint(3, 9))]
    ducts = tuple(thing(f"D{n}", "vent", "A", at, 6, size) for n, (at, size) in enumerate(places))
    return patio((run("A", length),), ducts)


def test_equal_row_fix_gives_the_row() -> None:
    """Offered only if laying again gives it: apply what is offered, lay, and look."""
    offered = 0
    for seed in range(60):
        lid_ = duct_lid(seed)
        layout = lay(lid_)
        moves = [f for f in layout.fixes if f.purpose == "equal row"]
        if not moves:
            continue
        assert layout.pattern != "equal" and len(moves) <= 2
        offered += 1
        for fix in moves:
            lid_ = with_fix(lid_, fix)
        again = lay(lid_)
        assert again.pattern == "equal" and again.pitch / IN == pytest.approx(24)
        assert not broken_rules(lid_, again)
    assert offered > 3


def test_fixed_and_drilled_marks_stay() -> None:
    fixed = (FixedMark("A3", 75.25 * IN), FixedMark("A6", (15.25 + 16 * 9) * IN, drilled=True))
    lid_ = patio((run("A", 300, framing=joists(15.25, 16), fixed=fixed),))
    layout = lay(lid_)
    by_name = {m.name: m for m in layout.marks}
    assert by_name["A3"].along == pytest.approx(75.25 * IN) and by_name["A3"].locked
    assert by_name["A6"].along == pytest.approx(159.25 * IN) and by_name["A6"].drilled
    # A6 is drilled into the joist at 159-1/4: it stays and is reported
    assert {c.mark for c in layout.clashes if c.hard} == {"A6"}
    assert not broken_rules(lid_, layout)  # the marks laid round them keep every rule
    assert len({m.name for m in layout.marks}) == len(layout.marks)
