"""How a published test states its comparison: asserted where it stands, and collected for docs/validation.

A test file names its source once and lets the source check our figures against its own:

    CRC = Source(
        page="water-crc",                       # docs/validation/water-crc.md and .svg
        subject="Water",                        # one of SUBJECTS: where the index lists it
        title="Liquid water, CRC Handbook",
        cite="CRC Handbook of Chemistry and Physics, 'Standard density of water'",
        read="memory",                          # one of READ: how the figures came here
        limits="Air-free water at 1 atm; says nothing of dissolved salts.",
    )

    @pytest.mark.parametrize(("celsius", "told"), [(0, 999.84), (10, 999.70)])
    def test_density(celsius, told):
        ours = water.density(celsius + 273.15)
        CRC.check(f"density, {celsius} degC", ours, told, "kg/m³", within=0.011, because="last digit printed")

`check`, `between` and `same` fail like an assert. Ours and theirs are in the unit the source prints. Arrays
make one row, shown where they differ most; with `x` they are drawn as a curve. Each `because` says why the
tolerance is what it is. Expected values are typed from the source, never printed by our own code, and a
tolerance is never widened to pass. Afterwards run `python -m tests.published.report` and commit
docs/validation with the test.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

SUBJECTS = (
    "Moist air",
    "Water",
    "Drops",
    "Nozzles and sprays",
    "Plume and patio",
    "Field studies",
    "How it feels",
    "Climate",
    "The line",
    "Tube and joints",
    "Pump and water treatment",
    "The lid",
    "Money",
)
READ = {
    "data": "in the source's own data",
    "text": "in the source itself",
    "page": "on a page that quotes the source",
    "abstract": "in the source's own abstract (and conclusions, where named); the paper was not opened",
    "image": "off a picture",
    "memory": "from memory, the source not at hand",
    "computed": "computed by the library named",
    "derived": "worked out by hand from figures that were read",
    "practice": "common practice, no source",
}


@dataclass(frozen=True, eq=False)
class Case:
    """One comparison. `low` and `high` are the bounds of what is allowed; `slack` is half their distance.

    `theirs` is None where the source gives only bounds. All arrays have one shape; `x` is 1-D or None.
    """

    source: Source
    what: str
    unit: str
    ours: NDArray
    theirs: NDArray | None
    low: NDArray
    high: NDArray
    tolerance: str
    because: str
    relative: bool = False
    x: NDArray | None = None
    axis: str = ""

    @property
    def share(self) -> NDArray:
        """Deviation over tolerance: -1 to 1 inside, 0 at their figure or the middle of their bounds.

        A figure that is no number is infinitely far off.
        """
        middle = (self.low + self.high) / 2 if self.theirs is None else self.theirs
        room = np.where(self.ours >= middle, self.high - middle, middle - self.low)
        off = self.ours - middle
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.nan_to_num(np.where(off == 0, 0.0, off / room), nan=np.inf)

    @property
    def worst(self) -> int:
        """Where the share is largest (flat index); the first place where it is nothing but rounding."""
        share = np.abs(self.share)
        return int(np.argmax(share)) if share.max() > 0.01 else 0

    @property
    def passes(self) -> bool:
        with np.errstate(invalid="ignore"):
            return bool(np.all((self.ours >= self.low) & (self.ours <= self.high)))


RECORDED: list[Case] = []


@dataclass(frozen=True)
class Source:
    """A book, paper, data set, standard or library we are held against; see the top of this file."""

    page: str
    subject: str
    title: str
    cite: str
    read: str
    limits: str = ""
    measured: str = ""  # field cases: what was measured, for docs/validation/field-cases.md
    known: str = ""  # field cases: what of the set-up was told; what was assumed stands in `limits`

    def __post_init__(self) -> None:
        if self.subject not in SUBJECTS or self.read not in READ:
            raise ValueError(
                f"{self.page}: subject {self.subject!r} or read {self.read!r} is not in the list"
            )

    def check(
        self,
        what: str,
        ours: ArrayLike,
        theirs: ArrayLike,
        unit: str,
        *,
        because: str,
        within: float | None = None,
        rel: float | None = None,
        x: ArrayLike | None = None,
        axis: str = "",
    ) -> None:
        """Ours equals theirs within `within` [unit] or `rel` [share of theirs]: one of the two."""
        if (within is None) == (rel is None):
            raise ValueError(f"{what}: give `within` or `rel`")
        told = np.asarray(theirs, dtype=float)
        if rel is not None:
            room, tolerance = np.abs(told) * rel, f"±{short(100 * rel)} %"
        else:
            room, tolerance = np.full(told.shape, within), f"±{short(within)} {unit}".rstrip()
        self._record(
            what, unit, ours, told, told - room, told + room, tolerance, because, rel is not None, x, axis
        )

    def between(
        self,
        what: str,
        ours: ArrayLike,
        low: ArrayLike,
        high: ArrayLike,
        unit: str,
        *,
        because: str,
        theirs: ArrayLike | None = None,
        x: ArrayLike | None = None,
        axis: str = "",
    ) -> None:
        """Ours lies in the bounds the source leaves; `theirs` is its middle figure, if it has one."""
        down, up = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
        tolerance = f"{short(down.min())} to {short(up.max())} {unit}".rstrip()
        self._record(what, unit, ours, theirs, down, up, tolerance, because, False, x, axis)

    def same(self, what: str, ours: object, theirs: object, because: str = "a verdict, not a figure") -> None:
        """Ours is exactly theirs: a class, a name, a set of them."""
        told = "none" if not theirs else str(theirs)
        right = float(ours == theirs)
        one = np.asarray(1.0)
        RECORDED.append(
            Case(self, f"{what}: {told}", "", np.asarray(right), one, one, one, "the same", because)
        )
        assert ours == theirs, f"{what}: ours {ours}, theirs {theirs}"

    def _record(self, what, unit, ours, theirs, low, high, tolerance, because, relative, x, axis) -> None:
        shaped = np.broadcast_arrays(*(np.asarray(v, dtype=float) for v in (ours, low, high)))
        told = None if theirs is None else np.broadcast_to(np.asarray(theirs, dtype=float), shaped[0].shape)
        along = None if x is None else np.asarray(x, dtype=float)
        case = Case(
            self, what, unit, shaped[0], told, shaped[1], shaped[2], tolerance, because, relative, along, axis
        )  # fmt: skip
        RECORDED.append(case)
        i = case.worst
        assert case.passes, (
            f"{what}: ours {case.ours.flat[i]:.8g} {unit}, "
            + (f"theirs {told.flat[i]:.8g}, " if told is not None else "")
            + f"allowed {case.low.flat[i]:.8g} to {case.high.flat[i]:.8g} ({because})"
        )


def short(value: float) -> str:
    """Four figures, plain where that is readable."""
    return (
        np.format_float_positional(float(f"{value:.4g}"), trim="-")
        if 1e-4 <= abs(value) < 1e7
        else f"{value:.4g}"
    )
