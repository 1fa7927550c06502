"""Close-in: the order of the work from framing to nozzles, as it usually goes and as a project changes it.

Order, trades and days are common practice, no source. What comes only so many days after something else:
2 days from scratch to brown coat and 7 from the last base coat to the finish coat (IBC 2018 table 2512.6),
28 days before paint (common practice; the plasterer, the paint's maker and the weather may ask for more).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from mistcalc.model.project import Dates

TRADES = (
    "framer", "electrician", "plumber", "installer", "builder", "roofer", "insulator", "lather",
    "plasterer", "painter", "inspector",
)  # fmt: skip
SCRATCH, FINISH, PAINT = "scratch coat", "finish coat", "paint"
_LATER = re.compile(r"(.+?)\s*\+\s*(\d{1,4}) days?")


class After(NamedTuple):
    """What must be done before, and how many days of the calendar after its last day comes the next."""

    name: str
    days: int = 0


@dataclass(frozen=True, slots=True)
class Step:
    """One piece of work. days: working days it takes. hold: the hold point it is, as on the check sheet."""

    name: str
    trade: str
    days: int
    after: tuple[After, ...]
    hold: str = ""


def parse_after(text: str) -> After:
    """ "brown coat + 7 days": a step's name, with or without days."""
    later = _LATER.fullmatch(text)
    return After(later[1], int(later[2])) if later else After(text)


def _step(name: str, trade: str, days: int, *after: str, hold: str = "") -> Step:
    return Step(name, trade, days, tuple(map(parse_after, after)), hold)


USUAL = (
    _step("framing", "framer", 3),
    _step("wiring", "electrician", 2, "framing"),
    _step("plumbing", "plumber", 2, "framing"),
    _step("tube", "installer", 3, "wiring", "plumbing"),
    _step("first test", "installer", 1, "tube", hold="open"),
    _step("paper", "builder", 1, "first test"),
    _step("lath", "lather", 3, "paper"),
    _step("second test", "installer", 1, "lath", hold="lath"),
    _step(SCRATCH, "plasterer", 1, "second test"),
    _step("brown coat", "plasterer", 1, "scratch coat + 2 days"),
    _step("third test", "installer", 1, "brown coat + 2 days", hold="brown"),
    _step(FINISH, "plasterer", 1, "brown coat + 7 days", "third test"),
    _step(PAINT, "painter", 2, "finish coat + 28 days"),
    _step("nozzles", "installer", 1, PAINT, hold="hand_over"),
)
_ONLY_THREE_COAT = ("brown coat", "third test")
_ONLY_PLASTERED = ("paper", "lath", "second test", *_ONLY_THREE_COAT, FINISH)


def usual_steps(plaster_systems: Iterable[str]) -> tuple[Step, ...]:
    """The usual steps under these systems of plaster; those that do not occur take no days and hold nothing.

    Where nothing is plastered, the scratch coat stands for the day on which the ceiling is closed."""
    systems = set(plaster_systems) - {"wood", "none"} or {"none"}
    idle = () if "three-coat" in systems else _ONLY_THREE_COAT if systems != {"none"} else _ONLY_PLASTERED
    steps = [replace(step, days=0, hold="") if step.name in idle else step for step in USUAL]
    if systems == {"none"}:
        own = {SCRATCH: {"trade": "builder"}, PAINT: {"after": (After(SCRATCH),)}}
        steps = [replace(step, **own.get(step.name, {})) for step in steps]  # type: ignore[arg-type]
    return tuple(steps)


def planned_steps(dates: Dates, plaster_systems: Iterable[str]) -> tuple[Step, ...]:
    """The usual steps as the project changes them, then its own, in the order written. The project was read
    without a mistake: a step of its own has trade and days."""
    steps = {step.name: step for step in usual_steps(plaster_systems)}
    for stated in dates.steps:
        step = steps.get(stated.name, Step(stated.name, "", 0, ()))
        steps[stated.name] = replace(
            step,
            trade=stated.trade or step.trade,
            days=step.days if stated.days is None else stated.days,
            after=step.after if stated.after is None else tuple(map(parse_after, stated.after)),
        )
    return tuple(steps.values())


def circle(steps: Sequence[Step]) -> tuple[str, ...]:
    """Names of steps that wait for one another in a circle; empty where there is none. Names that are no
    step's are passed over."""
    waiting = {step.name: {after.name for after in step.after} for step in steps}
    while True:
        free = [name for name, others in waiting.items() if not others & waiting.keys()]
        if not free:
            break
        for name in free:
            del waiting[name]
    if not waiting:
        return ()
    path = [next(iter(waiting))]
    while path[-1] not in path[:-1]:
        path.append(next(name for name in waiting if name in waiting[path[-1]]))
    return tuple(path[path.index(path[-1]) : -1])


def without_idle(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Only steps that take days or hold something: what came after another comes after what that came after.
    There is no circle among the steps."""
    idle = {step.name: step for step in steps if step.days == 0 and not step.hold}

    def real(after: After) -> Iterable[After]:
        if after.name not in idle:
            return (after,)
        before = (far for near in idle[after.name].after for far in real(near))
        return (After(far.name, after.days) for far in before)

    return tuple(
        replace(step, after=tuple(dict.fromkeys(far for near in step.after for far in real(near))))
        for step in steps
        if step.name not in idle
    )
