"""Findings of the lid carry the numbers behind them. Thresholds: common practice, no source, unless named."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from mistcalc.checks import lid_findings
from mistcalc.checks.lid import crosses_itself, framing_unknown, holes_verdict, in_outline
from mistcalc.layout import lay
from mistcalc.model.project import FixedMark, Patio, Seat
from mistcalc.model.results import Finding
from mistcalc.report.common.alike_findings import told_together
from mistcalc.words import say
from mistcalc.words.series import in_series
from tests.layout.lids import FT, IN, courtyard, joists, patio, rules, run, thing


def found(lid: Patio) -> dict[str, Finding]:
    """By code; the first where there are several."""
    out: dict[str, Finding] = {}
    for finding in lid_findings(lid, lay(lid)):
        out.setdefault(finding.code, finding)
    return out


def test_courtyard_clearance() -> None:
    finding = found(courtyard())["clearance-judgement"]
    assert (finding.level, finding.where, finding.source) == ("warn", "court/L2", "judgement")
    # 21 in across and, to A8, 204 - 199-1/4 = 4-3/4 in along
    assert finding.provided == pytest.approx((21**2 + 4.75**2) ** 0.5 * IN)
    assert finding.required == pytest.approx(36 * IN)
    assert finding.value("marks") == ("A7", "A8", "A9") and finding.value("kind") == "light"
    fix = dict(finding.fix)
    assert (fix["move"], fix["toward"]) == ("L2", "house") and fix["by"] == pytest.approx(15 * IN)


def test_a_lid_that_stands_free_has_no_house_to_move_toward() -> None:
    finding = found(replace(courtyard(), back="open"))["clearance-judgement"]
    assert dict(finding.fix)["toward"] == "back"
    assert say(finding).endswith("Move it 15 in toward the back of the patio.")


def test_courtyard_has_no_failing_finding() -> None:
    codes = [(f.level, f.code) for f in lid_findings(courtyard(), lay(courtyard()))]
    assert codes[0] == ("warn", "clearance-judgement")
    assert {c for level, c in codes if level == "note"} == {"start-off-mid-bay", "check-other-end"}
    warned = [code for level, code in codes if level == "warn"]
    assert warned == ["clearance-judgement"]


def test_names_with_a_slash_are_said_whole() -> None:
    """People call a patio "North/South" and a lamp "Lamp 1/2"."""
    lid = replace(courtyard(), name="North/South", height=2.0)
    lid = replace(lid, obstacles=tuple(replace(o, name=f"{o.name}/2") for o in lid.obstacles))
    told = {f.code: say(f) for f in lid_findings(lid, lay(lid))}
    assert told["lid-low"].startswith("The ceiling of North/South is")
    assert told["clearance-judgement"].startswith("Light L2/2 is within")
    assert told["start-off-mid-bay"].startswith("Run ") and "North" not in told["start-off-mid-bay"]


def test_courtyard_from_the_other_wall() -> None:
    """A18 at 37 ft from the west wall is 51 - 37 = 14 ft from the east wall; run A is over 25 ft."""
    finding = found(courtyard())["check-other-end"]
    assert finding.where == "court/A" and finding.value("mark") == "A18"
    distance = finding.value("distance")
    assert isinstance(distance, float) and distance / FT == pytest.approx(14)
    assert finding.value("to") == "wall past the corner"
    free = found(replace(courtyard(), back="open"))["check-other-end"]
    assert free.value("to") == "far end"  # a lid that stands free has no wall there
    assert "check-other-end" not in found(patio((run("A", 299),)))


def test_mid_bay_would_hit_every_second_joist() -> None:
    finding = found(courtyard())["start-off-mid-bay"]
    assert (finding.value("hits"), finding.value("of")) == (1, 2)
    assert finding.provided is not None and 3 <= finding.provided / IN <= 4
    assert "start-off-mid-bay" not in found(patio((run("A", 231, framing=joists(12, 24)),)))


def test_hard_rules_fail_with_the_marks_named() -> None:
    on_joist = FixedMark("A2", (15.25 + 32) * IN)
    finding = found(patio((run("A", 240, framing=joists(15.25, 16), fixed=(on_joist,)),)))["mark-on-member"]
    assert finding.level == "fail" and finding.value("marks") == ("A2",)
    assert finding.provided == pytest.approx(-0.5 * IN) and finding.required == pytest.approx(0.75 * IN)
    joint = found(patio((run("A", 240, joints=(("J1", 80.0),), fixed=(FixedMark("A2", 79 * IN),)),)))
    assert joint["mark-near-joint"].provided == pytest.approx(1 * IN)
    fan = thing("Fan", "fan", "A", 120, 48, 60, 24)
    under = found(patio((run("A", 288, fixed=(FixedMark("A4", 120 * IN),)),), (fan,)))["mark-in-sweep"]
    assert under.provided == pytest.approx((42 - 30) * IN) and under.required == pytest.approx(24 * IN)
    duct = thing("Duct", "vent", "A", 120, 6, 6)
    over = found(patio((run("A", 288, fixed=(FixedMark("A4", 123.25 * IN),)),), (duct,)))["mark-under"]
    assert over.level == "fail" and over.provided == pytest.approx(-0.25 * IN)


def test_rows_that_are_not_equal_say_so() -> None:
    places = (38, 61, 95, 118, 175, 212, 234, 321)
    ducts = tuple(thing(f"D{n}", "vent", "A", at, 6, 12) for n, at in enumerate(places))
    finding = found(patio((run("A", 360),), ducts))["row-regular"]
    assert finding.level == "note"
    least, most = finding.value("least"), finding.value("most")
    assert (least, most) == (pytest.approx(27 * IN), pytest.approx(27.5 * IN))


def test_blocked_stretch() -> None:
    fan = thing("Fan", "fan", "A", 120, 48, 60, 24)
    finding = found(patio((run("A", 288),), (fan,)))["blocked-stretch"]
    assert "Expect a gap in the mist there" in say(finding)
    assert (finding.level, finding.value("by")) == ("warn", ("Fan",))
    assert finding.provided == pytest.approx(68 * IN) and finding.required == pytest.approx(36 * IN)


def test_pitch_changed() -> None:
    """24 in between 24 in posts on the line cannot be; 23 in can."""
    joined = patio((run("A", 240, framing=joists(12, 16)),), marks=rules(pitch=32))
    findings = found(joined)
    assert ("pitch-changed" in findings) == (abs(lay(joined).pitch - 32 * IN) > 1e-6)


def test_line_shifted_and_empty_run() -> None:
    along = replace(joists(6, 16), lies="along")
    shifted = found(patio((run("A", 231, framing=along),), beam=0))["line-shifted"]
    assert shifted.provided == pytest.approx(8 * IN) and shifted.required == pytest.approx(6 * IN)
    behind = patio((run("A", 231),), beam=5.5)
    told = found(behind)
    assert "edge beam" in say(told["line-shifted"]) and "joist" not in say(told["line-shifted"])
    hung = found(replace(behind, edge_beam=replace(behind.edge_beam, drop=0.2)))["edge-beam-in-spray"]
    assert hung.provided == pytest.approx(told["line-shifted"].provided - 5.5 * IN)  # from the line as laid
    corner = patio((run("A", 240, ("wall", "corner"), "inside"), run("B", 12, ("corner", "wall"))))
    empty = found(corner)["empty-run"]
    assert empty.where == "court/B" and empty.value("reason") == "short"


def test_outside_the_lid() -> None:
    lid = patio((run("A", 240),), (thing("L", "light", "A", 300, 40, 6, 36),))
    assert found(lid)["thing-outside-lid"].level == "fail"
    lid = replace(patio((run("A", 240),)), seats=(Seat("chair", "A", 2.0, 9.0),))
    assert found(lid)["seat-outside-lid"].level == "warn"


def test_outlines() -> None:
    square = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
    assert not crosses_itself((square,))
    assert in_outline((4.0, 2.0), square) and not in_outline((4.1, 2.0), square)
    bow = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 4.0), (2.0, -1.0), (0.0, -1.0))
    assert crosses_itself((bow,))


def test_runs_that_cross_are_named_and_by_how_much_they_overlap() -> None:
    """Three sides round a house 60 in wide, each 40 in deep: A and C are 2 * 40 - 60 in too deep."""
    turn = ("corner", "corner")
    house = (run("A", 200, ("wall", "corner"), "outside"), run("B", 60, turn, "outside"))
    lid = patio((*house, run("C", 200, ("corner", "wall"))), depth=40)
    finding = found(lid)["lid-crosses-itself"]
    assert (finding.value("run"), finding.value("other")) == ("A", "C")
    assert finding.value("by") == pytest.approx(20 * IN)
    assert "The ceilings over A and C overlap by" in say(finding)


def test_a_ring_left_open_is_told_how_to_close_it() -> None:
    sides = (run("A", 400, ("wall", "corner"), "inside"), run("B", 300, ("corner", "corner"), "inside"),
             run("C", 400, ("corner", "corner"), "inside"), run("D", 300, ("corner", "wall")))  # fmt: skip
    finding = found(patio(sides, depth=96))["lid-crosses-itself"]
    assert finding.value("last") == "D" and "give D a corner too" in say(finding)


def test_findings_are_plain_values() -> None:
    """Findings go into caches and JSON: hashable, only text, numbers and tuples of them."""
    for finding in lid_findings(courtyard(), lay(courtyard())):
        hash(finding)
        for _, value in (*finding.values, *finding.fix):
            parts = value if isinstance(value, tuple) else (value,)
            assert all(isinstance(p, str | int | float | bool | type(None)) for p in parts)


# ------------------------------------------------------------------ lists of members as the tape found them


def listed(*inches: float) -> Patio:
    """A run of 20 ft with joists listed at these places."""
    centres = tuple(at * IN for at in inches)
    framing = replace(joists(8, 16), spacing=None, first=None, centres=centres)
    return patio((run("A", 240, framing=framing),))


ALL = tuple(8 + 16 * k for k in range(15))  # 8 to 232 in


def test_a_whole_list_says_nothing() -> None:
    """Nor do a doubled joist, read 1/8 in near, a list from the far end, or a bay of 24 in."""
    doubled = (*ALL[:4], ALL[3] + 1.375, *ALL[4:])
    for good in (ALL, doubled, ALL[::-1], (*ALL[:4], *(at + 8 for at in ALL[4:-1]))):
        codes = set(found(listed(*good)))
        assert not codes & {"framing-part", "bay-wide", "joist-twice", "joists-overlap", "joist-out-of-order"}


def test_a_hole_in_a_list() -> None:
    """Joists at 56 and 72 in are left out: 40 to 88 in is three bays, over 1.6."""
    finding = found(listed(*ALL[:3], *ALL[5:]))["bay-wide"]
    assert finding.level == "warn" and finding.provided == pytest.approx(48 * IN)
    assert finding.required == pytest.approx(1.6 * 16 * IN)
    inside = finding.value("unknown")
    layout = lay(listed(*ALL[:3], *ALL[5:]))
    assert inside == tuple(m.name for m in layout.marks if 40 * IN < m.along < 88 * IN) and inside
    assert "bay-wide" not in found(listed(*ALL[:3], *(at + 9 for at in ALL[3:-1])))  # 25 in, under 25.6


def test_a_list_that_leaves_off() -> None:
    finding = found(listed(*ALL[:4]))["framing-part"]
    assert (finding.value("start"), finding.value("end")) == (pytest.approx(8 * IN), pytest.approx(56 * IN))
    marks = lay(listed(*ALL[:4])).marks
    assert finding.value("unknown") == tuple(m.name for m in marks if m.along > 56 * IN)
    assert framing_unknown([finding]) == frozenset(finding.value("unknown"))  # type: ignore[arg-type]
    alone = found(listed(72))["framing-part"]  # one joist says nothing of a bay
    assert len(alone.value("unknown")) == len(lay(listed(72)).marks)  # type: ignore[arg-type]


def test_slips_in_a_list() -> None:
    twice = found(listed(*ALL[:5], ALL[4], *ALL[5:]))["joist-twice"]
    assert twice.provided == pytest.approx(72 * IN)
    inside = found(listed(*ALL[:5], ALL[4] + 0.75, *ALL[5:]))["joists-overlap"]
    assert inside.provided == pytest.approx(72.75 * IN) and inside.required == pytest.approx(1.5 * IN)
    order = found(listed(*ALL[:5], ALL[6], ALL[5], *ALL[7:]))["joist-out-of-order"]
    assert (order.value("before"), order.provided) == (pytest.approx(104 * IN), pytest.approx(88 * IN))
    beyond = found(listed(*ALL, 300, 310))["joist-beyond"]
    assert beyond.provided == pytest.approx(300 * IN) and beyond.value("more") == 1
    assert "joist-beyond" not in found(listed(*ALL, 241))  # the plate of the end wall


def test_lists_along_the_line() -> None:
    """Members along the line, listed from the open edge: the line's own bay must be known."""
    framing = replace(
        joists(8, 16), lies="along", spacing=None, first=None, centres=(40 * IN, 56 * IN, 72 * IN)
    )
    finding = found(patio((run("A", 240, framing=framing),)))["framing-part"]
    assert finding.value("unknown") == tuple(
        m.name for m in lay(patio((run("A", 240, framing=framing),))).marks
    )


def test_a_bare_end() -> None:
    """By hand: ducts 13 in long at 31 and 45 in leave 24 in free and then nothing until 38 and 52 in. A row
    from 24 in would need 48; from 38 it stands clear, and the wall's end is 38 in bare, 36 asked for."""
    things = tuple(thing(f"Duct {n}", "vent", "A", at, 6, 13) for n, at in enumerate((31, 45)))
    lid = patio((run("A", 242),), things)
    assert lay(lid).marks[0].along == pytest.approx(38 * IN)
    finding = found(lid)["end-bare"]
    assert (finding.level, finding.value("end"), finding.value("marks")) == ("warn", "wall", ("A1",))
    assert finding.provided == pytest.approx(38 * IN) and finding.required == pytest.approx(36 * IN)
    assert "end-bare" not in found(patio((run("A", 242),), things[:1]))


def test_a_hole_already_drilled_is_not_forbidden_to_drill() -> None:
    """Each hard rule at a hole that is there: what to do now, and no "do not drill"."""
    fan, duct = thing("Fan", "fan", "A", 180, 48, 60, 24), thing("Duct", "vent", "A", 100, 6, 6)
    at = {"drilled-in-member": 47.25, "drilled-near-joint": 79, "drilled-under": 101, "drilled-in-sweep": 180}
    for code, place in at.items():
        holes = (FixedMark("X", place * IN, drilled=True), FixedMark("Y", 47 * IN))
        one = run("A", 288, framing=joists(15.25, 16), joints=(("B1", 79),), fixed=holes)
        told = found(patio((one,), (fan, duct)))
        assert told[code].level == "fail" and told[code].value("marks") == ("X",), code
        words = say(told[code])
        assert "drilled already" in words and "do not drill" not in words.lower()
        assert told["mark-on-member"].value("marks") == ("Y",)  # the one that is not drilled yet


@pytest.mark.parametrize("kind, size, moves", [("beam", (5, 120), False), ("light", (6, 6), True)])
def test_what_stands_too_near_is_told_with_a_move_or_what_else_to_do(kind, size, moves) -> None:
    """A beam across the lid was told to be near and nothing more."""
    lid = patio((run("A", 288),), (thing("X", kind, "A", 140, 60 if kind == "beam" else 18, size, 30),))
    near = found(lid)["clearance-judgement"]
    assert bool(near.fix) is moves
    assert ("Move it" in say(near)) is moves and ("leave it and state" in say(near)) is not moves


@pytest.mark.parametrize("apart", [-0.76, -0.25, 0.25, 1.0, 1.2, 1.3])
def test_a_hole_is_told_to_be_in_the_joist_or_how_far_from_it(apart: float) -> None:
    """A 1 in hole beside a joist 1-1/2 in wide at 47-1/4 in: within 1-1/4 in of its middle it is hit."""
    holes = (FixedMark("X", (47.25 + apart) * IN), FixedMark("D", (95.25 + apart) * IN, drilled=True))
    told = found(patio((run("A", 288, framing=joists(15.25, 16), fixed=holes),)))
    for code in ("mark-on-member", "drilled-in-member"):
        words = say(told[code])
        assert ("in the joist" in words) is (abs(apart) < 1.25), words
        assert ("3/4 in wanted" in words) is (abs(apart) >= 1.25), words
        assert "-" not in words.replace("-1/", " 1/").replace("-3/", " 3/"), words


@pytest.mark.parametrize("inches", [12, 16, 24, 48, 96, 97, 16 * 12, 24 * 12])
def test_joists_that_lie_feet_apart_where_inches_were_meant_are_told(inches: int) -> None:
    lid = patio((run("A", 400, framing=joists(inches / 2, inches)),))
    assert ("joists-far-apart" in found(lid)) is (inches > 96)


@pytest.mark.parametrize("first", [15.25, 24, 25, 40, 120, 279])
def test_no_hole_is_said_to_miss_joists_that_are_stated_to_begin_far_on(first: float) -> None:
    """23-1/4 ft for 23-1/4 in: every hole was said to miss the joists, and none was stated over most."""
    lid = patio((run("A", 377, framing=joists(first, 16)),))
    layout, told = lay(lid), found(lid)
    assert ("joists-late" in told) is (first > 1.6 * 16)
    before = {mark.name for mark in layout.marks if mark.along < (first - 16) * IN}
    verdict = holes_verdict(layout, lid_findings(lid, layout))
    assert verdict.unknown == (len(before) if first > 1.6 * 16 else 0)
    assert (verdict.wood == "missed") is (verdict.unknown == 0)


def test_what_leaves_no_room_for_a_mark_is_named() -> None:
    """A fan of 60 ft, for one of 60 in: all that hangs from the ceiling was to be checked."""
    small = thing("Small", "light", "A", 60, 24, 6, 3)
    lid = patio((run("A", 377),), (thing("Fan 1", "fan", "A", 188, 70, 720, 24), small))
    assert found(lid)["no-marks"].value("things") == ("Fan 1",)
    assert "kept free for Fan 1" in say(found(lid)["no-marks"])
    assert "kept free" not in say(found(patio((run("A", 20),), ()))["no-marks"])


def test_many_things_of_one_kind_are_told_in_one_sentence_that_names_each() -> None:
    """27 lights were 28 findings."""
    lid = patio(
        (run("A", 299),), tuple(thing(f"L{n}", "light", "A", 24 * n, 18, 6, 36) for n in range(1, 12))
    )
    each = [finding for finding in lid_findings(lid, lay(lid)) if finding.alike]
    together = told_together(each)
    assert len(each) >= 11 and len({f.code for f in together}) == len(together) < 4
    assert re.search(r"\d+ lights within 3 ft of holes\. L1: A1", " ".join(map(say, together)))
    moved = {name: by for f in together for names, by in f.value("moves", ()) for name in names}  # type: ignore[attr-defined]
    alone = {f.value("name"): dict(f.fix).get("by") for f in each if f.code == "clearance-judgement"}
    assert moved == alone
    assert told_together(each[:2]) == tuple(each[:2])


def test_numbered_names_in_a_row_are_told_by_first_and_last() -> None:
    def told(*names: str) -> list[str]:
        return in_series(names, "{0} to {1}")

    assert told("L1", "L2", "L3", "L5") == ["L1 to L3", "L5"]
    assert told("L9", "L10", "L11", "M12", "M13") == ["L9 to L11", "M12", "M13"]
    assert told("Lamp", "L2", "Fan 1", "L3") == ["Lamp", "L2", "Fan 1", "L3"]
