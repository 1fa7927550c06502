"""Text as lines of a terminal."""

from __future__ import annotations

import textwrap

from mistcalc.units import with_no_break_spaces

WIDTH = 80  # columns


def wrapped(lead: str, text: str, hang: str | None = None) -> list[str]:
    """Lines of at most WIDTH columns, the later ones behind `hang`, else under the first one's text; a number
    stays with its unit."""
    later = " " * len(lead) if hang is None else hang
    lines = textwrap.wrap(
        with_no_break_spaces(text),
        WIDTH,
        initial_indent=lead,
        subsequent_indent=later,
        break_on_hyphens=False,
    )
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines] or [lead.rstrip()]
