"""Mistakes between the keys of [line]: tube that leads nowhere, runs no water reaches, impossible rings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from mistcalc import units
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.project.second_row_checks import rows_of
from mistcalc.files.project.tube_ends import DRAIN, PUMP, WATER_POINT, no_such, spots
from mistcalc.files.text.toml_positions import Path
from mistcalc.model.lid_heights import TAPE, Join, node_heights, risen
from mistcalc.model.project import Tap
from mistcalc.model.second_rows import run_of

Joins = list[tuple[str, str]]


def compare_line(walk: SchemaReader, values: dict[str, Any]) -> None:
    """Note every mistake. A key that could not be read is None and is passed over. A second row that no piece
    names is fed from its run (`model.second_rows`): to it nothing need lead."""
    line, pumped = values["line"], values["pump"] is not None
    rows = [pair for patio in values["patio"] for run in patio["run"] for pair in rows_of(run)]
    named = {run_of(table[key]) for table, key, _ in spots(line)}
    fed = [row for row, within in rows if not within or row["name"] in named]
    runs = list(dict.fromkeys(row["name"] for row, _ in rows))
    broken = not pumped and walk.states(("pump",))  # a [pump] that cannot be read
    if _ends(walk, line, runs, pumped or broken) and not broken:
        _connected(
            walk,
            line["piece"],
            list(dict.fromkeys(row["name"] for row in fed)),
            PUMP if pumped else WATER_POINT,
        )
    for n, piece in enumerate(line["piece"]):
        _piece(walk, piece, ("line", "piece", n))
    _rings(walk, line["piece"], fed)
    second = {row["name"] for row, within in rows if within}
    _zones(walk, line["zone"], runs, second)
    _valves(walk, line)
    _named(walk, values, runs)
    for tube, path in _tubes(line):
        _tube(walk, tube, path)


# ------------------------------------------------------------------ what leads where


def _ends(walk: SchemaReader, line: dict[str, Any], runs: list[str], pumped: bool) -> bool:
    """Whether every end is somewhere. A name of its own is, where another piece has it too."""
    before = len(walk.mistakes)
    places = [f"{run} {end}" for run in runs for end in ("start", "end")]
    used = Counter(str(table[key]) for table, key, _ in spots(line))
    shared_names = [name for name, count in used.items() if count > 1]
    known = [*([PUMP] if pumped else []), WATER_POINT, *places, DRAIN]
    for table, key, path in spots(line):
        spot, is_drain = table[key], path[1] == "drain"
        if isinstance(spot, Tap) or spot in places:
            continue
        if spot in runs and spot not in (PUMP, WATER_POINT, DRAIN):
            walk.wrong("run-not-place", path, run=spot)
        elif spot == PUMP and not pumped:
            walk.wrong("no-pump", path)
        elif is_drain and (spot in (PUMP, WATER_POINT) or used[spot] < 2):
            no_such(walk, path, spot, [*places, *(name for name in shared_names if name not in known)])
        elif spot not in known and used[spot] < 2:
            others = [name for name in shared_names if name not in known and name != spot]
            no_such(walk, path, spot, [*known, *others], "piece-ends-nowhere")
    whole = all(piece[key] for piece in line["piece"] for key in ("from", "to"))
    return whole and len(walk.mistakes) == before


def _joined(pieces: list[dict[str, Any]], runs: list[str]) -> Joins:
    """What tube joins, taps taken for their run's start: all of a run is one."""
    return [
        *((_node(p["from"]), _node(p["to"])) for p in pieces if p["from"] and p["to"]),
        *((f"{run} start", f"{run} end") for run in runs),
    ]


def _node(spot: str | Tap) -> str:
    return f"{spot.run} start" if isinstance(spot, Tap) else spot


def _reached(first: str, joined: Joins, never: str = "") -> set[str]:
    """Everything tube joins to `first`, not through `never`."""
    reached, grown = {first}, True
    while grown:
        grown = False
        for pair in joined:
            if never not in pair and (pair[0] in reached) != (pair[1] in reached):
                reached |= set(pair)
                grown = True
    return reached


def _connected(walk: SchemaReader, pieces: list[dict[str, Any]], runs: list[str], source: str) -> None:
    """Every run and every piece must be reached by tube from the source."""
    joined = _joined(pieces, runs)
    reached = _reached(source, joined)
    if source == PUMP:
        before = _reached(WATER_POINT, joined, never=PUMP)
        past = [run for run in runs if f"{run} start" in before]
        for run in past:
            walk.wrong("past-the-pump", ("line", "piece"), run=run)
        reached |= before
    lost = [run for run in runs if f"{run} start" not in reached]
    for run in lost:
        instead = f'to = "{run} start"'
        walk.wrong("run-not-fed", ("line", "piece"), run=run, source=source, instead=instead)
    already_reported = reached.union(*(_reached(f"{run} start", joined) for run in lost))
    for n, piece in enumerate(pieces):
        if piece["from"] and piece["to"] and _node(piece["from"]) not in already_reported:
            walk.wrong("piece-not-fed", ("line", "piece", n), end=str(piece["from"]), source=source)
            already_reported |= _reached(_node(piece["from"]), joined)  # once for all that hangs together


# ------------------------------------------------------------------ single pieces, and rings of them


def _piece(walk: SchemaReader, piece: dict[str, Any], path: Path) -> None:
    if piece["from"] and piece["to"] and str(piece["from"]) == str(piece["to"]):
        walk.wrong("piece-to-itself", path, text=str(piece["from"]))
    length, rise = piece["length"], piece["rise"]
    if length is not None and rise is not None and abs(rise) > length + TAPE:
        shown = {key: units.show(abs(piece[key]), "length", walk.system) for key in ("rise", "length")}
        walk.wrong("rise-over-length", (*path, "rise"), **shown)
    valves = dict(piece["fittings"] or ()).get("check valve", 0)
    if piece["check_opens_at"] and not valves and not walk.states((*path, "fittings", "check valve")):
        walk.wrong("no-check-valve", (*path, "check_opens_at"))


def _rings(walk: SchemaReader, pieces: list[dict[str, Any]], runs: list[dict[str, Any]]) -> None:
    """Rings of no length, and rings in which the rises do not add up."""
    sloped = {run["name"]: run for run in runs if run["rise"] and run["length"]}
    level: list[Join] = [(f"{run['name']} start", f"{run['name']} end", run["rise"] or 0.0) for run in runs]

    def node(spot: Tap | str) -> str:
        """A tap on a slope is a place of its own, as high as the lid is there."""
        if not (isinstance(spot, Tap) and spot.run in sloped):
            return _node(spot)
        run = sloped[spot.run]
        at_start = ((run["datum"] or {}).get("end") or "start") == "start"
        from_start = spot.along if at_start else run["length"] - spot.along
        level.append((f"{spot.run} start", spot.said, risen(run["rise"], run["length"], from_start)))
        return spot.said

    joined = [
        (n, (node(p["from"]), node(p["to"]), p["rise"]), p["length"])
        for n, p in enumerate(pieces)
        if p["from"] and p["to"] and str(p["from"]) != str(p["to"])
    ]
    group: dict[str, set[str]] = {}
    for n, _, length in joined:
        pair = (str(pieces[n]["from"]), str(pieces[n]["to"]))
        if length != 0.0:
            continue
        start_group, other = (group.setdefault(name, {name}) for name in pair)
        if start_group is other:
            walk.wrong("ring-of-no-length", ("line", "piece", n), start=pair[0], end=pair[1])
        start_group |= other
        group.update(dict.fromkeys(start_group, start_group))
    _, clashes = node_heights([*level, *(join for _, join, _ in joined)])
    for index, needed in clashes:
        n, (_, _, stated), _ = joined[index - len(level)]
        shown = (units.show(rise, "length", walk.system) for rise in (stated, needed))
        values = dict(zip(("text", "needed"), shown, strict=True))
        walk.wrong("ring-does-not-close", ("line", "piece", n, "rise"), **values)


# ------------------------------------------------------------------ zones, names, tubes


def _zones(walk: SchemaReader, zones: list[dict[str, Any]], runs: list[str], second: set[str]) -> None:
    """`second`: rows that go with their runs where no zone names them."""
    owner: dict[str, str] = {}
    for n, zone in enumerate(zones):
        for name in zone["runs"] or ():
            if name not in runs:
                no_such(walk, ("line", "zone", n, "runs"), name, runs)
            elif name in owner:
                walk.wrong("run-in-two-zones", ("line", "zone", n, "runs"), run=name, other=owner[name])
            owner.setdefault(name, zone["name"] or "")
    if zones and all(zone["runs"] for zone in zones):
        for name in runs:
            if name not in owner and name not in second:
                walk.wrong("run-in-no-zone", ("line", "zone"), run=name)


def _valves(walk: SchemaReader, line: dict[str, Any]) -> None:
    """Zone valves stand in pieces there are, and zones that run together are two or more there are."""
    pieces = [f"{p['from']} to {p['to']}" for p in line["piece"] if p["from"] and p["to"]]
    for n, zone in enumerate(line["zone"]):
        for name in zone["valves"] or ():
            if name not in pieces and len(pieces) == len(line["piece"]):
                no_such(walk, ("line", "zone", n, "valves"), name, pieces, "no-such-piece")
    zones = [zone["name"] for zone in line["zone"] if zone["name"]]
    for n, together in enumerate(line["together"]):
        for name in together["zones"] or ():
            if name not in zones:
                no_such(walk, ("line", "together", n, "zones"), name, zones)
        if together["zones"] and len(set(together["zones"])) < 2:
            walk.wrong("together-alone", ("line", "together", n, "zones"), text=together["zones"][0])


def _named(walk: SchemaReader, values: dict[str, Any], runs: list[str]) -> None:
    """What is stated for a run or a mark must name one; of marks, only fixed ones have a name beforehand."""
    fixed = [
        mark["name"]
        for patio in values["patio"]
        for run in patio["run"]
        for row, _ in rows_of(run)
        for mark in row["fixed"]
        if mark["name"]
    ]
    for kind, known in (("run", runs), ("mark", fixed)):
        for n, entry in enumerate(values["line"][kind]):
            if entry["name"] and entry["name"] not in known:
                code = "no-such-name" if known else "no-fixed-mark"
                no_such(walk, ("line", kind, n, "name"), entry["name"], known, code)


def _tubes(line: dict[str, Any]) -> Iterator[tuple[dict[str, Any], Path]]:
    if line["tube"]:
        yield line["tube"], ("line", "tube")
    for kind in ("piece", "run"):
        for n, entry in enumerate(line[kind]):
            if entry["tube"]:
                yield entry["tube"], ("line", kind, n, "tube")


def _tube(walk: SchemaReader, tube: dict[str, Any], path: Path) -> None:
    if tube["wall"] and tube["outside"] and 2 * tube["wall"] >= tube["outside"]:
        at = "wall" if walk.states((*path, "wall")) else "outside"
        shown = {key: units.show(tube[key], "bore", walk.system) for key in ("wall", "outside")}
        walk.wrong("no-bore", (*path, at), **shown)
    if tube["material"] and tube["material"] != "copper" and walk.states((*path, "temper")):
        walk.wrong("only-for-copper", (*path, "temper"), material=tube["material"])
