"""Older project files, brought up one format at a time. Old files stay in the tests for good.

A step takes the TOML data of format n and returns that of format n + 1; it never guesses, so what it
cannot carry over it leaves for the reader to name.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable
from typing import Any

from mistcalc.errors import InputError, InputErrors
from mistcalc.files.project.schema import FORMAT
from mistcalc.files.text.toml_positions import TomlPositions

Data = dict[str, Any]
STEPS: dict[int, Callable[[Data], Data]] = {}  # format 1 is the first: nothing older to bring up


def upgrade_format(data: Data, places: TomlPositions, source: str) -> Data:
    """Data in today's format. Raises InputErrors where the format is missing, unknown or newer than ours."""
    stated = data.get("format")
    line = places.line(("format",))
    mistake: InputError | None = None
    if stated is None:
        near = difflib.get_close_matches("format", [key for key in data if key != "form"], 1, cutoff=0.8)
        mistake = InputError(
            "format-missing", "format", 1, instead=f"format = {FORMAT}", nearest="".join(near)
        )
    elif not isinstance(stated, int) or isinstance(stated, bool) or stated < 1:
        mistake = InputError(
            "format-unknown", "format", line, text=str(stated)[:40], instead=f"format = {FORMAT}"
        )
    elif stated > FORMAT:
        mistake = InputError("format-newer", "format", line, text=str(stated)[:40], known=FORMAT)
    if mistake:
        raise InputErrors(source, (mistake,))
    for number in range(int(str(stated)), FORMAT):
        data = STEPS[number](data)
    return data
