"""A measuring day judged: which sensors were wet, what was seen, whether the readings fit any case at all."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mistcalc.model.measuring_day import MeasuringDay
from mistcalc.model.results import Finding, MeasuredDrop, Narrowed, Sensors

UNSEEN = 0.5  # K: a smaller drop is within what sensors and weather do by themselves; judgement
NEAR_WET_BULB = 1.0  # K: air that mist cools does not come so near, a wet sensor does; judgement
ROOM = 4.0  # K of depression, without which air comes that near too; judgement
BELOW_WET_BULB = (
    0.5  # K below the outdoor wet bulb, which no mist can do: sensors' errors taken off; judgement
)
SLOW = 0.4  # of the drop left ten minutes after the mist: a dry sensor of 5 min has 14 %; judgement
HUMID, NOT_SO_HUMID = 0.95, 0.85  # read, and by how cool the sensor says it is; judgement
APART = 1.5  # K between two sensors at one seat: one of them is wet, and nobody knows which; judgement
CONTRADICTED = 0.05  # chance of readings as far from the nearest draw, below which they fit none; judgement
FEWEST = 10.0  # draws' worth of weight, of which a range can still be told; judgement


def wet_signs(drops: Sequence[MeasuredDrop]) -> tuple[tuple[str, ...], ...]:
    """Of each sensor, why it is taken for wet, damp or misplaced; () where nothing says so."""
    return tuple(_signs(one, [o for o in drops if o is not one and o.seat == one.seat]) for one in drops)


def _signs(one: MeasuredDrop, beside: Sequence[MeasuredDrop]) -> tuple[str, ...]:
    seen = one.drop >= UNSEEN
    told = {
        "below": one.above_wet_bulb < -BELOW_WET_BULB,
        "looked": any(look != "dry" for look in one.looked),
        "slow": one.left_after is not None and one.left_after > SLOW,
        "near": seen and one.depression >= ROOM and one.above_wet_bulb < NEAR_WET_BULB,
        "humid": one.humidity is not None
        and one.humidity >= HUMID
        and one.humidity_by_temperature < NOT_SO_HUMID,
        "apart": any(abs(other.drop - one.drop) > APART for other in beside),
    }
    return tuple(name for name, found in told.items() if found)


def sensors(drops: Sequence[MeasuredDrop]) -> Sensors:
    """Which sensors speak for their seats, and which are left out."""
    signs = wet_signs(drops)
    dry = joined([one for one, why in zip(drops, signs, strict=True) if not why])
    return Sensors(dry, tuple((one, why) for one, why in zip(drops, signs, strict=True) if why))


def joined(drops: Sequence[MeasuredDrop]) -> tuple[MeasuredDrop, ...]:
    """One a seat: where two sensors hung at a seat the one that errs less speaks for it."""
    best: dict[str, MeasuredDrop] = {}
    for one in drops:
        if one.seat not in best or one.error < best[one.seat].error:
            best[one.seat] = one
    return tuple(best.values())


def day_findings(
    day: MeasuringDay, drops: Sequence[MeasuredDrop], judged: Sensors, narrowed: Narrowed | None
) -> tuple[Finding, ...]:
    """All that is said of a day. drops: of every sensor, `judged`; narrowed: by those that are dry."""
    dry = judged.dry
    found = [_left_out(day, one, why) for one, why in judged.left_out]
    found += [_told(day, one, narrowed) for one in dry]
    unlooked = tuple(dict.fromkeys(one.seat for one in drops if not one.looked))
    if unlooked:
        found.append(_finding("day-unlooked", "note", day, "", values=(("seats", unlooked),)))
    if not dry:
        found.append(_finding("day-nothing", "warn", day, ""))
    return (*found, *(_of_ranges(day, dry, narrowed) if narrowed is not None else ()))


def believed(narrowed: Narrowed) -> bool:
    """Whether ranges may be told again with these weights."""
    return narrowed.fit >= CONTRADICTED and narrowed.effective >= FEWEST


def _of_ranges(day: MeasuringDay, dry: Sequence[MeasuredDrop], narrowed: Narrowed) -> tuple[Finding, ...]:
    draws = len(narrowed.weights)
    if narrowed.fit < CONTRADICTED:
        worst = max(dry, key=lambda one: _far_off(one, narrowed))
        low, _, high = narrowed.on_the_day(worst.seat).before
        said = (("seat", worst.seat), ("drop", worst.drop), ("span", (low, high)), ("draws", draws),
                ("more", worst.drop > high))  # fmt: skip
        return (_finding("day-contradicts", "warn", day, worst.seat, worst.drop, high, said),)
    effective = (("effective", round(narrowed.effective)), ("draws", draws))
    if narrowed.effective < FEWEST:
        return (_finding("day-few", "warn", day, "", values=effective),)
    told = [_finding("day-weights", "note", day, "", values=effective)]
    for one in narrowed.told:
        if one.afternoon == "day" or (one.seat and len(dry) == 1):
            continue  # the day itself was measured; one seat alone moves as the mean of the seats does
        code = "day-range" if one.seat else "day-range-seats"
        values = (
            ("afternoon", one.afternoon), ("seat", one.seat), ("before", _ends(one.before)),
            ("after", _ends(one.after)), ("middle_before", one.before[1]), ("middle_after", one.after[1]),
        )  # fmt: skip
        told.append(_finding(code, "note", day, one.seat, values=values))
    return tuple(told)


def _far_off(one: MeasuredDrop, narrowed: Narrowed) -> float:
    low, _, high = narrowed.on_the_day(one.seat).before
    return max(low - one.drop, one.drop - high)


def _ends(band: tuple[float, float, float]) -> tuple[float, float]:
    return band[0], band[2]


def _told(day: MeasuringDay, one: MeasuredDrop, narrowed: Narrowed | None) -> Finding:
    values: tuple[tuple[str, object], ...] = (
        ("seat", one.seat),
        ("error", one.error),
        ("rounds", len(one.pairs)),
        ("of", len(day.rounds)),
    )
    if narrowed is not None:
        values += (("expected", _ends(narrowed.on_the_day(one.seat).before)),)
    code = "day-drop" if one.drop >= UNSEEN else "day-unseen"
    return _finding(code, "note", day, one.seat, one.drop, UNSEEN, values)


def _left_out(day: MeasuringDay, one: MeasuredDrop, why: tuple[str, ...]) -> Finding:
    values = (
        ("seat", one.seat), ("left", min(one.left_after or 0.0, 1.0)),
        ("above", max(one.above_wet_bulb, 0.0)), ("under", max(-one.above_wet_bulb, 0.0)),
        ("read", one.humidity), ("by", one.humidity_by_temperature),
        ("looks", tuple(dict.fromkeys(look for look in one.looked if look != "dry"))),
        *((f"{name}_sign", True) for name in why),
    )  # fmt: skip
    return _finding("day-left-out", "warn", day, one.seat, one.drop, None, values)


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
