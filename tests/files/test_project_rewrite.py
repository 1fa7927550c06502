"""Rewriting a person's text: what changed and nothing else, and it reads back equal."""

from __future__ import annotations

import dataclasses
import difflib
from dataclasses import replace
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from mistcalc import files, units
from mistcalc.errors import InputErrors
from mistcalc.files.project import alternates
from mistcalc.files.project import reader as project_reader
from mistcalc.model.project import (
    Drain,
    FixedMark,
    Joint,
    Obstacle,
    Prices,
    Project,
    Pump,
    Seat,
    Tank,
    TypedAfternoon,
    Zone,
)
from mistcalc.model.second_rows import tried_rows, with_row_feeds

TEXTS = {name: files.example_text(name) for name in files.EXAMPLES}
TEXTS["new"] = files.new_project_text("New", ["38 ft", "21 ft"], "13 ft", (), "el-paso")
TEXTS["dotted"] = """\
format = 1
name = 'Dotted'   # single quotes
place = { elevation = "10 m", climate = "el-paso" }
line.tube.kerf = "2 mm"

[[patio]]
name = "p"
depth = "9 ft"
marks.pitch = "20 in"
run = [
    { name = "A", length = "20 ft", fixed = [] },   # the only one
]
"""


def same(a: Project, b: Project) -> bool:
    return dataclasses.replace(a, assumed=()) == dataclasses.replace(b, assumed=())


def changed(text: str, project: Project) -> list[str]:
    """Lines taken away and put in. Whatever comes out also reads in the library we do not use."""
    after = files.rewrite(text, project)
    assert same(files.parse_project(after), project)
    tomlkit.parse(after)
    return [
        line.rstrip("\r")
        for line in difflib.ndiff(text.split("\n"), after.split("\n"))
        if line[0] in "+-" and line.strip() not in "+-"
    ]


def test_a_change_reads_its_new_text_once_and_what_it_changes_not_again(monkeypatch):
    """As the page saves a move: the text known before, changed, and read back twice."""
    read, parse_toml = [], project_reader.parse_toml
    monkeypatch.setattr(project_reader, "parse_toml", lambda *given: read.append(given) or parse_toml(*given))
    monkeypatch.setattr(alternates, "parse_toml", project_reader.parse_toml)
    text = TEXTS["bayou"].replace("\n", "\n# a text that no other test has read\n", 1)
    project = replace(files.parse_project(text), name="Told once")
    assert len(read) == 1
    after = files.rewrite(text, project)
    assert same(files.parse_project(after), project) and files.parse_project(after) is files.parse_project(
        after
    )
    assert len(read) == 2


def patio(project: Project, **edits: Any) -> Project:
    return replace(project, patios=(replace(project.patios[0], **edits), *project.patios[1:]))


def inch(value: float) -> float:
    return units.parse(f"{value} in", "length")


COURT = files.parse_project(TEXTS["courtyard"])
LIGHTS = COURT.patios[0].obstacles


@pytest.mark.parametrize("name", TEXTS)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_an_unchanged_project_gives_back_every_byte(name, ends):
    text = "\ufeff" + TEXTS[name].replace("\n", ends)
    assert files.rewrite(text, files.parse_project(text)) == text


def test_one_moved_light_is_one_changed_line_with_its_comment():
    moved = replace(LIGHTS[1], back=inch(42))
    comment = "# too near the line, on purpose: see what the program says"
    assert changed(TEXTS["courtyard"], patio(COURT, obstacles=(LIGHTS[0], moved, *LIGHTS[2:]))) == [
        f'- back  = "2 ft 3 in"              {comment}',
        f'+ back  = "3 ft 6 in"              {comment}',
    ]


@pytest.mark.parametrize(
    ("edit", "lines"),
    [
        (
            lambda p: replace(p, name='A "b" \\'),
            ['- name     = "Tinaja Lane"', '+ name     = "A \\"b\\" \\\\"'],
        ),
        (
            lambda p: replace(p, place=replace(p.place, shelter=0.35)),
            [
                '- shelter         = "50 %"         # what neighbors and plants leave of that wind',
                '+ shelter         = "35 %"         # what neighbors and plants leave of that wind',
            ],
        ),
        (
            lambda p: patio(p, obstacles=(*LIGHTS[:-1], replace(LIGHTS[-1], size=(inch(60), inch(28))))),
            ['- size  = ["4 ft", "2 ft 4 in"]', '+ size  = ["5 ft", "2 ft 4 in"]'],
        ),
        (
            lambda p: patio(p, obstacles=(replace(LIGHTS[0], clearance=inch(30)), *LIGHTS[1:])),
            ['+ clearance = "2 ft 6 in"'],
        ),
        (
            lambda p: replace(p, control=replace(p.control, months=(4, 10))),
            ['- months        = ["May", "Sep"]', '+ months        = ["Apr", "Oct"]'],
        ),
    ],
)
def test_small_edits_of_the_courtyard(edit, lines):
    assert changed(TEXTS["courtyard"], edit(COURT)) == lines


def test_an_obstacle_taken_out_and_one_put_in():
    new = Obstacle("Heater", "heater", "B", inch(60), inch(96), (inch(36), inch(8)), inch(60))
    text = TEXTS["courtyard"]
    at = text.index('\n[[patio.obstacle]]\nname = "L4"')
    without = text[:at] + text[text.index("\n[[patio.obstacle]]", at + 1) :]
    last = 'size  = ["4 ft", "2 ft 4 in"]\n'
    wanted = without.replace(
        last,
        last + '\n[[patio.obstacle]]\nname = "Heater"\nkind = "heater"\nrun = "B"\nalong = "5 ft"\n'
        'back = "8 ft"\nsize = ["3 ft", "8 in"]\nclearance = "5 ft"\n',
    )
    assert files.rewrite(text, patio(COURT, obstacles=(*LIGHTS[:3], *LIGHTS[4:], new))) == wanted


def test_a_mark_fixed_by_hand_moved_and_freed_again():
    a, b = COURT.patios[0].runs
    once = patio(COURT, runs=(a, replace(b, fixed=(FixedMark("B3", inch(76)),))))
    text = files.rewrite(TEXTS["courtyard"], once)
    assert 'fixed = [ { name = "B3", along = "6 ft 4 in" } ]\n' in text
    twice = patio(
        COURT, runs=(a, replace(b, fixed=(FixedMark("B3", inch(77), True), FixedMark("B4", inch(100)))))
    )
    again = files.rewrite(text, twice)
    assert 'along = "6 ft 5 in", drilled = true }, { name = "B4", along = "8 ft 4 in" } ]' in again
    free = files.rewrite(again, patio(COURT, runs=(a, replace(b, fixed=()))))
    assert same(files.parse_project(free), COURT)


def test_joints_on_lines_of_their_own_stay_so():
    a, b = COURT.patios[0].runs
    joints = (*a.joints[:1], *a.joints[2:], Joint("J11", inch(120), "blocking"))
    assert changed(TEXTS["courtyard"], patio(COURT, runs=(replace(a, joints=joints), b))) == [
        '-   { name = "J2", along = "13 ft 3-1/4 in" },',
        '+   { name = "J11", along = "10 ft", on = "blocking" },',
    ]


def test_from_pump_to_mains_and_back():
    plumbing = COURT.plumbing
    pieces = (replace(plumbing.pieces[0], start="water point"), *plumbing.pieces[1:])
    mains = replace(COURT, plumbing=replace(plumbing, pump=None, drains=(), pieces=pieces))
    text = files.rewrite(TEXTS["courtyard"], mains)
    assert "\n[pump]" not in text and "\nset_pressure" not in text
    assert "# ------------------------------------------------------------------ running, money" in text
    back = files.rewrite(text, COURT)
    assert same(files.parse_project(back), COURT)


def test_keys_of_tables_that_are_not_there_yet():
    project = files.parse_project(TEXTS["dotted"])
    p = project.patios[0]
    more = patio(
        project,
        marks=replace(p.marks, pitch=inch(30), hole=inch(2)),
        plaster=replace(p.plaster, system="none"),
        obstacles=(LIGHTS[0],),
        seats=(Seat("s", "A", inch(60), inch(60)),),
        runs=(
            replace(p.runs[0], datum=replace(p.runs[0].datum, surface="post"), fixed=(FixedMark("A1", 1.0),)),
        ),
    )
    more = replace(
        more,
        plumbing=replace(
            more.plumbing,
            tube=replace(more.plumbing.tube, kerf=0.003, stick=4.0),
            nozzle=replace(more.plumbing.nozzle, flow=units.parse("3 L/h", "flow")),
            drains=(Drain("A end", 0.01, False),),
        ),
        prices=Prices(nozzle=3.0),
    )
    lines = changed(TEXTS["dotted"], more)
    assert [line for line in lines if line[0] == "-"] == [
        '- line.tube.kerf = "2 mm"',
        '- marks.pitch = "20 in"',
        '-     { name = "A", length = "20 ft", fixed = [] },   # the only one',
    ]
    assert (
        '+ line.tube.stick = "4 m"'.replace("4 m", "4000 mm") in lines or '+ line.tube.stick = "4 m"' in lines
    )
    assert any(line.endswith("# the only one") for line in lines if line[0] == "+")


def test_a_list_in_another_order_is_written_anew():
    reordered = patio(COURT, obstacles=(LIGHTS[1], LIGHTS[0], *LIGHTS[2:]))
    assert changed(TEXTS["courtyard"], reordered)


def test_a_project_no_file_may_state_is_refused_and_named():
    with pytest.raises(InputErrors) as caught:
        files.rewrite(TEXTS["courtyard"], patio(COURT, depth=-1.0))
    assert caught.value.mistakes[0].where == "patio[court].depth"


@pytest.mark.parametrize(
    "written",
    [
        '[line.drain]\nat = "A end"   # low\n',
        '[line]\ndrain = { at = "A end" }\n',
        '[[line.drain]]\nat = "A end"\n',
        '[line]\ndrain = [ { at = "A end" } ]\n',
        'line.drain.at = "A end"\n',
        "",
    ],
)
def test_one_drain_written_as_a_table_becomes_several_and_one_again(written):
    head, patio_ = TEXTS["dotted"].split('line.tube.kerf = "2 mm"\n')
    text = head + written + patio_ if written.startswith("line.") else head + patio_ + written
    project = files.parse_project(text)
    plumbing = project.plumbing
    assert [drain.at for drain in plumbing.drains] == (["A end"] if written else [])
    several = (*plumbing.drains, Drain("A start", 0.01, True), Drain("A end", 0.0, False))
    for drains in (several, several[:1], (), (replace(several[0], slope=0.02),)):
        other = replace(project, plumbing=replace(plumbing, drains=drains))
        after = files.rewrite(text, other)
        assert same(files.parse_project(after), other)
        assert same(files.parse_project(files.rewrite(after, project)), project)


# ------------------------------------------------------------------ any edits

EIGHTHS = st.integers(1, 8 * 100).map(lambda n: inch(n / 8))
MILLIMETRES = st.integers(1, 2500).map(lambda n: n / 1000)
ODD = st.floats(0.02, 2.5)
LENGTHS = st.one_of(EIGHTHS, MILLIMETRES, ODD)
NAMES = st.text(alphabet="ab\"'\\é[]#.= ", min_size=1, max_size=6).filter(lambda s: s == s.strip() and s)


@st.composite
def edits(draw, project: Project) -> Project:
    """A handful of changes a page or a script may make, all of them legal."""
    for _ in range(draw(st.integers(1, 4))):
        project = draw(one_edit(project))
    return project


@st.composite
def one_edit(draw, project: Project) -> Project:
    p = project.patios[0]
    runs = [run.name for run in p.runs]
    kind = draw(st.integers(0, 14))
    if kind == 0:
        return replace(project, name=draw(NAMES), about=draw(st.sampled_from(["", "x \\ y", '"'])))
    if kind == 1:
        return patio(project, height=draw(st.floats(2.0, 5.0)), depth=draw(st.floats(6.0, 9.0)))
    if kind == 2 and p.obstacles:
        kept = draw(st.lists(st.sampled_from(p.obstacles), unique=True))
        return patio(project, obstacles=tuple(o for o in p.obstacles if o in kept))
    if kind == 3:
        taken = {o.name for o in p.obstacles}
        name = draw(NAMES.filter(lambda n: n not in taken))
        size = draw(LENGTHS)
        new = Obstacle(
            name, "light", draw(st.sampled_from(runs)), draw(LENGTHS), draw(LENGTHS), (size, size), 1.0
        )
        place = draw(st.integers(0, len(p.obstacles)))
        return patio(project, obstacles=(*p.obstacles[:place], new, *p.obstacles[place:]))
    if kind == 4 and p.obstacles:
        n = draw(st.integers(0, len(p.obstacles) - 1))
        moved = replace(p.obstacles[n], along=draw(LENGTHS), back=draw(LENGTHS))
        return patio(project, obstacles=(*p.obstacles[:n], moved, *p.obstacles[n + 1 :]))
    if kind == 5:
        n = draw(st.integers(0, len(p.runs) - 1))
        marks = draw(st.dictionaries(NAMES, st.tuples(LENGTHS, st.booleans()), max_size=3))
        fixed = tuple(FixedMark(name, *rest) for name, rest in marks.items())
        return patio(project, runs=(*p.runs[:n], replace(p.runs[n], fixed=fixed), *p.runs[n + 1 :]))
    if kind == 6:
        n = draw(st.integers(0, len(p.runs) - 1))
        centres = tuple(sorted(draw(st.lists(LENGTHS, min_size=1, max_size=4))))
        framing = replace(p.runs[n].framing, spacing=None, first=None, centres=centres)
        return patio(project, runs=(*p.runs[:n], replace(p.runs[n], framing=framing), *p.runs[n + 1 :]))
    if kind == 7:
        pitch = draw(st.floats(0.5, 0.9))
        return patio(project, marks=replace(p.marks, pitch=pitch, closest=0.4, widest=pitch + draw(ODD)))
    plumbing = project.plumbing
    if kind == 8:
        nozzle = replace(plumbing.nozzle, flow=draw(st.floats(1e-7, 1e-5)), at=draw(st.floats(1e5, 1e7)))
        nozzle = replace(nozzle, opens_at=draw(st.one_of(st.none(), st.floats(1e4, 1e6))))
        return replace(project, plumbing=replace(plumbing, nozzle=nozzle))
    if kind == 9 and plumbing.pump:
        pump = Pump(draw(st.floats(1e6, 1e7)), draw(st.sampled_from(["", "yard"])))
        return replace(project, plumbing=replace(plumbing, pump=pump))
    if kind == 10:
        afternoons = draw(st.sets(st.sampled_from(["hot", "typical", "humid"])))
        typed = tuple(TypedAfternoon(a, 300.0 + draw(ODD), 0.25, draw(ODD)) for a in sorted(afternoons))
        climate = draw(st.sampled_from(["el-paso", "house.epw"])) if not typed else draw(st.none())
        return replace(project, place=replace(project.place, afternoons=typed, climate=climate))
    if kind == 11:
        ends = [f"{run} {end}" for run in runs for end in ("start", "end")]
        at = draw(st.lists(st.sampled_from(ends), max_size=3))
        drains = tuple(
            Drain(end, draw(st.sampled_from([0.0, 0.01, 0.02])), draw(st.booleans())) for end in at
        )
        return replace(project, plumbing=replace(plumbing, drains=drains))
    if kind == 12:
        names = [piece.name for piece in plumbing.pieces]
        valves = st.lists(st.sampled_from(names), max_size=2, unique=True).map(tuple)
        zones = tuple(Zone(f"zone {run}", (run,), draw(valves)) for run in runs)
        both = (tuple(zone.name for zone in zones),) if len(zones) > 1 and draw(st.booleans()) else ()
        return replace(project, plumbing=replace(plumbing, zones=zones, together=both))
    if kind == 13:
        tank = draw(st.one_of(st.none(), st.builds(Tank, st.floats(1e5, 5e5), st.floats(1e-5, 1e-4))))
        return replace(project, plumbing=replace(plumbing, water=replace(plumbing.water, tank=tank)))
    return replace(project, prices=Prices("EUR", draw(st.one_of(st.none(), ODD)), draw(ODD), None, draw(ODD)))


@pytest.mark.thorough
@settings(max_examples=25, deadline=None)
@given(data=st.data(), name=st.sampled_from(sorted(TEXTS)), ends=st.sampled_from(["\n", "\r\n"]))
def test_read_rewrite_read_is_equal_and_twice_is_once(data, name, ends):
    text = TEXTS[name].replace("\n", ends)
    project = data.draw(edits(files.parse_project(text)))
    after = files.rewrite(text, project)
    assert same(files.parse_project(after), project)
    assert files.rewrite(after, project) == after
    assert after.count("\n") == after.count(ends)
    kept = [line.split("#", 1)[1].strip() for line in TEXTS[name].splitlines() if line.startswith("#")]
    assert all(comment in after for comment in kept)  # comments on lines of their own survive everything
    back = files.rewrite(after, files.parse_project(text))
    assert same(files.parse_project(back), files.parse_project(text))


# ------------------------------------------------------------------ inline tables

INLINE = """\
format = 1
name = "Inline"
place = { elevation = "10 m", climate = "el-paso" }
patio = [{ name = "p", depth = "9 ft", run = [{ name = "A", length = "20 ft" }] }]
call_back = { inlet_scale = "100 psi", line_scale = "1500 psi", gauge_error = "2 %" }
line = { tube = { kerf = "2 mm" }, mark = [] }
"""


def test_the_first_keys_of_an_inline_table_go_with_their_commas():
    project = files.parse_project(INLINE)
    errors = replace(project.call_back.errors, line_scale=None, inlet_scale=None)
    changed(INLINE, replace(project, call_back=replace(project.call_back, errors=errors)))


def test_a_table_is_added_to_an_inline_one_as_an_inline_one():
    """A [line.nozzle] of its own would state `line` a second time."""
    project = files.parse_project(INLINE)
    nozzle = replace(project.plumbing.nozzle, drop_spread=3.0, label="fine")
    drain = Drain("A end", 0.01, False)
    odds = tuple(2.0 for _ in project.call_back.judgement.odds)
    judged = replace(project.call_back, judgement=replace(project.call_back.judgement, odds=odds))
    plumbing = replace(project.plumbing, nozzle=nozzle, drains=(drain,))
    changed(INLINE, replace(project, plumbing=plumbing, call_back=judged))


def test_a_lone_table_becomes_a_list_before_keys_that_follow_it():
    text = INLINE.replace("mark = []", 'drain = { at = "A end" }')
    project = files.parse_project(text)
    drains = (*project.plumbing.drains, Drain("A start", 0.01, False))
    changed(text, replace(project, plumbing=replace(project.plumbing, drains=drains, tube_temperature=330.0)))


def test_a_block_is_added_to_blocks():
    text = TEXTS["dotted"].split("run = [")[0] + (
        '[[patio.run]]\nname = "A"\nlength = "20 ft"\n[[patio.run.fixed]]\nname = "A1"\nalong = "3 ft"\n'
    )
    project = files.parse_project(text)
    (patio,) = project.patios
    run = replace(patio.runs[0], fixed=(*patio.runs[0].fixed, FixedMark("A2", 3.0)))
    changed(text, replace(project, patios=(replace(patio, runs=(run,)),)))


@pytest.mark.parametrize("name", files.EXAMPLES)
def test_a_second_row_is_written_at_its_run_alone(name):
    """It follows its run into the zone by itself: the zone is not told what nobody has to state."""
    text = files.example_text(name)
    project = files.parse_project(text)
    rows = with_row_feeds(replace(project, patios=next(tried_rows(project.patios, 1.0, (0.5,)))))
    told = files.rewrite(text, rows)
    added = [line for line in told.splitlines() if line not in text.splitlines()]
    assert added and all(line.startswith("second_row = ") for line in added)
    assert not any(".99" in line for line in added)
    assert files.parse_project(told).plumbing == rows.plumbing
    assert files.rewrite(told, project) == text


def test_a_second_row_that_a_zone_names_is_taken_out_of_it():
    text = files.example_text("bayou")
    project = files.parse_project(text)
    rows = with_row_feeds(replace(project, patios=next(tried_rows(project.patios, 1.0, (0.5,)))))
    named = files.rewrite(text, rows).replace('runs = ["A"]', 'runs = ["A", "2A"]')
    assert files.rewrite(named, files.parse_project(named)) == named
    assert files.rewrite(named, project) == text
