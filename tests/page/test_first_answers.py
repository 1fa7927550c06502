"""Six answers make a project: whatever is answered, the file is read again and says just that."""

from __future__ import annotations

import itertools

import pytest

from mistcalc import design, files
from mistcalc.errors import InputErrors
from mistcalc.page.first_answers import Answers, project_text
from mistcalc.page.start_pictures import SHAPES, picture
from mistcalc.page.views.start import AIRS, CEILINGS, FIRST_TEXTS

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
