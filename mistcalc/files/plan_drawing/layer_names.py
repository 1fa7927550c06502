"""What a layer or a block of a drawing holds, by its name: English and Spanish words, and the usual names of
an office's layers (discipline, then A-CLNG, E-LITE, S-JOIS; from memory). A map says it for any other.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field

from mistcalc.errors import InputError

OURS = "MIST-"  # layers of a drawing that mistcalc wrote: then nothing else in it is read
THINGS = ("light", "fan", "heater", "speaker", "screen", "door glass", "column", "beam", "outlooker",
          "pocket", "vent", "outlet", "grill", "other")  # fmt: skip
PARTS = ("edge", "outline", "wall", "joist", "run", "seat", "mark", "joint name", "nothing")
ROLES = (*PARTS, *THINGS)
SPOKEN = {"post": "column", "door": "door glass"}  # what people write in a map for a kind of the file

# The first line with a word of the name in it says what it is.
_WORDS: tuple[tuple[str, str], ...] = (
    ("light", "light lights lite lites lighting downlight luz luces luminaria luminarias lampara lamparas"),
    ("fan", "fan fans ventilador ventiladores abanico abanicos"),
    ("heater", "heater heaters calefactor calefactores"),
    ("speaker", "speaker speakers bocina bocinas altavoz altavoces"),
    ("vent", "vent vents diffuser rejilla"),
    ("grill", "grill bbq asador parrilla"),
    ("outlet", "outlet outlets receptacle contacto contactos enchufe"),
    ("door glass", "door doors glaz glazing slider puerta puertas ventanal"),
    ("column", "post posts column columns cols colm poste postes columna columnas pilar"),
    ("joist", "joist joists jois rafter rafters fram framing vigueta viguetas estructura"),
    ("beam", "beam beams viga vigas"),
    ("edge", "edge soffit soff lid clng ceiling patio porch borde orilla alero plafon techo pergola"),
    ("wall", "wall walls muro muros pared paredes"),
)  # fmt: skip
_BY_WORD = {word: role for role, words in reversed(_WORDS) for word in words.split()}
_RANK = {role: n for n, (role, _) in enumerate(_WORDS)}
_PLAIN = str.maketrans("áéíóúüñ", "aeiouun")


@dataclass(frozen=True)
class LayerMap:
    """What a person says of a drawing: layers and blocks by name, and its unit."""

    layers: Mapping[str, str] = field(default_factory=dict)  # name in small letters -> role
    blocks: Mapping[str, str] = field(default_factory=dict)
    unit: str | None = None

    def role(self, layer: str, block: str = "") -> str | None:
        """What is on a layer, or is a block of that name; None: nothing says it."""
        said = self.blocks.get(block.lower()) or self.layers.get(layer.lower())
        return said or (by_words(block) if block else None) or by_words(layer)


def is_ours(layer: str) -> bool:
    return layer.upper().startswith(OURS)


def by_words(name: str) -> str | None:
    if is_ours(name):
        said = name[len(OURS) :].lower().replace("_", " ").replace("-", " ")
        return said if said in ROLES else "nothing"
    words = re.findall(r"[a-z]+", name.lower().translate(_PLAIN))
    roles = [_BY_WORD[word] for word in words if word in _BY_WORD]
    return min(roles, key=_RANK.__getitem__) if roles else None


def read_map(text: str, source: str) -> LayerMap:
    """`unit = "in"`, and under [layers] and [blocks] a role for each name. Raises InputError."""
    try:
        said = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise InputError("drawing-map", source, reason=str(fault)) from None
    unknown = set(said) - {"unit", "layers", "blocks"}
    if unknown:
        raise InputError("drawing-map", source, reason=min(unknown))
    unit = said.get("unit")
    if unit is not None and unit not in UNITS_BY_NAME:
        raise InputError("drawing-map-unit", source, text=str(unit), known=tuple(UNITS_BY_NAME))
    return LayerMap(_roles(said, "layers", source), _roles(said, "blocks", source), unit)


UNITS_BY_NAME = {"in": 0.0254, "ft": 0.3048, "mm": 0.001, "cm": 0.01, "m": 1.0}


def _roles(said: Mapping[str, object], table: str, source: str) -> dict[str, str]:
    entries, out = said.get(table, {}), {}
    if not isinstance(entries, dict):
        raise InputError("drawing-map", source, reason=table)
    for name, role in entries.items():
        known = SPOKEN.get(str(role), str(role))
        if known not in ROLES:
            raise InputError("drawing-map-role", f"{source}, {table}.{name}", text=str(role), known=ROLES)
        out[name.lower()] = known
    return out
