"""What changed since the set before, in words: for the terminal, the plan and the slip."""

from __future__ import annotations

from collections import Counter
from typing import Any

from mistcalc.model.results import MarkChange, PlanChange, ThingChange
from mistcalc.report.common.locale_text import Locale

MOST_NAMED = 6  # marks told one by one in a sentence
ALIKE = 3  # joists of a run that lie off by as much: so many are told together


def moved_text(change: PlanChange, locale: Locale, most: int = MOST_NAMED) -> str:
    """How many marks moved, and which: "2 of 30 marks moved since A: ..."."""
    letter, marks = change.before.letter, change.marks
    if not marks:
        return locale.label("change.none", letter=letter, of=change.of)
    told = [_phrase(one, locale) for one in marks[:most]]
    if len(marks) > most:
        told.append(locale.label("change.more", count=len(marks) - most))
    key = "change.moved" if change.standing else "change.moved_all"
    counts = {"moved": len(marks), "of": change.of, "standing": change.standing}
    return locale.label(key, letter=letter, marks="; ".join(told), **counts)


def _phrase(one: MarkChange, locale: Locale) -> str:
    values = {"mark": one.name, "was": one.was, "now": one.now}
    if one.was is None:
        return locale.label("change.new", **values)
    if one.now is None:
        return locale.label("change.gone", **values)
    key = "shifted" if one.why == "line" else "step_drilled" if one.drilled else "step"
    return locale.label(f"change.{key}", **values)


def moved_by(one: MarkChange, locale: Locale) -> str:
    """How far a mark went, and which way along the tape."""
    if one.was is None or one.now is None:
        return locale.label("change.is_new" if one.was is None else "change.is_gone")
    if one.why == "line":
        return locale.label("change.sideways")
    way = locale.label("change.farther" if one.now > one.was else "change.nearer")
    key = "change.as_drilled" if one.drilled else "change.by"
    return locale.label(key, step=abs(one.now - one.was), way=way)


_KEYS = {"sweep": "thing", "body": "under"}


def why_moved(one: MarkChange, letter: str, locale: Locale) -> str:
    """Why a mark stands elsewhere than set `letter` had it."""
    key = _KEYS.get(one.why, one.why.replace(" ", "_"))
    if one.drilled and one.was is None:
        key = "drilled_new"
    values: dict[str, Any] = {"mark": one.name, "run": one.run, "letter": letter, "was": one.was}
    values |= {"against": one.against, "provided": one.provided, "required": one.required}
    if one.was is not None and one.now is not None:
        values |= _step("step", "way", one.now - one.was, locale)
    if one.clear is not None:
        values["clear"] = one.clear
    if locale.number(one.provided, "length").startswith("-"):  # as it is told: not of a rounded 0
        values["below"] = True
    return locale.label(f"change.{key}", **values, **_cause(one.cause, locale))


def _step(name: str, way: str, step: float, locale: Locale) -> dict[str, Any]:
    return {name: abs(step), way: locale.label("change.farther_than" if step > 0 else "change.nearer_than")}


def _cause(cause: ThingChange | None, locale: Locale) -> dict[str, Any]:
    """What moved, where it did along the tape; a line, where it did behind the edge."""
    if cause is None or cause.now is None:
        return {}
    if cause.was is None:
        return {"new": True, "found": cause.now}
    back = {"back_was": cause.back_was, "back_now": cause.back_now}
    if cause.now == cause.was:
        return {"cause": True, **back} if cause.kind == "run" else {}
    shift = _step("shift", "shift_way", cause.now - cause.was, locale)
    return {"cause": True, "found": cause.now, "found_was": cause.was, **shift, **back}


def things_told(change: PlanChange, locale: Locale) -> list[str]:
    """Everything found otherwise than the set before has it, a line each: joists last, those of a run that
    lie off by as much together, and of those that are new or gone only how many."""
    letter = change.before.letter
    joists = [thing for thing in change.things if thing.kind == "member"]
    moved = [one for one in joists if one.was is not None and one.now is not None]
    others = [thing for thing in change.things if thing.kind != "member"]
    told = [_thing_line(one, letter, locale) for one in others]
    steps: dict[tuple[str, float], list[ThingChange]] = {}
    for one in moved:
        steps.setdefault((one.run, round((one.now or 0.0) - (one.was or 0.0), 5)), []).append(one)
    for (run, step), alike in steps.items():
        if len(alike) < ALIKE:
            told += [_thing_line(one, letter, locale) for one in alike]
        else:
            values = {"run": run, "count": len(alike), "letter": letter, **_step("step", "way", step, locale)}
            told.append(locale.label("change.joists_moved", **values))
    for key, gone in (("joists_new", False), ("joists_gone", True)):
        counts = Counter(t.run for t in joists if t not in moved and (t.now is None) is gone)
        told += [locale.label(f"change.{key}", run=run, count=n, letter=letter) for run, n in counts.items()]
    return told


def _thing_line(thing: ThingChange, letter: str, locale: Locale) -> str:
    """A thing found otherwise, in a line of a list."""
    keys = {"member": "a_joist", "joint": "a_joint"}
    what = thing.name
    if thing.kind in keys:
        what = locale.label(f"change.{keys[thing.kind]}", run=thing.run, name=thing.name)
    values = {"letter": letter, "run": thing.run, "was": thing.was, "now": thing.now}
    values |= {"back_was": thing.back_was, "back_now": thing.back_now}
    key = "both" if thing.back_now != thing.back_was else "moved"
    if thing.was is None or thing.now is None:
        key = "new" if thing.was is None else "gone"
    elif thing.now == thing.was:
        key = "back"
    elif thing.kind == "run":
        key = "run"
    if thing.kind == "run" and key in ("back", "new", "gone"):
        what = locale.label("change.the_line", run=thing.run)
    return locale.label(f"change.thing_{key}", what=what, **values)
