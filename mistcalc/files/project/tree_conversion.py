"""The tree of values of a project file as nouns, and back. Nothing is judged or looked up here."""

from __future__ import annotations

from typing import Any

from mistcalc.files.project.tariff_conversion import tariffs_from_tree, tariffs_to_tree
from mistcalc.model.fault_priors import CAUSES, DiagnosisAssumptions, FaultPriors, ReadingErrors
from mistcalc.model.project import (
    Alternate,
    Control,
    Dates,
    DateStep,
    Datum,
    Drain,
    EdgeBeam,
    FixedMark,
    Framing,
    House,
    Joint,
    MarkPlumbing,
    MarkRules,
    Nameplate,
    Nozzle,
    Obstacle,
    Paper,
    PartPrice,
    Patio,
    Piece,
    Place,
    Plaster,
    Plumbing,
    Prices,
    Project,
    Pump,
    Revision,
    Run,
    RunPlumbing,
    Screen,
    Seat,
    SecondRow,
    Tank,
    Tap,
    Tube,
    TypedAfternoon,
    Water,
    Zone,
)

Tree = dict[str, Any]


def project_from_tree(tree: Tree, assumed: tuple[str, ...]) -> Project:
    """Nouns from a tree in which every mistake has been ruled out."""
    place = dict(tree["place"])
    afternoons = tuple(TypedAfternoon(**entry) for entry in place.pop("afternoon"))
    line, pump = tree["line"], tree["pump"]
    if pump is not None:
        plate = pump["nameplate"]
        pump = Pump(**{**pump, "nameplate": Nameplate(**plate) if plate else None})
    return Project(
        format=tree["format"],
        name=tree["name"],
        about=tree["about"],
        mirrored_from=tree["mirrored_from"],
        units=tree["units"],
        language=tree["language"],
        crew_language=tree["crew_language"],
        revision=Revision(**tree["revision"]),
        place=Place(**place, afternoons=afternoons),
        patios=tuple(_patio(patio) for patio in tree["patio"]),
        plumbing=Plumbing(
            tube_temperature=line["tube_temperature"],
            tube_temperature_reason=line["tube_temperature_reason"],
            nozzle=Nozzle(**line["nozzle"]),
            tube=Tube(**line["tube"]),
            pieces=tuple(_piece(piece) for piece in line["piece"]),
            zones=tuple(Zone(**{**zone, "valves": zone["valves"] or ()}) for zone in line["zone"]),
            water=_water(tree["water"]),
            pump=pump,
            drains=tuple(Drain(**drain) for drain in line["drain"]),
            together=tuple(entry["zones"] for entry in line["together"]),
            runs=tuple(RunPlumbing(**_own(run)) for run in line["run"]),
            marks=tuple(MarkPlumbing(**_own(mark)) for mark in line["mark"]),
        ),
        control=Control(**{**tree["control"], "not_from": tree["control"]["not_from"] or ()}),
        prices=_prices(tree["prices"]),
        tariff=tariffs_from_tree(tree["tariff"]),
        dates=_dates(tree["dates"]),
        alternates=tuple(Alternate(**alternate) for alternate in tree["alternate"]),
        paper=Paper(**tree["paper"]),
        call_back=_basis(tree["call_back"]),
        assumed=assumed,
    )


def _dates(tree: Tree) -> Dates:
    values = dict(tree)
    steps = tuple(DateStep(**step) for step in values.pop("step"))
    return Dates(**{**values, "days_off": values["days_off"] or ()}, steps=steps)


def _prices(tree: Tree) -> Prices:
    values = dict(tree)
    parts = tuple(PartPrice(**part) for part in values.pop("part"))
    return Prices(**values, parts=parts)


def _water(tree: Tree) -> Water:
    return Water(**{**tree, "tank": Tank(**tree["tank"]) if tree["tank"] else None})


def _patio(tree: Tree) -> Patio:
    return Patio(
        name=tree["name"],
        height=tree["height"],
        depth=tree["depth"],
        line_behind_edge=tree["line_behind_edge"],
        edge_beam=EdgeBeam(**tree["edge_beam"]),
        plaster=Plaster(**tree["plaster"]),
        marks=MarkRules(**tree["marks"]),
        runs=tuple(_run(run) for run in tree["run"]),
        obstacles=tuple(Obstacle(**obstacle) for obstacle in tree["obstacle"]),
        seats=tuple(Seat(**seat) for seat in tree["seat"]),
        back=tree["back"],
        turned=tree["turned"],
        house=House(**tree["house"]),
        screens=tuple(_screen(screen) for screen in tree["screen"]),
    )


def _screen(tree: Tree) -> Screen:
    values = dict(tree)
    return Screen(start=values.pop("from"), end=values.pop("to"), **values)


def _run(tree: Tree) -> Run:
    row = tree["second_row"]
    corner = None if tree["then"] == "end" else tree["then"].split()[0]
    return Run(
        name=tree["name"],
        length=tree["length"],
        starts_at=tree["starts_at"],
        ends_at=tree["ends_at"],
        corner=corner,
        datum=Datum(**tree["datum"]),
        framing=Framing(**{**tree["framing"], "centres": tree["framing"]["centres"] or ()}),
        joints=tuple(Joint(**joint) for joint in tree["joints"]),
        fixed=_fixed(tree),
        depth=tree["depth"],
        rise=tree["rise"],
        second_row=SecondRow(row["back"], row["name"], _fixed(row)) if row else None,
    )


def _fixed(tree: Tree) -> tuple[FixedMark, ...]:
    return tuple(FixedMark(**mark) for mark in tree["fixed"])


def _piece(tree: Tree) -> Piece:
    values = _own(tree)
    ends = {"start": values.pop("from"), "end": values.pop("to"), "fittings": values.pop("fittings") or ()}
    return Piece(**ends, **values)


_ERRORS = {"gauge_error": "gauge", "meter_error": "meter", "cup_error": "cup"}  # key: field


def _basis(tree: Tree) -> DiagnosisAssumptions:
    scales = {key: tree[key] for key in ("line_scale", "inlet_scale")}
    errors = ReadingErrors(**scales, **{field: tree[key] for key, field in _ERRORS.items()})
    return DiagnosisAssumptions(errors, FaultPriors(odds=tuple(tree["likely"].values())))


def _own(tree: Tree) -> Tree:
    """Keys of one thing, its own nozzle and tube as nouns."""
    made = {"nozzle": Nozzle, "tube": Tube}
    return {key: made[key](**value) if key in made and value else value for key, value in tree.items()}


# ------------------------------------------------------------------ back


def project_to_tree(project: Project) -> Tree:
    """The tree a file of this project holds. `starts_at` and `ends_at` are None at corners: a file says
    neither there."""
    plumbing, place, water = project.plumbing, _fields(project.place), _fields(project.plumbing.water)
    water["tank"] = _fields(water["tank"]) if water["tank"] else None
    place["afternoon"] = [_fields(afternoon) for afternoon in place.pop("afternoons")]
    pump = _fields(plumbing.pump) if plumbing.pump else None
    if pump and pump["nameplate"]:
        pump["nameplate"] = _fields(pump["nameplate"])
    return {
        **{
            key: getattr(project, key)
            for key in ("format", "name", "about", "mirrored_from", "units", "language", "crew_language")
        },
        "revision": _fields(project.revision),
        "place": place,
        "patio": [_patio_tree(patio) for patio in project.patios],
        "line": {
            "tube_temperature": plumbing.tube_temperature,
            "tube_temperature_reason": plumbing.tube_temperature_reason,
            "nozzle": _fields(plumbing.nozzle),
            "tube": _fields(plumbing.tube),
            "piece": [_piece_tree(piece) for piece in plumbing.pieces],
            "run": [_own_tree(run) for run in plumbing.runs],
            "mark": [_own_tree(mark) for mark in plumbing.marks],
            "zone": [_fields(zone) for zone in plumbing.zones],
            "drain": [_own_tree(drain) for drain in plumbing.drains],
            "together": [{"zones": zones} for zones in plumbing.together],
        },
        "pump": pump,
        "water": water,
        "control": {**_fields(project.control), "not_from": project.control.not_from or None},
        "prices": _prices_tree(project.prices),
        "tariff": tariffs_to_tree(project.tariff),
        "dates": _dates_tree(project.dates),
        "alternate": [_fields(alternate) for alternate in project.alternates],
        "paper": _fields(project.paper),
        "call_back": _basis_tree(project.call_back),
    }


def _fields(noun: Any) -> Tree:
    return {name: getattr(noun, name) for name in noun.__dataclass_fields__}


def _dates_tree(dates: Dates) -> Tree:
    tree = _fields(dates)
    return {**tree, "days_off": dates.days_off or None, "step": [_fields(step) for step in tree.pop("steps")]}


def _prices_tree(prices: Prices) -> Tree:
    tree = _fields(prices)
    return {**tree, "part": [_fields(part) for part in tree.pop("parts")]}


def _patio_tree(patio: Patio) -> Tree:
    tree = _fields(patio)
    tree["run"] = [_run_tree(run) for run in tree.pop("runs")]
    tree["obstacle"] = [_fields(obstacle) for obstacle in tree.pop("obstacles")]
    tree["seat"] = [_fields(seat) for seat in tree.pop("seats")]
    tree["screen"] = [_screen_tree(screen) for screen in tree.pop("screens")]
    for key in ("edge_beam", "plaster", "marks", "house"):
        tree[key] = _fields(tree[key])
    return tree


def _screen_tree(screen: Screen) -> Tree:
    tree = _fields(screen)
    return {"from": tree.pop("start"), "to": tree.pop("end"), **tree}


def _run_tree(run: Run) -> Tree:
    tree = _fields(run)
    corner = tree.pop("corner")
    tree["then"] = "straight on" if corner == "straight" else f"{corner} corner" if corner else "end"
    for key in ("starts_at", "ends_at"):
        tree[key] = None if tree[key] == "corner" else tree[key]
    framing = _fields(run.framing)
    tree["framing"] = {**framing, "centres": framing["centres"] or None}
    tree["datum"] = _fields(run.datum)
    for key in ("joints", "fixed"):
        tree[key] = [_fields(item) for item in tree[key]]
    if run.second_row:
        fixed = [_fields(mark) for mark in run.second_row.fixed]
        tree["second_row"] = {**_fields(run.second_row), "fixed": fixed}
    return tree


def _basis_tree(basis: DiagnosisAssumptions) -> Tree:
    errors = basis.errors
    return {
        "line_scale": errors.line_scale,
        "inlet_scale": errors.inlet_scale,
        **{key: getattr(errors, field) for key, field in _ERRORS.items()},
        "likely": dict(zip((c.replace("-", "_") for c in CAUSES), basis.judgement.odds, strict=True)),
    }


def _piece_tree(piece: Piece) -> Tree:
    tree = _own_tree(piece)
    return {
        "from": tree.pop("start"),
        "to": tree.pop("end"),
        "fittings": tree.pop("fittings") or None,
        **tree,
    }


def _own_tree(noun: Any) -> Tree:
    """Fields, with places along a run as they were written and tube and nozzle as tables."""
    tree = _fields(noun)
    for name, value in tree.items():
        if isinstance(value, Tap):
            tree[name] = value.said
        elif isinstance(value, (Nozzle, Tube)):
            tree[name] = _fields(value)
    return tree
