"""Tables of lots for tests, and an invented subdivision: python -m tests.fleet.subdivision FOLDER [LOTS]

Writes six plans and lots.csv (400 lots): three shapes of patio at two heights, in two climates, as drawn or
mirrored, on streets that curve. Nobody lives there.
"""

from __future__ import annotations

import csv
import random
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

HEADS = ("lot", "phase", "plan", "mirrored", "facing", "climate", "place.elevation")
CLIMATES = {"el-paso": "3891 ft", "tucson": "2556 ft"}
FACINGS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")

HEAD = """format = 1
name   = "{name}"
about  = "Invented, to try a fleet with."
[place]
elevation = "3891 ft"
climate   = "el-paso"
[prices]
nozzle = "6.50 each"
"""
PATIO = """[[patio]]
name   = "rear"
depth  = "{depth}"
height = "{height}"
back   = "wall"
[patio.marks]
pitch = "30 in"
"""
RUN = """[[patio.run]]
name   = "{name}"
length = "{length}"
datum  = {{ end = "start", surface = "face of framing" }}
{more}
"""
THINGS = """[[patio.obstacle]]
name  = "L1"
kind  = "light"
run   = "A"
along = "{light}"
back  = "{back}"
size  = "6 in"
[[patio.obstacle]]
name  = "Fan"
kind  = "fan"
run   = "A"
along = "8 ft"
back  = "5 ft"
size  = "52 in"
[[patio.seat]]
name  = "table"
run   = "A"
along = "8 ft"
back  = "5 ft"
"""
LINE = """[[line.piece]]
from   = "pump"
to     = "A start"
length = "30 ft"
rise   = "9 ft"
"""
CORNER = """[[line.piece]]
from   = "A end"
to     = "B start"
length = "12 in"
"""
SMALL = """format = 1
name = "{name}"
[place]
elevation = "100 m"
[[place.afternoon]]
name = "hot"
dry_bulb = "36 degC"
relative_humidity = "25 %"
wind = "3 m/s"
wind_from = "W"
[[patio]]
name  = "yard"
depth = "2.4 m"
back  = "wall"
[[patio.run]]
name = "A"
length = "{length}"
[[patio.seat]]
name = "chair"
run = "A"
along = "1 m"
back = "1 m"
[line.nozzle]
at = "4 bar"
flow = "6 L/h"
[[line.piece]]
from = "water point"
to = "A start"
length = "3 m"
[water]
static = "4 bar"
"""
SHAPES = {  # runs and depth of the lid; where along run A the light is
    "saguaro": ((("A", "22 ft", ""),), "11 ft", "5 ft"),
    "ocotillo": ((("A", "28 ft", 'then = "inside corner"'), ("B", "16 ft", "")), "12 ft", "6 ft"),
    "palo-verde": ((("A", "34 ft", ""),), "14 ft", "7 ft 6 in"),
}


def table(path: Path, heads: Sequence[str], rows: Iterable[Sequence[object]]) -> Path:
    with path.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([heads, *rows])
    return path


def small_plan(path: Path, length: str = "2.4 m", name: str = "Small") -> Path:
    """A patio on the mains with an afternoon of its own: a third of a second to work out."""
    path.write_text(SMALL.format(name=name, length=length), "utf-8")
    return path


def plans(folder: Path) -> tuple[str, ...]:
    """The six plans, written; their names."""
    names = []
    for shape, (runs, depth, light) in SHAPES.items():
        for height in ("9 ft", "10 ft"):
            name = f"{shape}-{height.split()[0]}"
            text = HEAD.format(name=f"Plan {shape}, {height}") + PATIO.format(depth=depth, height=height)
            text += "".join(RUN.format(name=run, length=length, more=more) for run, length, more in runs)
            back = "9 in" if shape == "palo-verde" else "5 ft"
            corner = CORNER if len(runs) > 1 else ""
            text += THINGS.format(light=light, back=back) + LINE + corner + "[pump]\n"
            (folder / f"{name}.toml").write_text(text, "utf-8")
            names.append(f"{name}.toml")
    return tuple(names)


def subdivision(folder: Path, lots: int = 400, mirrored: bool = True) -> Path:
    """The table, and its plans beside it. The same every time."""
    folder.mkdir(parents=True, exist_ok=True)
    chance, names = random.Random(400), plans(folder)
    rows = []
    for lot in range(1, lots + 1):
        climate = "el-paso" if lot % 4 else "tucson"
        facing = FACINGS[(lot // 25 + 4 * (lot % 2)) % 8]
        hand = "yes" if mirrored and chance.random() < 0.5 else "no"
        phase = f"{1 + (lot - 1) * 4 // lots}"
        rows.append((lot, phase, chance.choice(names), hand, facing, climate, CLIMATES[climate]))
    return table(folder / "lots.csv", HEADS, rows)


if __name__ == "__main__":
    print(subdivision(Path(sys.argv[1]), *map(int, sys.argv[2:3])))
