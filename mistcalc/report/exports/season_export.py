"""A typical year for other programs: a block of plan.json, and season.csv with a row a month; a rule found
for the control.
"""

from __future__ import annotations

from math import isfinite

import numpy as np

from mistcalc.model.project import Control
from mistcalc.model.results import (
    Band,
    FoundRule,
    PatioSeason,
    RuleScore,
    Season,
    SeasonMoney,
    hour_bands,
    month_bands,
    per_evening,
    times,
    year_band,
)
from mistcalc.report.exports.csv_writer import csv_of
from mistcalc.report.exports.keyed_fields import POINTS, percentiles, told


def season_tree(season: Season) -> dict[str, object]:
    """Everything a year's tallies say; counts in hours."""
    runs = year_band(season.runs)
    return {
        "source": season.source,
        "draws": len(season.runs),
        "used_h": season.hours_used,
        "run_h": _counts(season.runs),
        "starts": _counts(season.starts),
        "water_m3": percentiles(times(runs, season.hourly.water)),
        "energy_J": _taken(season.runs, season.hourly.energy),
        "mineral_kg": _taken(season.runs, season.hourly.mineral),
        "water_an_hour_m3": season.hourly.water,
        "energy_an_hour_J": season.hourly.energy,
        "mineral_an_hour_kg": season.hourly.mineral,
        "mineral_at_least": season.hourly.mineral_at_least,
        "longest_day_water_m3": percentiles(times(season.longest_day_band(), season.hourly.water)),
        "hottest_used_K": season.hottest if season.hours_used else None,
        "kept_off_h": {why: percentiles(year_band(counts)) for why, counts in season.kept_off.items()},
        "shut_days": list(season.shut_weekdays()),
        "warm_unused_h": season.warm_unused,
        "evenings": season.evenings.sum(),
        "cost": _money(season),
        "comfortable_utci_K": season.limits.comfortable,
        "bearable_utci_K": season.limits.bearable,
        "patios": [_patio(patio, season.money) for patio in season.patios],
    }


def _patio(patio: PatioSeason, money: SeasonMoney | None) -> dict[str, object]:
    return {
        "patio": patio.patio,
        "fans_stated": patio.fans,
        "utci_answered": patio.answered,
        "comfortable_h": {name: _counts(counts) for name, counts in patio.comfortable.items()},
        "bearable_h": {name: _counts(counts) for name, counts in patio.bearable.items()},
        "degree_hours_K_h": {name: _counts(counts) for name, counts in patio.degree_hours.items()},
        "evenings_bearable": {name: _counts(counts) for name, counts in patio.evenings.items()},
        "evenings_gained": _counts(patio.gained),
        "cost_of_an_evening": None if money is None else _finite(per_evening(money, patio)),
        "outcomes_h": {name: _counts(counts) for name, counts in patio.outcomes.items()},
        "harms_h": {name: _counts(counts) for name, counts in patio.harms.items()},
        "felt_cooler_set_K": {name: percentiles(patio.felt_band(name)) for name in patio.felt},
        "sun_on_seats_h": None
        if patio.sunny is None
        else [{"year": float(sun.sum()), "months": sun.sum(axis=1).tolist()} for sun in patio.sunny],
        "residual": patio.residual,
    }


def _money(season: Season) -> dict[str, object] | None:
    """What the mist adds to the bills."""
    if season.money is None:
        return None
    return {
        "currency": season.money.currency,
        "parts": {name: _counts(part) for name, part in season.money.parts.items()},
        "total": _counts(season.money.total),
    }


def _finite(band: Band) -> dict[str, float | None]:
    """Null where no evening is gained."""
    return {point: value if np.isfinite(value) else None for point, value in percentiles(band).items()}


def _counts(counts: np.ndarray) -> dict[str, object]:
    """By the hour of the day too, where the counts are."""
    told: dict[str, object] = {"year": percentiles(year_band(counts)), "months": _lists(month_bands(counts))}
    return told | {"hours_of_day": _lists(hour_bands(counts))} if counts.ndim == 3 else told


def _taken(runs: np.ndarray, rate: float | None) -> dict[str, float] | None:
    return None if rate is None else percentiles(times(year_band(runs), rate))


def _lists(bands: tuple[Band, ...]) -> dict[str, list[float]]:
    return {point: [band[n] for band in bands] for n, point in enumerate(POINTS)}


def season_csv(season: Season) -> str:
    """One row a patio and month: low, middle and high of what the year takes and gives; the unit in the
    heading. What the line takes stands in every patio's rows."""
    import pandas as pd  # here, for only tables need it

    hourly = season.hourly
    line: dict[str, object] = {"month": range(1, 13), "used_h": season.used.sum(axis=1)}
    line |= _columns("run_h", season.runs) | _columns("starts", season.starts)
    line |= _columns("water_m3", season.runs * hourly.water)
    if hourly.energy is not None:
        line |= _columns("energy_kWh", season.runs * (hourly.energy / 3.6e6))
    if hourly.mineral is not None:
        line |= _columns("mineral_kg", season.runs * hourly.mineral)
    if season.money is not None:
        for name, part in season.money.parts.items():
            line |= _columns(f"{name}_cost", part)
        line |= _columns("cost", season.money.total)
    tables = []
    for patio in season.patios:
        columns: dict[str, object] = {"patio": [patio.patio] * 12, **line}
        columns |= _columns("noticed_h", patio.outcomes["good"])
        columns |= _columns("evenings_gained", patio.gained)
        if patio.sunny is not None:
            columns["sun_on_a_seat_h"] = patio.sunny.mean(axis=0).sum(axis=1)
        for name in patio.comfortable:
            columns |= _columns(f"{name}_comfortable_h", patio.comfortable[name])
            columns |= _columns(f"{name}_bearable_h", patio.bearable[name])
            columns |= _columns(f"{name}_degree_hours_K_h", patio.degree_hours[name])
        tables.append(pd.DataFrame(columns))
    return csv_of(pd.concat(tables), float_format="%.6g")


def _columns(name: str, counts: np.ndarray) -> dict[str, object]:
    bands = np.array(month_bands(counts)).T
    return {f"{name}_{point}": bands[n] for n, point in enumerate(POINTS)}


def rule_tree(found: FoundRule) -> dict[str, object]:
    chosen, held = found.chosen_on, found.held_out
    return {
        "control": _control(found.control),
        "most_water_m3": found.most_water if isfinite(found.most_water) else None,
        "water_an_hour_m3": found.an_hour,
        "bearable_utci_K": found.bearable,
        "found": _score(found.found),
        "as_stated": _score(found.stated),
        "keep_as_stated": found.keep_stated,
        "best_possible_h": percentiles(found.best),
        "chosen_on": {"draws": chosen[0], "mean_gained_h": chosen[1]},
        "held_out": {"draws": held[0], "mean_gained_h": held[1]},
        "timings": [
            {
                **told(timing, "least_run_s least_rest_s"),
                "starts": percentiles(timing.starts),
                **_score(timing.score),
                "chosen": timing.chosen,
            }
            for timing in found.timings
        ],
        "parts": [
            {
                "part": part.name,
                "control": _control(part.control),
                "gained_h": percentiles(part.gained),
                "added_h": percentiles(part.added),
                "kept": part.kept,
            }
            for part in found.parts
        ],
    }


def _control(control: Control | None) -> dict[str, object] | None:
    if control is None:
        return None
    stops = "wind_stop_m_s wind_measured_at not_from humidity_stop"
    return told(
        control, f"on_above_K off_below_K hours_h months {stops} least_run_s least_rest_s days most_a_day_m3"
    )


def _score(score: RuleScore) -> dict[str, object]:
    return {"run_h": percentiles(score.runs), "gained_h": percentiles(score.gained)}
