"""Ours beside the other method's: `python -m tests.second_method.compare` writes the page.

`--looked-at` only prints, of the cases that may be looked at while rules are mended; `--lot NAME` prints
tally and table of one lot, for a text that then stands; `--spread` writes the page's last table anew and
leaves the comparison as it came out.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.second_method.cases import CASES, CELL, FINE, MODEL, OTHER_MODEL, TABLES, Case
from tests.second_method.ours import ours
from tests.second_method.patio import Run

HERE = Path(__file__).parent
PAGE = HERE.parents[1] / "docs" / "validation" / "whole-patio.md"
SPREAD = "## What mesh and turbulence model do to the other method's figures"
LOOKED_AT = tuple(TABLES)  # lots
NEAR_NOTHING = 0.3  # K: a seat that both leave warm agrees


@dataclass(frozen=True)
class Row:
    """One case: theirs, and our 10, 50 and 90 % [K]; the same of every seat; flows [m3/s], shares kept."""

    case: Case
    theirs: float
    ours: tuple[float, float, float]
    seats: dict[str, tuple[float, tuple[float, float, float]]]
    flow: tuple[float, float]
    kept: tuple[float, float]

    @property
    def inside(self) -> bool:
        return self.ours[0] <= self.theirs <= self.ours[2]

    @property
    def seats_inside(self) -> int:
        return sum(_holds(theirs, band) for theirs, band in self.seats.values())

    @property
    def off(self) -> float:
        return self.ours[1] - self.theirs

    @property
    def close(self) -> bool:
        """Within a quarter, or half a kelvin."""
        return abs(self.off) <= max(0.25 * self.theirs, 0.5)


def figures(file: Path) -> dict[str, dict[str, float]]:
    found: dict[str, dict[str, float]] = {}
    for line in file.read_text().splitlines() if file.exists() else ():
        run, name, value = line.split(",")
        found.setdefault(run, {})[name] = float(value)
    return found


def row(case: Case, theirs: dict[str, float]) -> Row:
    mine = ours(case)
    return Row(
        case,
        theirs["drop_K"],
        _band(mine.mean),
        {name: (theirs[f"at_{name}_K"], _band(drop)) for name, drop in mine.seats.items()},
        (theirs["on_purge_m3_s"], float(np.median(mine.flow))),
        (theirs["on_line_kept"], float(np.median(mine.kept))),
    )


def rows(*lots: str) -> list[Row]:
    """Of these lots' cases whose figures are there."""
    told = {name: of for lot in lots for name, of in figures(HERE / TABLES[lot]).items()}
    return [row(case, told[Run(case).name]) for case in CASES if case.lot in lots and Run(case).name in told]


def _band(draws: np.ndarray) -> tuple[float, float, float]:
    low, middle, high = np.quantile(draws, (0.1, 0.5, 0.9)).tolist()
    return low, middle, high


def tally(of: list[Row]) -> dict[str, float]:
    seats = sum(len(r.seats) for r in of)
    return {
        "cases": len(of),
        "means inside": sum(r.inside for r in of) / len(of),
        "seats": seats,
        "seats inside": sum(r.seats_inside for r in of) / seats,
        "close": sum(r.close for r in of) / len(of),
        "mean error": float(np.mean([abs(r.off) / r.theirs for r in of])),
        "mean error K": float(np.mean([abs(r.off) for r in of])),
        "bias": float(np.mean([r.off / r.theirs for r in of])),
    }


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--looked-at", action="store_true")
    parser.add_argument("--lot", choices=TABLES, help="only this lot, printed")
    parser.add_argument("--spread", action="store_true", help="only the page's last table")
    asked = parser.parse_args()
    if asked.spread:
        PAGE.write_text(PAGE.read_text().split(SPREAD)[0] + SPREAD + "\n\n" + _spread())
        return 0
    if asked.lot:
        found = rows(asked.lot)
        print(_told(tally(found)) + "\n" + _table(found))
        return 0
    if asked.looked_at:
        found = rows(*LOOKED_AT)
        print("\n".join(_line(r) for r in found))
        print(_told(tally(found)))
        return 0
    from tests.second_method.picture import picture  # it draws rows, which are made here

    told = rows(*LOOKED_AT)
    PAGE.write_text(page(told))
    PAGE.with_name("whole-patio.svg").write_text(picture("Mean drop under the lid, all cases", told))
    return 0


# ------------------------------------------------------------------ the page


def page(told: list[Row]) -> str:
    """What came out of the cases held back, each of four times, are texts of their own: they stand as they
    were then."""
    parts = [
        (HERE / "page_head.md").read_text(),
        "## All cases, by the rules and ranges as they stand\n",
        _told(tally(told)),
        "![Our ranges and the other method's figures](whole-patio.svg)\n",
        _table(told),
        (HERE / "page_first_time.md").read_text(),
        (HERE / "page_second_time.md").read_text(),
        (HERE / "page_third_time.md").read_text(),
        (HERE / "page_fourth_time.md").read_text(),
    ]
    return "\n".join([*parts, SPREAD + "\n", _spread()])


def _told(t: dict[str, float]) -> str:
    return (
        f"{t['cases']:.0f} cases: the other method's mean lies in our 10-90 % range in "
        f"{t['means inside']:.0%}, {t['seats']:.0f} seats in "
        f"{t['seats inside']:.0%}; our middle is within a quarter or 0.5 K in "
        f"{t['close']:.0%}, off by {t['mean error']:.0%} ({t['mean error K']:.1f} K) in the mean, "
        f"{t['bias']:+.0%} with its sign.\n"
    )


def _line(r: Row) -> str:
    low, middle, high = r.ours
    seats = " ".join(
        f"{name} {theirs:.1f} ({b[0]:.1f}-{b[2]:.1f})" + ("" if _holds(theirs, b) else "*")
        for name, (theirs, b) in r.seats.items()
    )
    return (
        f"{r.case.name:34} {r.theirs:5.2f} {low:5.2f} {middle:5.2f} {high:5.2f} {' ' if r.inside else 'OUT'} "
        f"flow {r.flow[0]:.1f}/{r.flow[1]:.1f} kept {r.kept[0]:.2f}/{r.kept[1]:.2f} | {seats}"
    )


def _holds(theirs: float, band: tuple[float, float, float]) -> bool:
    return band[0] - NEAR_NOTHING <= theirs <= band[2] + NEAR_NOTHING


def _table(of: list[Row]) -> str:
    lines = [
        "| patio | house m | wind m/s | blows to | air | drop K: theirs | ours 10-50-90 % | "
        "flow m³/s | share kept | seats inside |",
        "|---|--:|--:|--:|---|--:|--:|--:|--:|--:|",
    ]
    for r in of:
        c, (low, middle, high) = r.case, r.ours
        wind, toward = (f"{c.wind:g}", f"{c.toward:g}°") if c.wind else ("calm", "")
        lines.append(
            f"| {c.shape} | {c.house:g} | {wind} | {toward} | {c.air} | {r.theirs:.1f} | "
            f"{low:.1f}-{middle:.1f}-{high:.1f}{'' if r.inside else ' ✗'} | "
            f"{r.flow[0]:.1f} / {r.flow[1]:.1f} | {r.kept[0]:.2f} / {r.kept[1]:.2f} | "
            f"{r.seats_inside} of {len(r.seats)} |"
        )
    return "\n".join(lines) + "\n"


def _spread() -> str:
    told = figures(HERE / "results.csv")
    lines = [
        f"| case | mean drop K: {CELL:g} m | {FINE:g} m | {OTHER_MODEL} | seats: {FINE:g} m | "
        f"{OTHER_MODEL} | flow m³/s |",
        "|---|--:|--:|--:|--:|--:|--:|",
    ]
    for case in CASES:
        base, fine, other = (
            told.get(Run(case, *how).name) for how in ((CELL, MODEL), (FINE, MODEL), (CELL, OTHER_MODEL))
        )
        if base is None or (fine is None and other is None):
            continue
        flows = " / ".join(f"{f['on_purge_m3_s']:.1f}" for f in (base, fine, other) if f)
        lines.append(
            f"| {case.name} | {base['drop_K']:.1f} | {_drop(fine)} | {_drop(other)} | "
            f"{_seats(base, fine)} | {_seats(base, other)} | {flows} |"
        )
    return "\n".join(lines) + "\n"


def _drop(of: dict[str, float] | None) -> str:
    return f"{of['drop_K']:.1f}" if of else ""


def _seats(base: dict[str, float], of: dict[str, float] | None) -> str:
    """Mean distance of the seats' drops from the base run's [K]."""
    if of is None:
        return ""
    names = [name for name in base if name.startswith("at_")]
    return f"{np.mean([abs(of[n] - base[n]) for n in names]):.1f} K off"


if __name__ == "__main__":
    sys.exit(main())
