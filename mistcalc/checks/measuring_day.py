"""A measuring day judged: which sensors were wet, what was seen, whether the readings fit any case at all."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mistcalc.model.measuring_day import MeasuringDay
from mistcalc.model.results import CalibratedRanges, Finding, MeasuredCooling, Sensors

UNSEEN = 0.5  # K: a smaller drop is within what sensors and weather do by themselves; judgement
NEAR_WET_BULB = 1.0  # K: air that mist cools does not come so near, a wet sensor does; judgement
ROOM = 4.0  # K of depression, without which air comes that near too; judgement
# K below the outdoor wet bulb, which no mist can do: sensors' errors taken off; judgement
BELOW_WET_BULB = 0.5
SLOW = 0.4  # of the drop left ten minutes after the mist: a dry sensor of 5 min has 14 %; judgement
HUMID, NOT_SO_HUMID = 0.95, 0.85  # read, and by how cool the sensor says it is; judgement
APART = 1.5  # K between two sensors at one seat: one of them is wet, and nobody knows which; judgement
CONTRADICTED = 0.05  # chance of readings as far from the nearest draw, below which they fit none; judgement
FEWEST = 10.0  # draws' worth of weight, of which a range can still be told; judgement


def wet_signs(drops: Sequence[MeasuredCooling]) -> tuple[tuple[str, ...], ...]:
    """Of each sensor, why it is taken for wet, damp or misplaced; () where nothing says so."""
    return tuple(_signs(drop, [o for o in drops if o is not drop and o.seat == drop.seat]) for drop in drops)


def _signs(seat_cooling: MeasuredCooling, beside: Sequence[MeasuredCooling]) -> tuple[str, ...]:
    seen = seat_cooling.drop >= UNSEEN
    signs = {
        "below": seat_cooling.above_wet_bulb < -BELOW_WET_BULB,
        "looked": any(look != "dry" for look in seat_cooling.looked),
        "slow": seat_cooling.left_after is not None and seat_cooling.left_after > SLOW,
        "near": seen and seat_cooling.depression >= ROOM and seat_cooling.above_wet_bulb < NEAR_WET_BULB,
        "humid": seat_cooling.humidity is not None
        and seat_cooling.humidity >= HUMID
        and seat_cooling.humidity_by_temperature < NOT_SO_HUMID,
        "apart": any(abs(other.drop - seat_cooling.drop) > APART for other in beside),
    }
    return tuple(name for name, present in signs.items() if present)


def sensors(drops: Sequence[MeasuredCooling]) -> Sensors:
    """Which sensors speak for their seats, and which are left out."""
    signs = wet_signs(drops)
    dry = one_sensor_per_seat([drop for drop, why in zip(drops, signs, strict=True) if not why])
    return Sensors(dry, tuple((drop, why) for drop, why in zip(drops, signs, strict=True) if why))


def one_sensor_per_seat(drops: Sequence[MeasuredCooling]) -> tuple[MeasuredCooling, ...]:
    """One a seat: where two sensors hung at a seat the one that errs less speaks for it."""
    best: dict[str, MeasuredCooling] = {}
    for drop in drops:
        if drop.seat not in best or drop.error < best[drop.seat].error:
            best[drop.seat] = drop
    return tuple(best.values())


def day_findings(
    day: MeasuringDay, drops: Sequence[MeasuredCooling], judged: Sensors, narrowed: CalibratedRanges | None
) -> tuple[Finding, ...]:
    """All that is said of a day. drops: of every sensor, `judged`; narrowed: by those that are dry."""
    dry = judged.dry
    findings = [_left_out(day, seat_cooling, why) for seat_cooling, why in judged.left_out]
    findings += [_told(day, seat_cooling, narrowed) for seat_cooling in dry]
    unlooked = tuple(dict.fromkeys(drop.seat for drop in drops if not drop.looked))
    if unlooked:
        findings.append(_finding("day-unlooked", "note", day, "", values=(("seats", unlooked),)))
    if not dry:
        findings.append(_finding("day-nothing", "warn", day, ""))
    return (*findings, *(_of_ranges(day, dry, narrowed) if narrowed is not None else ()))


def _of_ranges(
    day: MeasuringDay, dry: Sequence[MeasuredCooling], narrowed: CalibratedRanges
) -> tuple[Finding, ...]:
    draws = len(narrowed.weights)
    if narrowed.fit < CONTRADICTED:
        worst = max(dry, key=lambda one: _far_off(one, narrowed))
        low, _, high = narrowed.on_the_day(worst.seat).before
        contradiction = (("seat", worst.seat), ("drop", worst.drop), ("span", (low, high)), ("draws", draws),
                ("more", worst.drop > high))  # fmt: skip
        return (_finding("day-contradicts", "warn", day, worst.seat, worst.drop, high, contradiction),)
    effective = (("effective", round(narrowed.effective)), ("draws", draws))
    if narrowed.effective < FEWEST:
        return (_finding("day-few", "warn", day, "", values=effective),)
    findings = [_finding("day-weights", "note", day, "", values=effective)]
    for span in narrowed.told:
        if span.afternoon == "day" or (span.seat and len(dry) == 1):
            continue  # the day itself was measured; one seat alone moves as the mean of the seats does
        code = "day-range" if span.seat else "day-range-seats"
        values = (
            ("afternoon", span.afternoon), ("seat", span.seat), ("before", _ends(span.before)),
            ("after", _ends(span.after)), ("middle_before", span.before[1]), ("middle_after", span.after[1]),
        )  # fmt: skip
        findings.append(_finding(code, "note", day, span.seat, values=values))
    return tuple(findings)


def _far_off(seat_cooling: MeasuredCooling, narrowed: CalibratedRanges) -> float:
    low, _, high = narrowed.on_the_day(seat_cooling.seat).before
    return max(low - seat_cooling.drop, seat_cooling.drop - high)


def _ends(band: tuple[float, float, float]) -> tuple[float, float]:
    return band[0], band[2]


def _told(day: MeasuringDay, seat_cooling: MeasuredCooling, narrowed: CalibratedRanges | None) -> Finding:
    values: tuple[tuple[str, object], ...] = (
        ("seat", seat_cooling.seat),
        ("error", seat_cooling.error),
        ("rounds", len(seat_cooling.pairs)),
        ("of", len(day.rounds)),
    )
    if narrowed is not None:
        values += (("expected", _ends(narrowed.on_the_day(seat_cooling.seat).before)),)
    code = "day-drop" if seat_cooling.drop >= UNSEEN else "day-unseen"
    return _finding(code, "note", day, seat_cooling.seat, seat_cooling.drop, UNSEEN, values)


def _left_out(day: MeasuringDay, seat_cooling: MeasuredCooling, why: tuple[str, ...]) -> Finding:
    values = (
        ("seat", seat_cooling.seat), ("left", min(seat_cooling.left_after or 0.0, 1.0)),
        ("above", max(seat_cooling.above_wet_bulb, 0.0)), ("under", max(-seat_cooling.above_wet_bulb, 0.0)),
        ("read", seat_cooling.humidity), ("by", seat_cooling.humidity_by_temperature),
        ("looks", tuple(dict.fromkeys(look for look in seat_cooling.looked if look != "dry"))),
        *((f"{name}_sign", True) for name in why),
    )  # fmt: skip
    return _finding("day-left-out", "warn", day, seat_cooling.seat, seat_cooling.drop, None, values)


def _finding(
    code: str, level: str, day: MeasuringDay, seat: str, provided: float | None = None,
    required: float | None = None, values: tuple[tuple[str, object], ...] = (),
) -> Finding:  # fmt: skip
    where = f"{day.patio}/{seat}" if seat else day.patio
    plain = tuple(
        (name, value if not isinstance(value, np.floating) else float(value)) for name, value in values
    )
    return Finding(
        code, level, where, "measured drop", provided, required, "K", "measuring day",  # type: ignore[arg-type]
        (("patio", day.patio), ("day", day.source), *plain), (), ("owner",), "day",
    )  # fmt: skip
