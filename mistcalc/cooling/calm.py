"""Still air: cold air that lies on the floor in a pool instead of mixing, the other bound of a calm hour."""

from __future__ import annotations

import numpy as np

from mistcalc.cooling.balance import Answer, Case
from mistcalc.cooling.ground import SEATED
from mistcalc.cooling.patio_air import Mixed
from mistcalc.model.results import Pool
from mistcalc.physics import exchange

LEVELS = 16  # at which the plumes' flow is asked, floor to nozzles
FACE = 0.25  # m, half the height of air that a seated face is in


def pool_of(case: Case, answer: Answer) -> Pool:
    """The two layers that the plumes would make of still air, [draw, hour].

    They come down through outdoor air and fill the pool; what they keep of their cooling they keep as in the
    mixed patio. `calm` follows from the mixed patio's exchange: wind and the cold air's weight add in
    quadrature there, and the weight's part of that sum is the part that a pool could take over.
    """
    plume, kept = answer.apart.plume, answer.apart.kept
    level = np.linspace(0.0, case.spray.height - 0.1, LEVELS)
    depth = (case.spray.height - level)[:, None, None]
    flow = plume.volume_flow_at(depth) * case.ground.nozzles
    drop = kept * np.maximum(plume.surroundings - plume.temperature_at(depth), 0.0)
    top, colder = exchange.cold_pool(
        level,
        np.moveaxis(flow, 0, -1),
        np.moveaxis(drop, 0, -1),
        case.ground.open_length,
        case.outdoors.temperature,
        exchange.FRONT_SPEED * case.unknowns.exchange,
    )
    by_wind = case.wind_flow * case.unknowns.exchange / answer.patio.flow
    return Pool(top=top, drop=colder, calm=np.clip(1 - by_wind**2, 0.0, 1.0))


def settled(case: Case, answer: Answer, pool: Pool) -> Mixed:
    """The air about a seated face where no plume passes, between mixed and layered as each draw has it."""
    out, patio = case.outdoors, answer.patio
    layered = case.unknowns.pooling * pool.calm
    covered = np.clip((pool.top - (SEATED - FACE)) / (2 * FACE), 0.0, 1.0)
    plume = answer.apart.plume
    depth = case.spray.height - np.minimum(pool.top, case.spray.height - 0.1)
    wetter = answer.apart.kept * (plume.ratio_at(depth) - out.ratio)
    t = out.temperature - covered * pool.drop
    ratio = out.ratio + covered * np.maximum(wetter, 0.0)
    return Mixed(
        temperature=patio.temperature + layered * (t - patio.temperature),
        ratio=patio.ratio + layered * (ratio - patio.ratio),
        flow=patio.flow,
    )
