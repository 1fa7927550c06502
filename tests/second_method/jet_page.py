"""Writes docs/validation/jet-in-cross-wind.md and its picture: `python -m tests.second_method.jet_page`."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from mistcalc.drawing import svg
from mistcalc.drawing.sheet import Circle, Item, LineSegment, Pen, Polyline, Sheet, Text
from mistcalc.physics import air, plume
from tests.second_method import jet

FILE = Path(__file__).parents[2] / "docs/validation/jet-in-cross-wind.md"
TITLE = "A row of nozzles in a cross wind against another method"
X = np.array(jet.STATIONS)
DRAWN = ("w0.3-cell0.06-kEpsilon", "w1-cell0.035-kEpsilon", "w2-cell0.035-kEpsilon")
OURS, BEFORE, THEIRS = "#0b5e8a", "#999999", "#b5450b"
WIDE, HIGH, SCALE, LETTER = 190.0, 92.0, 24.0, 2.0  # mm; mm a meter

WORDS = Path(__file__).with_name("jet_page.md")


def ours(wind: float, lift: float = 1.0) -> np.ndarray:
    """Depth of our plume at the stations [m]."""
    one = _plume(wind, lift)
    return np.interp(X, one.drift, one.depth)


def _plume(wind: float, lift: float) -> plume.Plume:
    return plume.spray_plume(
        jet.T, air.humidity_ratio(jet.T, jet.HUMIDITY, jet.P), jet.P, wind=wind, flow=6.6 / 3.6e6,
        gauge=jet.PRESSURE, median_diameter=jet.MEDIAN, spread=2.5, water_temperature=jet.WATER, height=3.0,
        spacing=jet.PITCH, lift=lift,
    )  # fmt: skip


def figure(told: dict[str, dict[str, float]], run: str, name: str, unit: str) -> np.ndarray:
    return np.array([told[run][f"{name}_{x}_{unit}"] for x in jet.STATIONS])


def text(told: dict[str, dict[str, float]]) -> str:
    lines = [
        "| wind, cell, model | center, m, 0.35 / 0.75 / 1.35 / 1.95 m downwind | spread, m | coldest, m "
        "| peak, K | mean, K | heat over vapor | Courant |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for run in sorted(told):
        columns = (("depth", "m"), ("spread", "m"), ("coldest", "m"), ("peak", "K"), ("mean", "K"))
        cells = [_row(figure(told, run, *column), 2 if column[1] == "m" else 1) for column in columns]
        books = f"{told[run]['heat_over_vapor']:.2f} | {told[run]['courant']:.1f}"
        lines.append(f"| {run} | {' | '.join(cells)} | {books} |")
    for wind in sorted({float(run.split("-")[0][1:]) for run in told}):
        one = _plume(wind, 1.0)
        half = np.interp(X, one.drift, one.radius) / 3**0.5
        drop = jet.T - np.interp(X, one.drift, one.temperature)
        lines.append(f"| ours, {wind:g} m/s | {_row(ours(wind))} | {_row(half)} | | | {_row(drop, 1)} | | |")
        lines.append(f"| ours without neighbors, {wind:g} m/s | {_row(ours(wind, 0.0))} | | | | | | |")
    return WORDS.read_text(encoding="utf-8").replace("TABLE", "\n".join(lines))


def _row(values: np.ndarray, places: int = 2) -> str:
    return " / ".join(f"{value:.{places}f}" for value in values)


def picture(told: dict[str, dict[str, float]]) -> str:
    """Depth over drift, a panel a wind."""
    items: list[Item] = [
        Text((6, HIGH - 6), TITLE + ": depth below the nozzle", LETTER * 1.3),
        Text((6, HIGH - 11), "blue: ours; gray: ours without neighbors", LETTER, pen=Pen(ink=OURS)),
        Text((62, HIGH - 11), "rings: center of the cold, bars: its spread, computed by another method, "
             "not measured", LETTER, pen=Pen(ink=THEIRS)),
    ]  # fmt: skip
    for n, run in enumerate(DRAWN):
        left, top = 12 + 60.0 * n, HIGH - 20
        wind = float(run.split("-")[0][1:])
        items.append(Text((left, top + 2), f"{wind:g} m/s", LETTER))
        items += [
            LineSegment((left, top), (left + 2 * SCALE, top), pen=Pen(0.2)),
            LineSegment((left, top), (left, top - 2.8 * SCALE), pen=Pen(0.2)),
        ]
        for k in range(3):
            items.append(Text((left - 5, top - k * SCALE - 0.7), f"{k} m", LETTER))
            items.append(Text((left + k * SCALE, top - 2.8 * SCALE - 3), f"{k} m", LETTER, align="middle"))
        for lift, ink in ((0.0, BEFORE), (1.0, OURS)):
            one = _plume(wind, lift)
            seen = (one.drift < 2.0) & (one.depth < 2.8)
            points = zip(one.drift[seen], one.depth[seen], strict=True)
            path = tuple((left + SCALE * x, top - SCALE * z) for x, z in points)
            items.append(Polyline(path, False, pen=Pen(0.5, ink=ink)))
        depth, spread = (figure(told, run, name, "m") for name in ("depth", "spread"))
        for x, middle, half in zip(X, depth, spread, strict=True):
            at = left + SCALE * x
            ends = [(at, top - SCALE * (middle + side * half)) for side in (-1, 1)]
            items.append(LineSegment(ends[0], ends[1], pen=Pen(0.3, ink=THEIRS)))
            items.append(Circle((at, top - SCALE * middle), 1.0, pen=Pen(0.5, ink=THEIRS)))
    return svg.write(Sheet(WIDE, HIGH, tuple(items), TITLE), embed=False)


def main() -> None:
    told = jet.read()
    FILE.write_text(text(told), encoding="utf-8")
    FILE.with_suffix(".svg").write_text(picture(told), encoding="utf-8")


if __name__ == "__main__":
    main()
