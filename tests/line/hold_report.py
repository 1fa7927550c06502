"""Writes docs/validation/line-shut-in-holds.md and .svg: which answers simulated tests and watches get.

    .venv/bin/python -m tests.line.hold_report

takes some two minutes. The lines are those of hold_lines.py, the reading and answering that of
hold_series.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product
from pathlib import Path

import numpy as np

from mistcalc.drawing import svg
from mistcalc.drawing.sheet import Circle, Item, LineSegment, Pen, Polyline, Sheet, Text
from tests.line.hold_dawns import first_rule, watched
from tests.line.hold_series import answered_tests, answered_watches

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "validation"
NAME = "line-shut-in-holds"
COUNT = 1000  # a row
ANSWERS = ("leak", "again", "holds", "temperature", "unsure")
LEAKS = (0.0, 0.03, 0.05, 0.1, 0.3, 1.0)  # mL/min
AIRS = {"none": (0.0, 0.0), "half": (0.5, 0.5), "most": (1.0, 1.0)}
SWINGS = (1.0, 3.0, 6.0)  # degF
LOSSES = (0.0, 2.0, 5.0, 8.0, 10.0, 20.0)  # mL
AIR_LEFT = (0.0, 0.1, 0.3, 1.0)
WATCH_SWINGS = (3.0, 10.0, 20.0)
INKS = ("#0b5e8a", "#b5450b", "#4d4d4d")

HEAD = """# Tests and watches, simulated

Written by `tests/line/hold_report.py`. {count} lines a row, shut in by physics that share nothing with the
rule (`tests/line/hold_lines.py`): IAPWS-95 water, a thin elastic tube, air by Boyle's law that dissolves at
a rate in proportion to what is left, a leak that passes water as the square root of the pressure. 0.86 L in
3/8 x 0.035 in stainless tube. How much air, how fast it dissolves and how far a tube warms are judgement:
nobody has published them. It dissolves to 63 % in 10 to 600 minutes, any of these as likely on a
logarithmic scale. This is a test of the rule against a model, not against lines that were built.

![Share called a leak]({name}.svg)

Each line ends in one of five answers. **leak**. **again**: dissolving air or a leak, pump up and hold
again. **holds**. **temperature**: temperature explains it. **unsure**: wait until the tube is as warm as at
the start.

"""
TESTS = """## The test: 15 minutes at 1,000 psi, held a second time where the first answer was "again"

Tube at 50 to 90 degF, its thermometer moving by the swing (one standard deviation). The difference of two
readings errs by 7 psi and 0.5 degF, the spot read by 15 % of the change. Trapped air: none, 50 or 100 mL at
1 atm. Shares in percent; `plain` is what would be called a leak after one hold if no air ever dissolved.

| leak, mL/min | air | swing, degF | leak | again | holds | temperature | unsure | plain |
|--:|---|--:|--:|--:|--:|--:|--:|--:|
"""
WATCHES = """
## The watch: nine days at 60 psi on 100 mL of gas

Filled with 0 to 100 mL of air, left a day, pumped up again. Tube and vessel, each for itself, warmer or
colder by the swing when read. The difference of two readings errs by 0.5 psi and 0.5 degF, the spot by 15 %
of the change, the gas by 5 %. Shares in percent.

| lost, mL | swing, degF | leak | again | holds | temperature | unsure |
|--:|--:|--:|--:|--:|--:|--:|
"""
DAWNS = """
## Whole watches, dawn by dawn: whose plaster is stopped

Nine days at 60 psi on 100 mL of gas, read at each dawn. Air left in the line at the first start, as a share
of the most that may be trapped; it goes to 63 % in half a day to two days, any time as likely on a
logarithmic scale. `one dawn`: the watch begins a day after filling and any dawn below what a line shows that
dissolves no air stops the plaster, as an earlier sheet read. `two dawns`: it begins when a dawn stands where
the dawn before left it, a first fall is pumped up again, a second one or one that no air explains stops the
plaster. Shares in percent; dawns until the watch begins on the average.

| air left | lost, mL | swing, degF | stopped, one dawn | stopped, two dawns | dawns |
|--:|--:|--:|--:|--:|--:|
"""
FOOT = """
What this shows: a sound line is not called a leak, however slowly its air dissolves, for in a second hold
of equal length no more than a quarter of it can go. The price is paid by leaks well under 0.1 mL/min, which
more often end in "again": each further hold tells smaller ones. In the watch two equal dawns and one pumping
up again spare the sound lines in which air was left, and stop the leaking ones as surely.

[All sources](README.md)
"""


def shares(answers: np.ndarray) -> list[str]:
    return [f"{100 * np.mean(answers == answer):.1f}" for answer in ANSWERS]


def row(cells: Iterable[object]) -> str:
    return "| " + " | ".join(str(cell) for cell in cells) + " |\n"


def page(count: int = COUNT) -> tuple[str, str]:
    """Text and picture."""
    text = HEAD.format(count=f"{count:,}", name=NAME) + TESTS
    called: dict[float, list[float]] = {swing: [] for swing in SWINGS}
    for n, leak in enumerate(LEAKS):
        found: dict[float, list[np.ndarray]] = {swing: [] for swing in SWINGS}
        for m, (air, span) in enumerate(AIRS.items()):
            for k, swing in enumerate(SWINGS):
                seed = 1000 + 100 * n + 10 * m + k
                told = answered_tests(count, leak=leak, swing=swing, seed=seed, air=span)
                plain = answered_tests(count, leak=leak, swing=swing, seed=seed, air=span, naive=True)
                text += row((leak, air, f"{swing:g}", *shares(told), f"{100 * np.mean(plain):.1f}"))
                found[swing].append(told)
        for swing in SWINGS:
            called[swing].append(float(np.mean(np.concatenate(found[swing]) == "leak")))
    text += WATCHES
    for n, lost in enumerate(LOSSES):
        for k, swing in enumerate(WATCH_SWINGS):
            told = answered_watches(count, lost=lost, swing=swing, seed=5000 + 10 * n + k)
            text += row((f"{lost:g}", f"{swing:g}", *shares(told)))
    text += DAWNS
    for n, (air, lost, swing) in enumerate(product(AIR_LEFT, (0.0, 10.0, 20.0), (3.0, 10.0))):
        stated = {"lost": lost, "swing": swing, "seed": 7000 + n, "air": (air, air), "days": (0.5, 2.0)}
        one, (two, _, dawns) = first_rule(count, **stated), watched(count, **stated)
        told = (100 * np.mean(one), 100 * np.mean(two))
        text += row(
            (f"{air:g}", f"{lost:g}", f"{swing:g}", *(f"{t:.1f}" for t in told), f"{dawns.mean():.1f}")
        )
    return text + FOOT, picture(called)


def picture(called: dict[float, list[float]]) -> str:
    """Share called a leak after two holds, against the leak, a line a swing."""
    wide, high, left, low = 190.0, 90.0, 22.0, 16.0
    across, up = (wide - left - 50.0) / (len(LEAKS) - 1), high - low - 16.0
    items: list[Item] = [
        Text((left, high - 6.0), "Share called a leak after two holds, %", 2.3, bold=True),
        LineSegment((left, low), (left + across * (len(LEAKS) - 1), low)),
        LineSegment((left, low), (left, low + up)),
        Text((left + across * (len(LEAKS) - 1), low - 9.0), "leak, mL/min", 2.0, align="right"),
    ]
    for share in (0, 25, 50, 75, 100):
        y = low + up * share / 100
        items += [
            Text((left - 2, y - 1), f"{share}", 2.0, align="right"),
            LineSegment((left - 1, y), (left, y)),
        ]
    for n, leak in enumerate(LEAKS):
        items.append(Text((left + across * n, low - 4.5), f"{leak:g}", 2.0, align="middle"))
    for shares_, ink in zip(called.values(), INKS, strict=True):
        spots = [(left + across * n, low + up * share) for n, share in enumerate(shares_)]
        items.append(Polyline(tuple(spots), pen=Pen(0.4, ink=ink)))
        items += [Circle(spot, 0.9, fill=ink, pen=Pen(0)) for spot in spots]
    for n, (swing, ink) in enumerate(zip(called, INKS, strict=True)):
        y = low + up - 6.0 * n
        items.append(Circle((wide - 44.0, y), 0.9, fill=ink, pen=Pen(0)))
        items.append(Text((wide - 41.0, y - 1.0), f"tube moves {swing:g} degF", 2.0))
    return svg.write(Sheet(wide, high, tuple(items), "Share called a leak"), embed=False)


def main() -> None:
    text, drawn = page()
    FOLDER.mkdir(parents=True, exist_ok=True)
    (FOLDER / f"{NAME}.md").write_text(text, encoding="utf-8")
    (FOLDER / f"{NAME}.svg").write_text(drawn, encoding="utf-8")
    print(f"{NAME}.md and .svg written to docs/validation")


if __name__ == "__main__":
    main()
