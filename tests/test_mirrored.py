"""A mirrored house: its lid, line and air are the mirror image of the plan's, by geometry worked out here."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import pytest

from mistcalc import cli, design, files, report
from mistcalc.cooling import every_hour
from mistcalc.cooling.hour_sampling import hours_of
from mistcalc.cooling.unknowns import draws
from mistcalc.errors import ConvergenceError, InputError
from mistcalc.model.mirror_image import mirrored
from mistcalc.model.project import Patio, Project
from mistcalc.model.results import Air, Layout, Line, Point
from tests.bent_lids import ARC, BOW
from tests.random_projects import project_text

HOURS = 3  # of each afternoon, from a file
EXACT = 1e-6  # K in one draw and hour
FEW = 6  # draws of the unknown: each is compared alone


def plan_of(seed: int) -> Project:
    return replace(files.parse_project(project_text(seed)), mirrored_from="", alternates=())


def same_angle(a: float, b: float) -> bool:
    return abs(math.remainder(a - b, 2 * math.pi)) < 1e-9


def assert_same(again: Project, plan: Project) -> None:
    for name in plan.__dataclass_fields__:
        if name not in ("place", "patios"):
            assert getattr(again, name) == getattr(plan, name), name
    assert same_angle(again.place.bearing, plan.place.bearing)
    assert replace(again.place, bearing=0.0) == replace(plan.place, bearing=0.0)
    for one, other in zip(again.patios, plan.patios, strict=True):
        assert same_angle(one.turned, other.turned)
        assert one.height == pytest.approx(other.height, abs=1e-12)
        assert depths_told(one) == depths_told(other)


def depths_told(patio: Patio) -> Patio:
    """Of a taper the depth at its start, which may be the patio's own unsaid; neither heading nor height."""
    runs = tuple(
        run if run.depth_at_end is None else replace(run, depth=patio.depths_over(n)[0])
        for n, run in enumerate(patio.runs)
    )
    return replace(patio, runs=runs, turned=0.0, height=0.0)


# ------------------------------------------------------------------ on the ground


def compass(heading: float) -> np.ndarray:
    """The unit vector (east, north) of a heading clockwise from north."""
    return np.array([math.sin(heading), math.cos(heading)])


def on_the_ground(points: Iterable[Point], heading: float) -> np.ndarray:
    """Points of a plan whose +x goes `heading`, as (east, north) from some place."""
    ahead, house = compass(heading), compass(heading - math.pi / 2)
    return np.array([x * ahead + y * house for x, y in points]).reshape(-1, 2)


def seen_in_mirror(points: np.ndarray, looks: float) -> np.ndarray:
    """Left for right, for one who looks that way."""
    axis = compass(looks)
    return 2 * np.outer(points @ axis, axis) - points


def same_shape(one: np.ndarray, other: np.ndarray, looks: float) -> bool:
    """Whether one is the other's mirror image, wherever it was put."""
    image = seen_in_mirror(one, looks)
    return len(one) == len(other) and bool(np.allclose(image - image[0], other - other[0], atol=1e-6))


def things(layout: Layout) -> list[Point]:
    """Every named place of a lid, in the order of names; lines by their ends, both ways round."""
    lid = layout.lid
    named = [(f"mark {m.name}", m.point) for m in layout.marks]
    named += [(f"obstacle {o.name}", o.point) for o in lid.obstacles]
    named += [(f"seat {n} {s.name}", s.point) for n, s in enumerate(lid.seats) if "(" not in s.name]
    named += [(f"datum {r.name}", r.datum_point) for r in lid.runs]
    for kind, lines in (
        ("run", [(r.name, r.tube) for r in lid.runs if r.tube_length > 0]),
        ("screen", [(s.name, s.line) for s in lid.screens]),
        ("joint", [(f"{j.run} {j.joint.along:.6f}", j.line) for j in lid.joints]),
    ):
        named += [(f"{kind} {name}", ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)) for name, (a, b) in lines]
    return [point for _, point in sorted(named)]


def same_corners(one: np.ndarray, other: np.ndarray) -> bool:
    """Whether each corner of one lies on one of the other, in whatever order they are walked."""
    gaps = np.hypot(*(one[:, None, :] - other[None, :, :]).T)
    return bool(gaps.min(axis=0).max() < 1e-6 and gaps.min(axis=1).max() < 1e-6)


def check_lid(plan: Project, other: Project) -> None:
    """Marks have their names and places on the tape; all lies in plan as a mirror shows it."""
    looks = plan.place.bearing + math.pi / 2  # the plan's first run looks out to the right of its heading
    laid, there = design.lay_all(plan), design.lay_all(other)
    for patio, (one, found), (two, found_there) in zip(plan.patios, laid, there, strict=True):
        assert {(m.name, m.run, round(m.along, 7)) for m in one.marks} == {
            (m.name, m.run, round(m.along, 7)) for m in two.marks
        }
        headings = plan.heading(patio.name), other.heading(patio.name)
        places = [on_the_ground(things(x), h) for x, h in zip((one, two), headings, strict=True)]
        assert same_shape(*places, looks)
        outlines = [on_the_ground(x.lid.outline, h) for x, h in zip((one, two), headings, strict=True)]
        image = seen_in_mirror(outlines[0] - places[0][0], looks)
        assert same_corners(image, outlines[1] - places[1][0])
        assert two.lid.area == pytest.approx(one.lid.area)
        assert [(f.move, f.toward, f.by, sorted(f.ends)) for f in one.fixes] == [
            (f.move, f.toward, pytest.approx(f.by), sorted(f.ends)) for f in two.fixes
        ]
        assert sorted(f.code for f in found) == sorted(f.code for f in found_there)


def lines(plan: Project, other: Project) -> tuple[Line, Line] | None:
    layouts = [tuple(laid for laid, _ in design.lay_all(each)) for each in (plan, other)]
    try:
        one, _ = design.solve_line(plan.plumbing, layouts[0])
    except ConvergenceError:
        with pytest.raises(ConvergenceError):
            design.solve_line(other.plumbing, layouts[1])
        return None
    return one, design.solve_line(other.plumbing, layouts[1])[0]


def check_line(one: Line, two: Line) -> None:
    flows = {mark.name: mark.flow for mark in two.marks}
    gauges = {mark.name: mark.pressure_gauge for mark in two.marks}
    assert flows.keys() == {mark.name for mark in one.marks}
    for mark in one.marks:
        assert flows[mark.name] == pytest.approx(mark.flow, rel=1e-5, abs=3e-6 * one.total_flow)
        assert gauges[mark.name] == pytest.approx(mark.pressure_gauge, rel=2e-5, abs=1.0)


def mirrored_air(air: Air, looks: float) -> Air:
    """The same air with wind and sun seen in the mirror."""

    def turned(angle: np.ndarray | None) -> np.ndarray | None:
        return None if angle is None else (2 * looks - angle) % (2 * math.pi)

    direction, azimuth = turned(air.direction), turned(air.sun_azimuth)
    return replace(air, direction=direction, sun_azimuth=azimuth, key=f"{air.key}-mirrored")


def check_cooling(plan: Project, other: Project, airs: tuple[Air, ...], solved: tuple[Line, Line]) -> None:
    """Hour by hour and draw by draw, each seat's, in mirrored winds and suns."""
    looks, unknown = plan.place.bearing + math.pi / 2, draws(FEW)
    airs = tuple(hours_of(air, np.arange(min(len(air.wind), HOURS))) for air in airs)
    mirror = tuple(mirrored_air(air, looks) for air in airs)
    for n, (patio, patio_there) in enumerate(zip(plan.patios, other.patios, strict=True)):
        laid, there = design.lay_all(plan)[n][0], design.lay_all(other)[n][0]
        heading, heading_there = plan.heading(patio.name), other.heading(patio.name)
        cooled = every_hour(patio, laid, solved[0], plan.plumbing, airs, heading, unknown)
        cooled_there = every_hour(
            patio_there, there, solved[0], other.plumbing, mirror, heading_there, unknown
        )  # one line for both: what its last digits differ by is no matter of air
        for one, two in zip(cooled, cooled_there, strict=True):
            assert one.drop.keys() == two.drop.keys()
            for place in one.drop:
                assert np.allclose(one.drop[place], two.drop[place], rtol=0, atol=EXACT), place
            assert one.seat_drop is not None and two.seat_drop is not None
            seats = np.sort(one.seat_drop, axis=0), np.sort(two.seat_drop, axis=0)
            assert np.allclose(*seats, rtol=0, atol=EXACT)
            if one.feel is not None and one.feel.utci is not None and two.feel is not None:
                for column, felt in one.feel.utci.items():
                    assert np.allclose(felt, two.feel.utci[column], atol=EXACT, equal_nan=True), column


QUICK = [pytest.param(seed, marks=pytest.mark.long if seed >= 8 else ()) for seed in range(30)]
MANY = 100


def test_a_mirrored_court_by_hand():
    """Walked with the house on the left: the court's east leg comes first, its tape as before."""
    plan = files.parse_project(files.example_text("courtyard"))
    (patio,), (there,) = plan.patios, mirrored(plan).patios
    assert [run.name for run in patio.runs] == ["A", "B"] and patio.runs[0].corner == "inside"
    assert [run.name for run in there.runs] == ["B", "A"] and there.runs[0].corner == "inside"
    assert [run.datum.end for run in patio.runs] == ["start", "end"] == [run.datum.end for run in there.runs]
    assert [run.datum.surface for run in there.runs] == [run.datum.surface for run in reversed(patio.runs)]
    assert there.house.past_start == patio.house.past_end
    assert there.obstacles == patio.obstacles
    turned = math.degrees(mirrored(plan).place.bearing - plan.place.bearing)
    assert turned == pytest.approx(
        -90
    )  # walked A then B the way turns right; B then A must end on A's heading


def test_what_carries_water_is_joined_at_the_same_places():
    plan = files.parse_project(files.example_text("courtyard"))
    pieces = [(str(p.start), str(p.end)) for p in mirrored(plan).plumbing.pieces]
    assert pieces[:2] == [("pump", "A end"), ("A start", "B end")]  # were "A start"; "A end" to "B start"


def check_alternates(text: str) -> None:
    """What an alternate makes of the mirror image is the mirror image of what it makes of the plan."""
    plan = replace(files.parse_project(text), mirrored_from="")
    text = files.rewrite(text, plan)
    other = mirrored(plan, files.mirrored_alternates(plan, text))
    there = files.alternate_projects(other, files.rewrite(text, other))
    for alternate, made, found in zip(
        plan.alternates, files.alternate_projects(plan, text), there, strict=True
    ):
        made = mirrored(replace(made, mirrored_from="", alternates=()))
        gone = {"alternates": (), "assumed": (), "mirrored_from": ""}
        assert replace(found, **gone, place=made.place, patios=made.patios) == replace(made, **gone)
        assert_same(replace(found, **gone), replace(made, **gone)), alternate


def test_an_alternate_with_a_left_and_a_right_is_mirrored():
    text = files.example_text("courtyard")
    change = '"patio.house.past_end" = "3 ft", "patio.run[A].framing.covers_corner" = false'
    text += f'\n[[alternate]]\nname = "wide"\nchange = {{ {change} }}\n'
    plan = files.parse_project(text)
    with pytest.raises(InputError) as caught:
        mirrored(plan)
    assert caught.value.code == "mirror-alternate"
    told = dict(files.mirrored_alternates(plan, text)[-1].change)
    assert told == {
        "patio[court].house.past_start": "3 ft", "patio[court].run[B].framing.covers_corner": True
    }  # fmt: skip
    check_alternates(text)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", QUICK)
def test_lid_and_line_of_a_mirrored_house(seed: int) -> None:
    plan = plan_of(seed)
    other = mirrored(plan)
    assert_same(mirrored(other), plan)
    check_lid(plan, other)
    if (solved := lines(plan, other)) is not None:
        check_line(*solved)
    check_alternates(project_text(seed))


# Another depth at one end of a taper, and another bend.
OTHERWISE = """
[[alternate]]
name = "otherwise"
change = { "patio.run[A].depth" = "9 ft", "patio.run[A].bend" = "14 deg" }
"""


LONGER = BOW.replace('name = "C"\nlength = "8 ft"', 'name = "C"\nlength = "9 ft"')


@pytest.mark.parametrize("text", [BOW, LONGER, ARC])
def test_a_mirrored_lid_that_bends(text: str, sample) -> None:
    plan = replace(files.parse_project(text), mirrored_from="", alternates=())
    other = mirrored(plan)
    assert_same(mirrored(other), plan)
    check_lid(plan, other)
    solved = lines(plan, other)
    assert solved is not None
    check_line(*solved)
    airs = design.outdoor_conditions(sample(plan.place.climate), plan.place)
    check_cooling(plan, other, airs, solved)


def test_an_alternate_of_a_lid_that_bends_is_mirrored() -> None:
    check_alternates(BOW + OTHERWISE)


SOME = [pytest.param(first, marks=pytest.mark.long if first else ()) for first in range(0, MANY, 4)]


@pytest.mark.thorough
@pytest.mark.parametrize("first", SOME)
def test_mirrored_houses_cool_as_much(first: int, sample) -> None:
    for seed in range(first, first + 4):
        plan = plan_of(seed)
        other = mirrored(plan)
        check_lid(plan, other)
        solved = lines(plan, other)
        weather = sample(plan.place.climate) if plan.place.climate else None
        airs = design.outdoor_conditions(weather, plan.place)
        if solved is not None:
            check_line(*solved)
            check_cooling(plan, other, airs, solved)


# ------------------------------------------------------------------ through the door


@pytest.mark.thorough
def test_the_command_writes_the_plan_the_other_way_round(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    text = files.example_text("courtyard")
    (tmp_path / "left.toml").write_text("\ufeff" + text, "utf-8")  # as some editors begin a file
    assert cli.main(["new", "right", "--mirror", "left.toml"]) == 0
    said = capsys.readouterr().out
    assert "face of west wall framing" in said and "RIGHT (MIRRORED)" in said
    made, plan = files.read_project(tmp_path / "right.toml"), files.parse_project(text)
    assert made.mirrored_from == plan.name
    assert_same(replace(mirrored(made), name=plan.name, assumed=()), replace(plan, assumed=()))


@pytest.mark.thorough
def test_a_heading_that_is_a_guess_stays_one(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    lengths = ("--run", "20 ft", "--run", "12 ft", "--depth", "9 ft", "--near", "tucson")
    assert cli.main(["new", "left", *lengths]) == 0 == cli.main(["new", "right", "--mirror", "left.toml"])
    assert "place.bearing" in files.read_project(tmp_path / "right.toml").assumed


@pytest.mark.parametrize("more", [("--near", "tucson"), ("--example", "bayou")])
def test_a_mirrored_plan_is_a_whole_file(more, tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "left.toml").write_text(files.example_text("courtyard"))
    assert cli.main(["new", "right", "--mirror", "left.toml", *more]) == 2
    told = capsys.readouterr().err
    assert "--mirror gives a whole file" in told and f"says a ceiling: {more[0]}." in told
    assert not (tmp_path / "right.toml").exists()


@pytest.mark.thorough
def test_sheets_and_messages_say_of_which_plan_they_are_the_mirror_image():
    plan = files.parse_project(files.example_text("terraza"))
    made = design.run(mirrored(plan))
    sheets = report.contents(made)
    name = f"{plan.name} (mirrored)"
    assert name in sheets["marks.txt"] and name in sheets["marks.html"]
    assert f"<h1>{name}</h1>" in sheets["marks.html"]  # where no script runs too
    plan_sheet = sheets["sheet-R-1.svg"].decode()
    assert "MIRRORED" in plan_sheet and "(mirrored)" in plan_sheet
