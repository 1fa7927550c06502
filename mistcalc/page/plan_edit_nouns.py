"""What a hand can do on the plan of a patio, a noun each. Positions are absolute."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mistcalc.page.new_things import ThingKind

Things = Literal["obstacles", "seats", "screens"]  # the field of a patio that holds them
ScreenSide = Literal["edge", "back", "start", "end"]


@dataclass(frozen=True, slots=True)
class MoveMark:
    """Fix a mark at `along` [m from its run's datum]; from then on it stays there."""

    patio: str
    run: str
    name: str
    along: float


@dataclass(frozen=True, slots=True)
class UnfixMark:
    """Let a fixed mark be laid with the rest again. A drilled mark stays."""

    patio: str
    run: str
    name: str


@dataclass(frozen=True, slots=True)
class MoveThing:
    """Put an obstacle or a seat `along` [m from its run's datum] and `back` [m from the open edge]; None:
    as far back as it is. Its run may be another than before. Of a screen it is the end nearest the datum, and
    its run stays."""

    patio: str
    of: Things
    name: str
    run: str
    along: float
    back: float | None = None


@dataclass(frozen=True, slots=True)
class ResizeThing:
    """Give an obstacle the size that was typed: along and back, each as a tape or a rule reads it."""

    patio: str
    name: str
    size: tuple[str, str]


@dataclass(frozen=True, slots=True)
class AddThing:
    """Put something new there. One of that name that is there already stays as it is."""

    patio: str
    kind: ThingKind
    name: str
    run: str
    along: float
    back: float


@dataclass(frozen=True, slots=True)
class AddScreen:
    """Put a hedge or fence all along an open side of a run. One of that name that is there already stays."""

    patio: str
    name: str
    run: str
    side: ScreenSide


@dataclass(frozen=True, slots=True)
class ResizeScreen:
    """Give a screen what was typed: its height, the share of it that lets air through, its length; an empty
    length is all of its side."""

    patio: str
    name: str
    size: tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class RemoveThing:
    """Take an obstacle, a seat or a screen away. One that is gone stays gone."""

    patio: str
    of: Things
    name: str


@dataclass(frozen=True, slots=True)
class SetRunLength:
    """Make a run's open edge `length` [m] long. In a ring a run across from it grows or shrinks with it."""

    patio: str
    run: str
    length: float


@dataclass(frozen=True, slots=True)
class MoveJoint:
    """Put a control joint of the run's at `along`."""

    patio: str
    run: str
    name: str
    along: float


@dataclass(frozen=True, slots=True)
class MoveJoist:
    """Say that the run's joist of that number, counted from 1 as its tape meets them, is at `along`."""

    patio: str
    run: str
    number: int
    along: float


@dataclass(frozen=True, slots=True)
class AddJoist:
    """Say that a joist was found at `along`. One that stands there already is enough."""

    patio: str
    run: str
    along: float


@dataclass(frozen=True, slots=True)
class RemoveJoist:
    """Say that there is no joist at `along`."""

    patio: str
    run: str
    along: float


PlanEdit = (
    MoveMark
    | UnfixMark
    | MoveThing
    | ResizeThing
    | AddThing
    | AddScreen
    | ResizeScreen
    | RemoveThing
    | SetRunLength
    | MoveJoint
    | MoveJoist
    | AddJoist
    | RemoveJoist
)
