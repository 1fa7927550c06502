"""Runs one of the solver's programs in a case's folder."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path


class Failed(Exception):
    """A run that ended badly or is not to be believed."""


def call(folder: Path, log: str, *command: str) -> None:
    environment = os.environ | {"WM_PROJECT_DIR": "/usr/share/openfoam"}  # Debian's package sets none
    with (folder / log).open("a") as lines:
        ended = subprocess.run(command, cwd=folder, stdout=lines, stderr=lines, env=environment)
    if ended.returncode:
        raise Failed(f"{command[0]} ended with {ended.returncode}: see {folder / log}")
