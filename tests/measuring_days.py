"""Invented measuring days: sensors that lag, drift and get wet as real ones do."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mistcalc.model.measuring_day import OUTSIDE, MeasuringDay, Record, WindNote

MINUTE, HOUR = 60.0, 3600.0
START = 14 * HOUR + 20 * MINUTE
ROUNDS = tuple((START + n * 40 * MINUTE, START + (n * 40 + 20) * MINUTE) for n in range(3))
WINDS = (WindNote(0.7, 5 * np.pi / 4), WindNote(0.5, 5 * np.pi / 4), WindNote(0.9, np.pi))  # SW, SW, S
OUTDOORS, HUMIDITY = 311.15, 0.16


def times(step: float = 30.0) -> np.ndarray:
    return np.arange(ROUNDS[0][0] - 25 * MINUTE, ROUNDS[-1][1] + 25 * MINUTE, step)


def on(time: np.ndarray) -> np.ndarray:
    return np.any([(time >= a) & (time < b) for a, b in ROUNDS], axis=0)


def sensor(
    at: str,
    drop: float | Sequence[float] = 0.0,
    *,
    drift: float = 1.5,
    lag: float = 180.0,
    noise: float = 0.0,
    offset: float = 0.0,
    rng: np.random.Generator | None = None,
    target: np.ndarray | None = None,
    step: float = 30.0,
    humidity: float | None = None,
    looked: tuple[str, ...] = ("dry", "dry", "dry"),
) -> Record:
    """A sensor in air that warms by `drift` [K/h] and is `drop` [K] cooler while the mist is on (one for each
    round, or one for all), read with a lag [s], white noise and an offset [K]. target: what it would settle
    at, where that is no air (a wet one)."""
    time = times(step)
    drops = np.broadcast_to(drop, (len(ROUNDS),))
    air = OUTDOORS + drift * (time - START) / HOUR
    for (a, b), kelvin in zip(ROUNDS, drops, strict=True):
        air = air - kelvin * ((time >= a) & (time < b))
    if target is not None:
        air = target
    read = np.empty_like(air)
    read[0] = air[0]
    for n in range(1, len(air)):
        read[n] = air[n] + (read[n - 1] - air[n]) * np.exp(-step / lag)
    if rng is not None:
        read = read + noise * rng.normal(size=len(read))
    humid = None if humidity is None else np.full(len(time), humidity)
    return Record(at, time, read + offset, humid, looked if at != OUTSIDE else ("dry",) * 3, at)


def day(*inside: Record, outside: Record | None = None, winds: tuple[WindNote, ...] = WINDS) -> MeasuringDay:
    return MeasuringDay(
        "invented.csv", "court", ROUNDS, winds,
        (outside or sensor(OUTSIDE, humidity=HUMIDITY), *inside),
    )  # fmt: skip


def example() -> str:
    """The readings of docs/measuring-day: made up here, as an American logger of four channels writes them.

    The sensor at the table gets wet in each round, which the other two do not.
    """
    rng = np.random.default_rng(7)
    wet = np.any([(times() >= a + 120) & (times() < b + 700) for a, b in ROUNDS], axis=0)
    outside = sensor(OUTSIDE, noise=0.05, rng=rng)
    chairs = sensor("chairs", (6.1, 6.9, 6.4), noise=0.1, offset=0.2, rng=rng)
    table = sensor("table", target=np.where(wet, OUTDOORS - 17.0, OUTDOORS), noise=0.1, rng=rng)
    rows = [
        "Invented readings, made up for this page. No such house or logger exists.",
        "Four channels, every 30 s, clock of the writer's watch",
        "Date Time,Ch1 (°F),Ch1 RH (%),Ch2 (°F),Ch3 (°F)",
    ]
    for n, second in enumerate(times()):
        hour, rest = divmod(round(second), 3600)
        clock = f"{(hour - 1) % 12 + 1}:{rest // 60:02d}:{rest % 60:02d} {'PM' if hour > 11 else 'AM'}"
        heat = [f"{r.temperature[n] * 1.8 - 459.67:.1f}" for r in (outside, chairs, table)]
        humid = 16.5 + 0.2 * rng.normal()
        rows.append(f"07/15/2027 {clock},{heat[0]},{humid:.1f},{heat[1]},{heat[2]}")
    return "\n".join(rows) + "\n"
