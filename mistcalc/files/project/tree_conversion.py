"""The tree of values of a project file as nouns, and back. Nothing is judged or looked up here.

A field of a noun goes by its key in the file, nouns in nouns too; where the two differ it is said here.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, get_args, get_type_hints

from mistcalc.files.project.patio_keys import CORNERS, THEN
from mistcalc.model.fault_priors import CAUSES, DiagnosisAssumptions, FaultPriors, ReadingErrors
from mistcalc.model.project import (
    Dates,
    Patio,
    Piece,
    Place,
    Plumbing,
    Prices,
    Project,
    Run,
    Screen,
    Tap,
    Tariff,
)

Tree = dict[str, Any]

ENDS = {"start": "from", "end": "to"}
KEYS: dict[type, dict[str, str]] = {  # of a noun: field -> key
    Project: {"patios": "patio", "plumbing": "line", "alternates": "alternate"},
    Place: {"afternoons": "afternoon"},
    Patio: {"runs": "run", "obstacles": "obstacle", "seats": "seat", "screens": "screen"},
    Plumbing: {"pieces": "piece", "runs": "run", "marks": "mark", "zones": "zone", "drains": "drain"},
    Screen: ENDS,
    Piece: ENDS,
    Tariff: {"tiers": "tier", "adders": "adder"},
    Prices: {"parts": "part"},
    Dates: {"steps": "step"},
}
_ERRORS = {"gauge_error": "gauge", "meter_error": "meter", "cup_error": "cup"}  # key: field
_NOTHING = ("fixed", "minimum", "includes", "tax")  # of a tariff: zero is as good as left out


def project_from_tree(tree: Tree, assumed: tuple[str, ...]) -> Project:
    """Nouns from a tree in which every mistake has been ruled out."""
    together = tuple(entry["zones"] for entry in tree["line"]["together"])
    line = {**tree["line"], "together": together, "pump": tree["pump"], "water": tree["water"]}
    call_back = _assumptions(tree["call_back"])
    return _noun(Project, {**tree, "line": line, "call_back": call_back, "assumed": assumed})


def project_to_tree(project: Project) -> Tree:
    """The tree a file of this project holds. `starts_at` and `ends_at` are None at corners: a file says
    neither there."""
    tree = _tree(project)
    line = tree["line"]
    line["together"] = [{"zones": zones} for zones in project.plumbing.together]
    return {
        **tree,
        "pump": line.pop("pump"),
        "water": line.pop("water"),
        "call_back": _assumptions_tree(project.call_back),
    }


def _noun(kind: Any, tree: Tree) -> Any:
    if kind is Tariff:
        tree = {key: value for key, value in tree.items() if value is not None}
    elif kind is Run:
        tree = {**tree, "corner": CORNERS.get(tree["then"]), "bend": tree["bend"] or 0.0}
    inside, keys, values = _nouns_inside(kind), KEYS.get(kind, {}), {}
    for field in fields(kind):
        key = keys.get(field.name, field.name)
        if key in tree:
            value = tree[key]
            if isinstance(value, list):
                value = tuple(_noun(inside[field.name], one) for one in value)
            elif isinstance(value, dict):
                value = _noun(inside[field.name], value)
            elif value is None and field.default == ():
                value = ()
            values[field.name] = value
    return kind(**values)


@cache
def _nouns_inside(kind: Any) -> dict[str, type]:
    """Of fields that hold nouns, one or many: their kind."""

    def of(hint: Any) -> type | None:
        return hint if is_dataclass(hint) else next(filter(None, map(of, get_args(hint))), None)  # type: ignore[return-value]

    found = {name: of(hint) for name, hint in get_type_hints(kind).items()}
    return {name: noun for name, noun in found.items() if noun is not None}


def _tree(noun: Any) -> Tree:
    kind: Any = type(noun)
    inside, keys, tree = _nouns_inside(kind), KEYS.get(kind, {}), {}
    for field in fields(kind):
        value = getattr(noun, field.name)
        if isinstance(value, Tap):
            value = value.said
        elif is_dataclass(value):
            value = _tree(value)
        elif isinstance(value, tuple) and field.name in inside:
            value = [_tree(one) for one in value]
        elif value == ():
            value = None
        tree[keys.get(field.name, field.name)] = value
    if kind is Run:
        tree |= {"then": THEN[tree.pop("corner")], "bend": tree["bend"] or None}
        tree |= {key: None for key in ("starts_at", "ends_at") if tree[key] == "corner"}
    elif kind is Tariff:
        tree |= {key: tree[key] or None for key in _NOTHING}
        tree["winter"] = noun.winter if noun.by == "winter average" else None  # else nothing reads it
    return tree


def _assumptions(tree: Tree) -> DiagnosisAssumptions:
    scales = {key: tree[key] for key in ("line_scale", "inlet_scale")}
    errors = ReadingErrors(**scales, **{field: tree[key] for key, field in _ERRORS.items()})
    return DiagnosisAssumptions(errors, FaultPriors(odds=tuple(tree["likely"].values())))


def _assumptions_tree(basis: DiagnosisAssumptions) -> Tree:
    errors = basis.errors
    return {
        "line_scale": errors.line_scale,
        "inlet_scale": errors.inlet_scale,
        **{key: getattr(errors, field) for key, field in _ERRORS.items()},
        "likely": dict(zip((c.replace("-", "_") for c in CAUSES), basis.judgement.odds, strict=True)),
    }
