"""What `plan --also` writes, opened again by libraries: lid, marks and tube as IFC4, marks as Parquet."""

from __future__ import annotations

import io
import math
import sys
from dataclasses import replace
from typing import Any

import numpy as np
import pandas as pd
import pytest

from mistcalc import design, files, report
from mistcalc.errors import DataError
from mistcalc.model.results import Design
from mistcalc.report import output_folder
from mistcalc.report.exports.lid_ifc import lid_model
from mistcalc.report.exports.marks_parquet import marks_table
from tests import builders
from tests.bent_lids import ARC, BOW
from tests.random_projects import project_text
from tests.report.jobs import job
from tests.terminal import run

ifcopenshell = pytest.importorskip("ifcopenshell")
NEAR = 1e-4  # m: what a mark's place may lose on the way
RISING = BOW.replace('name = "B"\n', 'name = "B"\nrise = "6 in"\n')
BENT = {"bow": BOW, "arc": ARC, "rising bow": RISING}


def laid(seed: int) -> Design:
    return solved(project_text(seed))


def solved(text: str) -> Design:
    """The lids of a project, without a line: what the model shows hangs on no more."""
    project = files.parse_project(text)
    layouts = tuple(layout for layout, _ in design.lay_all(project))
    return replace(builders.design(), project=project, layouts=layouts)


def opened(made: Design) -> Any:
    return ifcopenshell.file.from_string(lid_model(made).decode())


def faults(model: Any, rules: bool = False) -> list[Any]:
    """Of the library's own validator: types, counts, identifiers; with rules those of the schema."""
    from ifcopenshell import validate

    logger = validate.json_logger()
    validate.validate(model, logger, express_rules=rules)
    return logger.statements


def place(thing: Any) -> np.ndarray:
    from ifcopenshell.util.placement import get_local_placement

    return get_local_placement(thing.ObjectPlacement)


def told(thing: Any) -> dict[str, Any]:
    from ifcopenshell.util.element import get_psets

    return get_psets(thing)


@pytest.mark.parametrize(
    "made",
    [pytest.param(lambda name=name: job(name), id=name) for name in files.EXAMPLES]
    + [pytest.param(lambda seed=seed: laid(seed), id=f"random {seed}") for seed in (1, 7, 10, 19)]
    + [pytest.param(lambda text=text: solved(text), id=name) for name, text in BENT.items()],
)
def test_every_mark_stands_in_the_model_where_it_is_laid(made):
    made = made()
    model = opened(made)
    assert faults(model) == []
    marks = {(told(one)["MistMark"]["Patio"], one.Name): one for one in model.by_type("IfcFlowTerminal")}
    assert len(marks) == sum(len(layout.marks) for layout in made.layouts)
    for layout in made.layouts:
        (lid,) = (one for one in model.by_type("IfcCovering") if one.Name == layout.patio)
        own = np.linalg.inv(place(lid))  # from the model to the patio
        for mark in layout.marks:
            thing = marks[layout.patio, mark.name]
            at = (own @ place(thing))[:3, 3]
            assert at == pytest.approx((*mark.point, mark.height), abs=NEAR)
            said = told(thing)["MistMark"]
            assert said["AlongFromDatum_m"] == pytest.approx(mark.along, abs=NEAR)
            assert said["BackFromEdge_m"] == pytest.approx(mark.back, abs=NEAR)
            assert said["StubBelowFraming_m"] == pytest.approx(mark.stub_nominal, abs=NEAR)
            assert (said["Run"], said["FramingAboveFloor_m"]) == (
                mark.run, pytest.approx(mark.height, abs=NEAR),
            )  # fmt: skip
    (system,) = model.by_type("IfcDistributionSystem")
    (group,) = system.IsGroupedBy
    assert len(group.RelatedObjects) == len(marks) + len(model.by_type("IfcPipeSegment"))


def test_tube_is_a_pipe_of_its_size_where_it_lies_with_the_standards_own_properties():
    from ifcopenshell.util.pset import get_template

    made = job("courtyard")
    model = opened(made)
    usual = get_template("IFC4").get_by_name("Pset_PipeSegmentTypeCommon")
    kinds = {each.Name: each.PrimaryMeasureType for each in usual.HasPropertyTemplates}
    for line in made.layouts[0].lid.runs:
        (pipe,) = (one for one in model.by_type("IfcPipeSegment") if one.Name == line.name)
        at, (solid,) = place(pipe), pipe.Representation.Representations[0].Items
        last = at @ np.array([0.0, 0.0, solid.Depth, 1.0])
        assert at[:2, 3] == pytest.approx(line.tube[0], abs=NEAR)
        assert last[:2] == pytest.approx(line.tube[1], abs=NEAR)
        said = told(pipe)["Pset_PipeSegmentTypeCommon"]
        assert said.pop("id")
        assert set(said) <= set(kinds) and kinds["NominalDiameter"] == "IfcPositiveLengthMeasure"
        assert said["NominalDiameter"] == pytest.approx(made.project.plumbing.tube.outside, abs=1e-6)
        assert 2 * solid.SweptArea.Radius == pytest.approx(said["OuterDiameter"], abs=2e-6)


def test_a_second_row_has_its_marks_and_its_tube():
    text = files.example_text("terraza")
    made = solved(text.replace("[[patio.run]]", '[[patio.run]]\nsecond_row = { back = "2 m" }'))
    rows = {row.name for layout in made.layouts for row in layout.lid.rows}
    assert {f"2{run.name}" for layout in made.layouts for run in layout.lid.runs} <= rows
    model = opened(made)
    assert {pipe.Name for pipe in model.by_type("IfcPipeSegment")} == rows
    marks = {mark.name for layout in made.layouts for mark in layout.marks}
    assert {mark.Name for mark in model.by_type("IfcFlowTerminal")} == marks
    assert set(pd.read_parquet(io.BytesIO(marks_table(made)))["name"]) == marks


def test_metres_north_and_a_building():
    from ifcopenshell.util.unit import calculate_unit_scale

    made = job("courtyard")  # run A heads east
    model = opened(made)
    assert calculate_unit_scale(model) == 1.0
    (world,) = model.by_type("IfcGeometricRepresentationContext", include_subtypes=False)
    assert world.TrueNorth.DirectionRatios == pytest.approx((0.0, 1.0))
    assert [
        len(model.by_type(f"Ifc{kind}")) for kind in ("Project", "Site", "Building", "BuildingStorey")
    ] == [1] * 4
    west = replace(made.project, place=replace(made.project.place, bearing=math.pi))  # A heads south
    (world,) = opened(replace(made, project=west)).by_type("IfcGeometricRepresentationContext", False)
    assert world.TrueNorth.DirectionRatios == pytest.approx((-1.0, 0.0))
    unsaid = replace(made.project, assumed=frozenset({*made.project.assumed, "place.bearing"}))
    model = opened(replace(made, project=unsaid))
    (world,) = model.by_type("IfcGeometricRepresentationContext", False)
    assert (
        world.TrueNorth is None and told(model.by_type("IfcSite")[0])["MistPlan"]["TrueNorthStated"] is False
    )


def test_the_same_design_gives_the_same_bytes_and_a_moved_mark_stays_itself():
    made = job("courtyard")
    assert lid_model(made) == lid_model(made)
    first, *rest = made.layouts[0].marks
    moved = replace(first, point=(first.point[0] + 0.1, first.point[1]))
    model = opened(replace(made, layouts=(replace(made.layouts[0], marks=(moved, *rest)),)))
    before, after = (
        {one.Name: one.GlobalId for one in m.by_type("IfcFlowTerminal")} for m in (opened(made), model)
    )
    assert before == after


@pytest.mark.parametrize("text", [BOW, ARC, RISING])
def test_a_bent_lid_is_as_large_as_it_is_laid_and_its_tube_lies_along_its_edge(text):
    """The surface by the library's own geometry: seen from above it is the lid's area."""
    import ifcopenshell.geom

    made = solved(text)
    model = opened(made)
    (lid,) = model.by_type("IfcCovering")
    shape = ifcopenshell.geom.create_shape(ifcopenshell.geom.settings(), lid).geometry
    corners = np.array(shape.verts).reshape(-1, 3)[np.array(shape.faces).reshape(-1, 3)]
    sides = corners[:, 1:] - corners[:, :1]
    area = np.abs(sides[:, 0, 0] * sides[:, 1, 1] - sides[:, 0, 1] * sides[:, 1, 0]).sum() / 2
    assert area == pytest.approx(made.layouts[0].lid.area, rel=1e-6)
    for line in made.layouts[0].lid.rows:
        (pipe,) = (one for one in model.by_type("IfcPipeSegment") if one.Name == line.name)
        (solid,) = pipe.Representation.Representations[0].Items
        assert place(pipe)[:2, 3] == pytest.approx(line.tube[0], abs=NEAR)
        assert (place(pipe) @ [0, 0, solid.Depth, 1])[:2] == pytest.approx(line.tube[1], abs=NEAR)


@pytest.mark.parametrize("seed", [1, 10])
def test_a_ring_and_a_slope_have_bodies_and_every_patio_looks_its_way(seed):
    """The bodies by the library's own geometry."""
    import ifcopenshell.geom

    made = laid(seed)
    model = opened(made)
    for thing in model.by_type("IfcElement"):
        assert ifcopenshell.geom.create_shape(ifcopenshell.geom.settings(), thing).geometry.verts
    (world,) = model.by_type("IfcGeometricRepresentationContext", False)
    north = math.atan2(*reversed(world.TrueNorth.DirectionRatios))
    for lid in model.by_type("IfcCovering"):
        x, y = place(lid)[:2, 0]
        turned = north - math.atan2(y, x) - made.project.heading(lid.Name)
        assert math.remainder(turned, 2 * math.pi) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.long
def test_the_rules_of_the_schema_hold_too():
    """Half a minute: the library translates all of the schema first."""
    for made in (job("courtyard"), job("terraza"), laid(4), laid(12)):
        assert faults(opened(made), rules=True) == []


# ------------------------------------------------------------------ Parquet


def test_marks_as_parquet_say_what_marks_are_with_units_in_the_names():
    pytest.importorskip("pyarrow")
    made = job("courtyard")
    table = pd.read_parquet(io.BytesIO(marks_table(made)))
    marks = {mark.name: mark for layout in made.layouts for mark in layout.marks}
    assert len(table) == len(marks)
    for row in table.to_dict("records"):
        mark = marks[row["name"]]
        assert (row["x_m"], row["y_m"]) == pytest.approx(mark.point, abs=1e-6)
        for name, value in row.items():
            if isinstance(value, float) and name not in ("x_m", "y_m"):
                assert value == pytest.approx(getattr(mark, name.removesuffix("_m")), abs=1e-6)
    numbers = list(table.select_dtypes("float"))
    assert len(numbers) == 10 and all(name.endswith("_m") for name in numbers)


# ------------------------------------------------------------------ asked for


def test_they_are_of_the_set_where_asked_for():
    made = output_folder._also(builders.design(), ("ifc", "parquet"))
    assert set(made) == {"lid.ifc", "marks.parquet"} and all(made.values())
    assert all(map(output_folder._OURS.fullmatch, made))  # so that the next set takes them away
    assert output_folder._also(builders.design(), ()) == {}


def test_without_the_library_it_is_said_what_to_install_before_anything_is_worked_out(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "ifcopenshell", None)
    with pytest.raises(DataError, match="also-extra"):
        report.need_libraries(["parquet", "ifc"])
    (tmp_path / "house.toml").write_text(files.example_text("terraza"), "utf-8")
    done = run("plan", "house.toml", "--out", "sheets", "--also", "ifc", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert 'pip install ".[ifc]"' in done.stderr and not (tmp_path / "sheets").exists()
