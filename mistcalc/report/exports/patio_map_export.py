"""The patio in plan and the sun at its seats for other programs: blocks of plan.json, and picture.csv with a
row a cell.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from mistcalc.model.results import Comfort, CoolingMap, Design, PatioSun, Wetness
from mistcalc.report.exports.csv_writer import csv_of
from mistcalc.report.exports.keyed_fields import told

if TYPE_CHECKING:
    import pandas as pd

FLOOR = ("dry", "damp", "wet")
FACE = ("dry", "dewy", "wet")


def pictures_tree(design: Design) -> list[dict[str, object]]:
    """One object a patio and afternoon: means, shares and seats; the cells themselves are in picture.csv."""
    return [_tree(design, *pair) for pair in zip(design.pictures, design.wetness, strict=True)]


def _tree(design: Design, picture: CoolingMap, wet: Wetness) -> dict[str, object]:
    return {
        **told(picture, "patio afternoon wind_m_s toward=wind_toward_rad wind_known baseline=dry_bulb_K"),
        **told(picture, "patio_drop_K heights_m mean_drop_K"),
        "floor": dict(zip(FLOOR, wet.floor_shares, strict=True)),
        "drying_s": wet.longest if math.isfinite(wet.longest) else None,
        "faces": [dict(zip(FACE, shares, strict=True)) for shares in wet.face_shares],
        **told(picture, "landed landed_beyond"),
        "seats": _seats(design, picture, wet),
        **told(picture, "cell_m"),
    }


def _seats(design: Design, picture: CoolingMap, wet: Wetness) -> list[dict[str, object]]:
    names = [seat.name for seat in design.layout_of(picture.patio).lid.seats]
    cooled = design.cooling_of(picture.patio, picture.afternoon)
    seats: list[dict[str, object]] = []
    for index, point in enumerate(picture.seats):
        cell = picture.cell_at(point)
        p10, p50, p90 = cooled.seat_band(index)
        seats.append(
            {
                "name": names[index] if names else None,
                "x_m": point[0],
                "y_m": point[1],
                "range_K": {"p10": p10, "p50": p50, "p90": p90},
                "drop_K": picture.seat_drop[:, index].tolist(),
                "floor": FLOOR[int(wet.floor[cell])],
                "faces": [FACE[int(level[cell])] for level in wet.face],
            }
        )
    return seats


def picture_csv(design: Design) -> str:
    """One row a cell under a lid, patio by patio and afternoon by afternoon; SI, the unit in the heading."""
    import pandas as pd  # here, for only tables need it

    tables = [_cells(*pair) for pair in zip(design.pictures, design.wetness, strict=True)]
    table = pd.concat(tables) if tables else pd.DataFrame(columns=["patio", "afternoon", "x_m", "y_m"])
    return csv_of(table, float_format="%.5g")


def _cells(picture: CoolingMap, wet: Wetness) -> pd.DataFrame:
    import pandas as pd

    rows, columns = np.nonzero(picture.inside)
    here = (rows, columns)
    table: dict[str, object] = {
        "patio": np.full(len(rows), picture.patio),
        "afternoon": picture.afternoon,
        "x_m": picture.x[columns],
        "y_m": picture.y[rows],
    }
    for index, height in enumerate(picture.heights):
        table[f"drop_at_{height:g}_m_K"] = picture.drop[index][here]
        table[f"faces_at_{height:g}_m"] = np.array(FACE)[wet.face[index][here]]
    table["floor"] = np.array(FLOOR)[wet.floor[here]]
    drying = wet.drying[here]
    table["drying_s"] = np.where(np.isfinite(drying), drying, np.nan)  # an empty cell: not within a day
    table["floor_water_kg_m2_s"] = picture.floor_water[here]
    table["scale_water_kg_m2_s"] = picture.scale_water[here]
    return pd.DataFrame(table)


def sun_tree(design: Design) -> list[dict[str, object]]:
    """One object a patio: when the sun is on which seat, what would keep it off, and the maps' moments."""
    return [_patio(design, sun) for sun in design.sun]


def _patio(design: Design, sun: PatioSun) -> dict[str, object]:
    stated = [seat.name for seat in design.layout_of(sun.patio).lid.seats]
    names: list[str | None] = [*stated] or [None] * len(sun.seats)
    return {
        "patio": sun.patio,
        "hidden_below_rad": sun.skyline,
        "seats": [
            {
                "name": name,
                "x_m": point[0],
                "y_m": point[1],
                "in_sun": [
                    {"month": spell.month + 1, "from_h": spell.start, "to_h": spell.end}
                    for spell in sun.spells
                    if spell.seat == n
                ],
            }
            for n, (name, point) in enumerate(zip(names, sun.seats, strict=True))
        ],
        "shades": [
            told(screen, "run where=side start=from_m end=to_m drop_m wider=or_lid_wider_m")
            for screen in sun.screens
        ],
        "maps": [
            {
                "month": sun.month + 1,
                **told(one, "clock_h height=sun_height_rad toward=light_toward_rad"),
                "height_m": sun.lap,
                "lit": float(one.lit[sun.inside].mean()),
            }
            for one in sun.maps
        ],
    }


def felt_sun(felt: Comfort) -> dict[str, object] | None:
    """How far the sun was on each seat in the afternoon's hours; None where nobody knows where it stands."""
    if felt.lit is None:
        return None
    return {"lit": felt.lit.mean(axis=(1, 2)).tolist(), "full_sun_radiant_K": felt.full_sun()}
