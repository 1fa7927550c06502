"""What `mistcalc new` writes: a demo, a lid of a few lengths, or another plan the other way round."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from mistcalc import files, words
from mistcalc.errors import InputError
from mistcalc.model.mirror_image import mirrored
from mistcalc.model.project import Project

LENGTHS = ("run", "depth", "corner", "near")  # options that say a lid in lengths
WHOLE = ("example", "mirror")  # options that each give a whole file


@dataclass(frozen=True, slots=True)
class NewProject:
    """The text of a new project file, and sentences for whoever asked for it."""

    text: str
    told: tuple[str, ...] = ()


def made(options: argparse.Namespace, title: str, language: str) -> NewProject:
    """title: what the job is called by the name of its file. Raises InputError, InputErrors."""
    whole = [name for name in WHOLE if getattr(options, name)]
    if len(whole) > 1 or (whole and any(getattr(options, name) for name in LENGTHS)):
        code = "example-with-lengths" if whole == ["example"] else "new-twice"
        raise InputError(code, option=f"--{whole[-1]}")
    if options.example:
        return NewProject(files.example_text(options.example, language))
    if options.mirror:
        return mirror_of(Path(options.mirror), title, language)
    if not (options.run and options.depth):
        raise InputError("nothing-to-lay")
    text = files.new_project_text(
        name=title or words.label("new_file.name", language=language),
        runs=options.run,
        depth=options.depth,
        corners=options.corner or (),
        near=options.near,
        language=language,
    )
    if options.near is not None:
        return NewProject(text)
    return NewProject(
        text, (words.label("cli.guessed", language=language, known=files.climate_sample_names()),)
    )


def mirror_of(path: Path, title: str, language: str) -> NewProject:
    """Another project file with left and right exchanged; what could not be is told."""
    plan, label = files.read_project(path), partial(words.label, language=language)
    other = mirrored(plan)
    if "place.bearing" in plan.assumed:  # a guess stays one
        other = replace(other, place=replace(other.place, bearing=plan.place.bearing))
    told = [label("cli.mirrored", plan=plan.name)]
    if said := tuple(dict.fromkeys(_sides(plan))):
        told.append(label("cli.mirrored_words", said=said))
    body = files.rewrite(path.read_text("utf-8"), replace(other, name=title or plan.name))
    head = label("new_file.mirrored", plan=plan.name, file=path.name)
    return NewProject("".join(f"# {line}\n" for line in head.splitlines()) + body, tuple(told))


def _sides(plan: Project) -> Iterator[str]:
    """Words that may name a side: nobody mirrors them."""
    if plan.place.north:
        yield plan.place.north
    for patio in plan.patios:
        for run in patio.runs:
            if f"patio[{patio.name}].run[{run.name}].datum.surface" not in plan.assumed:
                yield run.datum.surface
            if run.datum.second:
                yield run.datum.second
    yield from (
        text for text in (plan.plumbing.water.point, getattr(plan.plumbing.pump, "place", "")) if text
    )
