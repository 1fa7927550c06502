"""What people write who mean a word of ours: for the hint beside a word or a key we do not know.

Only what spelling cannot find (`difflib` finds "lenght") and what cannot mean two things.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection

WORDS = {
    "column": ("post", "pillar", "pier", "pilaster"),
    "door glass": ("door", "pocket door", "sliding door", "slider", "patio door", "window", "glass"),
    "light": ("lamp", "downlight", "can light", "can", "recessed light", "sconce", "lantern", "fixture"),
    "fan": ("ceiling fan", "paddle fan"),
    "screen": ("tv", "television", "projector"),
    "grill": ("bbq", "barbecue", "smoker", "stove", "range", "fire pit"),
    "outlet": ("receptacle", "socket", "gfci"),
    "beam": ("girder", "header", "joist", "rafter", "truss"),
    "outlooker": ("lookout", "rafter tail"),
    "pocket": ("cavity", "door pocket", "screen pocket", "screen cavity"),
    "vent": ("exhaust", "register", "soffit vent", "dryer vent", "flue", "chimney"),
    "heater": ("fireplace", "radiant heater"),
    "other": ("table", "sofa", "planter", "sign", "camera"),
    "three-coat": ("3-coat", "stucco", "plaster"),
    "inside corner": ("inside", "inner corner", "concave"),
    "outside corner": ("outside", "outer corner", "convex"),
    "softener": ("softened",),
    "reverse osmosis": ("ro", "r.o."),
    "stainless 304": ("304", "stainless", "steel", "ss304"),
    "stainless 316": ("316", "ss316"),
}  # fmt: skip
KEYS = {
    "elevation": ("altitude",),
    "bearing": ("azimuth", "heading", "orientation"),
    "relative_humidity": ("rh", "humidity"),
    "dry_bulb": ("temperature", "temp"),
    "height": ("ceiling", "ceiling_height", "clearance_height"),
    "depth": ("width",),
    "pitch": ("spacing", "distance"),
    "spacing": ("pitch", "on_center", "oc"),
    "centres": ("joists", "members"),
    "outside": ("od", "diameter", "size"),
    "sheet": ("size", "paper", "paper_size", "format"),
    "outlet": ("receptacle",),
    "set_pressure": ("psi",),
    "at": ("psi",),
    "flow": ("gpm", "gph"),
    "static": ("pressure",),
    "fixed": ("marks", "mark", "nozzles"),
    "obstacle": ("light", "fan", "post", "column", "things"),
    "piece": ("pipe", "feed", "tubes"),
    "length": ("long",),
}
SLOPING = ("slope", "rise", "fall", "angle", "roof_pitch", "incline")  # of a lid: along a run it is `rise`


def closest_known_word(written: str, known: Collection[str], table: dict[str, tuple[str, ...]]) -> str:
    """The known word that was meant, "" where nobody can tell. table: WORDS or KEYS."""
    plain = written.casefold().replace("_", " ") if table is WORDS else written.casefold().replace("-", "_")
    for word, others in table.items():
        if word in known and plain in others:
            return word
    return "".join(difflib.get_close_matches(written.casefold(), known, 1))
