"""A ladder of ways to build a line, for other programs."""

from __future__ import annotations

from mistcalc.model.results import COMFORT_COLUMNS, BesideIt, BuildOption, Comfort, OptionLadder, Wishes
from mistcalc.report.exports.keyed_fields import percentiles, told


def options_tree(ladder: OptionLadder) -> dict[str, object]:
    return {
        **told(ladder, "patio afternoon currency"),
        "asked": _wishes(ladder.wishes),
        "least": _wishes(ladder.least),
        "tried": ladder.tried,
        "broken": dict(ladder.broken),
        "as_stated": _option(ladder.stated),
        "rungs": [_option(option) for option in ladder.rungs],
        "felt_K": _felt(ladder.felt),
        "beside": [_beside(beside) for beside in ladder.beside],
        "steps_K": [
            percentiles(above.cooler_than(below))
            for below, above in zip(ladder.rungs[:-1], ladder.rungs[1:], strict=True)
        ],
    }


def _wishes(wishes: Wishes) -> dict[str, object]:
    return told(wishes, "water_m3_s motor_W floor=floor_share cost")


def _felt(felt: Comfort | None) -> dict[str, object] | None:
    """SET at the seats under the project as it is, each column."""
    if felt is None:
        return None
    bands = {column: felt.band(column) for column in COMFORT_COLUMNS}
    return {column: None if band is None else percentiles(band) for column, band in bands.items()}


def _beside(beside: BesideIt) -> dict[str, object]:
    return {
        "screen_at": beside.run,
        "height_m": beside.height,
        "felt_cooler_K": None if beside.felt is None else percentiles(beside.felt),
        "mist_cooler_K": percentiles(beside.mist),
        "seats_in_sun": None if beside.sunny is None else list(beside.sunny),
    }


def _option(option: BuildOption) -> dict[str, object]:
    year = option.year
    return {
        **told(option, "as_stated pitch_m setback_m second=second_row_m nozzle rated_flow=nozzle_flow_m3_s"),
        **told(option, "rated_at=nozzle_at_gauge_Pa pressure=supply_gauge_Pa marks water_m3_s motor_W"),
        "seats_drop_K": percentiles(option.band()),
        "floor_share": option.landing,
        "cost": None if option.cost is None else float(option.cost.total),
        "parts_without_price": None if option.cost is None else option.cost.unpriced,
        "year_water_m3": None if year is None else percentiles(year.water),
        "year_money": None if year is None or year.money is None else percentiles(year.money),
        "breaks": list(option.breaks),
    }
