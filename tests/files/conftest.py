"""A folder of sheets with somebody's photograph in it, and the two ways in which systems swap folders."""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

import pytest

from mistcalc.files import atomic_write
from tests.breaking import put


@pytest.fixture(params=["in one step", "in two steps"])
def steps(request, monkeypatch) -> str:
    """The swap as this system does it, and as one without such a call does."""
    if request.param == "in two steps":
        monkeypatch.setattr(atomic_write, "_exchanged", lambda one, other: False)
    elif not can_exchange():
        pytest.skip("this system swaps in two steps")
    return request.param


def can_exchange() -> bool:
    return hasattr(ctypes.CDLL(None), "renameat2" if sys.platform == "linux" else "renamex_np")


@pytest.fixture
def quick_disk(monkeypatch) -> None:
    """No waiting for the disk itself, which only a cut of power would need."""
    monkeypatch.setattr(os, "fsync", lambda handle: None)


@pytest.fixture
def folder(tmp_path) -> Path:
    """Revision 1, with a photograph somebody has put beside it."""
    put(tmp_path / "sheets", 1)
    (tmp_path / "sheets" / "photo.jpg").write_bytes(b"mine")
    return tmp_path / "sheets"
