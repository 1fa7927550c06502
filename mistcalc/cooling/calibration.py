"""A measuring day: drops from pairs of blocks, and the draws weighted by how well each agrees with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy.special import gammaincc

from mistcalc.cooling.afternoon import every_hour
from mistcalc.cooling.unknowns import Unknowns, draws
from mistcalc.model.measuring_day import MeasuringDay, Record, Window
from mistcalc.model.project import Patio, Plumbing
from mistcalc.model.results import (
    BAND,
    Air,
    CalibratedRanges,
    Cooling,
    Layout,
    Line,
    MeasuredCooling,
    UpdatedRange,
)
from mistcalc.physics import air as moist

# How far our answer for a place may be off though every unknown is known, as a share of the drop there or of
# the patio's mean, whichever is more. What the bands of the unknowns hold is not counted twice: a seat is
# believed to 40 %, of which `place` holds most; this is for what sets one seat apart from the next and for
# what no unknown stands for. SHARED of it is common to all seats. Judgement.
SEAT_ERROR, SHARED = 0.25, 0.10
OFFSETS = 0.1  # K, left in the sensors' offsets after half an hour side by side; judgement
SOON_AFTER = (480.0, 720.0)  # s after a round: when a dry sensor has come back and a wet one has not
ENOUGH = 1.0  # K of drop, below which a slow return cannot be told from the day's own ups and downs
EITHER_SIDE = np.pi / 8  # rad: a wind told to one of eight points
# What the day itself tells and the next one does not: wind, its direction and humidity are that day's own, so
# an agreement must not be credited to what was drawn of them.
OF_THE_DAY = {"wind": 1.0, "turning": 0.0, "humidity": 0.0}


# ------------------------------------------------------------------ measured drops


def measured_cooling(day: MeasuringDay, air_pressure: float) -> tuple[MeasuredCooling, ...]:
    """The drop of each sensor inside, in the order of the day's records. air_pressure: Pa, of the place."""
    return tuple(_drop(day, record, air_pressure) for record in day.inside)


def _drop(day: MeasuringDay, record: Record, air_pressure: float) -> MeasuredCooling:
    rounds = day.pairs(record)
    pairs = [_pair(day, day.outside, k) - _pair(day, record, k) for k in rounds]
    drop = float(np.mean(pairs))
    t_out = np.array([_mean(day.outside, day.on(k)) for k in rounds])
    humid = np.array([_humidity_outside(day, k) for k in rounds])
    ratio = moist.humidity_ratio(t_out, humid, air_pressure)
    wet = moist.wet_bulb(t_out, ratio, air_pressure)
    inside = np.array([_mean(record, day.on(k)) for k in rounds])
    # Air cooled by mist keeps its enthalpy but for the water's own: how cool it is says how moist it is.
    gained = (moist.enthalpy(t_out, ratio) - moist.enthalpy(inside, ratio)) / moist.latent_heat(inside)
    full = moist.saturated_ratio(inside, air_pressure)
    damp = moist.relative_humidity(inside, np.clip(ratio + gained, 0.0, full), air_pressure)
    read = None if record.humidity is None else [_mean(record, day.on(k), record.humidity) for k in rounds]
    return MeasuredCooling(
        seat=record.at,
        pairs=tuple(pairs),
        drop=drop,
        error=float(np.hypot(standard_error(pairs), OFFSETS)),
        above_wet_bulb=float((inside - wet).min()),
        depression=float((t_out - wet).mean()),
        left_after=_left_after(day, record, drop),
        humidity=None if read is None or np.isnan(read).all() else float(np.nanmax(read)),
        humidity_by_temperature=float(np.max(damp)),
        looked=record.looked,
    )


def standard_error(pairs: Sequence[float]) -> float:
    """Standard error [K] of the mean of two or more pairs, each a round less the mean of the rests beside it.

    Neighboring pairs share a rest, so that they scatter less than they err: with equal independent errors s
    of all blocks the mean's variance is (2n - 1/2) s2/n2, where the scatter alone would say (3n - 1) s2/2n2.
    """
    n = len(pairs)
    return float(np.std(pairs, ddof=1) / np.sqrt(n) * np.sqrt((2 * n - 0.5) / (1.5 * n - 0.5)))


def _pair(day: MeasuringDay, record: Record, k: int) -> float:
    """Change [K] from mist off to on; a steady drift of the day's own cancels."""
    before, on, after = (_mean(record, w) for w in (day.off(k), day.on(k), day.off(k + 1)))
    return on - (before + after) / 2


def _mean(record: Record, window: Window, values: np.ndarray | None = None) -> float:
    held = (record.temperature if values is None else values)[record.within(window)]
    held = held[np.isfinite(held)]
    return float(held.mean()) if held.size else np.nan


def _left_after(day: MeasuringDay, record: Record, drop: float) -> float | None:
    """Share of the drop that is still there ten minutes after the mist stopped, mean of the rounds.

    Against the first rest that was recorded, so that a sensor that never dries between rounds shows too.
    """
    if drop < ENOUGH:
        return None

    def apart(window: Window) -> float:
        return _mean(day.outside, window) - _mean(record, window)

    rests = [level for k in range(len(day.rounds) + 1) if np.isfinite(level := apart(day.off(k)))]
    left = []
    for k in day.pairs(record):
        end = day.rounds[k][1]
        after = apart((end + SOON_AFTER[0], end + SOON_AFTER[1]))
        height = apart(day.on(k)) - rests[0]
        if np.isfinite(after) and height > ENOUGH / 2:
            left.append((after - rests[0]) / height)
    return float(np.mean(left)) if left else None


def measured_outdoor_air(
    day: MeasuringDay, bearing: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """What was measured outside while the mist was on, a value a round: dry bulb [K], relative humidity [1],
    wind in the yard [m/s], where from [rad clockwise from north, NaN in a calm]. bearing: heading of +x."""
    rounds = [k for k in range(len(day.rounds)) if np.isfinite(_mean(day.outside, day.on(k)))]
    winds = [day.winds[k] for k in rounds]
    sides = [np.nan if w.side is None else w.side + (bearing if w.in_plan else 0.0) for w in winds]
    return (
        np.array([_mean(day.outside, day.on(k)) for k in rounds]),
        np.array([_humidity_outside(day, k) for k in rounds]),
        np.array([w.speed for w in winds]),
        np.array(sides, dtype=float) % (2 * np.pi),
    )


def _humidity_outside(day: MeasuringDay, k: int) -> float:
    """0..1, while the mist was on; as typed in where no logger has it."""
    outside = day.outside
    if day.humidity is not None or outside.humidity is None:
        return float(day.humidity or 0.0)
    read = _mean(outside, day.on(k), outside.humidity)
    return read if np.isfinite(read) else float(np.nanmean(outside.humidity))


# ------------------------------------------------------------------ narrowing


def with_measured_weather(unknowns: Unknowns) -> Unknowns:
    """The draws as they are on a day whose own wind and humidity were measured."""
    same = {n: np.full_like(getattr(unknowns, n), value) for n, value in OF_THE_DAY.items()}
    return replace(unknowns, **same)


def spread_winds(air: Air) -> Air:
    """The rounds with their winds moved within what a point of the compass leaves open, each elsewhere,
    lest their mean be that of one exact angle; those of calms all round."""
    side = np.full(air.wind.shape, np.nan) if air.direction is None else air.direction
    place = np.linspace(-1.0, 1.0, len(side))
    moved = np.where(
        np.isnan(side), (1 - 1 / len(side)) * np.pi * place, np.nan_to_num(side) + EITHER_SIDE * place
    )
    return replace(air, direction=moved % (2 * np.pi), ordinary=0, key=f"{air.key}-spread")


def expected(
    patio: Patio, layout: Layout, line: Line, plumbing: Plumbing, air: Air, bearing: float, unknowns: Unknowns
) -> tuple[np.ndarray, np.ndarray]:
    """Drop [K] at each seat in a day's air, [seat, draw], and of the patio's mixed air, [draw], meaned over
    the rounds. air: an hour a round, its wind as measured in the yard."""
    (cooling,) = every_hour(
        patio, layout, line, plumbing, (spread_winds(air),), bearing, with_measured_weather(unknowns)
    )
    assert cooling.seat_drop is not None and cooling.mixed is not None
    return cooling.seat_drop.mean(axis=-1), cooling.mixed.mean(axis=-1)


def log_likelihood(
    measured: np.ndarray, errors: np.ndarray, seats: np.ndarray, mixed: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Log likelihood of each draw, [draw], and how far off it is, chi square with one degree a seat.

    measured, errors: measured drops and their standard errors [K], [seat]; seats: drops that the draws give,
    [seat, draw]; mixed: of the patio's mean, [draw]. Errors are normal, those of our own shared in part.
    """
    scale = np.maximum(np.abs(seats), np.abs(mixed)).T  # [draw, seat]
    seat_error = np.sqrt(SEAT_ERROR**2 - SHARED**2) * scale
    spread = (SHARED * scale)[:, :, None] * (SHARED * scale)[:, None, :]
    at = np.arange(len(measured))
    spread[:, at, at] += seat_error**2 + errors**2
    off = measured - seats.T
    chi = np.einsum("ds,ds->d", off, np.linalg.solve(spread, off[..., None])[..., 0])
    return -0.5 * (chi + np.linalg.slogdet(spread)[1]), chi


def weigh(
    measured: np.ndarray, errors: np.ndarray, seats: np.ndarray, mixed: np.ndarray
) -> tuple[np.ndarray, float]:
    """Weight of each draw, [draw], sum 1, and the chance of readings so far off were the nearest draw the
    truth. Arguments as for `log_likelihood`."""
    likely, chi = log_likelihood(measured, errors, seats, mixed)
    weights = np.exp(likely - likely.max())
    return weights / weights.sum(), float(gammaincc(len(measured) / 2, chi.min() / 2))


def calibrate(
    patio: Patio,
    layout: Layout,
    line: Line,
    plumbing: Plumbing,
    air: Air,
    bearing: float,
    drops: Sequence[MeasuredCooling],
    before: Sequence[Cooling],
) -> CalibratedRanges | None:
    """The afternoons of `before` told again with the draws weighted by `drops`, one a seat; None: no water.

    air: an hour a round of that day, wind in the yard. Weights belong to what is drawn of the patio; of
    OF_THE_DAY nothing is learned. Good as long as the draws of `before` are `unknowns.draws()`.
    """
    if not drops or any(cooled.water_flow == 0.0 for cooled in before):
        return None
    seats, mixed = expected(patio, layout, line, plumbing, air, bearing, draws())
    names = seat_names(layout, len(seats))
    which = [names.index(drop.seat) for drop in drops]
    measured, errors = (np.array([getattr(drop, name) for drop in drops]) for name in ("drop", "error"))
    weights, fit = weigh(measured, errors, seats[which], mixed)
    updated_ranges = [UpdatedRange("day", names[s], _band(seats[s]), _band(seats[s], weights)) for s in which]
    for cooled in before:
        columns = [("", cooled.drop["seats"][:, 0])]
        columns += [(names[s], cooled.seat_drop[s, :, 0]) for s in which if cooled.seat_drop is not None]
        updated_ranges += [
            UpdatedRange(cooled.afternoon, seat, _band(kelvin), _band(kelvin, weights))
            for seat, kelvin in columns
        ]
    return CalibratedRanges(
        weights=weights,
        effective=float(1 / (weights**2).sum()),
        fit=fit,
        told=tuple(updated_ranges),
    )


def seat_names(layout: Layout, count: int) -> tuple[str, ...]:
    """Names of the seats that are told; "seat 1" and on where the project has none."""
    return tuple(s.name for s in layout.lid.seats) or tuple(f"seat {n + 1}" for n in range(count))


def _band(kelvin: np.ndarray, weights: np.ndarray | None = None) -> tuple[float, float, float]:
    low, middle, high = weighted_quantiles(kelvin, BAND, weights)
    return low, middle, high


def weighted_quantiles(
    values: np.ndarray, shares: Sequence[float], weights: np.ndarray | None = None
) -> tuple[float, ...]:
    """Values below which these shares of the weight lie; without weights, those of `np.quantile`."""
    if weights is None:
        return tuple(np.quantile(values, shares).tolist())
    order = np.argsort(values, kind="stable")
    w = weights[order]
    # Weight below each value and half its own, stretched so that the ends are the ends: equal weights give
    # what np.quantile gives.
    place = np.cumsum(w) - w / 2
    place = (place - place[0]) / max(place[-1] - place[0], 1e-300)
    return tuple(np.interp(shares, place, values[order]).tolist())
