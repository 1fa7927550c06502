"""Writes docs/validation/call-back.md and .svg: how often simulated call-backs are answered right.

    .venv/bin/python -m tests.line.call_back_report

takes some twenty minutes on two cores. The faults are those of call_backs.py, the scoring that of
call_back_scores.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from multiprocessing import Pool
from pathlib import Path
from typing import NamedTuple

import numpy as np

from mistcalc.drawing import svg
from mistcalc.drawing.sheet import Circle, Item, LineSegment, Pen, Polyline, Sheet, Text
from tests.line import call_back_scores as scores
from tests.line.call_backs import CAUSES, SUBSETS, Score

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "validation"
NAME = "call-back"
COUNT, GUIDED = 2000, 500
CEILING = {"cups": 2000, "gauge": 2000, "none": 500}  # a table of 1.4 million lines takes its time
BINS = 10
INKS = ("#0b5e8a", "#b5450b", "#4d4d4d", "#7a9a01")
ALL = "+ creep"

HEAD = """# Call-backs, simulated

Written by `tests/line/call_back_report.py`. Faults are drawn one by one, any cause as likely as
another, by a generator and a solver call of their own (`tests/line/call_backs.py`), and read with gauges that
err. Two lines: 28 nozzles on a pump at 1,000 psi, 20 on the main at 4.5 bar. *Sheet*: what was written down
when the line was handed over. {count:,} faults a row. What faults look like and how far gauges err is
judgement: this tests the inference, not what breaks in the field.

*First*, *top two*: the true cause is said first, or first or second. *Ceiling*: top two of a table ten
times larger (without a sheet on {ceiling:,} of the faults; *own*: this program's on the same). *Set*: causes
named until 90 % is held, on average; *holds*: how often the true one is among them. *Error*: how far shares
said and shares right lie apart (expected calibration error, ten bins). *Other truth*: the same, where the
faults are of another model than the table's: nozzle exponent 0.02 more, water 17 % thinner, nozzles twice as
uneven.

Aimed at: top two within 2 points of the ceiling, and 90 % with sheet and buckets; holds 90 %; error 0.04;
of the other truth 0.05 with a sheet, 0.10 without. **Bold**: missed.

| line | sheet | readings | first | top two | own / ceiling | set | holds | error | other: two | held | off |
|---|---|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|
"""
NEXT = """
## What to read next

From gauge and meter on: doubt left about the cause [bits], read as suggested case by case, against the fixed
order that leaves least. {count} faults a row. Aimed at: 0.1 bit less.

| line | sheet | before | one more: suggested | fixed | which | two more: suggested | fixed | which |
|---|---|--:|--:|--:|---|--:|--:|---|
"""
RELIABLE = """
## Is a share of 70 % right seven times in ten?

All readings, lines whose sheet holds gauge, meter and cups. Each row: how sure the answer was, how often it
was right.

![Share right against share said]({name}.svg)

| said, % | pump: said | right | faults | mains: said | right | faults |
|--:|--:|--:|--:|--:|--:|--:|
"""
CONFUSED = """
## What is taken for what: {title}

Pump line, gauge, meter and cups on its sheet. Down: what was wrong. Across: what was said first. Percent.

"""


class Found(NamedTuple):
    """All figures of one line, with or without a sheet."""

    own: dict[str, Score]
    other: dict[str, Score]
    small: dict[str, Score]  # own, on as many faults as the ceiling
    ceiling: dict[str, Score]
    guided: scores.Guided
    bins: list[tuple[float, float, int]]


def found(which: tuple[str, str]) -> Found:
    kind, sheet = which
    few = CEILING[sheet]
    own = {name: scores.scored(kind, sheet, name, COUNT) for name in SUBSETS}
    return Found(
        {name: value for name, (value, _) in own.items()},
        {name: scores.scored(kind, sheet, name, COUNT, changed=True)[0] for name in SUBSETS},
        {name: scores.scored(kind, sheet, name, few)[0] for name in SUBSETS},
        scores.ceiling(kind, sheet, few),
        scores.guided(kind, sheet, GUIDED),
        reliability(own[ALL][1], scores.faults(kind, sheet, COUNT).cause),
    )


def reliability(shares: np.ndarray, cause: np.ndarray) -> list[tuple[float, float, int]]:
    """(mean share said, share right, how many) of each bin of the likeliest cause's share."""
    top, right = shares.max(axis=1), shares.argmax(axis=1) == cause
    bins = np.minimum((top * BINS).astype(int), BINS - 1)
    return [
        (float(top[bins == b].mean()), float(right[bins == b].mean()), int((bins == b).sum()))
        if (bins == b).any()
        else (0.0, 0.0, 0)
        for b in range(BINS)
    ]


def row(cells: Iterable[object]) -> str:
    return "| " + " | ".join(str(cell) for cell in cells) + " |\n"


def told(value: float, ok: bool, digits: int = 3) -> str:
    text = f"{value:.{digits}f}"
    return text if ok else f"**{text}**"


def page(all_found: dict[tuple[str, str], Found]) -> str:
    text = HEAD.format(count=COUNT, ceiling=CEILING["none"])
    for (kind, sheet), one in all_found.items():
        for name in SUBSETS:
            own, other = one.own[name], one.other[name]
            small, best = one.small[name].top_two, one.ceiling[name].top_two
            near = told(small, small >= best - 0.02) + f" / {best:.3f}"
            wanted = 0.90 if sheet != "none" and name != "gauge + meter" else 0.0
            text += row(
                (
                    kind,
                    scores.SHEETS[sheet],
                    name,
                    f"{own.first:.3f}",
                    told(own.top_two, own.top_two >= wanted),
                    near,
                    f"{own.size:.2f}",
                    told(own.held, own.held >= 0.90),
                    told(own.error, own.error <= 0.04),
                    f"{other.top_two:.3f}",
                    f"{other.held:.3f}",
                    told(other.error, other.error <= (0.10 if sheet == "none" else 0.05)),
                )
            )
    text += NEXT.format(count=GUIDED)
    for (kind, sheet), one in all_found.items():
        g = one.guided
        cells: list[object] = [kind, scores.SHEETS[sheet], f"{g.before:.2f}"]
        for n in range(2):
            cells += [
                told(g.suggested[n], g.suggested[n] <= g.fixed[n] - 0.1, 2),
                f"{g.fixed[n]:.2f}",
                g.order[n],
            ]
        text += row(cells)
    text += RELIABLE.format(name=NAME)
    pairs = zip(all_found["pump", "cups"].bins, all_found["mains", "cups"].bins, strict=True)
    for b, both in enumerate(pairs):
        cells = [f"{10 * b}-{10 * b + 10}"]
        for said, right, count in both:
            cells += [f"{100 * said:.0f}", f"{100 * right:.0f}", count] if count else ["", "", 0]
        text += row(cells)
    for name in ("gauge + meter", ALL):
        title = "gauge and meter alone" if name != ALL else "everything read"
        text += CONFUSED.format(title=title) + row(["", *CAUSES]) + row(["---"] + ["--:"] * len(CAUSES))
        for cause, shares in zip(CAUSES, all_found["pump", "cups"].own[name].confusion, strict=True):
            text += row([cause, *(f"{100 * share:.0f}" for share in shares)])
    return text + "\n[All sources](README.md)\n"


def picture(lines: dict[str, list[tuple[float, float, int]]]) -> str:
    """Share right against share said; on the slanting line they are one."""
    wide, high, left, low, span = 150.0, 100.0, 22.0, 16.0, 72.0
    items: list[Item] = [
        Text((left, high - 6.0), "Share right against share said, %", 2.3, bold=True),
        LineSegment((left, low), (left + span, low)),
        LineSegment((left, low), (left, low + span)),
        Polyline(((left, low), (left + span, low + span)), pen=Pen(0.18)),
        Text((left + span, low - 9.0), "said", 2.0, align="right"),
    ]
    for share in (0, 25, 50, 75, 100):
        at = span * share / 100
        items += [
            Text((left - 2, low + at - 1), f"{share}", 2.0, align="right"),
            Text((left + at, low - 4.5), f"{share}", 2.0, align="middle"),
        ]
    for n, ((name, bins), ink) in enumerate(zip(lines.items(), INKS, strict=False)):
        spots = [(left + span * said, low + span * right) for said, right, count in bins if count >= 20]
        items.append(Polyline(tuple(spots), pen=Pen(0.4, ink=ink)))
        items += [Circle(spot, 0.9, fill=ink, pen=Pen(0)) for spot in spots]
        y = low + span - 6.0 * n
        items += [
            Circle((left + span + 8, y), 0.9, fill=ink, pen=Pen(0)),
            Text((left + span + 11, y - 1), name, 2.0),
        ]
    return svg.write(Sheet(wide, high, tuple(items), "Share right against share said"), embed=False)


def main() -> None:
    cases = [(kind, sheet) for sheet in scores.SHEETS for kind in scores.LINES]
    with Pool(2) as pool:
        all_found = dict(zip(cases, pool.map(found, cases, chunksize=1), strict=True))
    FOLDER.mkdir(parents=True, exist_ok=True)
    (FOLDER / f"{NAME}.md").write_text(page(all_found), encoding="utf-8")
    lines = {f"{kind} line": all_found[kind, "cups"].bins for kind in scores.LINES}
    (FOLDER / f"{NAME}.svg").write_text(picture(lines), encoding="utf-8")
    print(f"{NAME}.md and .svg written to docs/validation")


if __name__ == "__main__":
    main()
