"""Lines for tests: evenly spaced dead ends and rings, and random ones of any shape."""

import numpy as np

from mistcalc.line.network.solver import Network
from mistcalc.line.network.supply_curve import mains_curve, pump_curve

BAR, LITRE_PER_MINUTE = 1e5, 1e-3 / 60
ENGINE_GRAVITY = 32.2 * 0.3048  # m/s2, what the independent engine uses


def even(nozzles, bar, litres_per_minute, bore, *, ring=False, pitch=24 * 0.0254, **changes):
    """Equal nozzles of `litres_per_minute` at `bar`, one every `pitch`, the first one pitch from the supply,
    which holds `bar` whatever the flow; closed by one more piece if `ring`."""
    start, end = np.arange(nozzles), np.arange(1, nozzles + 1)
    if ring:
        start, end = np.append(start, nozzles), np.append(end, 0)
    fields = {
        "elevation": np.zeros(nozzles + 1),
        "start": start,
        "end": end,
        "length": np.full(start.size, pitch),
        "bore": np.full(start.size, bore),
        "nozzle_node": np.arange(1, nozzles + 1),
        "coefficient": np.full(nozzles, litres_per_minute * LITRE_PER_MINUTE / (bar * BAR) ** 0.5),
        "supply_node": 0,
        "supply_flow": np.array([0.0, 1.0]),
        "supply_gauge": np.array([bar * BAR, bar * BAR - 1.0]),
        "density": 998.2,
        "viscosity": 998.2 * 1.0034e-6,
    }
    return Network(**{**fields, **changes})


def random_line(rng, *, checks=True, still_tubes=True):
    """2 to 400 nozzles at 2 to 100 bar on a dead end, ring, tree or mesh, uneven in every way a real line can
    be and in some it should not; pump or mains, too small or ample; checks opening at 0 to 7 bar."""
    nozzles = int(np.exp(rng.uniform(np.log(2), np.log(400))))
    kind = rng.choice(["dead end", "ring", "tree", "mesh"])
    start = np.arange(nozzles)
    if kind in ("tree", "mesh"):
        away = rng.random(nozzles) < (0.1 if kind == "tree" else 0.4)
        start = np.where(away, rng.integers(0, start + 1), start)
    end = np.arange(1, nozzles + 1)
    if kind == "ring":
        start, end = np.append(start, nozzles), np.append(end, 0)
    if kind == "mesh":
        chords = [rng.choice(nozzles + 1, 2, replace=False) for _ in range(int(rng.integers(1, 5)))]
        start, end = np.append(start, [c[0] for c in chords]), np.append(end, [c[1] for c in chords])
    tubes = start.size
    fitted = np.append(np.nonzero(rng.random(nozzles - 1) < rng.choice([0.7, 1.0]))[0] + 1, nozzles)
    set_gauge = np.exp(rng.uniform(np.log(2), np.log(100))) * BAR
    exponent = float(rng.choice([0.45, 0.5, 0.5, 0.6]))
    flow = np.exp(rng.uniform(np.log(0.03), np.log(0.2))) * LITRE_PER_MINUTE
    coefficient = flow / max(set_gauge, 4 * BAR) ** exponent * np.exp(0.05 * rng.standard_normal(fitted.size))
    supplied = np.sum(coefficient * set_gauge**exponent) * np.exp(rng.uniform(np.log(0.5), np.log(2)))
    if rng.random() < 0.5:
        curve = pump_curve(set_gauge, supplied)
    else:
        curve = mains_curve(set_gauge, 0.7 * set_gauge, supplied)
    length = rng.uniform(0.3, 1.2, tubes)
    odd = rng.random(tubes) < 0.03
    length[odd] = rng.choice([0.0, 20.0] if still_tubes else [0.05, 20.0], odd.sum())
    teed = rng.random(tubes) < 0.8
    return Network(
        elevation=np.cumsum(rng.uniform(-0.05, 0.05, nozzles + 1)),
        start=start,
        end=end,
        length=length,
        bore=np.full(tubes, rng.choice([3e-3, 4.318e-3, 6e-3, 7.747e-3, 10e-3])),
        nozzle_node=fitted,
        coefficient=coefficient,
        exponent=exponent,
        opens_at=rng.uniform(0.0, 7.0) * BAR if checks and rng.random() < 0.5 else 0.0,
        supply_node=0,
        supply_flow=np.array([q for q, _ in curve]),
        supply_gauge=np.array([p for _, p in curve]),
        density=995.0,
        viscosity=7.5e-4,
        minor_k=np.where(teed, 0.9, 0.0),
        minor_laminar=np.where(teed, 200.0, 0.0),
    )
