"""Packs and covers of a fleet, where they are asked for."""

from __future__ import annotations

from pathlib import Path

from mistcalc import files
from mistcalc.errors import MistcalcError
from mistcalc.fleet.cover import Cover, cover_pdf
from mistcalc.fleet.fleet_row import FleetRow
from mistcalc.fleet.lot_project import LotProjects
from mistcalc.fleet.packs import PACKS, PackOrder, make_packs, pack_order
from mistcalc.fleet.runners import Runner
from mistcalc.fleet.working import Fleet, Told
from mistcalc.model.content_digest import fingerprint
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import System

COVERS = "covers"
Spoken = tuple[System | None, str | None]  # units and language of the sheets, None: each plan's own


def write_sheets(
    fleet: Fleet, table: Path, folder: Path, runner: Runner, told: Told, spoken: Spoken, locale: Locale
) -> dict[str, str]:
    """Name of a lot to its pack, from `folder`. A pack that cannot be made is told, and the rest goes on."""
    projects = LotProjects(table)
    orders: dict[str, PackOrder] = {}
    of_lot: list[tuple[FleetRow, str]] = []
    for row in fleet.rows:
        if row.error is None:
            order = pack_order(projects.of(row.lot), row.lot.plan, folder, *spoken)
            orders.setdefault(order.key, order)
            of_lot.append((row, order.key))
    (folder / PACKS).mkdir(exist_ok=True)
    (folder / COVERS).mkdir(exist_ok=True)
    codes: dict[str, str] = {}
    told(0, len(orders))
    for done, (order, result) in enumerate(make_packs(tuple(orders.values()), runner), 1):
        if isinstance(result, MistcalcError):
            fleet.notices.append(result)
        else:
            codes[order.key] = result
        told(done, len(orders))
    packs: dict[str, str] = {}
    for row, key in of_lot:
        answer = fleet.answer_of(row.key)
        if key in codes and answer is not None:
            pack = f"{PACKS}/{key}"
            packs[row.lot.name] = pack
            cover = Cover(row, answer, pack, codes[key], orders[key].found.project.name)
            files.write_file(folder / COVERS / _file_name(row.lot.name), cover_pdf(cover, locale))
    return packs


def _file_name(lot: str) -> str:
    """A name any disk takes; where signs had to go, with a few that tell it from others."""
    plain = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-_ ") else "-" for sign in lot)[
        :60
    ]
    same = plain == lot and plain.strip(" -") == plain
    return f"{plain}.pdf" if same else f"{plain.strip(' -')}-{fingerprint(lot)[:6]}.pdf"
