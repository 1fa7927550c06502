"""Values of a project file drawn from the schema, and the tree they make written as TOML.

A key with choices or a range needs nothing here. Where it has no default and its range is far wider than its
use, put what people would write into USUAL, by the end of its path.
"""

from __future__ import annotations

import datetime
import random
from collections.abc import Iterable
from typing import Any

from mistcalc import units, words
from mistcalc.files.project.key_specs import ONE_FOR_ALL, TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.schema import ROOT
from mistcalc.files.project.value_writer import key as written_key
from mistcalc.files.project.value_writer import quoted
from mistcalc.units.table import KINDS

Tree = dict[str, Any]
USUAL: dict[str, tuple[str, str]] = {
    "place.elevation": ("-50 m", "2500 m"), "dry_bulb": ("27 degC", "46 degC"), "wind": ("0 m/s", "6 m/s"),
    "patio.depth": ("5 ft", "18 ft"), "thickness": ("0 in", "1-1/2 in"), "sheathing": ("0 in", "2 in"),
    "spacing": ("12 in", "24 in"), "first": ("2 in", "24 in"), "nozzle.flow": ("1.5 L/h", "12 L/h"),
    "nozzle.at": ("3 bar", "80 bar"), "drop_median": ("12 um", "200 um"), "drop_sauter": ("10 um", "150 um"),
    "drop_spread": ("1.8", "4"), "opens_at": ("0.3 bar", "5 bar"), "rated": ("20 bar", "300 bar"),
    "tube.outside": ("6 mm", "16 mm"), "stick": ("2 m", "30 m"), "size": ("3 in", "4 ft"),
    "clearance": ("0 in", "4 ft"), "air_speed": ("0.2 m/s", "2 m/s"), "piece.length": ("0 ft", "40 ft"),
    "check_opens_at": ("0 psi", "5 psi"), "temperature": ("10 degC", "40 degC"),
    "nameplate.flow": ("0.3 gpm", "3 gpm"), "nameplate.pressure": ("30 bar", "120 bar"),
    "motor": ("0.25 hp", "3 hp"), "volts": ("115 V", "400 V"), "relief": ("40 bar", "150 bar"),
    "hardness": ("20 mg/L", "500 mg/L"), "calcium": ("10 mg/L", "400 mg/L"), "ph": ("6.5", "8.5"),
    "alkalinity": ("20 mg/L", "400 mg/L"), "solids": ("50 mg/L", "1500 mg/L"), "filter": ("5 um", "150 um"),
    "above_lid": ("0 ft", "12 ft"), "screen.height": ("3 ft", "9 ft"), "screen.out": ("0 ft", "8 ft"),
    "up_to": ("0.1 m3", "60 m3"), "power.tier.up_to": ("50 kWh", "2000 kWh"), "includes": ("0 m3", "20 m3"),
    "power.includes": ("0 kWh", "500 kWh"), "household_water": ("2 m3", "60 m3"), "tax": ("0 %", "12 %"),
    "household_power": ("100 kWh", "2500 kWh"), "screen.open": ("0 %", "70 %"),
    "line_scale": ("6 bar", "200 bar"), "inlet_scale": ("4 bar", "16 bar"),
    "bearing": ("-180 deg", "360 deg"), "turned": ("-180 deg", "180 deg"),
}  # fmt: skip
NAMES = (
    "A", "B", "C", "A1", "B2", "Ost-Seite", "North 1", "Patio Ñandú", "So 4", "kitchen side", "= 1+1",
    "<b>west</b>", "![x](http://host/p.png)", "long " * 11 + "name", "1", "A at 3", "A start", "pump",
    'the "L"', "soldered", "brazed", "0.2 mm orifice",
)  # fmt: skip
PRICES = {
    "price_volume": "per m3",
    "price_energy": "per kWh",
    "price_length": "per ft",
    "price_each": "each",
    "price_month": "a month",
}


def si(text: str, kind: str = "length") -> float:
    return float(text) if kind in ("number", "whole") else float(units.parse(text, kind))


def entry_at(path: str) -> ValueSpec | TableSpec:
    """What the schema holds at a dotted path, list places left out."""
    found: ValueSpec | TableSpec | TableListSpec = ROOT
    for name in path.split(".") if path else ():
        table = found.table if isinstance(found, TableListSpec) else found
        assert isinstance(table, TableSpec)
        found = table.keys[name]
    return found.table if isinstance(found, TableListSpec) else found


class Draw:
    """Values by the schema. `at` is a dotted path of it ("patio.run.length")."""

    def __init__(self, seed: int) -> None:
        self.pick = random.Random(seed)
        self.system: units.System = "metric" if self.often(0.35) else "us"
        self.wild = self.pick.choice((0.0, 0.0, 0.0, 0.03, 0.03, 0.03, 0.03, 0.1, 0.1, 0.4))
        self.stated = self.pick.choice((0.1, 0.3, 0.6, 1.0))  # of the keys that may be left out
        self.used: set[str] = set()  # names of runs and fixed marks: each once in a house

    def often(self, share: float) -> bool:
        return self.pick.random() < share

    def table(self, at: str, /, **given: Any) -> Tree:
        """`given`: values that hang on other keys; None leaves the key out."""
        table, tree = entry_at(at), {}
        assert isinstance(table, TableSpec)
        for name, entry in table.keys.items():
            here, value = f"{at}.{name}".lstrip("."), None
            if name in given:
                value = given[name]
            elif isinstance(entry, TableListSpec):
                raise NotImplementedError(f"say in tests/random_projects.py how [[{here}]] is made")
            elif getattr(entry, "required", False) or self.often(self.stated):
                value = self.key(here) if isinstance(entry, ValueSpec) else self.table(here)
            if value is not None and value != [] and (value != {} or name == "fittings"):
                tree[name] = value
        return tree

    def key(self, at: str) -> Any:
        leaf = entry_at(at)
        assert isinstance(leaf, ValueSpec)
        if leaf.many == "pair" or (leaf.many in ONE_FOR_ALL and self.often(0.5)):
            return [self._one(leaf, at) for _ in range(ONE_FOR_ALL.get(leaf.many, 2))]
        return [self._one(leaf, at)] if leaf.many == "list" else self._one(leaf, at)

    def name(self, *likely: str) -> str:
        """A name not used before: one of the likely ones, mostly."""
        free = [name for name in likely if name not in self.used and len(name) <= 60]
        name = free[0] if free and self.often(0.8) else self.pick.choice(NAMES)
        while name in self.used:
            name = f"{name}{self.pick.randint(1, 9)}"[-60:].strip()
        self.used.add(name)
        return name

    def _one(self, leaf: ValueSpec, at: str) -> Any:
        pick, kind = self.pick, leaf.kind
        if kind == "choice":
            return pick.choice(leaf.choices or words.languages())
        if kind in ("text", "name"):
            return pick.choice(NAMES)
        if kind == "flag":
            return self.often(0.5)
        if kind == "date":
            year = pick.choice((2000, 2100)) if self.often(self.wild) else 2027
            return datetime.date(year, pick.randint(1, 12), pick.randint(1, 28))
        if kind == "month":
            return pick.choice(("jan", "Feb", "March", "Apr.", "May", "JUNE", "sep", "October", "Dec"))
        if kind == "clock":
            return f"{pick.randint(0, 23)}:{pick.choice((0, 30, 59)):02d}"
        if kind == "changes":  # such as no other key hangs on
            return {"about": "another", "paper.sheet": pick.choice(("A4", "letter"))}
        if kind == "counts":
            return {pick.choice(leaf.choices): pick.randint(0, 4) for _ in range(pick.randint(0, 3))}
        if kind in PRICES:
            return f"{pick.uniform(0, 20):.2f} {PRICES[kind]}"
        return self._value(leaf, at)

    def _value(self, leaf: ValueSpec, at: str) -> Any:
        """By its use, else near its default; a wild one from all of its range, ends and decades alike."""
        kind = leaf.kind
        low, high = si(leaf.low or "", kind), si(leaf.high or "", kind)
        low = max(low, 1e-6 * high) if leaf.positive else low
        usual = next((USUAL[end] for end in _ends(at) if end in USUAL), None)
        if self.often(self.wild):
            return self._wild(leaf, low, high)
        if usual:
            least, most = si(usual[0], kind), si(usual[1], kind)
        elif leaf.default:
            middle = si(leaf.default[self.system == "metric"], kind)
            span = 15.0 if kind == "temperature" else 0.3 * middle
            least, most = middle - span, middle + span
        else:
            least, most = low, high
        return self.within(max(least, low), min(most, high), kind)

    def _wild(self, leaf: ValueSpec, low: float, high: float) -> Any:
        how = self.pick.choice(("end", "even", "decades", "decades"))
        if how == "end" and not leaf.positive:
            low = high = self.pick.choice((low, high))
        least = max(low, 1e-6 * high)
        if how != "decades" or low < 0.0 or high < 100.0 * least:
            return self.within(low, high, leaf.kind)
        return self.written(least * (high / least) ** self.pick.random(), low, high, leaf.kind)

    def within(self, low: float, high: float, kind: str = "length") -> Any:
        """A value from low to high, SI, as written; a plain number for kind "number"."""
        return self.written(self.pick.uniform(low, high), low, high, kind)

    def written(self, value: float, low: float, high: float, kind: str = "length") -> Any:
        """A value in one of the ways people write it, rounded where that keeps it in its range."""
        if kind == "whole":
            return round(value)
        if kind == "number":
            return float(f"{value:.3g}") if low <= float(f"{value:.3g}") <= high else value
        if kind == "slope":
            rounded = f"{value * 100:.3g} %"
        elif kind == "length" and self.often(0.7):
            step = 0.005 if self.system == "metric" else 0.0254 / 8
            rounded = units.spell(units.on_grid(value, self.system, step), kind, self.system)
        else:
            row = KINDS[kind]
            usual = row.metric if self.system == "metric" else row.us
            like = usual if self.often(0.7) else self.pick.choice(list(row.units))
            number, unit = units.spell(value, kind, self.system, f"1 {like}").split(" ", 1)
            rounded = f"{number[:6].rstrip('.')} {unit}" if "." in number[:6] else f"{number} {unit}"
        return rounded if low <= si(rounded, kind) <= high else units.spell(value, kind, self.system)


def _ends(path: str) -> Iterable[str]:
    """ "a.b.c", "b.c", "c"."""
    pieces = path.split(".")
    return (".".join(pieces[n:]) for n in range(len(pieces)))


def lines_of(tree: Tree, path: tuple[str, ...], pick: random.Random) -> Iterable[str]:
    """TOML: tables as blocks or inline, as the dice fall."""
    later = []
    for name, value in tree.items():
        tables = isinstance(value, dict) or (isinstance(value, list) and isinstance(value[0], dict))
        if tables and pick.random() < (0.95 if not path else 0.6):
            later.append((name, value))
        else:
            note = "   # so the plan says" if pick.random() < 0.05 else ""
            yield f"{written_key(name)} = {_inline(value)}{note}"
    for name, value in later:
        header = ".".join((*path, name))
        for one in value if isinstance(value, list) else [value]:
            yield from ("", f"[[{header}]]" if isinstance(value, list) else f"[{header}]")
            yield from lines_of(one, (*path, name), pick)


def _inline(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{written_key(name)} = {_inline(one)}" for name, one in value.items()) + " }"
    if isinstance(value, list):
        return f"[{', '.join(_inline(one) for one in value)}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return quoted(value) if isinstance(value, str) else str(value)
