"""[line] as a fitter writes it: what reads, what is refused in one sentence, what rewriting keeps."""

from __future__ import annotations

import dataclasses

import pytest

from mistcalc import files, words
from mistcalc.files.project.value_writer import quoted
from mistcalc.model.fault_priors import CAUSES
from mistcalc.model.project import Tap
from tests.files.test_project_mistakes import SMALL, mistakes, only
from tests.line import houses

FEED = '[[line.piece]]\nfrom = "pump"\nto = "A start"\nlength = "30 ft"\n'
PUMP = "[pump]\n"
TEE = FEED.replace("A start", "tee 1")
FROM_TEE = '[[line.piece]]\nfrom = "tee 1"\nto = "A start"\nlength = "3 ft"\n'
INLET = '[[line.piece]]\nfrom = "water point"\nto = "A end"\nlength = "9 ft"\n'
RING = FEED + '[[line.piece]]\nfrom = "A end"\nto = "pump"\nlength = "50 ft"\n'
ISLAND = "".join(
    f'[[line.piece]]\nfrom = "tee {a}"\nto = "tee {b}"\nlength = "5 ft"\n' for a, b in ((1, 2), (2, 1))
)
NO_LENGTH = "".join('[[line.piece]]\nfrom = "A start"\nto = "A end"\nlength = "0 ft"\n' for _ in "ab")
ZONE = '[[line.zone]]\nname = "a"\nruns = ["A"]\n'
TOGETHER = FEED + ZONE + "[[line.together]]\nzones = "
DRAINS = '[[line.drain]]\nat = "A end"\n[[line.drain]]\n'
OWN_RUN = '[[line.run]]\nname = "A"\n'
OWN_NOZZLE = '[[line.run]]\nname = "A"\nnozzle = { flow = "6 L/h" }\n'


@pytest.mark.parametrize(
    ("more", "code", "where"),
    [
        (FEED.replace("A start", "A strat"), "piece-ends-nowhere", "line.piece[1].to"),
        (TEE, "piece-ends-nowhere", "line.piece[1].to"),
        (FEED.replace("A start", "A"), "run-not-place", "line.piece[1].to"),
        (FEED.replace("A start", "A at 12"), "unit-missing", "line.piece[1].to"),
        (FEED.replace("A start", "A at 21 ft"), "outside-lid", "line.piece[1].to"),
        (FEED.replace("A start", "A at -1 ft"), "outside-lid", "line.piece[1].to"),
        (FEED.replace("A start", "A at 12 psi"), "unit-of-other-kind", "line.piece[1].to"),
        (FEED.replace("A start", "pump"), "run-not-fed", "line.piece"),
        (FEED + INLET, "past-the-pump", "line.piece"),
        (FEED + ISLAND, "piece-not-fed", "line.piece[2]"),
        (FEED + NO_LENGTH, "ring-of-no-length", "line.piece[3]"),
        (FEED + 'rise = "31 ft"\n', "rise-over-length", "line.piece[1].rise"),
        (RING.replace('to = "A start"', 'to = "A start"\nrise = "9 ft"') + 'rise = "-8 ft"\n',
         "ring-does-not-close", "line.piece[2].rise"),
        (FEED + 'check_opens_at = "1 psi"\n', "no-check-valve", "line.piece[1].check_opens_at"),
        (FEED + 'temperature = "96 degC"\n', "out-of-range", "line.piece[1].temperature"),
        (FEED + 'tube = { outside = "1/4 in", wall = "1/8 in" }\n', "no-bore", "line.piece[1].tube.wall"),
        (FEED + 'tube = { outside = "1/4 in" }\n', "missing", "line.piece[1].tube.wall"),
        (FEED + 'tube = { outside = "0 in", wall = "1 mm" }\n', "out-of-range", "line.piece[1].tube.outside"),
        (FEED + OWN_RUN.replace('"A"', '"Z"'), "no-such-name", "line.run[Z].name"),
        (FEED + OWN_RUN * 2, "name-twice", "line.run[A]"),
        (FEED + OWN_NOZZLE, "missing", "line.run[A].nozzle.at"),
        (FEED + '[[line.mark]]\nname = "A3"\nnozzle = { flow = "1 gph", at = "60 psi" }\n', "no-fixed-mark",
         "line.mark[A3].name"),
        (FEED + '[line.drain]\nat = "drain"\n', "no-such-name", "line.drain.at"),
        (FEED + '[line.drain]\nat = "A at 40 ft"\n', "outside-lid", "line.drain.at"),
        (FEED + DRAINS + 'at = "B"\n', "no-such-name", "line.drain[2].at"),
        (FEED + ZONE + 'valves = ["pump to B"]\n', "no-such-piece", "line.zone[a].valves"),
        (TOGETHER + '["a", "c"]\n', "no-such-name", "line.together[1].zones"),
        (TOGETHER + '["a"]\n', "together-alone", "line.together[1].zones"),
        (FEED + '[water]\ntank = { lift = "45 psi" }\n', "missing", "water.tank.at_flow"),
    ],
)  # fmt: skip
def test_one_mistake_in_the_line(more, code, where):
    if code == "run-not-fed":  # two mistakes in one line: it joins the pump to itself, and no run to it
        assert {m.code for m in mistakes(SMALL + more + PUMP)} == {"piece-to-itself", code}
        return
    found = only(SMALL + more + PUMP)
    assert (found.code, found.where) == (code, where)
    said = words.say(found)
    assert "{" not in said.replace("{ name", "") and found.line is not None


def test_a_mistake_names_the_thing():
    told = words.say(only(SMALL + FEED.replace("A start", "A strat") + PUMP))
    assert 'Nothing else is at "A strat".' in told and 'Did you mean "A start"?' in told
    told = words.say(
        only(
            SMALL
            + RING.replace('to = "A start"', 'to = "A start"\nrise = "9 ft"')
            + 'rise = "-8 ft"\n'
            + PUMP
        )
    )
    assert "-9 ft" in told and "-8 ft" in told


def test_a_place_along_a_run_is_metres_and_its_own_name():
    project = files.parse_project(SMALL + FEED.replace("A start", "A at 6 ft 6 in") + PUMP)
    assert project.plumbing.pieces[0].end == Tap("A", pytest.approx(1.9812), "A at 6 ft 6 in")


def test_a_run_may_have_at_in_its_name():
    text = SMALL.replace('"A"', '"A at night"') + FEED.replace("A start", "A at night at 2 m") + PUMP
    assert files.parse_project(text).plumbing.pieces[0].end.run == "A at night"


def test_tube_of_its_own_takes_the_rest_from_the_line():
    copper = '[line.tube]\nmaterial = "copper"\ntemper = "drawn"\nstick = "20 ft"\n'
    own = FEED + 'tube = { outside = "1/2 in", wall = "0.049 in" }\n'
    plumbing = files.parse_project(SMALL + copper + own + PUMP).plumbing
    tube = plumbing.pieces[0].tube
    assert (tube.material, tube.temper, tube.stick) == ("copper", "drawn", pytest.approx(6.096))
    assert tube.bore == pytest.approx(0.402 * 0.0254) and plumbing.tubes == (plumbing.tube, tube)
    steel = own.replace("wall", 'material = "stainless 304", wall')
    assert files.parse_project(SMALL + copper + steel + PUMP).plumbing.pieces[0].tube.temper is None


def test_nothing_of_an_own_nozzle_comes_from_the_lines():
    line = '[line.nozzle]\nflow = "6 L/h"\nat = "70 bar"\nopens_at = "4 bar"\nexponent = 0.6\n'
    own = OWN_NOZZLE.replace('"6 L/h"', '"1 gph", at = "60 psi"')
    project = files.parse_project(SMALL + line + FEED + own + PUMP)
    nozzle = project.plumbing.nozzle_at("A", "A1")
    assert nozzle.opens_at is None and nozzle.exponent == 0.5
    assert project.plumbing.nozzle_at("B", "B1") is project.plumbing.nozzle


def test_a_check_valve_goes_one_way():
    with_it, without = (
        files.parse_project(SMALL + FEED + f'fittings = {{ elbow = 1, "check valve" = {n} }}\n' + PUMP)
        for n in (1, 0)
    )
    assert with_it.plumbing.pieces[0].one_way and not without.plumbing.pieces[0].one_way


# ------------------------------------------------------------------ rewriting


@pytest.mark.parametrize("name", ["RING", "BRANCHES", "TWO_PATIOS", "MIXED"])
def test_a_change_leaves_the_rest_of_a_house_alone(name):
    text = getattr(houses, name)
    project = files.parse_project(text)
    plumbing = project.plumbing
    first = dataclasses.replace(plumbing.pieces[0], length=12.0, rise=1.0)
    changed = dataclasses.replace(
        project, plumbing=dataclasses.replace(plumbing, pieces=(first, *plumbing.pieces[1:]))
    )
    after = files.rewrite(text, changed)
    assert dataclasses.replace(files.parse_project(after), assumed=()) == dataclasses.replace(
        changed, assumed=()
    )
    assert sum(a != b for a, b in zip(text.split("\n"), after.split("\n"), strict=True)) == 2


def test_own_things_can_be_added_and_taken_away():
    project = files.parse_project(houses.TWO_PATIOS)
    plumbing = project.plumbing
    bare = dataclasses.replace(
        project,
        plumbing=dataclasses.replace(
            plumbing, runs=(), pieces=tuple(dataclasses.replace(p, tube=None) for p in plumbing.pieces)
        ),
    )
    text = files.rewrite(houses.TWO_PATIOS, bare)
    assert "[[line.run]]" not in text and "1/2 in" not in text
    again = files.parse_project(files.rewrite(text, project))
    assert dataclasses.replace(again, assumed=()) == dataclasses.replace(project, assumed=())


def test_a_call_back_is_judged_by_what_the_file_says():
    text = """
[call_back]
line_scale = "3000 psi"
gauge_error = "0.25 %"
[call_back.likely]
plugged = 3
part_worn = 0
"""
    basis = files.parse_project(SMALL + text).call_back
    assert basis.errors.line_scale == pytest.approx(3000 * 6894.757293168)
    assert basis.errors.gauge == 0.0025 and basis.errors.cup == 0.02 and basis.errors.inlet_scale is None
    assert dict(zip(CAUSES, basis.judgement.odds, strict=True)) == {
        **dict.fromkeys(CAUSES, 1.0),
        "plugged": 3.0,
        "part-worn": 0.0,
    }
    wrong = SMALL + "[call_back.likely]\nsound = 0\nleek = 2\n"
    assert {(m.code, m.where) for m in mistakes(wrong)} == {
        ("not-above-zero", "call_back.likely.sound"),
        ("key-unknown", "call_back.likely.leek"),
    }


@pytest.mark.parametrize("run", ["A at 3", "pump", "A start", "x" * 60, 'the "L"'])
def test_a_run_may_have_any_name(run):
    """The words around a name are found from its far side, and have room beside it."""
    named = SMALL.replace('name = "A"', f"name = {quoted(run)}") + PUMP
    ends = [f"{run} start", f"{run} at 3 ft", f"{run} end"]
    pieces = f"""\
[[line.piece]]
from = "pump"
to = {quoted(ends[0])}
length = "30 ft"
[[line.piece]]
from = {quoted(ends[1])}
to = "drain"
length = "9 ft"
[line.drain]
at = {quoted(ends[2])}
"""
    plumbing = files.parse_project(named + pieces).plumbing
    assert str(plumbing.pieces[0].end) == ends[0]
    tap = plumbing.pieces[1].start
    assert isinstance(tap, Tap) and tap.run == run and tap.along == pytest.approx(0.9144)
    assert [drain.at for drain in plumbing.drains] == [ends[2]]
    assert files.rewrite(named + pieces, files.parse_project(named + pieces)) == named + pieces


@pytest.mark.parametrize(
    ("material", "stick", "joints"),
    [("stainless 304", 3.048, "compression"), ("pvc", 3.048, "solvent cement"), ("nylon", 30.48, "push-in")],
)
def test_tube_is_sold_and_joined_as_its_material_is(material, stick, joints):
    """Common practice, no source: metal and rigid plastic straight, what bends as a coil."""
    project = files.parse_project(SMALL + f'[line.tube]\nmaterial = "{material}"\n')
    tube = project.plumbing.tube
    assert (tube.stick, tube.joints) == (pytest.approx(stick), joints)
    assert {"line.tube.stick", "line.tube.joints"} <= set(project.assumed)


def test_a_runs_tube_of_another_material_is_sold_as_that_is():
    own = '[[line.run]]\nname = "A"\ntube = { outside = "10 mm", wall = "1 mm", material = "nylon" }\n'
    told = files.parse_project(SMALL + '[line.tube]\nstick = "20 ft"\njoints = "brazed"\n' + own)
    assert told.plumbing.tube.stick == pytest.approx(6.096)
    tube = told.plumbing.on_run("A").tube
    assert (tube.stick, tube.joints) == (pytest.approx(30.48), "push-in")
