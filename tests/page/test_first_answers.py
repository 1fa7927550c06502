"""Six answers make a project: whatever is answered, the file is read again and says just that."""

from __future__ import annotations

import itertools
import math

import pytest

from mistcalc import design, files
from mistcalc.errors import InputError, InputErrors
from mistcalc.page.first_answers import Answers, field_of, length_of, project_text, question_of
from mistcalc.page.plan_data import lid_in_plan
from mistcalc.page.start_pictures import SHAPES, hook, picture, round_first_edge
from mistcalc.page.views.start import AIRS, CEILINGS, FIRST_TEXTS
from mistcalc.report.common.locale_text import Locale

LENGTHS = {"us": ("24 ft", "16 ft 6 in", "20'"), "metric": ("8 m", "5200 mm", "6 m")}
DEPTH = {"us": "12 ft", "metric": "3.6 m"}


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("shape", "ceiling", "units", "mains"),
    list(itertools.product(SHAPES, CEILINGS, ("us", "metric"), (False, True))),
    ids=lambda value: getattr(value, "name", str(value)),
)
def test_any_answers_make_a_design(shape, ceiling, units, mains):
    lengths = (*LENGTHS[units][: shape.asked], DEPTH[units])
    answers = Answers("My patio", shape.name, lengths, ceiling=ceiling, looks=270.0, mains=mains)
    assert answers.complete and answers.air_guessed
    project = files.parse_project(project_text(answers, "en"))
    patio = project.patios[0]
    assert project.units == units and len(patio.runs) == shape.asked * (2 if shape.twice else 1)
    assert patio.plaster.system == ("three-coat" if ceiling == "unknown" else ceiling)
    assert ("plaster.system" in " ".join(project.assumed)) == (ceiling == "unknown")
    assert (project.plumbing.pump is None) == mains
    layout, _ = design.lay(patio, house=project.house_names)
    assert layout.marks and layout.pattern != "broken"
    # Looking west over edge A with the house on the left of the walk: A is walked to the south.
    assert project.place.bearing == pytest.approx(3.141592653589793)


@pytest.mark.parametrize("units", FIRST_TEXTS)
def test_the_afternoon_as_the_fields_first_show_it_is_read(units):
    texts = FIRST_TEXTS[units]
    answers = Answers("N", "straight", (LENGTHS[units][0], DEPTH[units]), afternoon=texts)
    project = files.parse_project(project_text(answers, "en"))
    assert not answers.air_guessed and len(project.place.afternoons) == 1 and "mine" in AIRS


def test_every_mistake_is_said_at_once_and_nothing_incomplete_is_complete():
    assert not Answers("N", "court", ("38 ft", "", "13 ft")).complete
    assert not Answers("N", "court", ("38 ft", "13 ft")).complete
    assert not Answers("N", "court", ("38 pounds", "12 ft", "13 ft")).complete
    assert not Answers("N", "court", ("38", "12 ft", "13 ft")).complete
    with pytest.raises(InputErrors) as told:
        wrong = Answers("N", "straight", ("38 ft", "13 ft"), height="ten", afternoon=("hot", "1", "2 mph"))
        project_text(wrong, "en")
    assert len(told.value.mistakes) == 3


def test_letters_of_a_picture_are_as_many_as_lengths_and_lie_apart():
    for shape in SHAPES:
        assert picture(shape, lettered=True) != picture(shape)
        for (x1, y1), (x2, y2) in itertools.combinations(shape.letters, 2):
            assert max(abs(x1 - x2), abs(y1 - y2)) > 9
        assert len(shape.corners) == (4 if shape.twice else shape.asked - 1)


def _turn(before, after):
    """Above zero where the way turns to the left of whoever walks it, y up."""
    return before[0] * after[1] - before[1] * after[0]


def _legs(points, up):
    return [(x2 - x1, up * (y2 - y1)) for (x1, y1), (x2, y2) in itertools.pairwise(points)]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_a_picture_turns_as_the_ceiling_that_follows_from_it(shape):
    """Else whoever answers by the picture gets the mirror image of the house, and holes on the wrong hand."""
    answers = Answers("N", shape.name, (*LENGTHS["metric"][: shape.asked], DEPTH["metric"]))
    project = files.parse_project(project_text(answers, "en"))
    patio = project.patios[0]
    layout, _ = design.lay(patio, house=project.house_names)
    laid = []
    for run in patio.runs:
        first, *_, last = sorted(layout.marks_of(run.name), key=lambda mark: mark.tube_along)
        laid.append((last.point[0] - first.point[0], last.point[1] - first.point[1]))
    for drawn in (_legs(shape.tubes[0], up=-1), _legs(shape.edges[0], up=-1)):
        for n in range(len(patio.runs) - 1):
            assert _turn(drawn[n], drawn[n + 1]) * _turn(laid[n], laid[n + 1]) > 0
    for n, (x, y) in enumerate(shape.letters):
        leg = min(n, shape.asked - 1) if n < shape.asked else (0 if shape.name != "u" else 1)
        (dx, dy), (x0, y0) = _legs(shape.tubes[0], up=-1)[leg], shape.tubes[0][leg]
        house_side = _turn((dx, dy), (x - x0, -(y - y0)))
        assert house_side > 0 if n == shape.asked else house_side < 0  # the depth's under the ceiling


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_where_the_tape_is_hooked_is_in_the_picture_and_on_no_wall(shape):
    corners = hook(shape)
    assert all(0 <= x <= 100 and 0 <= y <= 74 for x, y in corners)
    for wall in shape.walls:
        for (x1, y1), (x2, y2) in itertools.pairwise(wall):
            low_x, high_x, low_y, high_y = min(x1, x2), max(x1, x2), min(y1, y2), max(y1, y2)
            for x, y in corners:
                away = max(low_x - x, x - high_x, low_y - y, y - high_y)
                assert away > 1.75, "half a wall's thickness: black on black is not seen"


def test_a_mistake_is_told_by_its_question_and_a_length_of_nothing_at_its_field():
    wrong = Answers(
        "N" * 61, "straight", ("9000 ft", "900 ft"), height="1 ft", afternoon=("hot", "", "2 mph")
    )
    with pytest.raises(InputErrors) as told:
        files.parse_project(project_text(wrong, "en"))
    assert sorted(map(question_of, told.value.mistakes)) == [1, 2, 2, 3, 5, 5]
    ring = Answers("N", "ring", ("9000 ft", "20 ft", "9 ft"))
    with pytest.raises(InputErrors) as told:
        files.parse_project(project_text(ring, "en"))
    assert {field_of(mistake, "ring") for mistake in told.value.mistakes} == {("length_of_run", "A")}
    deep = Answers("N", "court", ("30 ft", "20 ft", "900 ft"))
    with pytest.raises(InputErrors) as told:
        files.parse_project(project_text(deep, "en"))
    assert {field_of(mistake, "court") for mistake in told.value.mistakes} == {("length_of_depth", "C")}
    for text in ("0 ft", "-5 ft", "-0 m"):
        with pytest.raises(InputError) as refused:
            length_of(text, "A")
        assert refused.value.code == "not-above-zero" and refused.value.values["key"] == "A"


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_the_compass_turns_the_shape_about_its_first_edge(shape):
    """The middle of that edge in the middle of the ring, all of the shape within it, and the line, which lies
    under the ceiling, behind whoever looks out."""
    turned = round_first_edge(shape)
    points = [p for name in ("walls", "edges", "tubes") for line in turned[name] for p in line]
    assert max(math.hypot(*point) for point in points) == pytest.approx(1.0)
    (x, y), (to_x, to_y) = turned["edges"][0][:2]
    assert (x + to_x, y + to_y) == pytest.approx((0.0, 0.0))
    faces = math.radians(turned["faces"])
    out = (math.sin(faces), -math.cos(faces))  # y down
    assert out[0] * (to_x - x) + out[1] * (to_y - y) == pytest.approx(0.0, abs=1e-9)
    (tube_x, tube_y), (tube_to_x, tube_to_y) = turned["tubes"][0][:2]
    assert out[0] * (tube_x + tube_to_x) / 2 + out[1] * (tube_y + tube_to_y) / 2 < 0.0


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_a_picture_lies_as_the_plan_that_follows_from_it_and_shows_nothing_it_has_not(shape):
    """Each edge goes the way of its run, the house on the same side, and walls are where it has them."""
    lengths = ("9 m", "6 m", "9 m", "3 m")[: shape.asked] if not shape.twice else ("9 m", "8 m")
    project = files.parse_project(project_text(Answers("N", shape.name, (*lengths, "2 m")), "en"))
    (patio,) = project.patios
    layout, _ = design.lay(patio)
    plan = lid_in_plan(layout, patio, Locale("metric", "en"))
    drawn = list(itertools.pairwise(shape.edges[0]))[: len(plan["runs"])]
    for ((x1, y1), (x2, y2)), run in zip(drawn, plan["runs"], strict=True):
        far = math.hypot(x2 - x1, y2 - y1)
        assert ((x2 - x1) / far, (y1 - y2) / far) == pytest.approx(run["ahead"])  # y of a picture is down
    assert not plan["things"]
    assert picture(shape).count("<rect") == 0
    assert bool(shape.walls) == bool(plan["walls"])
    ((x1, y1), (x2, y2)), ((e1, f1), (e2, f2)) = shape.tubes[0][:2], shape.edges[0][:2]
    from_edge = ((x1 + x2 - e1 - e2) / 2, (f1 + f2 - y1 - y2) / 2)  # of the line: under the ceiling
    assert sum(one * other for one, other in zip(from_edge, plan["runs"][0]["house"], strict=True)) > 0
