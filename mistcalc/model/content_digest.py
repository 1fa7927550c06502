"""One digest of what a value holds: its numbers and words, whatever the class is called or how it prints."""

from __future__ import annotations

import hashlib
from dataclasses import MISSING, Field, fields, is_dataclass
from typing import Any

import numpy as np

# metadata of a field that older files do not know: at its default it is no part of the digest, so that what
# they say keeps its code. `days: int = field(default=0, metadata=ADDED)`
ADDED = {"added": True}


def fingerprint(*values: object) -> str:
    """32 hexadecimal digits that change with any number, word or field name inside `values`.

    Values may be frozen records, tuples, dictionaries, arrays, numbers, text and None, nested. A record
    with a `key` of its own (it holds large arrays) is known by that key. Of the numbers in arrays the first
    eight figures count: the last two of a computed one differ between processors.
    """
    digest = hashlib.sha256()
    _feed(digest, values)
    return digest.hexdigest()[:32]


def _feed(digest: Any, value: object) -> None:
    if isinstance(value, np.ndarray):
        digest.update(f"{value.dtype.str}{value.shape}".encode())
        if value.dtype.kind == "f":
            share, power = np.frexp(value)
            rounded = np.ldexp(np.round(np.ldexp(share, 26)), power - 26) + 0.0  # no negative zero
            value = np.where(np.isnan(value), np.nan, rounded)
        digest.update(np.ascontiguousarray(value).tobytes())
    elif isinstance(getattr(value, "key", None), str):
        digest.update(value.key.encode())  # type: ignore[attr-defined]
    elif is_dataclass(value) and not isinstance(value, type):
        held = {field.name: getattr(value, field.name) for field in fields(value)}
        _feed(digest, {field.name: held[field.name] for field in fields(value) if not _unsaid(field, held)})
    elif isinstance(value, dict):
        _feed(digest, tuple(value.items()))
    elif isinstance(value, (tuple, list)):
        digest.update(b"(")
        for item in value:
            _feed(digest, item)
            digest.update(b",")
        digest.update(b")")
    else:
        digest.update(repr(value).encode())


def _unsaid(field: Field[Any], held: dict[str, object]) -> bool:
    """Whether a field was added later and holds its default."""
    if not field.metadata.get("added"):
        return False
    made = field.default if field.default_factory is MISSING else field.default_factory()
    return bool(held[field.name] == made)
