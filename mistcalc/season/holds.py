"""What keeps the mist off though air and hour are right: rest times, days of the week, water of a day."""

from __future__ import annotations

import numpy as np

from mistcalc.model.project import WEEKDAYS, Control


def timed(control: Control, used: np.ndarray, wanted: np.ndarray, stopped: np.ndarray) -> np.ndarray:
    """`wanted` [draw, hour] as a controller runs it that, once on, stays on for the least run but for a stop,
    and once off stays off for the least rest. Each stretch of hours in use begins rested. An hour is the
    shortest there is: less changes nothing."""
    run, rest = (np.ceil(seconds / 3600.0) for seconds in (control.least_run, control.least_rest))
    if max(run, rest) <= 1.0:
        return wanted
    hours = np.flatnonzero(used)
    starts = np.flatnonzero(np.diff(hours, prepend=-2) > 1)
    lengths = np.diff(starts, append=len(hours))
    on = np.zeros((len(wanted), len(starts)), dtype=bool)
    since = np.full(on.shape, np.inf)  # hours since it went on or off
    answer = np.zeros_like(wanted)
    for place in range(int(lengths.max(initial=0))):  # an hour hangs on the one before; stretches go abreast
        live = lengths > place
        now = hours[starts[live] + place]
        was, age = on[:, live], since[:, live]
        may = wanted[:, now] & (was | (age >= rest))
        goes = may | (was & (age < run) & ~stopped[:, now])
        on[:, live], since[:, live] = goes, np.where(goes == was, age + 1.0, 1.0)
        answer[:, now] = goes
    return answer


def on_barred_day(control: Control, weekday: np.ndarray) -> np.ndarray:
    """Whether it may not run on that day of the week (0 Monday), [hour]."""
    if control.days is None:
        return np.zeros(weekday.shape, dtype=bool)
    return ~np.isin(weekday, [WEEKDAYS.index(day) for day in control.days])


def hours_of_a_day(control: Control, an_hour: float) -> float:
    """How many hours a day's water lasts. an_hour: m3 an hour takes."""
    if control.most_a_day is None or an_hour <= 0.0:
        return np.inf
    return float(np.floor(control.most_a_day * (1.0 + 1e-9) / an_hour))


def beyond_days_hours(most: float, day: np.ndarray, runs: np.ndarray) -> np.ndarray:
    """Which hours of `runs` [draw, hour] a day's water no longer reaches. most: hours it lasts; day: of the
    year, [hour]."""
    if not np.isfinite(most):
        return np.zeros_like(runs)
    first = np.searchsorted(day, day)  # hour in which its day begins
    passed = np.cumsum(runs, axis=1)
    before = np.where(first > 0, passed[:, first - 1], 0)
    return np.asarray(runs & (passed - before > most))
