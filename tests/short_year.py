"""Less of the same where a test is not about how much: a demo whose mist runs in one month (of the seconds
that its year takes, four in five say nothing more), and one in twelve of the ways to build a line."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import islice

from mistcalc.model.project import Project


def one_month(text: str) -> str:
    """The text of a project with its control set to July alone; one without months as it is."""
    return re.sub(r'(?m)^(months +=) \["\w+", "\w+"\]', r'\1 ["Jul", "Jul"]', text)


def one_way_in_twelve(ways: Callable[..., Iterator[Project]]) -> Callable[..., Iterator[Project]]:
    """In place of `options.ways`."""
    return lambda *what: islice(ways(*what), None, None, 12)
