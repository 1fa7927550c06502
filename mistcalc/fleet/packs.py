"""The sheets of every distinct design, as `plan --out` writes them, in a folder each: made once, whole or not
there, and found again when a fleet is run again."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from mistcalc import design, files, report
from mistcalc.errors import MistcalcError
from mistcalc.fleet.content_keys import paper_digest
from mistcalc.fleet.lot_project import LotProject
from mistcalc.fleet.runners import Runner
from mistcalc.fleet.solving import weather_of
from mistcalc.model.content_digest import fingerprint
from mistcalc.units import System

PACKS = "packs"
PLAN = "plan.json"


@dataclass(frozen=True, slots=True)
class PackOrder:
    """A set of sheets to make. key: its folder's name."""

    key: str
    found: LotProject
    folder: str
    units: System | None
    language: str | None
    digest: str  # of all that its paper hangs on


def pack_order(
    found: LotProject, plan: str, folder: Path, units: System | None, language: str | None
) -> PackOrder:
    """Lots whose paper would be the same share it: of one design, one name, the same days."""
    shown = fingerprint(found.project, found.climate.digest, units, language)
    stem = "".join(sign if sign.isalnum() else "-" for sign in Path(plan).stem)[:40]
    name = f"{stem}-{shown[:8]}"
    return PackOrder(
        name, found, str(folder / PACKS / name), units, language, fingerprint(shown, paper_digest())
    )


def make_packs(
    orders: Sequence[PackOrder], runner: Runner
) -> Iterator[tuple[PackOrder, str | MistcalcError]]:
    """The content code on each pack's sheets, or what kept it from being made; packs there already first."""
    wanted = []
    for order in orders:
        code = _code(order)
        if code is None:
            wanted.append(order)
        else:
            yield order, code
    yield from runner(make_pack, wanted)


def make_pack(order: PackOrder) -> str | MistcalcError:
    """The sheets, and beside their folder what they were made of."""
    try:
        weather = weather_of(order.found.climate)
        job = design.with_season(design.run(order.found.project, weather), weather)
        report.write(job, order.folder, order.units, order.language)
        files.write_file(_made_of(order), order.digest + "\n")
        return job.code
    except MistcalcError as wrong:
        return wrong


def _made_of(order: PackOrder) -> Path:
    return Path(f"{order.folder}.made-of")


def _code(order: PackOrder) -> str | None:
    """The code of a pack that is there and up to date; None: it is to be made."""
    try:
        if _made_of(order).read_text("utf-8").strip() != order.digest:
            return None
        return str(json.loads((Path(order.folder) / PLAN).read_text("utf-8"))["code"])
    except (OSError, ValueError, KeyError, TypeError):
        return None
