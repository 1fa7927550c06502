"""Two passive tracers on a flow. `trP` is fed evenly under the lid: its mean gives the flow of outdoor air
that purges it. `trL` is fed at the line: its mean against the other's gives the share that stays."""

from __future__ import annotations

from pathlib import Path

from tests.second_method import foam
from tests.second_method.patio import SIDES, WALLS, Run

NAMES = {"trP": "patio", "trL": "line"}


def functions(*, steady: bool, steps: int = 1) -> str:
    """For the control file. The source is 1 per second in all, whatever the set's volume. steps: of relaxed
    solving, where the flow is steady."""
    text = "".join(
        f"  {name} {{ type scalarTransport; libs (solverFunctionObjects); field {name}; schemesField {name}; "
        f"nCorr {steps if steady else 0}; alphaD 1; alphaDt 1; log no; resetOnStartUp no; bounded01 no; "
        "fvOptions { feed { type scalarSemiImplicitSource; active true; selectionMode cellSet; "
        f"cellSet {where}; volumeMode absolute; injectionRateSuSp {{ {name} (1 0); }} }} }} }}\n"
        for name, where in NAMES.items()
    )
    if not steady:
        return text
    kept = "objects (trP trL); writeOption anyWrite;"
    return text + f"  keep {{ type writeObjects; libs (utilityFunctionObjects); {kept} }}\n"


def write(run: Run, folder: Path, time: str) -> None:
    none, back = "type zeroGradient;", "type inletOutlet; inletValue uniform 0; value uniform 0;"
    clean = "type fixedValue; value uniform 0;"
    patches = {}
    for side in SIDES:
        patches[side] = back if run.calm or side in run.outlets else clean if side in run.inlets else none
    patches.update(dict.fromkeys(("sky", *WALLS), none))
    for name in NAMES:
        foam.field(folder, time, name, 0, patches)
