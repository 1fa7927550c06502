"""The command line driven from a test: most commands run in this process, which has numpy in memory already;
what a process alone can show (imports, pipes, signals, a full disk) runs in its own."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import NamedTuple

import pytest

import mistcalc
from mistcalc.cli import main

HOME = str(Path(mistcalc.__file__).parents[1])
ENVIRONMENT = {**os.environ, "PYTHONPATH": HOME, "PYTHONIOENCODING": "utf-8"}


def alone(*arguments: str, cwd: Path, **more: object) -> subprocess.CompletedProcess[str]:
    """A command as a process of its own."""
    command = [sys.executable, "-m", "mistcalc", *arguments]
    given = {"capture_output": True, "text": True, "env": ENVIRONMENT, "timeout": 120, **more}
    done = subprocess.run(command, cwd=cwd, **given)  # type: ignore[call-overload]
    assert "Traceback" not in (done.stderr or "")
    return done


class Done(NamedTuple):
    returncode: int
    stdout: str
    stderr: str


def run(*arguments: str, cwd: Path, stdin: bytes = b"", out: io.TextIOBase | None = None) -> Done:
    """A command in this process, from the folder `cwd`."""
    out, err, before = out or io.StringIO(), io.StringIO(), Path.cwd()
    os.chdir(cwd)
    try:
        with redirect_stdout(out), redirect_stderr(err), pytest.MonkeyPatch.context() as patch:
            patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin), "utf-8"))
            code = main(arguments)
    except SystemExit as left:
        code = int(left.code or 0)
    finally:
        os.chdir(before)
    assert "Traceback" not in err.getvalue()
    said = out.getvalue() if isinstance(out, io.StringIO) else ""
    return Done(code, said, err.getvalue())
