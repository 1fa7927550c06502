"""One nozzle of an endless line in a cross wind, resolved: `python -m tests.second_method.jet --help`.

Half a pitch between two planes of symmetry, the nozzle on one of them, under a lid; wind square to the line.
Cells are half as large about the nozzle as in the plume. A run can begin with the fields of a coarser one
(`--begin`), which spares most of its time. Figures go to jet.csv, one line each; a run's name holds its
settings.

Traps: the jet is 3-5 cm wide where the drops have given it their momentum, so that cells of 0.1 m there halve
its depth; a Courant number of 3 in the cells of its core changes the depth by 0.01 m, and is taken.
"""

from __future__ import annotations

import argparse
import math
import os
import shutil
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from mistcalc.physics import air
from tests.second_method import foam
from tests.second_method.solver import Failed, call

RESULTS = Path(__file__).with_name("jet.csv")
FLOW, PRESSURE, MEDIAN, SPEED, WATER = 6.6 / 3600 * 0.9922, 70e5, 30e-6, 104.0, 303.15  # kg/s, Pa, m, m/s, K
T, HUMIDITY, P = 313.15, 0.15, 101325.0
PITCH, LID = 0.6, 0.1  # m; the lid hangs so far above the nozzle
STATIONS = (0.35, 0.75, 1.35, 1.95)  # m downwind
COURANT, LATENT = 3.0, 2.4305e6  # J/kg at the supply's temperature
AVERAGED = 0.5  # of the time, the last part
GUSTS, EDDY = 0.115, 0.3  # of the wind; m, size of the eddies it brings


@dataclass(frozen=True)
class Run:
    wind: float
    cell: float
    model: str = "kEpsilon"
    gusts: float = GUSTS

    @property
    def name(self) -> str:
        calm = "" if self.gusts == GUSTS else f"-gusts{self.gusts:g}"
        return f"w{self.wind:g}-cell{self.cell:g}-{self.model}{calm}"

    @property
    def down(self) -> float:
        """Depth of the floor [m]: as far as matters."""
        return 2.9 if self.wind < 0.6 else 2.0

    @property
    def fine(self) -> float:
        """Depth down to which cells are small [m]."""
        return 2.0 if self.wind < 0.6 else 1.1

    @property
    def seconds(self) -> float:
        return 3.0 / self.wind + 1.0

    @property
    def ratio(self) -> float:
        return float(air.humidity_ratio(T, HUMIDITY, P))


# ------------------------------------------------------------------ writing


def write(run: Run, folder: Path, seconds: float) -> None:
    _mesh(run, folder)
    foam.moist_air(folder)
    foam.turbulence(folder, run.model)
    # On the plane of symmetry, a hair inside: the plane throws back half the cone, and half the flow is ours.
    foam.spray(folder, [(1e-4, 0.0, 0.0)], FLOW / 2, MEDIAN, speed=SPEED, water=WATER, parcels=1000)
    foam.schemes(folder, "system", steady=False)
    foam.control(folder, "system", "reactingParcelFoam", seconds, steady=False, write=round(seconds / 12, 3),
                 first_step=0.001, courant=COURANT, longest_step=0.05)  # fmt: skip
    _fields(run, folder)


def _mesh(run: Run, folder: Path) -> None:
    cell, near = run.cell, run.cell / 2
    far = min(4 * cell, 0.15)
    x, y, z = (
        _graded(parts)
        for parts in (
            [(0.1, near, near), (PITCH / 2 - 0.1, near, cell)],
            [(0.55, far, cell), (0.15, cell, near), (0.25, near, near), (0.35, near, cell), (1.0, cell, cell),
             (0.7, cell, 2 * cell)],
            [(run.down - run.fine, far, cell), (run.fine - 0.6, cell, cell), (0.4, cell, near),
             (LID + 0.2, near, near)],
        )
    )  # fmt: skip
    x1, y0, y1, z0, z1 = PITCH / 2, -0.8, 2.2, -run.down, LID
    corners = " ".join(f"({x} {y} {z})" for z in (z0, z1) for x, y in ((0, y0), (x1, y0), (x1, y1), (0, y1)))
    foam.put(
        folder,
        "system/blockMeshDict",
        f"""scale 1;
vertices ( {corners} );
blocks ( hex (0 1 2 3 4 5 6 7) ({x[0]} {y[0]} {z[0]}) simpleGrading ({x[1]} {y[1]} {z[1]}) );
boundary
(
    inlet {{ type patch; faces ((0 1 5 4)); }}
    outlet {{ type patch; faces ((3 7 6 2)); }}
    sides {{ type symmetry; faces ((0 4 7 3) (1 2 6 5)); }}
    walls {{ type wall; faces ((4 5 6 7) (0 3 2 1)); }}
);
""",
    )


def _graded(parts: list[tuple[float, float, float]]) -> tuple[int, str]:
    """Cells and grading of an axis; parts: length, first and last cell [m]."""
    whole = sum(length for length, *_ in parts)
    cells, text = 0, ""
    for length, first, last in parts:
        growth = last / first
        mean = first if abs(growth - 1) < 0.01 else (last - first) / math.log(growth)
        many = max(1, round(length / mean))
        cells += many
        text += f" ({length / whole:.6f} {many} {growth:.5f})"
    return cells, f"({text} )"


def _fields(run: Run, folder: Path) -> None:
    k = 1.5 * (run.gusts * run.wind) ** 2
    epsilon = 0.09**0.75 * k**1.5 / EDDY
    share = run.ratio / (1 + run.ratio)

    def edges(inlet: str, outlet: str, walls: str) -> dict[str, str]:
        return {"inlet": inlet, "outlet": outlet, "sides": "type symmetry;", "walls": walls}

    def carried(value: str) -> dict[str, str]:
        out = f"type inletOutlet; inletValue uniform {value}; value uniform {value};"
        return edges(f"type fixedValue; value uniform {value};", out, "type zeroGradient;")

    wind = f"(0 {run.wind} 0)"
    out = f"type inletOutlet; inletValue uniform (0 0 0); value uniform {wind};"
    foam.field(folder, "0", "U", wind, edges(f"type fixedValue; value uniform {wind};", out, "type slip;"))
    told, flux = (f"type {kind}; value uniform {P};" for kind in ("calculated", "fixedFluxPressure"))
    foam.field(folder, "0", "p", P, edges(told, told, told))
    foam.field(folder, "0", "p_rgh", P, edges(flux, f"type fixedValue; value uniform {P};", flux))
    values = {"T": T, "H2O": share, "air": 1 - share, "k": k, "epsilon": epsilon, "omega": epsilon / 0.09 / k}
    for name, value in values.items():
        foam.field(folder, "0", name, f"{value:.8g}", carried(f"{value:.8g}"))
    for name in ("nut", "alphat"):
        foam.field(folder, "0", name, 0, edges(*["type calculated; value uniform 0;"] * 3))


# ------------------------------------------------------------------ running


def solve(run: Run, folder: Path, begin: Path | None) -> dict[str, float]:
    seconds = run.seconds * (0.8 if begin else 1.0)  # the drops begin anew, and must have passed all stations
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    write(run, folder, round(seconds, 2))
    call(folder, "log.mesh", "blockMesh")
    if begin:
        call(folder, "log.map", "mapFields", os.path.relpath(begin, folder), "-consistent", "-sourceTime",
              "latestTime")  # fmt: skip
        shutil.rmtree(folder / "0/lagrangian", ignore_errors=True)
    call(folder, "log.mist", "reactingParcelFoam")
    for function in ("writeCellCentres", "writeCellVolumes"):
        call(folder, "log.mist", "postProcess", "-func", function, "-latestTime")
    figures = gather(run, folder)
    figures["courant"] = foam.worst_courant(folder / "log.mist")
    if figures["courant"] > 1.5 * COURANT:
        raise Failed(f"Courant number {figures['courant']}: not to be believed")
    return figures


# ------------------------------------------------------------------ gathering


def gather(run: Run, folder: Path) -> dict[str, float]:
    """Where the cold is at each station: by mass flow, the mean of the last writes."""
    times = sorted(
        (p for p in folder.iterdir() if p.name.replace(".", "").isdigit()), key=lambda p: float(p.name)
    )
    last = times[-1]
    owner = (folder / "constant/polyMesh/owner").read_text()
    count = int(owner.split("nCells:")[1].split()[0].rstrip('";'))
    center, volume = (foam.read_field(last / name, count) for name in "CV")
    late = [path for path in times if float(path.name) > (1 - AVERAGED) * float(last.name)]
    t, share, u = (
        np.mean([foam.read_field(p / name, count) for p in late], axis=0) for name in ("T", "H2O", "U")
    )
    density = air.density(t, share / (1 - share), P)
    figures: dict[str, float] = {"cells": count, "seconds": float(last.name)}
    planes = np.unique(np.round(center[:, 1], 5))
    vapor_in = run.ratio / (1 + run.ratio)
    for x in STATIONS:
        here = np.abs(center[:, 1] - planes[np.abs(planes - x).argmin()]) < 1e-4
        drop, depth = np.clip(T - t[here], 0, None), -center[here, 2]
        area = volume[here] / volume[here].sum() * (PITCH / 2) * (run.down + LID)
        flow = density[here] * np.clip(u[here, 1], 0, None) * area
        cold = flow * drop / (flow * drop).sum()
        middle = float((cold * depth).sum())
        order = np.argsort(depth)
        low, high = (depth[order][np.searchsorted(np.cumsum(cold[order]), part)] for part in (0.1, 0.9))
        figures |= {
            f"depth_{x}_m": middle, f"spread_{x}_m": float(np.sqrt((cold * (depth - middle) ** 2).sum())),
            f"tenth_{x}_m": float(low), f"ninth_{x}_m": float(high),
            f"coldest_{x}_m": float(depth[drop.argmax()]),
            f"peak_{x}_K": float(drop.max()), f"mean_{x}_K": float((cold * drop).sum()),
            f"vapor_{x}_share": float((flow * (share[here] - vapor_in)).sum() / (FLOW / 2)),
        }  # fmt: skip
    ratio = share / (1 - share)
    dry = density * volume / (1 + ratio)
    gain = float((dry * (ratio - run.ratio)).sum())
    lost = float((dry * (foam.DRY_AIR_CP + run.ratio * foam.VAPOR_CP) * (T - t)).sum())
    figures["heat_over_vapor"] = lost / (gain * LATENT)  # 1 where water and heat are in balance
    places, mass = foam.read_parcels(last / "lagrangian/reactingCloud1")
    slab = np.abs(places[:, 1] - STATIONS[-1]) < 0.2
    liquid = float(mass[slab].sum()) / 0.4 * run.wind / (FLOW / 2)
    figures["water_found_share"] = (
        figures[f"vapor_{STATIONS[-1]}_share"] + liquid
    )  # the floor's share is not in it
    return figures


def read() -> dict[str, dict[str, float]]:
    """Figures of every run in the table; the last of a name counts."""
    told: dict[str, dict[str, float]] = {}
    for line in RESULTS.read_text().splitlines():
        run, name, value = line.split(",")
        told.setdefault(run, {})[name] = float(value)
    return told


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.second_method.jet", description=__doc__)
    parser.add_argument("--wind", type=float, default=1.0, help="m/s")
    parser.add_argument("--cell", type=float, default=0.05, help="m in the plume; half of it at the nozzle")
    parser.add_argument("--model", default="kEpsilon", help="of turbulence: kEpsilon or kOmegaSST")
    parser.add_argument("--gusts", type=float, default=GUSTS, help="share of the wind that is turbulence")
    parser.add_argument("--begin", type=Path, help="folder of a coarser run of the same wind to begin with")
    parser.add_argument("--out", type=Path, default=Path("second_method_runs"), help="folder for the runs")
    options = parser.parse_args()
    if shutil.which("reactingParcelFoam") is None:
        print("needs Debian's package openfoam: apt-get install --no-install-recommends openfoam")
        return 2
    run = Run(options.wind, options.cell, options.model, options.gusts)
    try:
        figures = solve(run, options.out / f"jet-{run.name}", options.begin)
    except (Failed, OSError, ValueError, KeyError) as fault:
        print(f"{run.name}: {type(fault).__name__} {fault}")
        return 1
    with RESULTS.open("a") as lines:
        lines.write("".join(f"{run.name},{name},{value:.5g}\n" for name, value in figures.items()))
    print("".join(f"{name:20} {value:.4g}\n" for name, value in figures.items()))
    return 0


if __name__ == "__main__":
    sys.exit(main())
