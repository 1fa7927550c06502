"""A folder that `plan --out` wrote, read back: what its plan.json says of marks, things and revisions.

Keys that an older plan.json has not are missing, not wrong. Nothing in it is believed before it is looked at.
"""

from __future__ import annotations

import datetime
import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any, get_args

from mistcalc.errors import InputError, InputErrors
from mistcalc.files.text.reading import read_bytes
from mistcalc.model.earlier_set import EarlierMark, EarlierSet, LidThing, SetRevision
from mistcalc.model.project import ObstacleKind

PLAN = "plan.json"
SCHEMA = 1  # of a plan.json; a higher one is of a newer version
MOST_BYTES = 100_000_000
FARTHEST = 1e5  # m
KINDS = ("run", "member", "joint", *get_args(ObstacleKind))


def read_earlier_set(folder: Path | str) -> EarlierSet:
    """The set in a folder. Raises InputErrors: keep-no-plan, keep-broken, keep-newer."""
    path = Path(folder) / PLAN
    if not path.is_file():
        raise InputErrors(str(folder), (InputError("keep-no-plan"),))
    return parse_earlier_set(read_bytes(path, MOST_BYTES, InputError("keep-no-plan")), str(path))


def parse_earlier_set(raw: bytes, source: str) -> EarlierSet:
    """The set that a plan.json of this content tells of. Raises InputErrors: keep-broken, keep-newer."""
    try:
        tree = json.loads(raw)
        if not isinstance(tree, dict) or not isinstance(tree.get("schema"), int):
            raise _Broken("schema")
        if tree["schema"] > SCHEMA:
            raise InputErrors(source, (InputError("keep-newer"),))
        return _earlier_set(tree)
    except _Broken as fault:
        raise InputErrors(source, (InputError("keep-broken", at=str(fault)),)) from None
    except (ValueError, RecursionError):
        raise InputErrors(source, (InputError("keep-broken"),)) from None


class _Broken(Exception):
    """Where a plan.json holds what cannot be."""


def _earlier_set(tree: dict[str, Any]) -> EarlierSet:
    marks = _rows(tree, "marks", _mark)
    names = [mark.name for mark in marks]
    if len(set(names)) < len(names):
        raise _Broken("marks")
    this = SetRevision(_text(tree, "revision"), _text(tree, "code", ""))
    things = _rows(tree, "things", _thing) if "things" in tree else None
    retired = tree.get("retired", [])
    if not isinstance(retired, list) or not all(isinstance(name, str) for name in retired):
        raise _Broken("retired")
    revisions = _rows(tree, "revisions", _revision) if "revisions" in tree else ()
    return EarlierSet(_text(tree, "project"), revisions or (this,), marks, tuple(retired), things)


def _rows(tree: dict[str, Any], key: str, read: Callable[[dict[str, Any]], Any]) -> tuple[Any, ...]:
    rows = tree.get(key)
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise _Broken(key)
    out = []
    for number, row in enumerate(rows):
        try:
            out.append(read(row))
        except _Broken as fault:
            raise _Broken(f"{key}/{number}/{fault}") from None
    return tuple(out)


def _mark(row: dict[str, Any]) -> EarlierMark:
    along, back = _number(row, "along_m"), _number(row, "back_m", None)
    drilled = row.get("drilled", False)
    if along is None or not isinstance(drilled, bool):
        raise _Broken("drilled" if along is not None else "along_m")
    return EarlierMark(_text(row, "name"), _text(row, "run"), along, _text(row, "patio"), back, drilled)


def _thing(row: dict[str, Any]) -> LidThing:
    kind, along = _text(row, "kind"), _number(row, "along_m")
    if kind not in KINDS or along is None:
        raise _Broken("kind")
    back = _number(row, "back_m", None)
    return LidThing(kind, _text(row, "patio"), _text(row, "run"), _text(row, "name"), along, back)  # type: ignore[arg-type]


def _revision(row: dict[str, Any]) -> SetRevision:
    day = row.get("date")
    try:
        date = None if day is None else datetime.date.fromisoformat(day)
    except (TypeError, ValueError):
        raise _Broken("date") from None
    return SetRevision(_text(row, "letter"), _text(row, "code", ""), date, _text(row, "status", ""))


def _text(row: dict[str, Any], key: str, otherwise: str | None = None) -> str:
    value = row.get(key, otherwise)
    if not isinstance(value, str) or len(value) > 500:
        raise _Broken(key)
    return value


def _number(row: dict[str, Any], key: str, otherwise: float | None = math.nan) -> float | None:
    value = row.get(key, otherwise)
    if value is None and otherwise is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= FARTHEST:
        raise _Broken(key)
    return float(value)
