"""An answer as the text a file keeps, and back, equal to the digit. Only plain JSON: a folder may come from
anyone, and reading it runs nothing."""

from __future__ import annotations

import json
from dataclasses import asdict
from decimal import Decimal
from typing import Any

from mistcalc.model.results import Finding, LotAfternoon, LotAnswer, Part, PricedPart

SCHEMA = 1  # of the text, and of a fleet's folder


def answer_text(key: str, answer: LotAnswer) -> str:
    """Ends in a newline, so that a file broken off shows."""
    told = {"schema": SCHEMA, "key": key, "answer": asdict(answer)}
    return json.dumps(told, ensure_ascii=False, separators=(",", ":"), default=_plain) + "\n"


def answer_from_text(key: str, text: str) -> LotAnswer:
    """Raises ValueError where the text is not of this key, or is damaged."""
    told = json.loads(text)
    if not isinstance(told, dict) or (told.get("schema"), told.get("key")) != (SCHEMA, key):
        raise ValueError(key)
    try:
        return _answer(_tuples(told["answer"]))
    except (KeyError, TypeError, AttributeError, ArithmeticError) as damaged:
        raise ValueError(key) from damaged


def _plain(value: Any) -> Any:
    """Numbers of numpy as Python's; money, which only `_priced` reads, as text."""
    return str(value) if isinstance(value, Decimal) else value.item()


def _tuples(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(map(_tuples, value))
    return {name: _tuples(one) for name, one in value.items()} if isinstance(value, dict) else value


def _answer(told: dict[str, Any]) -> LotAnswer:
    read = {
        "afternoons": tuple(LotAfternoon(**one) for one in told["afternoons"]),
        "parts": tuple(map(_priced, told["parts"])),
        "findings": tuple(Finding(**one) for one in told["findings"]),
    }
    return LotAnswer(**{**told, **read})


def _priced(told: dict[str, Any]) -> PricedPart:
    money = {name: None if told[name] is None else Decimal(told[name]) for name in ("price", "total")}
    return PricedPart(**{**told, **money, "part": Part(**told["part"])})
