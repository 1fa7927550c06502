"""Reading a project file: what it states, what is assumed, and the demos."""

from __future__ import annotations

import datetime
import math

import pytest

from mistcalc import files, units
from mistcalc.files.project import dependent_defaults, line_keys, patio_keys
from mistcalc.files.project.key_specs import TableListSpec, ValueSpec
from mistcalc.files.project.schema import ROOT
from mistcalc.files.project.value_reader import default_of
from mistcalc.model.project import Datum, FixedMark, Framing, Joint
from mistcalc.physics import pipe, strength

SMALL = """\
format = 1
name = "Small"
[place]
elevation = "10 m"
climate = "el-paso"
[[patio]]
name = "p"
depth = "9 ft"
[[patio.run]]
name = "A"
length = "20 ft"
"""


def small(**more: str) -> str:
    """SMALL with text put in behind a line that begins so."""
    text = SMALL
    for head, lines in more.items():
        mark = {"top": 'name = "Small"\n', "place": 'climate = "el-paso"\n', "patio": 'depth = "9 ft"\n'}
        text = text.replace(mark[head], mark[head] + lines + "\n") if head in mark else text + lines + "\n"
    return text


def inch(value: float) -> float:
    return units.parse(f"{value} in", "length")


def test_a_few_lines_are_enough_and_the_rest_is_listed_as_assumed():
    project = files.parse_project(SMALL)
    patio, run = project.patios[0], project.patios[0].runs[0]
    assert (run.starts_at, run.ends_at, run.corner) == ("wall", "wall", None)
    assert run.framing == Framing("across", inch(1.5), inch(9.25), inch(16), inch(15.25))
    assert patio.marks.pitch == inch(24)
    assert project.plumbing.pump is None
    for path in ("patio[p].marks.pitch", "patio[p].run[A].framing.first", "line.piece", "control.on_above"):
        assert path in project.assumed
    for path in ("patio[p].depth", "language", "paper.sheet", "control.least_run"):
        assert path not in project.assumed
    assert len(set(project.assumed)) == len(project.assumed)


def test_what_is_stated_is_not_assumed():
    project = files.parse_project(small(end='[patio.marks]\npitch = "30 in"\n[line.tube]\nkerf = "2 mm"'))
    assert project.patios[0].marks.pitch == inch(30)
    assert project.plumbing.tube.kerf == 0.002
    assert not {"patio[p].marks.pitch", "line.tube.kerf"} & set(project.assumed)
    assert "patio[p].marks.closest" in project.assumed


def test_stating_every_default_changes_nothing_but_the_list():
    quiet = files.parse_project(SMALL)
    loud = small(
        place='surroundings = "suburb"\nshelter = "50 %"\nbearing = "0 deg"\ndaylight_saving = "us"',
        end='[patio.marks]\nhole = "1 in"\ngrid = "1/8 in"\n[water]\nstatic = "60 psi"\nresidual = "45 psi"',
    )
    stated = files.parse_project(loud)
    assert len(stated.assumed) == len(quiet.assumed) - 7
    assert stated.patios == quiet.patios and stated.place == quiet.place
    assert stated.plumbing == quiet.plumbing


def test_metric_files_get_metric_defaults():
    project = files.parse_project(small(top='units = "metric"'))
    patio = project.patios[0]
    assert (patio.marks.pitch, patio.marks.grid, patio.height) == (0.6, 0.005, 3.0)
    assert patio.runs[0].framing.first == 0.378  # 400 less half of 45, to the millimetre, half up
    assert project.paper.sheet == "A3"


def test_defaults_that_hang_on_other_keys():
    project = files.parse_project(
        small(
            patio='[patio.plaster]\nsystem = "one-coat"',
            end='[pump]\n[[patio.obstacle]]\nname = "F"\nkind = "fan"\nrun = "A"\nalong = "9 ft"\n'
            'back = "4 ft"\nsize = "60 in"',
        )
    )
    plaster, fan = project.patios[0].plaster, project.patios[0].obstacles[0]
    assert (plaster.thickness, plaster.sheathing) == (inch(0.5), inch(1))
    assert (fan.size, fan.clearance, fan.air_speed) == ((inch(60), inch(60)), inch(24), 1.0)
    assert project.plumbing.nozzle.label == "0.012 in orifice"
    nozzle = project.plumbing.nozzle
    assert (nozzle.drop_median, nozzle.drop_sauter, nozzle.drop_spread) == (None, None, 2.5)
    assert {"line.nozzle.drop_median", "line.nozzle.drop_spread"} <= set(project.assumed)
    assert project.plumbing.pieces[0].start == "pump"
    mains = files.parse_project(SMALL).plumbing
    assert (mains.nozzle.drop_median, mains.nozzle.drop_spread) == (None, 2.1)
    sauter = files.parse_project(small(end='[line.nozzle]\ndrop_sauter = "20 um"'))
    assert (sauter.plumbing.nozzle.drop_sauter, sauter.plumbing.nozzle.drop_median) == (20e-6, None)
    assert "line.nozzle.drop_median" not in sauter.assumed
    assert mains.pieces[0].start == "water point"


def test_runs_meet_at_corners():
    two = small(end='[[patio.run]]\nname = "B"\nlength = "12 ft"').replace(
        'length = "20 ft"', 'length = "20 ft"\nthen = "outside corner"'
    )
    a, b = files.parse_project(two).patios[0].runs
    assert (a.starts_at, a.ends_at, a.corner) == ("wall", "corner", "outside")
    assert (b.starts_at, b.ends_at, b.corner) == ("corner", "wall", None)
    assert b.datum.end == "end"  # the far wall stands at rough-in; the corner is mid-air
    assert files.parse_project(two).plumbing.pieces[1].start == "A end"


def test_as_framed_and_marks_fixed_by_hand():
    text = small(
        end='framing = { lies = "across", centres = ["15 in", "30-1/2 in"] }\n'
        'fixed = [ { name = "A2", along = "3 ft", drilled = true } ]\n'
        'joints = [ { name = "J", along = "30-1/2 in" } ]'
    )
    run = files.parse_project(text).patios[0].runs[0]
    assert run.framing.centres == (inch(15), inch(30.5)) and run.framing.spacing is None
    assert run.fixed == (FixedMark("A2", inch(36), True),)
    assert run.joints == (Joint("J", inch(30.5)),)


def test_byte_order_mark_and_windows_line_ends_are_read():
    text = "\ufeff" + SMALL.replace("\n", "\r\n")
    assert files.parse_project(text.encode()) == files.parse_project(SMALL)


@pytest.mark.parametrize(
    ("low", "high"), [("-40 degC", "0 %"), ("60 degC", "100 %"), ("-40 degF", "0.1 %"), ("140 degF", "99 %")]
)
def test_any_weather_on_earth_is_taken(low, high):
    text = SMALL.replace('climate = "el-paso"\n', "") + (
        f'[[place.afternoon]]\nname = "hot"\ndry_bulb = "{low}"\n'
        f'relative_humidity = "{high}"\nwind = "0 mph"\n'
    )
    assert files.parse_project(text).place.afternoons[0].wind == 0.0


# ------------------------------------------------------------------ the demos


def test_courtyard_says_what_its_house_is():
    project = files.parse_project(files.example_text("courtyard"))
    patio = project.patios[0]
    a, b = patio.runs
    assert a.length == pytest.approx(38 * 0.3048) and b.length == pytest.approx(21 * 0.3048)
    assert a.corner == "inside" and a.framing.covers_corner
    assert a.length + patio.depth == pytest.approx(51 * 0.3048)  # overall
    assert b.datum == Datum("end", "face of south wall framing")
    assert [joint.on for joint in b.joints] == ["blocking", "blocking", "member"]
    assert project.plumbing.pump.nameplate.motor == pytest.approx(745.7, abs=0.01)  # 1 hp, NIST SP 811
    assert project.plumbing.water.ph == 7.8
    assert project.dates.scratch_coat == datetime.date(2027, 3, 8)
    assert project.control.hours == (14.0, 20.0) and project.control.months == (5, 9)
    assert project.prices.water == pytest.approx(7.5 / 3.785411784)
    assert project.place.bearing == math.pi / 2


def test_terraza_is_on_the_mains_with_its_afternoon_typed_in():
    project = files.parse_project(files.example_text("terraza"))
    assert project.plumbing.pump is None and project.units == "metric"
    (hot,) = project.place.afternoons
    assert (hot.dry_bulb, hot.relative_humidity) == (38 + 273.15, 0.22)
    assert project.place.climate is None


@pytest.mark.parametrize("demo", files.EXAMPLES)
def test_demos_say_first_that_they_are_invented(demo):
    first = files.example_text(demo).splitlines()[0]
    assert "INVENTED" in first
    about = files.parse_project(files.example_text(demo)).about
    assert "Invented" in about


def test_demo_climates_are_shipped():
    for demo in ("courtyard", "bayou"):
        climate = files.parse_project(files.example_text(demo)).place.climate
        assert files.climate_path(climate, None).is_file()


def test_project_from_a_path(tmp_path):
    path = tmp_path / "house.toml"
    path.write_text(files.example_text("bayou"), "utf-8")
    assert files.read_project(path) == files.read_project(str(path))


# ------------------------------------------------------------------ the schema itself


def schema_leaves(entry, path=()):
    table = entry.table if isinstance(entry, TableListSpec) else entry
    if isinstance(table, ValueSpec):
        yield path, table
        return
    for name, inner in table.keys.items():
        yield from schema_leaves(inner, (*path, name))


@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_default_can_be_read_and_lies_in_its_range(system):
    for path, leaf in schema_leaves(ROOT):
        if leaf.default is None:
            continue
        value = default_of(leaf, system)
        for end, holds in ((leaf.low, lambda v, e: v >= e), (leaf.high, lambda v, e: v <= e)):
            if end is not None:
                bound = float(end) if leaf.kind == "number" else units.parse(end, leaf.kind)
                assert holds(value, bound), path


def test_schema_names_what_the_equations_know():
    assert set(line_keys.FITTINGS) == set(pipe.FITTINGS) - {
        "size change",
        "nozzle",
    }  # the fitting at a mark is not a person's to count
    assert set(line_keys.MATERIALS) == set(strength.materials())
    assert set(dependent_defaults.CLEARANCES) == set(patio_keys.OBSTACLES)
