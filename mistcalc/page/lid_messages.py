"""One message of the lid component as edits. It comes from a browser: nothing in it is taken on trust."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, get_args

from mistcalc.errors import InputError
from mistcalc.page.edits import Edit
from mistcalc.page.new_things import KINDS
from mistcalc.page.plan_edit_nouns import (
    AddJoist,
    AddScreen,
    AddThing,
    MoveJoint,
    MoveJoist,
    MoveMark,
    MoveThing,
    RemoveJoist,
    RemoveThing,
    ResizeScreen,
    ResizeThing,
    ScreenSide,
    SetRunLength,
    Things,
    UnfixMark,
)

MOST = 200  # moves in one message
LONGEST = 100  # characters of a name
SIDES = get_args(ScreenSide)
THINGS: dict[str, Things] = {"thing": "obstacles", "seat": "seats", "screen": "screens"}


@dataclass(frozen=True, slots=True)
class Move:
    edit: Edit
    commit: bool  # let go of: to be kept. Else only looked at while a hand drags


@dataclass(frozen=True, slots=True)
class Moves:
    client: str
    seq: int
    moves: tuple[Move, ...]

    gesture: str = ""  # moves of one drag, or of one spell of arrow keys, are one step to undo
    row: str = ""  # the row whose strip is to be shown
    settled: int = (
        0  # how many times all has been quiet, so that the rest of the page may follow; 0: it is not
    )


def read_moves(message: object, patio: str) -> Moves:
    """Edits of a message {client, seq, row?, settled?, moves: [{kind, name, run, along, commit, back?, size?,
    free?, add?, remove?, gesture?}]}. kind: mark, thing, seat, screen, size, screen-size, run, joint, joist.

    Raises InputError where it has another shape.
    """
    if not isinstance(message, Mapping):
        raise InputError("edit-unreadable")
    client, seq, moves = message.get("client"), message.get("seq"), message.get("moves")
    if not (_name(client) and isinstance(seq, int) and isinstance(moves, list) and len(moves) <= MOST):
        raise InputError("edit-unreadable")
    gestures = {str(m.get("gesture"))[:LONGEST] for m in moves if isinstance(m, Mapping) and m.get("gesture")}
    gesture = gestures.pop() if len(gestures) == 1 else ""
    row, settled = str(message.get("row", ""))[:LONGEST], message.get("settled")
    spells = settled if isinstance(settled, int) else 0
    return Moves(str(client), seq, tuple(_move(move, patio) for move in moves), gesture, row, spells)


def _move(move: object, patio: str) -> Move:
    if not isinstance(move, Mapping):
        raise InputError("edit-unreadable")
    kind, name, run = (move.get(key) for key in ("kind", "name", "run"))
    if not (_name(name) and _name(run)):
        raise InputError("edit-unreadable")
    edit = _edit(str(kind), move, patio, str(run), str(name))
    return Move(edit, move.get("commit") is True)


def _edit(kind: str, move: Mapping[Any, Any], patio: str, run: str, name: str) -> Edit:
    along, remove, add = _length(move.get("along")), move.get("remove") is True, move.get("add")
    if kind == "mark":
        free = move.get("free") is True
        return UnfixMark(patio, run, name) if free else MoveMark(patio, run, name, along)
    if kind == "size":
        along_edge, toward_house = _texts(move.get("size"), 2)
        return ResizeThing(patio, name, (along_edge, toward_house))
    if kind == "screen-size":
        *firm, length = _texts(move.get("size"), 3, empty=True)
        if not all(firm):
            raise InputError("edit-unreadable")
        return ResizeScreen(patio, name, (firm[0], firm[1], length))
    if kind == "joint":
        return MoveJoint(patio, run, name, along)
    if kind == "run":
        return SetRunLength(patio, run, along)
    if kind == "joist":
        if remove or add:
            return RemoveJoist(patio, run, along) if remove else AddJoist(patio, run, along)
        return MoveJoist(patio, run, _whole(name), along)
    if kind not in THINGS:
        raise InputError("edit-unreadable")
    if remove:
        return RemoveThing(patio, THINGS[kind], name)
    back = _length(move.get("back")) if add or move.get("back") is not None else None
    if add and kind == "screen":
        if add not in SIDES:
            raise InputError("edit-unreadable")
        return AddScreen(patio, name, run, add)
    if add and back is not None:
        if add not in KINDS or (add == "seat") != (kind == "seat"):
            raise InputError("edit-unreadable")
        return AddThing(patio, add, name, run, along, back)
    return MoveThing(patio, THINGS[kind], name, run, along, back)


def _length(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise InputError("edit-unreadable")
    return float(value)


def _texts(value: object, count: int, empty: bool = False) -> tuple[str, ...]:
    """So many texts; empty: one of nothing is a text too."""
    if not isinstance(value, list) or len(value) != count:
        raise InputError("edit-unreadable")
    if not all(_name(text) or (empty and text == "") for text in value):
        raise InputError("edit-unreadable")
    return tuple(value)


def _whole(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) < 6):
        raise InputError("edit-unreadable")
    return int(text)


def _name(value: object) -> bool:
    return isinstance(value, str) and 0 < len(value) <= LONGEST
