"""A typical year for other programs: a block of plan.json, and season.csv with a row a month."""

from __future__ import annotations

import numpy as np

from mistcalc.model.results import (
    Band,
    PatioSeason,
    Season,
    hour_bands,
    month_bands,
    times,
    year_band,
)
from mistcalc.report.exports.csv_writer import csv_of

POINTS = ("p10", "p50", "p90")


def season_tree(season: Season) -> dict[str, object]:
    """Everything a year's tallies say; counts in hours."""
    runs = year_band(season.runs)
    return {
        "source": season.source,
        "draws": len(season.runs),
        "hours_used": season.hours_used,
        "hours_run": _counts(season.runs),
        "starts": _counts(season.starts),
        "water_m3": _points(times(runs, season.hourly.water)),
        "energy_J": _taken(season.runs, season.hourly.energy),
        "mineral_kg": _taken(season.runs, season.hourly.mineral),
        "water_an_hour_m3": season.hourly.water,
        "energy_an_hour_J": season.hourly.energy,
        "mineral_an_hour_kg": season.hourly.mineral,
        "mineral_at_least": season.hourly.mineral_at_least,
        "longest_day_water_m3": _points(times(season.longest_day_band(), season.hourly.water)),
        "hottest_used_K": season.hottest if season.hours_used else None,
        "kept_off": {why: _points(year_band(counts)) for why, counts in season.kept_off.items()},
        "warm_unused_hours": season.warm_unused,
        "comfortable_utci_K": season.limits.comfortable,
        "bearable_utci_K": season.limits.bearable,
        "patios": [_patio(patio) for patio in season.patios],
    }


def _patio(patio: PatioSeason) -> dict[str, object]:
    return {
        "patio": patio.patio,
        "fans_stated": patio.fans,
        "utci_answered": patio.answered,
        "comfortable_hours": {name: _counts(counts) for name, counts in patio.comfortable.items()},
        "bearable_hours": {name: _counts(counts) for name, counts in patio.bearable.items()},
        "degree_hours_K_h": {name: _counts(counts) for name, counts in patio.degree_hours.items()},
        "outcomes": {name: _counts(counts) for name, counts in patio.outcomes.items()},
        "harms": {name: _counts(counts) for name, counts in patio.harms.items()},
        "felt_cooler_set_K": {name: _points(patio.felt_band(name)) for name in patio.felt},
        "residual": patio.residual,
    }


def _counts(counts: np.ndarray) -> dict[str, object]:
    return {
        "year": _points(year_band(counts)),
        "months": _lists(month_bands(counts)),
        "hours_of_day": _lists(hour_bands(counts)),
    }


def _taken(runs: np.ndarray, rate: float | None) -> dict[str, float] | None:
    return None if rate is None else _points(times(year_band(runs), rate))


def _points(band: tuple[float, ...]) -> dict[str, float]:
    return dict(zip(POINTS, band, strict=True))


def _lists(bands: tuple[Band, ...]) -> dict[str, list[float]]:
    return {point: [band[n] for band in bands] for n, point in enumerate(POINTS)}


def season_csv(season: Season) -> str:
    """One row a month: low, middle and high of what the year takes and gives; SI, the unit in the heading."""
    import pandas as pd  # here, for only tables need it

    columns: dict[str, object] = {"month": range(1, 13), "used_h": season.used.sum(axis=1)}
    columns |= _columns("run_h", season.runs) | _columns("starts", season.starts)
    columns |= _columns("water_m3", season.runs * season.hourly.water)
    if season.hourly.energy is not None:
        columns |= _columns("energy_kWh", season.runs * (season.hourly.energy / 3.6e6))
    if season.hourly.mineral is not None:
        columns |= _columns("mineral_kg", season.runs * season.hourly.mineral)
    for patio in season.patios:
        columns |= _columns(f"{patio.patio}_felt_h", patio.outcomes["good"])
        for name in patio.comfortable if patio.fans else ("shade", "mist"):
            columns |= _columns(f"{patio.patio}_{name}_comfortable_h", patio.comfortable[name])
            columns |= _columns(f"{patio.patio}_{name}_bearable_h", patio.bearable[name])
            columns |= _columns(f"{patio.patio}_{name}_degree_hours_K_h", patio.degree_hours[name])
    return csv_of(pd.DataFrame(columns), float_format="%.6g")


def _columns(name: str, counts: np.ndarray) -> dict[str, object]:
    bands = np.array(month_bands(counts)).T
    return {f"{name}_{point}": bands[n] for n, point in enumerate(POINTS)}
