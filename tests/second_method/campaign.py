"""Writes, runs, checks and gathers cases: `python -m tests.second_method.campaign --help`.

Each result is added to its lot's table as it comes; a run whose name stands there is passed over.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Lock

from tests.second_method import foam, gather, patio, tracers
from tests.second_method.cases import CASES, CELL, FINE, MODEL, OTHER_MODEL, REPEATED, TABLES
from tests.second_method.compare import figures
from tests.second_method.patio import Run
from tests.second_method.solver import Failed, call

AGES = 4.0  # air ages that the mist runs
SHORTEST, LONGEST = 30.0, 75.0  # s
FINE_PART, FINE_SHORTEST = 0.3, 12.0  # of the time, and s: a run that begins with a coarser one's end
RELAXED, RELAXED_STEPS = 0.95, 400  # of a steady tracer that cannot be solved at once
AVERAGED = 0.45  # of the time, the last part
LOCK = Lock()


def main() -> int:
    options = _options()
    if shutil.which("reactingParcelFoam") is None:
        print("needs Debian's package openfoam: apt-get install --no-install-recommends openfoam")
        return 2
    options.out.mkdir(parents=True, exist_ok=True)
    todo = [run for run in _wanted(options) if options.again or run.name not in _done(run)]
    print(f"{len(todo)} runs to do")
    with ThreadPoolExecutor(options.jobs) as pool:
        ended = list(pool.map(lambda run: _one(run, options.out), todo))
    return 0 if all(ended) else 1


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.second_method.campaign", description=__doc__)
    parser.add_argument("cases", nargs="*", help="names, or parts of names; none: all")
    parser.add_argument("--out", type=Path, default=Path("second_method_runs"), help="folder for the runs")
    parser.add_argument("--jobs", type=int, default=1, help="runs side by side, one core each")
    parser.add_argument("--fine", action="store_true", help=f"the repeated eight with cells of {FINE} m")
    parser.add_argument("--other-model", action="store_true", help=f"the repeated eight with {OTHER_MODEL}")
    parser.add_argument("--again", action="store_true", help="also runs that are in the tables: prints both")
    parser.add_argument("--list", action="store_true", help="only say which")
    options = parser.parse_args()
    if options.list:
        for run in _wanted(options):
            print(run.name, run.case.lot)
        sys.exit(0)
    return options


def _wanted(options: argparse.Namespace) -> list[Run]:
    cases = [c for c in CASES if not options.cases or any(part in c.name for part in options.cases)]
    repeated = [c for c in cases if c.name in REPEATED]
    if options.fine:
        return [Run(case, FINE, MODEL) for case in repeated]
    if options.other_model:
        return [Run(case, CELL, OTHER_MODEL) for case in repeated]
    return [Run(case) for case in cases]


def _table(run: Run) -> Path:
    """Held-back cases have tables of their own, so that nobody reads them by chance."""
    return Path(__file__).with_name(TABLES[run.case.lot])


def _done(run: Run) -> dict[str, dict[str, float]]:
    return figures(_table(run))


def _one(run: Run, out: Path) -> bool:
    began = time.monotonic()
    folder = out / run.name
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    try:
        found = solve(run, folder, out)
    except (Failed, OSError, ValueError, KeyError) as fault:
        print(f"{run.name}: {type(fault).__name__} {fault}", flush=True)
        return False
    found = found | {"minutes": (time.monotonic() - began) / 60}
    if run.name in _done(run):
        before = _done(run)[run.name]
        print("\n".join(f"  {name:28} {value:10.5g} {before.get(name, float('nan')):10.5g}"
                        for name, value in found.items()))  # fmt: skip
    else:
        _add(run, found)
    print(f"{run.name}: {time.monotonic() - began:.0f} s", flush=True)
    return True


def solve(run: Run, folder: Path, out: Path) -> dict[str, float]:
    told: dict[str, float] = {"cells": _meshed(run, folder)}
    if run.calm:
        purge = 0.0
    else:
        told |= _off(run, folder)
        purge = told["off_purge_m3_s"]
    volume = sum((x1 - x0) * (y1 - y0) for x0, y0, x1, y1 in run.shape.lids) * run.shape.lid_height
    ages = AGES * volume / purge if purge else LONGEST
    seconds = min(max(ages, SHORTEST), LONGEST)
    coarse = out / Run(run.case).name if run.cell < CELL else None
    start = _mist_fields(run, folder, coarse)
    if start:  # with the coarser mesh's cold air
        seconds = max(FINE_PART * seconds, FINE_SHORTEST)
    _mist(folder, round(seconds, 1))
    last = _last(folder)
    told |= gather.mist_on(run, folder, last)
    told["seconds"], told["courant"] = seconds, foam.worst_courant(folder / "log.mist")
    if told["courant"] > 1.5:
        raise Failed(f"Courant number {told['courant']}: not to be believed")
    return told


def _meshed(run: Run, folder: Path) -> int:
    patio.write(run, folder)
    _system(folder, "off", "")
    call(folder, "log.mesh", "blockMesh")
    patio.place_points(folder)
    call(folder, "log.mesh", "topoSet", "-dict", "system/topoSetDict.house")
    call(folder, "log.mesh", "subsetMesh", "keep", "-overwrite", "-patch", "house")
    call(folder, "log.mesh", "topoSet", "-dict", "system/topoSetDict.lid")
    call(folder, "log.mesh", "createBaffles", "-overwrite")
    shutil.rmtree(folder / "constant/polyMesh/sets", ignore_errors=True)
    call(folder, "log.mesh", "topoSet", "-dict", "system/topoSetDict.areas")
    call(folder, "log.check", "checkMesh")
    text = (folder / "log.check").read_text()
    if "Mesh OK" not in text:
        raise Failed(f"the mesh fails its check: see {folder / 'log.check'}")
    return int(next(line.split()[-1] for line in text.splitlines() if line.strip().startswith("cells:")))


def _system(folder: Path, stage: str, functions: str) -> None:
    for file in (folder / "system" / stage).iterdir():
        text = file.read_text()
        if functions and file.name == "controlDict":
            text = text.replace("functions\n{\n", f"functions\n{{\n{functions}")
        (folder / "system" / file.name).write_text(text)


def _last(folder: Path) -> str:
    times = [path.name for path in folder.iterdir() if path.is_dir() and path.name.replace(".", "").isdigit()]
    return max((name for name in times if float(name) > 0), key=float)


def _off(run: Run, folder: Path) -> dict[str, float]:
    """The wind without mist, and its tracers; the fields are left in `off/`."""
    shutil.copytree(folder / "0.off", folder / "0")
    call(folder, "log.off", "simpleFoam")
    last = _last(folder)
    tracers.write(run, folder, last)
    _steady_tracers(folder, last)
    _centers(folder, last)
    told = gather.wind_off(run, folder, last)
    shutil.move(folder / last, folder / "off")
    shutil.rmtree(folder / "0")
    return told


def _steady_tracers(folder: Path, at: str) -> None:
    """Solved at once; where that breaks down, as on a fine mesh in a slow lee, step by step."""
    solved = "simpleFoam", "-postProcess", "-time", at
    _system(folder, "off", tracers.functions(steady=True))
    try:
        call(folder, "log.tracer", *solved)
    except Failed:
        _system(folder, "off", tracers.functions(steady=True, steps=RELAXED_STEPS))
        settings = folder / "system" / "fvSolution"
        text = settings.read_text()
        settings.write_text(text.replace("equations {", f'equations {{ "tr.*" {RELAXED};'))
        call(folder, "log.tracer", *solved)


def _centers(folder: Path, at: str) -> None:
    call(folder, "log.tracer", "postProcess", "-func", "writeCellCentres", "-time", at)
    call(folder, "log.tracer", "postProcess", "-func", "writeCellVolumes", "-time", at)


def _mist_fields(run: Run, folder: Path, coarse: Path | None) -> bool:
    """The fields the mist starts from; True where they are those of a coarser mesh with its mist on."""
    shutil.copytree(folder / "0.mist", folder / "0")
    tracers.write(run, folder, "0")
    if coarse is not None and coarse.exists():
        call(folder, "log.map", "mapFields", os.path.relpath(coarse, folder), "-consistent",
              "-sourceTime", _last(coarse))  # fmt: skip
        shutil.rmtree(folder / "0/lagrangian", ignore_errors=True)
        return True
    for name in ("U", "k", "epsilon", "omega", "nut"):
        if (folder / "off" / name).exists():
            shutil.copy(folder / "off" / name, folder / "0" / name)
    return False


def _mist(folder: Path, seconds: float) -> None:
    means = " ".join(f"{name} {{ mean on; prime2Mean off; base time; }}" for name in ("T", "H2O", "U"))
    functions = tracers.functions(steady=False) + (
        f"  mean {{ type fieldAverage; libs (fieldFunctionObjects); timeStart {(1 - AVERAGED) * seconds:g}; "
        f"writeControl writeTime; fields ( {means} ); }}\n"
    )
    foam.control(folder, "system/mist", "reactingParcelFoam", seconds, steady=False, write=seconds)
    _system(folder, "mist", functions)
    call(folder, "log.mist", "reactingParcelFoam")
    _centers(folder, _last(folder))


def _add(run: Run, told: dict[str, float]) -> None:
    """One line a figure: shapes have different seats. The run's name holds its settings."""
    with LOCK, _table(run).open("a") as lines:
        lines.write("".join(f"{run.name},{name},{value:.5g}\n" for name, value in told.items()))


if __name__ == "__main__":
    sys.exit(main())
