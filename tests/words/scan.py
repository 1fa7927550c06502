"""Which codes and label keys the source can ask for, read from its syntax trees.

A code is the first argument of Finding(...) or of an error of mistcalc.errors. Where that argument is a
parameter of the function around it, calls of that function are read in its place, and so on outward.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import mistcalc

PACKAGE = Path(mistcalc.__file__).parent
# name of what is called -> (where a code goes, position of the code)
MAKERS = {
    "Finding": ("finding", 0),
    "InputError": ("error", 0),
    "DataError": ("error", 0),
    "MistcalcError": ("error", 0),
}


@dataclass(frozen=True)
class Maker:
    """A call that makes a code of `section` from argument `name` (or at `position`), put into `pattern`."""

    section: str
    position: int
    name: str = "code"
    pattern: str = "{}"


@dataclass(frozen=True)
class Asked:
    section: str
    code: str  # a regular expression where part of it is only known at run time
    at: str


@cache
def calls() -> tuple[tuple[str, ast.Call, ast.FunctionDef | None], ...]:
    """Every call of the package with its file and the function around it."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        file = path.relative_to(PACKAGE).as_posix()
        if file != "errors.py":
            found += [(file, call, around) for call, around in _calls(ast.parse(path.read_text("utf-8")))]
    return tuple(found)


def _called(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")


def _argument(call: ast.Call, maker: Maker) -> ast.expr | None:
    named = next((k.value for k in call.keywords if k.arg == maker.name), None)
    return named or (call.args[maker.position] if len(call.args) > maker.position else None)


def _texts(node: ast.expr) -> Iterator[str]:
    """Every text an expression can become: constants, either side of a choice, f-strings as patterns."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield re.escape(node.value)
    elif isinstance(node, ast.IfExp):
        yield from _texts(node.body)
        yield from _texts(node.orelse)
    elif isinstance(node, ast.BoolOp):
        for value in node.values:
            yield from _texts(value)
    elif isinstance(node, ast.JoinedStr):
        parts = [re.escape(str(v.value)) if isinstance(v, ast.Constant) else ".+" for v in node.values]
        yield "".join(parts)


def _assigned(node: ast.expr, function: ast.FunctionDef | None) -> Iterator[str]:
    """Texts given to a local name anywhere in the function."""
    if not isinstance(node, ast.Name) or function is None:
        return
    for inner in ast.walk(function):
        if isinstance(inner, ast.Assign) and any(
            isinstance(t, ast.Name) and t.id == node.id for t in inner.targets
        ):
            yield from _texts(inner.value)


def _passed_on(node: ast.expr) -> bool:
    """The code of an error already made, which is read where that one is made."""
    return isinstance(node, ast.Attribute) and node.attr == "code"


def _parameter(node: ast.expr, function: ast.FunctionDef) -> tuple[int, str, str] | None:
    """(position, name, pattern) where `node` is a parameter of `function`, perhaps inside an f-string."""
    pattern = "{}"
    if isinstance(node, ast.JoinedStr):
        inner = [v.value for v in node.values if isinstance(v, ast.FormattedValue)]
        if len(inner) != 1:
            return None
        pattern = "".join(str(v.value) if isinstance(v, ast.Constant) else "{}" for v in node.values)
        node = inner[0]
    names = [a.arg for a in (*function.args.posonlyargs, *function.args.args) if a.arg not in ("self", "cls")]
    only = [a.arg for a in function.args.kwonlyargs]
    if isinstance(node, ast.Name) and node.id in (*names, *only):
        return (names.index(node.id) if node.id in names else 99), node.id, pattern
    return None


def _calls(
    tree: ast.AST, around: ast.FunctionDef | None = None
) -> Iterator[tuple[ast.Call, ast.FunctionDef | None]]:
    for node in ast.iter_child_nodes(tree):
        inside = node if isinstance(node, ast.FunctionDef) else around
        if isinstance(node, ast.Call):
            yield node, inside
        yield from _calls(node, inside)


def codes() -> tuple[set[Asked], set[str]]:
    """(codes asked for, places whose code cannot be read off the source)."""
    makers = {name: Maker(section, position) for name, (section, position) in MAKERS.items()}
    asked: set[Asked] = set()
    unread: set[str] = set()
    done: set[str] = set()
    while todo := {name: maker for name, maker in makers.items() if name not in done}:
        done |= set(todo)
        for file, call, function in calls():
            maker = todo.get(_called(call))
            node = _argument(call, maker) if maker else None
            if maker is None or node is None:
                continue
            at = f"{file}:{call.lineno}"
            found = _parameter(node, function) if function else None
            if found and function:
                position, name, pattern = found
                pattern = maker.pattern.format(pattern)
                makers.setdefault(function.name, Maker(maker.section, position, name, pattern))
                continue
            texts = [*_texts(node), *_assigned(node, function)]
            if not texts and not _passed_on(node):
                unread.add(at)
            asked |= {Asked(maker.section, maker.pattern.format(text), at) for text in texts}
    return asked, unread


def label_keys() -> set[Asked]:
    """Keys given to label(...), of `words` or of a helper of that name."""
    maker = Maker("label", 0, "key")
    asked = set()
    for file, call, _ in calls():
        node = _argument(call, maker) if _called(call) == "label" else None
        if node is not None:
            asked |= {Asked("label", text, f"{file}:{call.lineno}") for text in _texts(node)}
    return asked
