"""The file's ranges are no wider than what can be answered: at each end the job runs, past it one message."""

from __future__ import annotations

import pytest

from mistcalc import design, files, report, words
from mistcalc.files.project.line_keys import MATERIALS
from tests.files.test_project_mistakes import HOT, SMALL, only

pytestmark = pytest.mark.thorough

TYPED = SMALL.replace('climate = "el-paso"\n', "") + HOT
LINE = '[line]\ntube_temperature = "{}"\n'
WATER = '[water]\ntemperature = "{}"\n'
STATIC = '[water]\nstatic = "{}"\n'
SET = 'set_pressure = "{}"\n'
AT = '[line.nozzle]\nflow = "6 L/h"\nat = "{}"\n'


def with_value(key: str, value: str) -> str:
    """The small house with one value other; it has a pump."""
    text = TYPED + "[pump]\n"
    if key == "elevation":
        return text.replace('"10 m"', f'"{value}"')
    if key == "depth":
        return text.replace('"9 ft"', f'"{value}"')
    if key == "drop":
        return text.replace(
            'depth = "9 ft"', f'depth = "9 ft"\nheight = "2 m"\nedge_beam = {{ drop = "{value}" }}'
        )
    return text + {
        "set": SET,
        "static": STATIC,
        "tube": LINE,
        "water": WATER,
        "at": AT,
        "date": "[dates]\nscratch_coat = {}\n",
    }[key].format(value)


ENDS = [
    ("elevation", "-450 m", "-451 m"),
    ("elevation", "5000 m", "5001 m"),
    ("depth", "300 mm", "0.2 mm"),
    ("drop", "2 m", "2.01 m"),
    ("tube", "93 degC", "94 degC"),
    ("water", "70 degC", "71 degC"),
    ("at", "0.1 bar", "0.09 bar"),
    ("static", "0.1 bar", "0.09 bar"),
    ("set", "0.5 bar", "0.49 bar"),
    ("date", "2000-01-01", "1999-12-31"),
    ("date", "2100-12-31", "9999-12-31"),
]


@pytest.mark.parametrize(("key", "inside", "outside"), ENDS)
def test_the_end_of_a_range_is_answered_and_past_it_is_told(key, inside, outside):
    job = design.run(files.parse_project(with_value(key, inside)), None)
    assert report.plan_json(job) and report.job_summary_text(job)
    found = only(with_value(key, outside))
    assert found.code in ("out-of-range", "order", "date-far")
    said = words.say(found)
    assert "lie from" in said or "larger than" in said
    assert found.line


def test_weather_of_a_high_station_at_either_end(sample):
    """A file's own swings of air pressure come on top of the elevation's."""
    for place, elevation in (("miami", "-450 m"), ("las-vegas", "5000 m")):
        text = SMALL.replace('"10 m"', f'"{elevation}"').replace("el-paso", place) + "[pump]\n"
        assert design.run(files.parse_project(text), sample(place)).afternoons


@pytest.mark.parametrize("material", MATERIALS)
@pytest.mark.parametrize("joints", ["compression", "brazed", "soldered"])
def test_every_tube_is_rated_at_the_hottest_a_file_may_say(material, joints):
    tube = f'[line.tube]\nmaterial = "{material}"\njoints = "{joints}"\n'
    project = files.parse_project(with_value("tube", "93 degC") + tube)
    layouts = tuple(laid for laid, _ in design.lay_all(project))
    solved, _ = design.solve_line(project.plumbing, layouts, design.hottest(None, project.place))
    assert solved.duty.tube_rating >= 0.0


@pytest.mark.parametrize("sign", ["nan", "inf", "-inf", "1e400"])
def test_a_plain_number_must_be_one(sign):
    found = only(SMALL + f"[water]\nph = {sign}\n")
    assert (found.code, found.where) == ("number-not-finite", "water.ph")
    assert "Write it like 7." in words.say(found)


def test_a_main_with_hardly_any_pressure_is_answered():
    """Nozzles above it stay dry: findings, not an error."""
    text = TYPED + '[water]\nstatic = "0.2 bar"\nresidual = "0.1 bar"\n'
    job = design.run(files.parse_project(text), None)
    assert job.failed and report.plan_json(job)


def test_a_patio_too_narrow_for_the_cells_of_its_picture_has_one():
    """An L of long narrow arms: no cell of the map has its middle under the lid."""
    arms = 'length = "45 m"\nthen = "outside corner"\n[[patio.run]]\nname = "B"\nlength = "45 m"'
    text = TYPED.replace('length = "20 ft"', arms).replace('"9 ft"', '"300 mm"')
    job = design.run(files.parse_project(text), None)
    assert job.pictures[0].inside.any()
