"""One message of the lid component as edits. It comes from a browser: nothing in it is taken on trust."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from mistcalc.errors import InputError
from mistcalc.page.edits import Edit, MoveMark, MoveObstacle, UnfixMark

MOST = 200  # moves in one message
LONGEST = 100  # characters of a name


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


def read_moves(message: object, patio: str) -> Moves:
    """Edits of a message {client, seq, moves: [{kind, name, run, along, commit, free?, gesture?}]}.

    Raises InputError where it has another shape.
    """
    if not isinstance(message, Mapping):
        raise InputError("edit-unreadable")
    client, seq, moves = message.get("client"), message.get("seq"), message.get("moves")
    if not (_name(client) and isinstance(seq, int) and isinstance(moves, list) and len(moves) <= MOST):
        raise InputError("edit-unreadable")
    gestures = {str(m.get("gesture"))[:LONGEST] for m in moves if isinstance(m, Mapping) and m.get("gesture")}
    gesture = gestures.pop() if len(gestures) == 1 else ""
    return Moves(str(client), seq, tuple(_move(move, patio) for move in moves), gesture)


def _move(move: object, patio: str) -> Move:
    if not isinstance(move, Mapping):
        raise InputError("edit-unreadable")
    kind, name, run, along = (move.get(key) for key in ("kind", "name", "run", "along"))
    if not (_name(name) and _name(run)) or isinstance(along, bool) or not isinstance(along, int | float):
        raise InputError("edit-unreadable")
    if not math.isfinite(along):
        raise InputError("edit-unreadable")
    commit = move.get("commit") is True
    if kind == "thing":
        return Move(MoveObstacle(patio, str(name), float(along)), commit)
    if kind != "mark":
        raise InputError("edit-unreadable")
    if move.get("free") is True:
        return Move(UnfixMark(patio, str(run), str(name)), commit)
    return Move(MoveMark(patio, str(run), str(name), float(along)), commit)


def _name(value: object) -> bool:
    return isinstance(value, str) and 0 < len(value) <= LONGEST
