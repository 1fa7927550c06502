"""How tube is sawn from the lengths or coils it is sold in."""

from __future__ import annotations

from dataclasses import dataclass

from mistcalc.model.project import Tube
from mistcalc.model.quantities import Metre, Share
from mistcalc.model.reprs import ShortRepr


@dataclass(frozen=True, slots=True)
class CutPiece:
    """Tube between two fittings, less what each of them takes. Longer than a stick it comes in `parts`."""

    name: str  # of its two ends: "A1 to A2"
    length: Metre
    part: int = 1
    parts: int = 1
    fitted: bool = False  # it has fittings of its own, and is cut at them on site


@dataclass(frozen=True, slots=True, repr=False)
class Stick(ShortRepr):
    """One length, or coil, and what is sawn from it in order."""

    pieces: tuple[CutPiece, ...]
    left: Metre  # after the last cut


@dataclass(frozen=True, slots=True)
class TubeJoint:
    """A coupling where the way between two fittings is longer than a stick."""

    piece: str
    length: Metre  # of the way
    run: str  # "" beside the runs
    along: Metre  # from the run's datum, where it is in one; else from the piece's first end
    hidden: str  # patio above whose closed ceiling it lies; "" within reach


@dataclass(frozen=True, slots=True, repr=False)
class CutPlan(ShortRepr):
    """All pieces of one kind of tube. No way of sawing them needs fewer sticks than `least`."""

    tube: Tube
    sticks: tuple[Stick, ...]
    least: int
    joints: tuple[TubeJoint, ...]

    @property
    def total(self) -> Metre:
        """Tube that is built in."""
        return sum(piece.length for stick in self.sticks for piece in stick.pieces)

    @property
    def left(self) -> Share:
        """Of what is bought, not built in: offcuts and saw dust."""
        bought = len(self.sticks) * self.tube.stick
        return 1.0 - self.total / bought if bought else 0.0
