"""What the plaster does to marks and lid: stub length, the finished face, the panels between joints."""

from __future__ import annotations

import itertools
import math

from mistcalc.layout.geometry import Plan, polygon_area
from mistcalc.layout.run_frames import NEAR, RunFrame
from mistcalc.model.project import Plaster


def stub_lengths(plaster: Plaster) -> tuple[float, float, float]:
    """Least, nominal and greatest length of a stub below the framing, metres.

    Sheathing (or foam), coats, and what stands past the face; thickness varies by the tolerance because
    walls and lids are not plane.
    """
    nominal = plaster.sheathing + plaster.thickness + plaster.trim
    return max(0.0, nominal - plaster.tolerance), nominal, nominal + plaster.tolerance


def face_growth(plaster: Plaster, band: RunFrame) -> float:
    """How much nearer the finished face at the datum comes to the marks, metres; negative: farther.

    A wall, and the fascia across an inside corner, grow toward the run; an open end and the fascia round
    an outside corner grow away from it.
    """
    build_up = 0.0 if plaster.system == "wood" else plaster.sheathing + plaster.thickness
    run = band.run
    end = run.starts_at if run.datum.end == "start" else run.ends_at
    if end == "corner":
        at_start = run.datum.end == "start"
        corner = band.before if at_start else run.corner
        return {"inside": build_up, "outside": -build_up}.get(corner or "", 0.0)
    return build_up if end == "wall" else -build_up


Panel = tuple[str, float, float]  # name, area m2, length over width (at least 1)
Span = tuple[str, float, float]  # run, from where to where along [m]; past its ends in a corner square


def panels(plan: Plan) -> tuple[tuple[Panel, Span], ...]:
    """Plaster panels between the joints as stated."""
    out: list[tuple[Panel, Span]] = []
    if not plan.patio.plaster.plastered:
        return ()
    for band in plan.bands:
        low, high = band.owned
        if high - low <= NEAR or min(band.depths) <= 0:
            continue
        at = sorted(s for j in band.run.joints if low + NEAR < (s := band.sigma(j.along)) < high - NEAR)
        cuts = [low, *at, high][::-1] if band.run.datum.end == "end" else [low, *at, high]
        for n, (a, b) in enumerate(itertools.pairwise(cuts), 1):
            area, side, depth = _size(band, *sorted((a, b)))
            if side > NEAR:
                ratio = max(side, depth) / min(side, depth)
                name = f"{band.run.name} panel {n}"
                start, end = sorted((band.along(a), band.along(b)))
                panel = (name, area, ratio if math.isfinite(ratio) else 0)
                out.append((panel, (band.run.name, start, end)))
    return tuple(out)


def _size(band: RunFrame, start: float, end: float) -> tuple[float, float, float]:
    """Area [m2], length half way back and depth half way along [m] of what lies between two cuts."""
    if not any(band.slants) and band.depths[0] == band.depths[1]:
        return (end - start) * band.depth, end - start, band.depth
    (edge, back), (edge_end, back_end) = band.cut(start), band.cut(end)
    between = [band.point(*corner) for corner in band.back_corners if start + NEAR < corner[0] < end - NEAR]
    first, last = ((band.local(p)[0] + band.local(q)[0]) / 2 for p, q in ((edge, back), (edge_end, back_end)))
    area = polygon_area((edge, back, *between, back_end, edge_end))
    return area, last - first, band.depth_at((start + end) / 2)
