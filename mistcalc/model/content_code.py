"""The code that every sheet of a job carries."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from mistcalc.model.content_digest import fingerprint
from mistcalc.model.earlier_set import EarlierSet
from mistcalc.model.project import Prices, Project
from mistcalc.model.results import Design, PressureTestPlan


def _shown(project: Project) -> Project:
    """The project without prices and languages: nothing is built otherwise for them, so paper on site stays
    good, and a Spanish set has the code of the English one."""
    return replace(project, prices=Prices(), tariff=None, language="en", crew_language=None, defaults=None)


def code_of_contents(job: Design, before: EarlierSet | None = None) -> str:
    """Six letters and figures that change with what the file states, with the air, and with what crews drill,
    bore, cut and test by: stale paper gives itself away, also where a later version works that out otherwise.
    Words do not count, nor what was found on site.

    No 0, 1, I, L, O or U, which a builder could misread over the telephone.
    """
    alphabet = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
    names: list[object] = []
    numbers: list[float] = []
    for name, told in _built(job):
        names.append((name, len(told)))
        numbers += [np.nan if each is None else each for each in told]
    built = (names, np.array(numbers))
    shown = (_shown(job.project), job.afternoons, *(() if before is None else (before,)), built)
    number = int(fingerprint(*shown), 16)
    signs = ""
    for _ in range(6):
        number, digit = divmod(number, len(alphabet))
        signs += alphabet[digit]
    return f"{signs[:3]} {signs[3:]}"


def _built(job: Design) -> Iterator[tuple[object, tuple[float | None, ...]]]:
    """What a crew works by: what it is called, and its numbers."""
    for layout in job.layouts:
        for m in layout.marks:
            name = (m.patio, m.run, m.name, m.drilled, m.name in layout.holes.stop)
            yield name, (m.along, m.back, m.stub_min, m.stub_nominal, m.stub_max, m.height)
        for line in layout.lid.joints:
            yield (layout.patio, line.run, line.joint.name, line.joint.on), (line.joint.along,)
    wood = job.carpentry
    for bored in wood.bores:
        yield (bored.patio, bored.run), (*bored.alongs, bored.back, bored.hole, bored.up)
    for back in wood.bores_back:
        yield (back.patio, back.run, back.row), (back.along, *back.backs, back.hole, back.up)
    for block in wood.blocking:
        yield (block.patio, block.run, block.why, block.name), (*block.alongs, block.back)
    for plan in job.cut_plans:
        for stick in plan.sticks:
            yield [piece.name for piece in stick.pieces], tuple(piece.length for piece in stick.pieces)
        for joint in plan.joints:
            yield (joint.piece, joint.run), (joint.along,)
    for run in job.line.duty.tube.runs:
        yield (run.patio, run.run, run.held), (run.anchor, run.hole, float(run.clip_count))
    if job.hold is not None:
        yield from _tests(job.hold)


def _tests(plan: PressureTestPlan) -> Iterator[tuple[object, tuple[float | None, ...]]]:
    test, watch = plan.test, plan.watch
    for step in (*test.steps, *test.steps_metric):
        told = (step.start, step.warming, step.again_below, step.leak_below)
        yield plan.allowed, (test.gauge, *told)
    if watch is not None:
        for day in (*watch.steps, *watch.steps_metric):
            yield "watch", (watch.gauge, day.tube, day.vessel, day.expected, day.again_below, day.stop_below)
