"""The sun at the seats for other programs: a block of plan.json."""

from __future__ import annotations

from mistcalc.model.results import Comfort, Design, PatioSun
from mistcalc.report.exports.keyed_fields import told


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
