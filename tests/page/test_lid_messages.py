"""A message of the lid component comes from a browser: read strictly, refused whole when it is not ours."""

from __future__ import annotations

import pytest

from mistcalc.errors import InputError
from mistcalc.page.lid_messages import MOST, Move, read_moves
from mistcalc.page.plan_edits import (
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
    SetRunLength,
    UnfixMark,
)

MARK = {"kind": "mark", "name": "A2", "run": "A", "along": 1.5, "commit": True, "gesture": "g1"}


def message(*moves: object, **changes: object) -> dict[str, object]:
    return {"client": "abc", "seq": 3, "moves": list(moves), **changes}


def test_what_is_asked_besides_moves_comes_in_the_same_message():
    asked = read_moves(message(row="B", settled=2), "court")
    assert (asked.moves, asked.row, asked.settled) == ((), "B", 2)
    assert read_moves(message(MARK), "court").settled == 0
    assert read_moves(message(settled="yes"), "court").settled == 0


def test_reads_moves_of_marks_and_obstacles():
    light = {"kind": "thing", "name": "L2", "run": "A", "along": 5, "commit": False, "gesture": "g1"}
    read = read_moves(message(MARK, light), "court")
    assert (read.client, read.seq, read.gesture) == ("abc", 3, "g1")
    assert read.moves == (
        Move(MoveMark("court", "A", "A2", 1.5), True),
        Move(MoveThing("court", "obstacles", "L2", "A", 5.0), False),
    )


def test_reads_a_mark_let_go():
    assert read_moves(message({**MARK, "free": True}), "court").moves[0].edit == UnfixMark("court", "A", "A2")


@pytest.mark.parametrize(
    ("move", "edit"),
    [
        ({"kind": "seat", "back": 1}, MoveThing("court", "seats", "N", "A", 2.0, 1.0)),
        ({"kind": "thing", "remove": True}, RemoveThing("court", "obstacles", "N")),
        ({"kind": "seat", "remove": True}, RemoveThing("court", "seats", "N")),
        ({"kind": "thing", "add": "fan", "back": 1}, AddThing("court", "fan", "N", "A", 2.0, 1.0)),
        ({"kind": "seat", "add": "seat", "back": 1}, AddThing("court", "seat", "N", "A", 2.0, 1.0)),
        ({"kind": "screen", "back": -1}, MoveThing("court", "screens", "N", "A", 2.0, -1.0)),
        ({"kind": "screen", "remove": True}, RemoveThing("court", "screens", "N")),
        ({"kind": "screen", "add": "end", "back": 1}, AddScreen("court", "N", "A", "end")),
        (
            {"kind": "screen-size", "size": ["6 ft", "30 %", ""]},
            ResizeScreen("court", "N", ("6 ft", "30 %", "")),
        ),
        ({"kind": "size", "size": ["5 ft", "?"]}, ResizeThing("court", "N", ("5 ft", "?"))),
        ({"kind": "joint"}, MoveJoint("court", "A", "N", 2.0)),
        ({"kind": "run"}, SetRunLength("court", "A", 2.0)),
        ({"kind": "joist", "name": "7"}, MoveJoist("court", "A", 7, 2.0)),
        ({"kind": "joist", "name": "new", "add": True}, AddJoist("court", "A", 2.0)),
        ({"kind": "joist", "name": "7", "remove": True}, RemoveJoist("court", "A", 2.0)),
    ],
)
def test_reads_all_that_a_hand_does_on_the_plan(move, edit):
    sent = {"name": "N", "run": "A", "along": 2, "commit": True, **move}
    assert read_moves(message(sent), "court").moves == (Move(edit, True),)


def test_moves_of_two_gestures_are_no_single_step():
    assert read_moves(message(MARK, {**MARK, "name": "A3", "gesture": "g2"}), "court").gesture == ""


@pytest.mark.parametrize(
    "wrong",
    [
        None,
        "x",
        [],
        {},
        message(MARK, seq="3"),
        message(MARK, client=""),
        message(MARK, client="x" * 101),
        message(*[MARK] * (MOST + 1)),
        message(MARK, moves={"0": MARK}),
        message("A2"),
        message({**MARK, "kind": "wall"}),
        message({**MARK, "along": float("nan")}),
        message({**MARK, "along": float("inf")}),
        message({**MARK, "along": "1.5"}),
        message({**MARK, "along": True}),
        message({**MARK, "name": 7}),
        message({**MARK, "run": ""}),
        message({**MARK, "kind": "seat", "back": float("inf")}),
        message({**MARK, "kind": "seat", "add": "fan", "back": 1}),
        message({**MARK, "kind": "thing", "add": "seat", "back": 1}),
        message({**MARK, "kind": "thing", "add": ["fan"], "back": 1}),
        message({**MARK, "kind": "thing", "add": "fan"}),
        message({**MARK, "kind": "screen", "add": "screen", "back": 1}),
        message({**MARK, "kind": "screen", "add": ["edge"], "back": 1}),
        *(
            message({**MARK, "kind": "screen-size", "size": size})
            for size in (["6 ft", "30 %"], ["", "", ""])
        ),
        *(
            message({**MARK, "kind": "size", "size": size})
            for size in (None, "5 ft", ["5 ft"], [5, 5], ["", ""])
        ),
        message({**MARK, "kind": "joist", "name": "-1"}),
        message({**MARK, "kind": "joist", "name": "\u0663"}),
    ],
)
def test_anything_else_is_refused(wrong):
    with pytest.raises(InputError):
        read_moves(wrong, "court")
