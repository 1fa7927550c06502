"""New project files: a shipped demo as it is, or a first file from a few lengths."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from importlib import resources

from mistcalc import units
from mistcalc.errors import InputError, InputErrors
from mistcalc.files.project.first_file import NO_ANSWERS, FirstAnswers, FirstFile
from mistcalc.files.project.reader import parse_project
from mistcalc.files.project.rewriting import rewrite
from mistcalc.files.project.ring_cross_checks import FEWEST as FEWEST_OF_RING
from mistcalc.files.project.ring_cross_checks import OUT as CLOSED

EXAMPLES = ("courtyard", "bayou", "terraza")
MOST_RUNS = 26  # one letter each


def example_text(which: str, language: str = "en") -> str:
    """The text of a shipped demo. language: of its sheets. Raises InputError for a name not in EXAMPLES."""
    if which not in EXAMPLES:
        raise InputError("example-unknown", "--example", text=which, known=EXAMPLES)
    text = resources.files("mistcalc.files").joinpath("demos", f"{which}.toml").read_text("utf-8")
    return text if language == "en" else rewrite(text, replace(parse_project(text), language=language))


def new_project_text(
    name: str,
    runs: Sequence[str],
    depth: str,
    corners: Sequence[str] = (),
    near: str | None = None,
    language: str = "en",
    answers: FirstAnswers = NO_ANSWERS,
) -> str:
    """A commented project file for a lid of these runs, joined at corners in the order they are walked.

    runs, depth: lengths as typed ("38 ft", "12 m"); metric ones make a metric file. corners: "inside" or
    "outside", one for each corner, the last one for all that follow; none is inside; as many as runs make a
    ring, and so do those that lead back to where the first began. near: a climate sample or a town; without
    one the file holds a guess of a hot afternoon, and says so. language: of remarks and sheets.
    Raises InputErrors, all mistakes together, or DataError for a town that is not known.
    """
    metric = _lengths(runs, depth, corners)
    turns = _all_corners(runs, corners)
    body = FirstFile(metric, language, answers).file(name, list(runs), depth, turns, near)
    parse_project(body, "new")  # names, lid too long, depth of 1 km: said before a file is written
    return body


def _all_corners(runs: Sequence[str], corners: Sequence[str]) -> list[str]:
    """A corner between each two runs, and the last run's with the first where walking them comes back to the
    start: four equal corners and walls that pair are a ring, not a spiral whose ends meet."""
    count = len(runs) - 1
    if len(corners) > count:
        return list(corners)
    given = list(corners) or ["inside"]
    turns = [given[min(n, len(given) - 1)] for n in range(count)]
    at, ahead = 0j, 1 + 0j
    for length, turn in zip(map(partial(units.parse, kind="length"), runs), [*turns, given[-1]], strict=True):
        at += ahead * length
        ahead *= 1j if turn == "outside" else -1j
    closed = len(runs) >= FEWEST_OF_RING and abs(at) <= CLOSED and abs(ahead - 1) < 0.5
    return [*turns, given[-1]] if closed else list(given)


def _lengths(runs: Sequence[str], depth: str, corners: Sequence[str]) -> bool:
    """Whether the lengths are metric. Raises InputErrors for what is no length, or no lid."""
    mistakes: list[InputError] = []
    if not runs:
        mistakes.append(InputError("runs-missing", "--run"))
    if len(runs) > MOST_RUNS:
        mistakes.append(InputError("too-many", "--run", key="--run", count=len(runs), most=MOST_RUNS))
    for where, text in [*(("--run", run) for run in runs[:MOST_RUNS]), ("--depth", depth)]:
        try:
            if units.parse(text, "length") <= 0:
                mistakes.append(InputError("not-above-zero", where, key=where, text=text))
        except InputError as mistake:
            mistakes.append(InputError(mistake.code, where, **mistake.placeless))
    for corner in corners:
        if corner not in ("inside", "outside"):
            known = ("inside", "outside")
            mistakes.append(InputError("choice-unknown", "--corner", text=corner, nearest="", choices=known))
    most = len(runs) if len(runs) >= FEWEST_OF_RING else max(len(runs) - 1, 0)
    if len(corners) > most:
        mistakes.append(InputError("too-many-corners", "--corner", count=len(corners), runs=len(runs)))
    if mistakes:
        raise InputErrors("new", tuple(mistakes))
    return bool(runs) and metric_length(runs[0])


def metric_length(text: str) -> bool:
    """Whether a first run typed so makes a metric file."""
    return re.search(r"[0-9\s](m|mm|cm|met(er|re|ro)s?)\s*$", text) is not None
