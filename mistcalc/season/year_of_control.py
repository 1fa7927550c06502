"""The year as the project's control runs the mist: when it is on, and the tallies of it, draw by draw.

A draw is one choice of everything nobody knows; each has its own year, and low, middle and high are those of
the years' tallies. What the air is like in an hour comes from the cooling room; here is when and how often.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mistcalc.model.content_digest import fingerprint
from mistcalc.model.project import Control
from mistcalc.model.results import (
    COMFORT_COLUMNS,
    OUTCOMES,
    HourlyUse,
    PatioSeason,
    Season,
    SeasonHours,
    SeasonLimits,
)
from mistcalc.season import holds

HOURS = 8760
MONTH_END = np.cumsum((31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31))  # days of a year of 365


@dataclass(frozen=True, slots=True)
class Timetable:
    """A year's hours by the clock on the wall, [hour]."""

    day: np.ndarray  # of the year, from 0
    month: np.ndarray  # from 0
    clock: np.ndarray  # hour of the day at which it begins
    used: np.ndarray  # within the control's months and hours
    weekday: np.ndarray  # 0 Monday


@dataclass(frozen=True, slots=True)
class ControlYear:
    """What the control does in every hour, [draw, hour]."""

    warm: np.ndarray  # the thermostat calls for mist, [hour]
    wanted: np.ndarray  # warm, with air and wind it may run in, within hours and months
    runs: np.ndarray
    starts: np.ndarray
    kept_off: dict[str, np.ndarray]


def timetable(control: Control, ahead: np.ndarray, first_weekday: int = 0) -> Timetable:
    """ahead: whether clocks on the wall are an hour ahead of standard time, [hour]. first_weekday: the day
    the year begins with, 0 Monday. An hour is in use when its middle is."""
    wall = np.arange(HOURS) + ahead
    day, clock = np.minimum(wall // 24, 364), wall % 24
    month = np.searchsorted(MONTH_END, day, side="right")
    used = in_use(control, month, clock + 0.5)
    return Timetable(day, month, clock, used, (day + first_weekday) % 7)


def in_use(control: Control, month: np.ndarray, clock: np.ndarray) -> np.ndarray:
    """Whether moments lie in the control's months and hours; those that end before they begin run over
    midnight and over the new year. month: from 0; clock: hour of the day on the wall."""
    start, end = control.hours
    first, last = control.months
    in_hours = (clock - start) % 24 < ((end - start) % 24 or 24)
    return in_hours & ((month + 1 - first) % 12 <= (last - first) % 12)


def thermostat(control: Control, temperature: np.ndarray) -> np.ndarray:
    """Whether the thermostat calls for mist, [hour]: on above the one, off below the other, and between them
    as it was. It stands in outdoor air, out of the mist; the year is a ring."""
    moves = np.where(temperature > control.on_above, 1, np.where(temperature < control.off_below, -1, 0))
    twice = np.concatenate([moves, moves])
    last = np.maximum.accumulate(np.where(twice != 0, np.arange(len(twice)), -1))
    state = np.where(last >= 0, twice[np.maximum(last, 0)] > 0, False)
    return state[len(moves) :]


def control_year(
    control: Control,
    hours: Timetable,
    warm: np.ndarray,
    humidity: np.ndarray,
    wind: np.ndarray,
    mast_wind: np.ndarray | None = None,
    direction: np.ndarray | None = None,
    an_hour: float = 0.0,
) -> ControlYear:
    """When the mist runs. humidity, wind: of the air in the yard, clear of the house, [draw, hour].
    mast_wind, direction: of the station, [hour]. an_hour: m3 that an hour takes."""
    shape = humidity.shape
    stops = {
        "humid": humidity > control.humidity_stop,
        "windy": np.broadcast_to(control.too_windy(wind, mast_wind), shape),
        "side": np.broadcast_to(control.from_barred_side(direction), shape),
        "day": np.broadcast_to(holds.on_barred_day(control, hours.weekday), shape),
    }
    stopped = np.logical_or.reduce(list(stops.values()))
    in_use = np.broadcast_to(hours.used, shape)
    timed = holds.timed(control, hours.used, in_use & warm & ~stopped, stopped | ~in_use)
    dry = holds.beyond_days_hours(holds.hours_of_a_day(control, an_hour), hours.day, timed)
    runs = timed & ~dry
    why = {"cool": np.broadcast_to(~warm, shape), **stops, "resting": ~timed, "water": dry}
    left, kept_off = in_use & ~runs, {}
    for name, holds_off in why.items():
        kept_off[name] = left & holds_off
        left = left & ~holds_off
    wanted = in_use & warm & ~(stops["humid"] | stops["windy"] | stops["side"])
    return ControlYear(warm, wanted, runs, runs & ~np.roll(runs, 1, axis=1), kept_off)


def tally(
    hours: Timetable,
    year: ControlYear,
    patios: tuple[SeasonHours, ...],
    limits: SeasonLimits,
    source: str,
    temperature: np.ndarray,
    hourly: HourlyUse,
) -> Season:
    """Every hour counted in its month and hour of the day. patios: their hours of use in order."""
    evening = _evening(hours, limits)
    days = _by_day(hours, year.runs)
    shut = (_by_day(hours, year.wanted) > 0.0) & (days == 0.0)
    counted = tuple(_patio(hours, year.runs[:, hours.used], patio, limits, evening) for patio in patios)
    runs, starts = by_month_and_clock(hours, year.runs), by_month_and_clock(hours, year.starts)
    return Season(
        source=source,
        used=by_month_and_clock(hours, hours.used[None])[0],
        runs=runs,
        starts=starts,
        kept_off={why: by_month_and_clock(hours, off) for why, off in year.kept_off.items()},
        evenings=_evenings(hours, evening, np.ones((1, hours.used.sum()), dtype=bool))[0],
        warm_unused=float((year.warm & ~hours.used).sum()),
        shut_days=_by_weekday(hours, shut),
        longest_day=days.max(axis=1),
        hottest=float(temperature[hours.used].max(initial=-np.inf)),
        hourly=hourly,
        patios=counted,
        limits=limits,
        key=fingerprint(source, runs, starts, hourly, tuple(p.comfortable for p in counted)),
    )


def _patio(
    hours: Timetable, runs: np.ndarray, felt: SeasonHours, limits: SeasonLimits, evening: np.ndarray
) -> PatioSeason:
    """runs: as `felt`, [draw, hour of use]. Where the mist does not run the shade is what there is, and the
    fan where there was fan and mist."""
    without = {"shade": "shade", "fan": "fan", "mist": "shade", "both": "fan"}
    utci = {name: np.where(runs, felt.utci[name], felt.utci[without[name]]) for name in COMFORT_COLUMNS}

    def counted(values: np.ndarray) -> np.ndarray:
        return by_month_and_clock(hours, np.nan_to_num(values), among_used=True)

    gain = {name: felt.effective["shade"] - felt.effective[name] for name in COMFORT_COLUMNS[1:]}
    outcomes = _outcomes(runs, gain["mist"], felt, limits)
    return PatioSeason(
        patio=felt.patio,
        fans=felt.fans,
        comfortable={name: counted(t <= limits.comfortable) for name, t in utci.items()},
        bearable={name: counted(t <= limits.bearable) for name, t in utci.items()},
        degree_hours={name: counted(np.maximum(t - limits.comfortable, 0.0)) for name, t in utci.items()},
        evenings={name: _evenings(hours, evening, t <= limits.bearable) for name, t in utci.items()},
        outcomes={name: counted(held) for name, held in outcomes.items()},
        harms={
            "wet_floor": counted(runs & (felt.landing > limits.wet_floor)),
            "humid": counted(runs & (felt.humidity > limits.humid)),
        },
        felt={name: _mean(kelvin, runs) for name, kelvin in gain.items()},
        answered=float(np.isfinite(utci["shade"]).mean()) if runs.size else 1.0,
        residual=felt.residual,
        sunny=None
        if felt.lit is None or felt.beam is None
        else counted(felt.lit * (felt.beam >= limits.sunshine)),
    )


def _outcomes(
    runs: np.ndarray, gain: np.ndarray, felt: SeasonHours, limits: SeasonLimits
) -> dict[str, np.ndarray]:
    """Each hour it runs under one of OUTCOMES."""
    little = ~(gain >= limits.little_felt)  # not known to be more
    causes = {
        "blown": little & (felt.carried_out > limits.carried),
        "damp": little & (felt.depression < limits.damp),
        "little": little,
    }
    left, answer = runs, {}
    for name, held in causes.items():
        answer[name] = left & held
        left = left & ~held
    return {name: answer.get(name, left) for name in OUTCOMES}


def _by_day(hours: Timetable, held: np.ndarray) -> np.ndarray:
    """Hours of each day of the year, [draw, hour] to [draw, 365]."""
    return np.stack([np.bincount(hours.day, row, minlength=365) for row in held.astype(float)])


def _by_weekday(hours: Timetable, days: np.ndarray) -> np.ndarray:
    """Days counted by the day of the week, [draw, 365] to [draw, 7]."""
    weekday = hours.weekday[np.searchsorted(hours.day, np.arange(365))]
    return np.stack([np.bincount(weekday, row, minlength=7) for row in days.astype(float)])


def _evening(hours: Timetable, limits: SeasonLimits) -> np.ndarray:
    """Which of the hours of use lie in an evening, [hour of use]."""
    first, last = limits.evening
    clock = hours.clock[hours.used]
    return np.asarray((clock >= first) & (clock < last))


def _evenings(hours: Timetable, evening: np.ndarray, good: np.ndarray) -> np.ndarray:
    """Evenings with an hour of use that are good in all of them, [draw, month]. good: [draw, hour of use]."""
    day, month = hours.day[hours.used][evening], hours.month[hours.used][evening]
    days, first = np.unique(day, return_index=True)
    spoilt = np.stack([np.bincount(day, row, minlength=365) for row in (~good[:, evening]).astype(float)])
    fine = (spoilt[:, days] == 0.0).astype(float)
    return np.stack([np.bincount(month[first], row, minlength=12) for row in fine])


def _mean(values: np.ndarray, runs: np.ndarray) -> np.ndarray:
    """Mean of the hours it runs of which there is an answer, [draw]; 0 where there are none."""
    counts = runs & np.isfinite(values)
    return np.asarray(np.where(counts, values, 0.0).sum(axis=1) / np.maximum(counts.sum(axis=1), 1))


def by_month_and_clock(hours: Timetable, values: np.ndarray, among_used: bool = False) -> np.ndarray:
    """Sums over the hours by month and hour of the day, [draw, hour] to [draw, 12, 24]."""
    cell = hours.month * 24 + hours.clock
    cell = cell[hours.used] if among_used else cell
    return np.stack([np.bincount(cell, row, minlength=288) for row in values.astype(float)]).reshape(
        -1, 12, 24
    )
