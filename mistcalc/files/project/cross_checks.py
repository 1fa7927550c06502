"""What no single key can show: names that lead nowhere, things outside the lid, limits that cross."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from mistcalc import units
from mistcalc.files.project.dates_cross_checks import compare_steps
from mistcalc.files.project.line_cross_checks import compare_line
from mistcalc.files.project.ring_cross_checks import compare_ring, compare_slopes
from mistcalc.files.project.run_shapes import compare_shapes, depths_of
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.project.second_row_checks import compare_second_row, rows_of
from mistcalc.files.project.surroundings_cross_checks import beside, compare_screens
from mistcalc.files.project.tariff_cross_checks import compare_tariffs
from mistcalc.files.project.tube_ends import no_such
from mistcalc.files.text.toml_positions import Path
from mistcalc.model.project import RARER
from mistcalc.model.run_extents import Reach, as_one, from_datum, lid_reach

MOST_NOZZLES = 2000
LONGEST_LID = 300.0  # m, all runs of a patio together
ROUNDED = 0.02  # two figures of one water report may be rounded so far apart


def check_across_keys(walk: SchemaReader, values: dict[str, Any]) -> None:
    """Note every mistake between keys. A key that could not be read is None and is passed over."""
    place = values["place"]
    if (
        place
        and place["climate"] is None
        and not place["afternoon"]
        and not any(walk.states(("place", key)) for key in ("climate", "latitude", "longitude"))
    ):
        walk.wrong("no-air", ("place",), instead='climate = "el-paso"')
    if place and place["hot_afternoon"] in RARER and any(a["name"] == "hot" for a in place["afternoon"]):
        walk.wrong("rare-heat-twice", ("place", "hot_afternoon"))
    for number, typed in enumerate(place["afternoon"] if place else ()):
        _one_wind(walk, typed, ("place", "afternoon", number))
    for number, patio in enumerate(values["patio"]):
        _patio(walk, patio, ("patio", number))
    _run_names(walk, values)
    _mark_names(walk, values)
    if values["line"] and any(run["name"] for patio in values["patio"] for run in patio["run"]):
        compare_line(walk, values)
    _water(walk, values)
    _prices(walk, values["prices"])
    compare_steps(walk, values)
    compare_tariffs(walk, values)


def _one_wind(walk: SchemaReader, typed: dict[str, Any], path: Path) -> None:
    """The wind of a typed afternoon is told once: at a mast, or as measured in the yard."""
    stated = [key for key in ("wind", "wind_on_patio") if walk.states((*path, key))]
    if not stated:
        example = "10 mph" if walk.system == "us" else "4 m/s"
        walk.wrong("afternoon-no-wind", path, example=example)
    elif len(stated) == 2:
        walk.wrong("afternoon-two-winds", (*path, "wind_on_patio"))


def _crossed(walk: SchemaReader, table: dict[str, Any], path: Path, low: str, high: str, kind: str) -> None:
    """Note `low` above `high`, at whichever of the two the file states."""
    if table[low] is not None and table[high] is not None and table[low] > table[high]:
        at = low if walk.states((*path, low)) or not walk.states((*path, high)) else high
        shown = {
            "low_text": units.show(table[low], kind, walk.system),
            "high_text": units.show(table[high], kind, walk.system),
        }
        walk.wrong("order", (*path, at), low=low, high=high, **shown)


def _patio(walk: SchemaReader, patio: dict[str, Any], path: Path) -> None:
    marks = patio["marks"]
    if marks:
        where = (*path, "marks")
        _crossed(walk, marks, where, "closest", "pitch", "length")
        _crossed(walk, marks, where, "pitch", "widest", "length")
    _crossed(walk, patio, path, "line_behind_edge", "depth", "length")
    for number, run in enumerate(patio["run"]):
        for key in ("depth", "depth_at_end"):
            if run[key] is not None:
                behind = {"line_behind_edge": patio["line_behind_edge"], key: run[key]}
                _crossed(walk, behind, (*path, "run", number), "line_behind_edge", key, "length")
    compare_shapes(walk, patio, path)
    compare_ring(walk, patio, path)
    compare_slopes(walk, patio, path)
    if patio["edge_beam"]:
        beam = {"drop": patio["edge_beam"]["drop"], "height": patio["height"]}
        at = path if walk.states((*path, "height")) else (*path, "edge_beam")
        _crossed(walk, beam, at, "drop", "height", "length")
    lengths = [run["length"] for run in patio["run"] if run["length"]]
    if sum(lengths) > LONGEST_LID:
        most = units.show(LONGEST_LID, "length", walk.system)
        walk.wrong(
            "lid-too-long", (*path, "run"), text=units.show(sum(lengths), "length", walk.system), most=most
        )
    second = [run["length"] for run in patio["run"] if run["length"] and run["second_row"]]
    tube = sum(lengths) + sum(second)
    if sum(lengths) <= LONGEST_LID and marks and marks["pitch"] and tube / marks["pitch"] > MOST_NOZZLES:
        count = round(tube / marks["pitch"])
        walk.wrong("too-many-nozzles", (*path, "marks", "pitch"), count=count, most=MOST_NOZZLES)
    spans = _spans(patio)
    named = [run["name"] for run in patio["run"] if run["name"]]
    depths = {run["name"]: max((d for d in depths_of(patio, run) if d), default=None) for run in patio["run"]}
    for run_number, run in enumerate(patio["run"]):
        here: Path = (*path, "run", run_number)
        compare_second_row(walk, patio, run, here)
        for n, joint in enumerate(run["joints"]):
            _on_lid(walk, joint, (*here, "joints", n), spans.get(run["name"]), None)
        for row, within in rows_of(run):
            for n, mark in enumerate(row["fixed"]):
                _on_lid(walk, mark, (*here, *within, "fixed", n), spans.get(run["name"]), None)
            if marks and marks["grid"]:
                _apart(walk, row["fixed"], (*here, *within, "fixed"), marks["grid"])
    for kind in ("obstacle", "seat"):
        for n, item in enumerate(patio[kind]):
            where = (*path, kind, n)
            if item["run"] and item["run"] not in named:
                no_such(walk, (*where, "run"), item["run"], named)
            _on_lid(walk, item, where, spans.get(item["run"]), depths.get(item["run"]))
    compare_screens(walk, patio, path)


def _spans(patio: dict[str, Any]) -> dict[str, Reach]:
    """For each run that can be read, from where to where `along` may be."""
    spans = {}
    for number, run in enumerate(patio["run"]):
        if run["name"] and run["length"] and patio["depth"] and run["datum"]:
            reach = lid_reach(run["length"], *beside(patio, number))
            spans[run["name"]] = from_datum(reach, run["length"], run["datum"]["end"] or "start")
    return spans


def _on_lid(
    walk: SchemaReader, item: dict[str, Any], path: Path, span: Reach | None, depth: float | None
) -> None:
    limits = {"along": span, "back": (0.0, depth) if depth else None}
    for key, limit in limits.items():
        value = item.get(key)
        if value is not None and limit and not limit[0] - 1e-9 <= value <= limit[1] + 1e-9:
            low, high = (units.show(end, "length", walk.system) for end in limit)
            text = units.show(value, "length", walk.system)
            walk.wrong("outside-lid", (*path, key), key=key, text=text, low=low, high=high)


def _apart(walk: SchemaReader, fixed: list[dict[str, Any]], path: Path, grid: float) -> None:
    """Note fixed marks so near each other that the tape has one place for both."""
    known = [(n, mark) for n, mark in enumerate(fixed) if mark["along"] is not None and mark["name"]]
    for earlier, other in as_one([mark["along"] for _, mark in known], grid):
        (_, first), (n, mark) = known[earlier], known[other]
        values = {"name": mark["name"], "other": first["name"]}
        values |= {"text": units.show(first["along"], "length", walk.system)}
        values |= {"grid": units.show(grid, "length", walk.system)}
        walk.wrong("fixed-as-one", (*path, n, "along"), **values)


def _run_names(walk: SchemaReader, values: dict[str, Any]) -> None:
    """Pieces and zones call a run, and its second row, by its name alone, so it is used once in the file."""
    seen: dict[str, Path] = {}
    runs = [
        (("patio", number, "run", place), run)
        for number, patio in enumerate(values["patio"])
        for place, run in enumerate(patio["run"])
    ]
    for within in ((), ("second_row",)):  # a run has its name before any row that is called after one
        for path, run in runs:
            for name in (row["name"] for row, where in rows_of(run) if where == within):
                at = (*path, *within, "name") if within and walk.states((*path, *within, "name")) else path
                if name in seen and (seen[name][1] != path[1] or within):  # two runs of a patio: told already
                    walk.wrong("name-twice", at, name=name, first=walk.places.line(seen[name]))
                seen.setdefault(name, path)


def _mark_names(walk: SchemaReader, values: dict[str, Any]) -> None:
    """A fixed mark's name is used once in the file: a hole, its nozzle and its flow go by it."""
    seen: dict[str, Path] = {}
    for number, patio in enumerate(values["patio"]):
        for place, run in enumerate(patio["run"]):
            for row, within in rows_of(run):
                for n, mark in enumerate(row["fixed"]):
                    path: Path = ("patio", number, "run", place, *within, "fixed", n)
                    first = seen.setdefault(mark["name"], path) if mark["name"] else path
                    if first[:-1] != path[:-1]:  # twice on one row is told already
                        walk.wrong("name-twice", path, name=mark["name"], first=walk.places.line(first))


def _prices(walk: SchemaReader, prices: dict[str, Any] | None) -> None:
    """A part has one price for a size of tube."""
    seen: dict[tuple[object, object], Path] = {}
    for n, part in enumerate(prices["part"] if prices else ()):
        path: Path = ("prices", "part", n)
        first = seen.setdefault((part["name"], part["outside"]), path) if part["name"] else path
        if first != path:
            walk.wrong("price-twice", path, name=part["name"], first=walk.places.line(first))


def _pairs(values: dict[str, Any]) -> Iterator[tuple[dict[str, Any], Path, str, str, str]]:
    yield values["water"], ("water",), "residual", "static", "pressure"
    yield values["control"], ("control",), "off_below", "on_above", "temperature"


def _water(walk: SchemaReader, values: dict[str, Any]) -> None:
    for table, path, low, high, kind in _pairs(values):
        if table:
            _crossed(walk, table, path, low, high, kind)
    water = values["water"]
    if water and water["static"] and water["residual"] == water["static"]:
        walk.wrong("residual-is-static", ("water", "residual"))
    hardness, calcium = (water[key] if water else None for key in ("hardness", "calcium"))
    if hardness is not None and calcium is not None and calcium > hardness * (1.0 + ROUNDED):
        shown = (
            units.show(concentration, "concentration", walk.system) for concentration in (calcium, hardness)
        )
        walk.wrong(
            "calcium-over-hardness", ("water", "calcium"), **dict(zip(("text", "most"), shown, strict=True))
        )
