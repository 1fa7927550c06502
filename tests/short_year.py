"""A demo whose mist runs in one month: of the seconds that its year takes, four in five say nothing more."""

from __future__ import annotations

import re


def one_month(text: str) -> str:
    """The text of a project with its control set to July alone; one without months as it is."""
    return re.sub(r'(?m)^(months +=) \["\w+", "\w+"\]', r'\1 ["Jul", "Jul"]', text)
