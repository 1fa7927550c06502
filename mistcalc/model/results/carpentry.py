"""What the framer does for the line: holes where its tube crosses members, blocking where nothing holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mistcalc.model.quantities import Metre
from mistcalc.model.reprs import ShortRepr


@dataclass(frozen=True, slots=True)
class BoredRun:
    """Members that the tube of one run crosses, and the hole through each."""

    patio: str
    run: str
    alongs: tuple[Metre, ...]  # centres of the members from the run's datum, in its order
    spacing: Metre | None  # where they lie regularly
    back: Metre  # middle of the hole behind the open edge
    hole: Metre
    up: Metre | None  # middle of the hole above the underside; None: none keeps clear of both edges
    depth: Metre  # of the members


@dataclass(frozen=True, slots=True)
class BoredBack:
    """Members that lie along a run and that its tube crosses on the way back to the second row."""

    patio: str
    run: str
    row: str  # the second row
    along: Metre  # of the tube, from the run's datum
    backs: tuple[Metre, ...]  # centres of the members behind the open edge
    hole: Metre
    up: Metre | None  # as in BoredRun
    depth: Metre


ASKS = ("turn", "beam", "outlooker", "pocket", "solid")


@dataclass(frozen=True, slots=True)
class Blocking:
    """Wood to put in, or (`why` in ASKS) a member, or a pocket in it, that is not his to bore without asking.

    joint: under a control joint, edge to house. clips: between members that lie along the line, where tube
    is held. mark: at a stub far from any member. fan, heater: over its box.
    """

    patio: str
    run: str
    why: Literal[
        "joint", "clips", "anchor", "mark", "fan", "heater", "turn", "beam", "outlooker", "pocket", "solid"
    ]
    alongs: tuple[Metre, ...]
    back: Metre | None = None  # behind the open edge; None: from edge to house
    name: str = ""  # of the joint, mark or thing

    @property
    def asks(self) -> bool:
        return self.why in ASKS


@dataclass(frozen=True, slots=True, repr=False)
class Carpentry(ShortRepr):
    bores: tuple[BoredRun, ...] = ()
    blocking: tuple[Blocking, ...] = ()
    bores_back: tuple[BoredBack, ...] = ()
    unstated: tuple[str, ...] = ()  # runs over which nobody said where the members are
