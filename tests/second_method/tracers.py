"""Two passive tracers on a flow: `trP` fed evenly under the lid, whose mean gives the flow of outdoor air that
purges it, and `trL` fed at the line, whose mean against the other's gives the share that stays under the lid."""

from __future__ import annotations

from pathlib import Path

from tests.second_method import foam
from tests.second_method.patio import SIDES, WALLS, Run

NAMES = {"trP": "patio", "trL": "line"}


def functions(*, steady: bool) -> str:
    """For the control file. The source is 1 per second in all, whatever the set's volume."""
    text = "".join(
        f"  {name} {{ type scalarTransport; libs (solverFunctionObjects); field {name}; schemesField {name}; "
        f"nCorr {int(steady)}; alphaD 1; alphaDt 1; log no; resetOnStartUp no; bounded01 no; "
        f"fvOptions {{ feed {{ type scalarSemiImplicitSource; active true; selectionMode cellSet; cellSet {where}; "
        f"volumeMode absolute; injectionRateSuSp {{ {name} (1 0); }} }} }} }}\n"
        for name, where in NAMES.items()
    )
    keep = (
        "  keep { type writeObjects; libs (utilityFunctionObjects); objects (trP trL); writeOption anyWrite; }\n"
    )
    return text + (keep if steady else "")


def write(run: Run, folder: Path, time: str) -> None:
    none, back = "type zeroGradient;", "type inletOutlet; inletValue uniform 0; value uniform 0;"
    clean = "type fixedValue; value uniform 0;"
    patches = {}
    for side in SIDES:
        patches[side] = back if run.calm or side in run.outlets else clean if side in run.inlets else none
    patches.update(dict.fromkeys(("sky", *WALLS), none))
    for name in NAMES:
        foam.field(folder, time, name, 0, patches)
