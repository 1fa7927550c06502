"""In which language the command line speaks before, or without, a project that can be read."""

from __future__ import annotations

import io
import os
import re
from collections.abc import Sequence
from pathlib import Path

from mistcalc import words

LOOKED_AT = 100_000  # bytes: the key stands near the head


def language_asked_for(arguments: Sequence[str]) -> str:
    """What --language says, before the arguments are read: help and complaints are in it already."""
    asked = re.findall(r"(?m)^--language[=\n](.*)$", "\n".join(arguments))
    return asked[-1] if asked and asked[-1] in words.languages() else _own()


def language_of(file: str | None) -> str:
    """What a project file says, even one that cannot be read whole; else the computer's."""
    path = Path(file or "")
    try:
        with path.open("rb") if path.is_file() else io.BytesIO() as stream:  # a pipe or device has no end
            text = stream.read(LOOKED_AT).decode("utf-8", errors="ignore")
    except OSError:
        return _own()
    told = re.search(r"(?m)^\s*language\s*=\s*[\"'](\w+)", text)
    return told[1] if told and told[1] in words.languages() else _own()


def _own() -> str:
    """The computer's, as POSIX has it: es_MX.UTF-8."""
    told = next((os.environ[name] for name in ("LC_ALL", "LC_MESSAGES", "LANG") if os.environ.get(name)), "")
    return told[:2] if told[:2] in words.languages() else "en"
