"""Defaults that hang on other keys: what a light, a corner run or a line on the mains gets unstated.

All are common practice without a source unless said, and all are listed as assumed. The tree of values is
filled in place; what is missing and has no default is noted as a mistake.
"""

from __future__ import annotations

import math
from typing import Any

from mistcalc import units
from mistcalc.files.climate.near_towns import nearest_sample
from mistcalc.files.project.ring_cross_checks import is_ring
from mistcalc.files.project.run_shapes import BENDS
from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.project.surroundings_cross_checks import remove_idle_house_values
from mistcalc.files.project.tariff_cross_checks import fill_household_use
from mistcalc.files.project.tube_ends import read_spots
from mistcalc.files.text.toml_positions import Path
from mistcalc.model.practice import HIGH_VOLTS
from mistcalc.model.second_rows import usual_name

Texts = tuple[str, str]  # as written in a US and in a metric file

# In plan, from a hole's centre: to a light's middle, else to the edge or the sweep.
CLEARANCES: dict[str, Texts] = {
    "light": ("3 ft", "900 mm"),
    "fan": ("2 ft", "600 mm"),
    "heater": ("5 ft", "1500 mm"),
    "speaker": ("3 ft", "900 mm"),
    "screen": ("3 ft", "900 mm"),
    "door glass": ("3 ft", "900 mm"),
    "column": ("3 in", "75 mm"),
    "beam": ("18 in", "450 mm"),
    "outlooker": ("1-1/4 in", "30 mm"),
    "pocket": ("3 in", "75 mm"),
    "vent": ("6 ft", "1800 mm"),
    "outlet": ("3 ft", "900 mm"),
    "grill": ("5 ft", "1500 mm"),
    "other": ("1 ft", "300 mm"),
}
# system -> thickness framing to finished face, sheathing or foam. Three-coat 7/8 in: ASTM C926.
PLASTER: dict[str, tuple[Texts, Texts]] = {
    "three-coat": (("7/8 in", "22 mm"), ("0 in", "0 mm")),
    "one-coat": (("1/2 in", "13 mm"), ("1 in", "25 mm")),
    "direct": (("5/8 in", "16 mm"), ("0 in", "0 mm")),
    "wood": (("3/4 in", "19 mm"), ("0 in", "0 mm")),
    "none": (("0 in", "0 mm"), ("0 in", "0 mm")),
}
# Nozzle when the file names none: a patio's usual one with a pump, a coarse one on the mains.
NOZZLE_PUMP = {"label": "0.012 in orifice", "flow": ("0.029 gpm", "6.6 L/h"), "at": ("1000 psi", "70 bar")}
NOZZLE_MAINS = {"label": "mains-pressure nozzle", "flow": ("0.5 gph", "1.9 L/h"), "at": ("60 psi", "4 bar")}
# Spread of drop sizes where none is stated, by the pressure of the stated flow: (from this pressure, spread).
# 2.1: VTT 20 bar nozzle; the rest common practice.
SPREADS = (("35 bar", 2.5), ("0 bar", 2.1))
# material -> the length its tube is sold in, and how it is joined
STRAIGHT, COIL = ("10 ft", "3 m"), ("100 ft", "30 m")
SOLD: dict[str, tuple[Texts, str]] = {
    "pvc": (STRAIGHT, "solvent cement"),
    "pex": (COIL, "crimp"),
    "nylon": (COIL, "push-in"),
}
METAL = (STRAIGHT, "compression")
FEED: Texts = ("30 ft", "10 m")
# What a tube of its own need not say again, and of that what goes with the material.
OF_THE_LINE = ("material", "temper", "stick", "kerf", "joints")
OF_THE_MATERIAL = ("temper", "stick", "joints")
BENT_BY_HAND = math.radians(15)  # tube turns so far without a fitting; common practice, no source
RESIDUAL_SHARE = 0.75  # of static pressure


def fill_dependent_defaults(walk: SchemaReader, values: dict[str, Any]) -> None:
    """Fill what the schema alone could not."""
    _climate(walk, values["place"])
    for number, patio in enumerate(values["patio"]):
        path: Path = ("patio", number)
        _plaster(walk, patio["plaster"], (*path, "plaster"))
        ring, last = is_ring(patio["run"]), len(patio["run"]) - 1
        for place, run in enumerate(patio["run"]):
            before = patio["run"][place - 1]
            _run(
                walk, run, (*path, "run", place), place == 0 and not ring, place == last and not ring, before
            )
        remove_idle_house_values(walk, patio, path)
        for place, obstacle in enumerate(patio["obstacle"]):
            _obstacle(walk, obstacle, (*path, "obstacle", place))
    water = values["water"]
    if water and water["residual"] is None and not walk.states(("water", "residual")) and water["static"]:
        water["residual"] = RESIDUAL_SHARE * water["static"]
        walk.assume(("water", "residual"))
    fill_household_use(walk, values["tariff"])
    if values["pump"]:
        _motors(walk, values["pump"])
    if values["line"]:
        _line(walk, values["line"], values["pump"] is not None or walk.states(("pump",)))
        _pieces_and_zones(walk, values)
        read_spots(walk, values)


def _climate(walk: SchemaReader, place: dict[str, Any] | None) -> None:
    """The sample measured nearest, where a place on earth is stated and no air at all."""
    if not place or place["afternoon"] or walk.states(("place", "climate")):
        return
    if place["latitude"] is not None and place["longitude"] is not None:
        place["climate"] = nearest_sample(place["latitude"], place["longitude"])
        walk.assume(("place", "climate"))


def _motors(walk: SchemaReader, pump: dict[str, Any]) -> None:
    """Motors by horsepower in US files and wherever the supply is one of 100 to 127 V, else by kilowatts."""
    volts = pump["volts"] or (pump["nameplate"] or {}).get("volts")
    low = volts is not None and volts < HIGH_VOLTS
    _fill(walk, pump, ("pump",), "motors", ("NEMA", "NEMA" if low else "IEC"), "")


def _fill(
    walk: SchemaReader, table: dict[str, Any], path: Path, key: str, texts: Texts, kind: str = "length"
) -> None:
    """A default for one silent key, listed as assumed. kind "": the text itself."""
    if table[key] is None and not walk.states((*path, key)):
        text = texts[walk.defaults == "metric"]
        table[key] = units.parse(text, kind) if kind else text
        walk.assume((*path, key))


def _missing(walk: SchemaReader, table: dict[str, Any], path: Path, key: str, instead: str) -> None:
    if table[key] is None and not walk.states((*path, key)):
        walk.wrong("missing", (*path, key), key=key, instead=f"{key} = {instead}")


def _plaster(walk: SchemaReader, plaster: dict[str, Any] | None, path: Path) -> None:
    if plaster and plaster["system"]:
        thickness, sheathing = PLASTER[plaster["system"]]
        _fill(walk, plaster, path, "thickness", thickness)
        _fill(walk, plaster, path, "sheathing", sheathing)


def _run(
    walk: SchemaReader, run: dict[str, Any], path: Path, first: bool, last: bool, before: dict[str, Any]
) -> None:
    """Ends, corner, datum, framing. A run between two others starts and ends at corners, and says neither."""
    for key, outermost, alone in (("starts_at", first, "first"), ("ends_at", last, "last")):
        if outermost:
            _fill(walk, run, path, key, ("wall", "wall"), "")
        elif walk.states((*path, key)):
            walk.wrong("end-at-corner", (*path, key), key=key, alone=alone)
        else:
            run[key] = "corner"
    if last:
        if run["then"] not in ("end", None):
            walk.wrong("corner-after-last", (*path, "then"), text=run["then"])
        elif not walk.states((*path, "then")):
            run["then"] = "end"
    elif run["then"] == "end":
        walk.wrong("end-before-last", (*path, "then"))
    else:
        _missing(walk, run, path, "then", '"inside corner"')
    if run["then"] in BENDS and not last:
        _missing(walk, run, path, "bend", '"11.25 deg"')
    datum = run["datum"]
    if datum:  # the last run of several ends at a surface that is there at rough-in; its start is mid-air
        far = last and not first and run["ends_at"] == "wall"
        _fill(walk, datum, (*path, "datum"), "end", ("end", "end") if far else ("start", "start"), "")
    _surface(walk, run, path, before)
    if run["framing"]:
        _framing(walk, run["framing"], (*path, "framing"))
    row = run["second_row"]
    if row and run["name"] and row["name"] is None and not walk.states((*path, "second_row", "name")):
        row["name"] = usual_name(run["name"])


def _surface(walk: SchemaReader, run: dict[str, Any], path: Path, before: dict[str, Any]) -> None:
    """What stands at the datum at rough-in."""
    datum = run["datum"]
    if datum and datum["end"]:
        at = {"wall": "wall framing", "open": "framing at the open end", "corner": "framing at the corner"}
        kind, then = (
            (run["starts_at"], before["then"]) if datum["end"] == "start" else (run["ends_at"], run["then"])
        )
        if kind == "corner" and then in (*BENDS, "straight on"):
            at["corner"] = "framing where the runs meet"
        surface = f"face of {at.get(kind, 'framing')}"
        _fill(walk, datum, (*path, "datum"), "surface", (surface,) * 2, "")


def _framing(walk: SchemaReader, framing: dict[str, Any], path: Path) -> None:
    """Members as framed (centres), or regular: the first centre half a member short of one spacing."""
    if walk.states((*path, "centres")):
        for key in ("spacing", "first"):
            if walk.states((*path, key)):
                walk.wrong("framing-twice", (*path, key), key=key)
        return
    _fill(walk, framing, path, "spacing", ("16 in", "400 mm"))
    spacing, width = framing["spacing"], framing["width"]
    if framing["first"] is None and not walk.states((*path, "first")) and spacing and width:
        step = 0.001 if walk.defaults == "metric" else 0.0015875  # 1 mm, 1/16 in
        framing["first"] = units.on_grid(max(spacing - width / 2, 0.0), walk.defaults, step)
        walk.assume((*path, "first"))


def _obstacle(walk: SchemaReader, obstacle: dict[str, Any], path: Path) -> None:
    kind = obstacle["kind"]
    if kind == "light":
        _fill(walk, obstacle, path, "size", ("6 in", "150 mm"))
        if isinstance(obstacle["size"], float):
            obstacle["size"] = (obstacle["size"], obstacle["size"])
    elif kind:
        _missing(walk, obstacle, path, "size", '"60 in"' if kind == "fan" else '["4 ft", "2 ft"]')
    if kind:
        _fill(walk, obstacle, path, "clearance", CLEARANCES[kind])
    if kind == "fan":
        _fill(walk, obstacle, path, "air_speed", ("1.0 m/s", "1.0 m/s"), "speed")
        if obstacle["size"] and obstacle["size"][0] != obstacle["size"][1]:
            walk.wrong("fan-one-size", (*path, "size"))
    elif kind and walk.states((*path, "air_speed")):
        walk.wrong("only-for-fans", (*path, "air_speed"), key="air_speed", kind=kind)


def _line(walk: SchemaReader, line: dict[str, Any], pumped: bool) -> None:
    """Nozzles and tubes in full, and places along runs told from names."""
    _nozzle(walk, line["nozzle"], ("line", "nozzle"), NOZZLE_PUMP if pumped else NOZZLE_MAINS)
    if line["tube"]:
        _sold(walk, line["tube"], ("line", "tube"))
    for kind in ("piece", "run", "mark"):
        for n, entry in enumerate(line[kind]):
            here: Path = ("line", kind, n)
            _nozzle(walk, entry.get("nozzle"), (*here, "nozzle"), None)
            tube = entry.get("tube")
            for key in OF_THE_LINE if tube and line["tube"] else ():
                another = key in OF_THE_MATERIAL and tube["material"] != line["tube"]["material"]
                if tube[key] is None and not walk.states((*here, "tube", key)) and not another:
                    tube[key] = line["tube"][key]
            if tube:
                _sold(walk, tube, (*here, "tube"))


def _sold(walk: SchemaReader, tube: dict[str, Any], path: Path) -> None:
    lengths, joints = SOLD.get(tube["material"] or "", METAL)
    _fill(walk, tube, path, "stick", lengths)
    _fill(walk, tube, path, "joints", (joints, joints), "")


def _nozzle(
    walk: SchemaReader, nozzle: dict[str, Any] | None, path: Path, usual: dict[str, Any] | None
) -> None:
    """`usual` is what a silent nozzle is taken for; None where flow and pressure must be stated."""
    if not nozzle:
        return
    if usual and not (walk.states((*path, "flow")) or walk.states((*path, "at"))):
        _fill(walk, nozzle, path, "label", (str(usual["label"]),) * 2, "")
        for key, kind in (("flow", "flow"), ("at", "pressure")):
            us, metric = usual[key]
            _fill(walk, nozzle, path, key, (us, metric), kind)
    else:
        _fill(walk, nozzle, path, "label", ("nozzle",) * 2, "")
    if nozzle["at"]:
        _, spread = next(row for row in SPREADS if nozzle["at"] >= units.parse(row[0], "pressure"))
        if nozzle["drop_spread"] is None and not walk.states((*path, "drop_spread")):
            nozzle["drop_spread"] = spread
            walk.assume((*path, "drop_spread"))
    sizes = [key for key in ("drop_median", "drop_sauter") if walk.states((*path, key))]
    if not sizes:
        walk.assume((*path, "drop_median"))  # no value: from flow and pressure, in a wider band
    elif len(sizes) == 2:
        walk.wrong("drop-size-twice", (*path, "drop_sauter"))


def _pieces_and_zones(walk: SchemaReader, values: dict[str, Any]) -> None:
    """A straight feed and one zone, where the file has neither."""
    line = values["line"]
    runs = [(patio, run) for patio in values["patio"] for run in patio["run"] if run["name"]]
    if not walk.states(("line", "piece")) and not walk.states(("line", "piece", 0)) and runs:
        source = "pump" if values["pump"] is not None else "water point"
        usual = units.parse(FEED[walk.defaults == "metric"], "length")
        before = None
        for patio, run in runs:
            if before is None or before[0] is not patio:
                rise = patio["height"] or 0.0
                line["piece"].append(_piece(source, f"{run['name']} start", max(usual, rise), rise, ()))
            else:
                ends = f"{before[1]['name']} end", f"{run['name']} start"
                line["piece"].append(_piece(*ends, 0.0, 0.0, _round(before[1])))
            before = (patio, run)
        walk.assume(("line", "piece"))
    if not walk.states(("line", "zone")) and not walk.states(("line", "zone", 0)):
        line["zone"] = [
            {
                "name": "all",
                "runs": tuple(run["name"] for _, run in runs),
                "valves": None,
            }
        ]
    if len(line["zone"]) > 1:
        for n, zone in enumerate(line["zone"]):
            if zone["valves"] is None and not walk.states(("line", "zone", n, "valves")):
                walk.assume(("line", "zone", n, "valves"))  # no value: it follows from the pieces
        if not walk.states(("line", "together")) and not walk.states(("line", "together", 0)):
            walk.assume(("line", "together"))  # no value: one at a time


def _round(run: dict[str, Any]) -> tuple[Any, ...]:
    """What turns the tube where the next run begins: a slight bend is bent by hand."""
    if run["then"] in BENDS:
        return () if (run["bend"] or 0.0) <= BENT_BY_HAND else (("elbow 45", 1),)
    return () if run["then"] == "straight on" else (("elbow", 1),)


def _piece(start: str, end: str, length: float, rise: float, fittings: tuple[Any, ...]) -> dict[str, Any]:
    defaults = {"check_opens_at": 0.0, "temperature": None, "tube": None}
    return {"from": start, "to": end, "length": length, "rise": rise, "fittings": fittings, **defaults}
