"""lots.csv and orders.csv: a row a lot, a row a part. Units stand in the names of the columns."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Iterator, Sequence

from mistcalc import units, words
from mistcalc.fleet.totals import AnswerOf, FacingCost, FleetRow, OrderLine
from mistcalc.model.results import LotAnswer
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.exports.csv_writer import cell
from mistcalc.report.exports.lists_csv import MATERIAL_COLUMNS, material_cells

LOT_COLUMNS = (
    "line", "lot", "phase", "plan", "options", "mirrored", "facing", "climate", "state", "told", "design",
    "pack", "marks", "stops", "water", "far", "supply", "motor", "tube", "cost", "unpriced", "currency",
    "cooler_low", "cooler", "cooler_high", "felt", "floor", "facing_less", "facing_warmer", "facing_best",
)  # fmt: skip
ORDER_COLUMNS = ("phase", "plan", "lots")  # then MATERIAL_COLUMNS
SHOWN_KEY = 10  # digits of a design's key that tell it from others
STATES = ("error", "fails", "look", "fine")  # worst first


def state_of(row: FleetRow, answer: LotAnswer | None) -> str:
    """One of STATES: no answer; something must be mended; something to look at; neither."""
    if row.error is not None or answer is None:
        return "error"
    if answer.failed:
        return "fails"
    return "look" if answer.of_level("warn") else "fine"


def error_text(row: FleetRow, locale: Locale) -> str:
    """What is wrong with a lot that has no answer, in a line: the first mistake, and how many more."""
    if row.error is None:
        return ""
    first, *more = words.say(row.error, locale.units, locale.language).splitlines() or [""]
    return f"{first} {locale.label('fleet.more_mistakes', count=len(more))}" if more else first


def wrong_text(answer: LotAnswer, locale: Locale) -> str:
    """What is wrong with a lot; what two of its patios have alike, once."""
    return " ".join(dict.fromkeys(map(locale.say, answer.of_level("fail", "warn"))))


def lots_csv(
    rows: Iterable[FleetRow],
    answer_of: AnswerOf,
    costs: dict[str, FacingCost],
    packs: dict[str, str],
    locale: Locale,
) -> str:
    """packs: a lot's name to the folder of its sheets."""
    heads = [locale.label(_column("lots_csv", name, locale)) for name in LOT_COLUMNS]
    table = (_lot_cells(row, answer_of(row.key) if row.key else None, costs, packs, locale) for row in rows)
    return _csv(heads, table)


def orders_csv(lines: Iterable[OrderLine], locale: Locale) -> str:
    heads = [locale.label(f"orders_csv.{name}") for name in ORDER_COLUMNS]
    heads += [locale.label(f"materials_csv.{name}") for name in MATERIAL_COLUMNS]
    rows = (
        (line.phase, line.plan, line.lots, *material_cells(line.bought, line.currency, locale))
        for line in lines
    )
    return _csv(heads, rows)


def _column(table: str, name: str, locale: Locale) -> str:
    """A column with a unit has a name for each system."""
    key = f"{table}.{name}_{locale.units}"
    return key if words.is_label(key, locale.language) else f"{table}.{name}"


def _csv(heads: Sequence[str], rows: Iterator[Sequence[object]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heads)
    for row in rows:
        writer.writerow([cell(value) if isinstance(value, str) else value for value in row])
    return out.getvalue()


def _lot_cells(
    row: FleetRow,
    answer: LotAnswer | None,
    costs: dict[str, FacingCost],
    packs: dict[str, str],
    locale: Locale,
) -> list[object]:
    lot = row.lot
    shown: dict[str, object] = {
        "line": lot.line,
        "lot": lot.name,
        "phase": lot.phase,
        "plan": lot.plan,
        "options": "; ".join(lot.options),
        "mirrored": locale.label(f"fleet.{'yes' if lot.mirrored else 'no'}"),
        "climate": row.climate or lot.climate,
        "state": locale.label(f"fleet.state_{state_of(row, answer)}"),
        "told": error_text(row, locale),
    }
    if answer is not None and row.error is None:
        shown |= _answer_cells(answer, locale)
        shown |= {
            "facing": round(math.degrees(row.facing)) % 360,
            "design": row.key[:SHOWN_KEY],
            "pack": packs.get(lot.name, ""),
            "told": wrong_text(answer, locale),
        }
        if row.key in costs:
            shown |= _cost_cells(costs[row.key], locale)
    return [shown.get(name, "") for name in LOT_COLUMNS]


def _answer_cells(answer: LotAnswer, locale: Locale) -> dict[str, object]:
    us = locale.units == "us"
    totals = [row.total for row in answer.parts if row.total is not None]
    cells: dict[str, object] = {
        "marks": answer.marks,
        "stops": answer.stops,
        "water": _si(answer.flow, "gph" if us else "L/h", "flow", 2),
        "far": _si(answer.far_gauge, "psi" if us else "bar", "pressure", 1),
        "supply": _si(answer.supply_gauge, "psi" if us else "bar", "pressure", 1),
        "motor": "" if answer.motor is None else _si(answer.motor, "hp" if us else "kW", "power", 3),
        "tube": _si(answer.tube, "ft" if us else "m", "length", 2),
        "cost": str(sum(totals)) if totals else "",
        "unpriced": sum(row.total is None for row in answer.parts),
        "currency": answer.currency if totals else "",
    }
    if answer.afternoons:
        day = answer.afternoons[0]
        low, middle, high = (round(value / units.degree_of(locale.units), 1) for value in day.drop)
        felt = "" if day.felt is None else _si(day.felt[1], "degF" if us else "degC", "temperature", 1)
        cells |= {"cooler_low": low, "cooler": middle, "cooler_high": high, "felt": felt}
        cells["floor"] = round(100.0 * day.landing, 1)
    return cells


def _cost_cells(cost: FacingCost, locale: Locale) -> dict[str, object]:
    degree = units.degree_of(locale.units)
    warmer = "" if cost.warmer is None else round(cost.warmer / degree, 1)
    return {
        "facing_less": round(cost.less / degree, 1),
        "facing_warmer": warmer,
        "facing_best": round(math.degrees(cost.best)) % 360,
    }


def _si(value: float, unit: str, kind: str, decimals: int) -> float:
    return round(float(units.from_si(value, unit, kind)), decimals)
