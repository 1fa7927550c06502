"""Steps of the close-in that lead nowhere: names of no step, circles, more days than a year."""

from __future__ import annotations

from typing import Any

from mistcalc.files.project.schema_reader import SchemaReader
from mistcalc.files.project.tube_ends import closest_name, no_such
from mistcalc.files.text.toml_positions import Path
from mistcalc.model.close_in import SCRATCH, Step, circle, parse_after, usual_steps

LONGEST_CLOSE_IN = 366  # days, all steps and what they wait together


def compare_steps(walk: SchemaReader, values: dict[str, Any]) -> None:
    """Note every mistake in `[[dates.step]]`."""
    stated = [
        (n, step) for n, step in enumerate(values["dates"]["step"] if values["dates"] else ()) if step["name"]
    ]
    if not stated:
        return
    systems = [patio["plaster"]["system"] for patio in values["patio"] if patio["plaster"]]
    usual = {step.name: step for step in usual_steps(systems)}
    steps = dict(usual)
    for n, step in stated:
        path: Path = ("dates", "step", n)
        if step["name"] not in usual:
            _new_step(walk, step, path, tuple(usual))
        if step["name"] == SCRATCH and step["days"] == 0:
            walk.wrong("not-above-zero", (*path, "days"), key="days", text="0")
        before = usual.get(step["name"], Step(step["name"], "", 0, ()))
        after = before.after if step["after"] is None else tuple(map(parse_after, step["after"]))
        days = before.days if step["days"] is None else step["days"]
        steps[step["name"]] = Step(step["name"], "", days, after)
    places: dict[str, Path] = {step["name"]: ("dates", "step", n) for n, step in stated}
    for n, step in stated:
        _names(walk, steps[step["name"]], ("dates", "step", n, "after"), list(steps))
    _circle(walk, steps, places)
    total = sum(step.days + max((after.days for after in step.after), default=0) for step in steps.values())
    if total > LONGEST_CLOSE_IN:
        walk.wrong("close-in-long", ("dates", "step"), count=total, most=LONGEST_CLOSE_IN)


def _new_step(walk: SchemaReader, step: dict[str, Any], path: Path, usual: tuple[str, ...]) -> None:
    missing = tuple(key for key in ("trade", "days") if not walk.states((*path, key)))
    if missing:
        values = {"text": step["name"], "nearest": closest_name(step["name"], usual)}
        walk.wrong("step-new", path, missing=missing, known=usual, **values)


def _names(walk: SchemaReader, step: Step, path: Path, known: list[str]) -> None:
    if not walk.states(path):
        return
    for after in step.after:
        if after.name not in known:
            no_such(walk, path, after.name, known, "no-such-step")
        elif after.name == step.name:
            walk.wrong("step-after-itself", path, name=step.name)


def _circle(walk: SchemaReader, steps: dict[str, Step], places: dict[str, Path]) -> None:
    round_ = circle(
        [step for step in steps.values() if step.name not in {after.name for after in step.after}]
    )
    if round_:
        at = next(places[name] for name in round_ if name in places)  # the usual order alone has no circle
        walk.wrong("step-circle", (*at, "after"), steps=(*round_[::-1], round_[-1]))
