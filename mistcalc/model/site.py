"""What happened on site: one line of the append-only site log."""

from __future__ import annotations

import datetime
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SiteEntry:
    """One thing somebody wrote down. `value` is as written; `amount` the same in SI, where the field is a
    quantity. `mark` is what it is about: a mark's name, a zone, or "" for the whole line."""

    when: datetime.datetime
    field: str
    value: str | float | bool
    mark: str = ""
    who: str = ""
    revision: str = ""
    photo: str = ""
    amount: float | None = None
