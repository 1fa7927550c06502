"""An amount of money as every sheet and screen writes it."""

from __future__ import annotations

from mistcalc import words
from mistcalc.report.common.locale_text import Locale


def money(value: float, currency: str, locale: Locale, kind: str = "whole") -> str:
    """An amount with its currency: $1,234; with its cents by kind "money"."""
    key = f"season_money.amount_{currency}"
    key = key if words.is_label(key, locale.language) else "season_money.amount"
    return locale.label(key, amount=locale.number(value, kind), currency=currency)
