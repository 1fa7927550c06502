"""What `mistcalc new` writes: a demo, a lid of a few lengths or from a drawing, another plan mirrored."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from mistcalc import files, units, words
from mistcalc.errors import InputError
from mistcalc.model.mirror_image import mirrored
from mistcalc.model.project import Project

LENGTHS = ("run", "depth", "corner", "near")  # options that say a lid in lengths
WHOLE = ("example", "mirror", "drawing")  # options that each give a whole file
OF_DRAWING = ("map", "scale_check")


@dataclass(frozen=True, slots=True)
class NewProject:
    """The text of a new project file, and sentences for whoever asked for it."""

    text: str
    told: tuple[str, ...] = ()


def made(options: argparse.Namespace, title: str, language: str) -> NewProject:
    """title: what the job is called by the name of its file. Raises InputError, InputErrors."""
    whole = [name for name in WHOLE if getattr(options, name)]
    lengths = [name for name in LENGTHS if getattr(options, name) and (name, whole) != ("near", ["drawing"])]
    if whole == ["example"] and lengths:
        raise InputError("example-with-lengths")
    if len(whole) > 1 or (whole and lengths):
        *others, option = ("--from" if name == "drawing" else f"--{name}" for name in (*lengths, *whole))
        raise InputError("new-twice", option=option, others=tuple(others))
    if not options.drawing and any(getattr(options, name) for name in OF_DRAWING):
        raise InputError("map-without-drawing")
    if options.example:
        return NewProject(files.example_text(options.example, language))
    if options.mirror:
        return mirror_of(Path(options.mirror), title, language)
    if options.drawing:
        return of_drawing(options, title, language)
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


def of_drawing(options: argparse.Namespace, title: str, language: str) -> NewProject:
    """A lid as an architect drew it, and what is to be asked of the drawing."""
    path, label = Path(options.drawing), partial(words.label, language=language)
    layers = files.LayerMap()
    if options.map:
        layers = files.read_map(_bytes_of(Path(options.map)).decode("utf-8-sig", "replace"), options.map)
    scale = None
    if options.scale_check:
        run, sign, length = map(str.strip, options.scale_check.partition("="))
        if not (run and sign):
            raise InputError("scale-check-no-run", text=options.scale_check)
        units.parse(length, "length")
        scale = run, length
    made = files.project_from_drawing(
        _bytes_of(path), path.name, title or path.stem, layers, scale, options.near, language
    )
    questions = [f"  {n}. {told}" for n, told in enumerate(made.questions, 1)]
    head, asked = label("from_drawing.read_head"), label("from_drawing.ask_head")
    return NewProject(made.text, (head, *(f"  {told}" for told in made.read), asked, *questions))


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as fault:
        raise InputError("drawing-unread", str(path), reason=fault.strerror or "") from None


def mirror_of(path: Path, title: str, language: str) -> NewProject:
    """Another project file with left and right exchanged; what could not be is told."""
    plan, label = files.read_project(path), partial(words.label, language=language)
    text = path.read_text("utf-8-sig")
    other = mirrored(plan, files.mirrored_alternates(plan, text))
    if "place.bearing" in plan.assumed:  # a guess stays one
        other = replace(other, place=replace(other.place, bearing=plan.place.bearing))
    told = [label("cli.mirrored", plan=plan.name)]
    if said := tuple(dict.fromkeys(_sides(plan))):
        told.append(label("cli.mirrored_words", said=said))
    body = files.rewrite(text, replace(other, name=title or plan.name))
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
