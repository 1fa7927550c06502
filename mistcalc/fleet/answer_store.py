"""The folder of a fleet: one file a distinct design, whole or not there, whatever stops the program.

    FOLDER/fleet.json                      by it the folder is known for ours
    FOLDER/designs/<program>/<ab>/<key>.json

What another version of the program answered lies under another <program> and is left alone.
"""

from __future__ import annotations

import json
from pathlib import Path

from mistcalc import files
from mistcalc.errors import DataError
from mistcalc.fleet.answer_json import SCHEMA, answer_from_text
from mistcalc.model.results import LotAnswer

MARK, DESIGNS = "fleet.json", "designs"
OURS = ("lots.csv", "orders.csv", "index.html", DESIGNS, "packs", "covers")


class AnswerStore:
    """What is answered already. One program writes at a time: it holds `files.locked(folder)`."""

    def __init__(self, folder: Path, program: str) -> None:
        self.folder = folder
        self.place = folder / DESIGNS / program[:12]
        self.damaged: list[str] = []  # keys of files that were no answers: worked out again

    def open(self) -> None:
        """Finds the folder ours or, with nothing of a fleet in it, makes it so. Raises DataError
        (fleet-holds, fleet-newer)."""
        mark = self.folder / MARK
        if mark.exists():
            if _schema(mark) > SCHEMA:
                raise DataError("fleet-newer", path=str(self.folder))
            return
        there = tuple(name for name in OURS if (self.folder / name).exists())
        if there:
            raise DataError("fleet-holds", path=str(self.folder), names=there)
        files.write_file(mark, json.dumps({"schema": SCHEMA, "kind": "fleet"}) + "\n")

    def path(self, key: str) -> Path:
        return self.place / key[:2] / f"{key}.json"

    def answer(self, key: str) -> LotAnswer | None:
        try:
            return answer_from_text(key, self.path(key).read_text("utf-8"))
        except FileNotFoundError:
            return None
        except (OSError, ValueError):
            if key not in self.damaged:
                self.damaged.append(key)
            return None

    def keep(self, key: str, text: str) -> None:
        """Raises OSError, and then there is no file or the old one."""
        path = self.path(key)
        path.parent.mkdir(parents=True, exist_ok=True)
        files.write_file(path, text)

    def of_other_versions(self) -> int:
        """How many answers other versions of the program left here."""
        others = (one for one in (self.folder / DESIGNS).glob("*") if one != self.place)
        return sum(sum(1 for _ in other.glob("*/*.json")) for other in others)


def _schema(mark: Path) -> int:
    """Raises DataError where the mark is none of ours."""
    try:
        told = json.loads(mark.read_text("utf-8"))
        return int(told["schema"]) if told["kind"] == "fleet" else _no_number()
    except (OSError, ValueError, TypeError, KeyError):
        raise DataError("fleet-holds", path=str(mark.parent), names=(MARK,)) from None


def _no_number() -> int:
    raise ValueError
