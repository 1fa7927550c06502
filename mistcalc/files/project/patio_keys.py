"""The keys of [[patio]]: house, plaster, marks, runs, and what is on the lid or beside it."""

from __future__ import annotations

from typing import get_args

from mistcalc.files.project.key_specs import (
    NAME,
    Keys,
    TableListSpec,
    TableSpec,
    ValueSpec,
    choice,
    length,
    quantity,
    text,
)
from mistcalc.model.project import Corner, ObstacleKind

CORNERS: dict[str, Corner] = {
    "inside corner": "inside",
    "outside corner": "outside",
    "inside bend": "inside bend",
    "outside bend": "outside bend",
    "straight on": "straight",
}
THEN: dict[Corner | None, str] = {corner: then for then, corner in CORNERS.items()} | {None: "end"}

PLACE: Keys = {  # where something is on the lid
    "run": NAME,
    "along": length(required=True, low="-300 m"),
    "back": length(required=True, low="-1 m"),
}
OBSTACLES: tuple[str, ...] = get_args(ObstacleKind)
SIDES = ("edge", "back", "start", "end")  # of the lid, where a screen may stand

FIXED = TableListSpec(
    TableSpec(
        {
            "name": NAME,
            "along": length(required=True, low="-300 m"),
            "drilled": ValueSpec("flag", ("false", "false"), listed=False),
        }
    ),
    by="name",
)

PATIO: Keys = {
    "name": NAME,
    "height": length("10 ft", "3 m", low="1.5 m", high="30 m"),
    "depth": length(required=True, low="300 mm", high="100 m", like=("10 ft", "3 m")),
    "line_behind_edge": length("6 in", "150 mm", high="3 m"),
    "back": choice("wall", "open", default="wall"),
    "turned": quantity("angle", "0 deg", low="-360 deg", high="360 deg", listed=False),
    "house": TableSpec(
        {
            "above_lid": length("0 ft", "0 m", high="30 m"),
            "past_start": length("10 ft", "3 m", high="100 m"),
            "past_end": length("10 ft", "3 m", high="100 m"),
            "depth": length("30 ft", "9 m", positive=True, high="100 m"),
        }
    ),
    "edge_beam": TableSpec(
        {"width": length("3-1/2 in", "90 mm", high="2 m"), "drop": length("0 in", "0 mm", high="3 m")}
    ),
    "plaster": TableSpec(
        {
            "system": choice("three-coat", "one-coat", "direct", "wood", "none", default="three-coat"),
            "thickness": length(high="150 mm", like=("7/8 in", "22 mm")),
            "sheathing": length(high="300 mm", like=("1 in", "25 mm")),
            "trim": length("1/2 in", "13 mm", high="150 mm"),
            "tolerance": length("1/4 in", "6 mm", high="50 mm"),
            "joints": choice("stated", "propose", default="stated", listed=False),
        }
    ),
    "marks": TableSpec(
        {
            "pitch": length("24 in", "600 mm", low="25 mm", high="6 m"),
            "closest": length("18 in", "450 mm", low="25 mm", high="6 m"),
            "widest": length("36 in", "900 mm", low="25 mm", high="12 m"),
            "from_wall": length("24 in", "600 mm", high="6 m"),
            "hole": length("1 in", "25 mm", positive=True, high="300 mm"),
            "clear_of_members": length("3/4 in", "20 mm", high="300 mm"),
            "clear_of_joints": length("3 in", "75 mm", high="1 m"),
            "grid": length("1/8 in", "5 mm", low="0.5 mm", high="100 mm"),
        }
    ),
    "run": TableListSpec(
        TableSpec(
            {
                "name": NAME,
                "length": length(required=True, positive=True, like=("20 ft", "6 m")),
                "depth": length(low="300 mm", high="100 m", like=("10 ft", "3 m")),
                "depth_at_end": length(low="300 mm", high="100 m", like=("9 ft", "2.7 m"), listed=False),
                "rise": length("0 in", "0 mm", low="-30 m", high="30 m", listed=False),
                "starts_at": choice("wall", "open"),
                "then": choice(*THEN.values()),
                "bend": quantity(
                    "angle", low="1 deg", high="45 deg", like=("11.25 deg", "11.25 deg"), listed=False
                ),
                "ends_at": choice("wall", "open"),
                "datum": TableSpec(
                    {"end": choice("start", "end"), "surface": ValueSpec("text"), "second": text("")}
                ),
                "framing": TableSpec(
                    {
                        "lies": choice("across", "along", default="across"),
                        "spacing": length(positive=True, high="10 m", like=("16 in", "400 mm")),
                        "first": length(high="10 m", like=("15-1/4 in", "380 mm")),
                        "centres": length(low="-300 m", many="list", most=2000),
                        "width": length("1-1/2 in", "45 mm", positive=True, high="1 m"),
                        "depth": length("9-1/4 in", "235 mm", positive=True, high="2 m"),
                        "covers_corner": ValueSpec("flag", ("false", "false"), listed=False),
                    }
                ),
                "joints": TableListSpec(
                    TableSpec(
                        {
                            "name": NAME,
                            "along": length(required=True, low="-300 m"),
                            "on": choice("member", "blocking", default="member", listed=False),
                        }
                    ),
                    by="name",
                ),
                "fixed": FIXED,
                "second_row": TableSpec(
                    {
                        "back": length(required=True, positive=True, high="100 m", like=("6 ft", "1.8 m")),
                        "name": ValueSpec("name", listed=False),
                        "fixed": FIXED,
                    },
                    optional=True,
                ),
            }
        ),
        by="name",
        most=40,
        required=True,
    ),
    "obstacle": TableListSpec(
        TableSpec(
            {
                "name": NAME,
                "kind": choice(*OBSTACLES, required=True),
                **PLACE,
                "size": length(many="size", high="100 m", like=("24 in", "600 mm")),
                "clearance": length(high="30 m", like=("3 ft", "900 mm")),
                "air_speed": quantity("speed", low="0 m/s", high="10 m/s"),
            }
        ),
        by="name",
    ),
    "seat": TableListSpec(TableSpec({"name": NAME, **PLACE}), by="name", most=100),
    "screen": TableListSpec(
        TableSpec(
            {
                "name": NAME,
                "run": NAME,
                "side": choice(*SIDES, default="edge", listed=False),
                "from": length(low="-300 m", like=("0 ft", "0 m")),
                "to": length(low="-300 m", like=("6 ft", "2 m")),
                "out": length("0 ft", "0 m", high="30 m"),
                "height": length(required=True, positive=True, high="30 m", like=("6 ft", "1.8 m")),
                "open": quantity("share", "0 %", low="0 %", high="95 %"),
            },
            together=("from", "to"),
        ),
        by="name",
        most=100,
    ),
}
