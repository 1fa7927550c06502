"""Sheets of a fleet, where they are asked for.

A pack of every distinct design, as `plan --out` writes it, in a folder of its own: made once, whole or not
there, and found again when a fleet is run again. A cover that lies on each lot's: which lot, which plan and
which way round, which pack is its own, and what is wrong with it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from mistcalc import design, files, report
from mistcalc.drawing import pdf, text_and_tables
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.frame import PAPERS, PaperSize
from mistcalc.drawing.sheet import Item, Sheet
from mistcalc.drawing.text_and_tables import Paragraph
from mistcalc.errors import MistcalcError
from mistcalc.fleet.content_keys import paper_digest
from mistcalc.fleet.lot_project import LotProject, LotProjects
from mistcalc.fleet.runners import Runner
from mistcalc.fleet.solving import weather_of
from mistcalc.fleet.summary import side
from mistcalc.fleet.totals import FleetRow
from mistcalc.fleet.working import Fleet, Told
from mistcalc.model.content_digest import fingerprint
from mistcalc.model.results import LotAnswer
from mistcalc.report.common import caution_boxes
from mistcalc.report.common.locale_text import Locale
from mistcalc.units import System

COVERS, PACKS, PLAN = "covers", "packs", "plan.json"
MARGIN = 6.0  # mm
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


@dataclass(frozen=True)
class Cover:
    row: FleetRow
    answer: LotAnswer
    pack: str  # folder of its sheets
    code: str  # that they bear
    job: str  # the plan's name


def cover_pdf(cover: Cover, locale: Locale) -> bytes:
    """As many pages as what is wrong with the lot takes."""
    paper = PAPERS["letter" if locale.units == "us" else "A4"]
    lot = locale.label("fleet.cover_lot", lot=cover.row.lot.name)
    return pdf.write(list(_sheets(cover, paper, lot, locale)), lot)


def _sheets(cover: Cover, paper: PaperSize, lot: str, locale: Locale) -> Iterator[Sheet]:
    room = paper.inside.grown(-MARGIN)
    left = (Paragraph(lot, 10.0, bold=True), *_facts(cover, locale))
    head = text_and_tables.flow_text(left, [room])
    boxed, bottom = caution_boxes.boxed(
        cover.answer.findings, "drill", room._replace(top=head.bottom - 6.0), locale
    )
    yield from _pages([*head.items, *boxed], room._replace(top=bottom - 6.0), room, cover, paper, lot, locale)


def _pages(
    items: list[Item], rest: Box, room: Box, cover: Cover, paper: PaperSize, lot: str, locale: Locale
) -> Iterator[Sheet]:
    wrong = tuple(_found(cover, locale))
    while True:
        flowed = text_and_tables.flow_text(wrong, [rest])
        yield Sheet(paper.width, paper.height, (*items, *flowed.items), lot, "R-0")
        if not flowed.left_over or (len(flowed.left_over) == len(wrong) and rest == room):
            return
        items, rest, wrong = [], room, flowed.left_over


def _facts(cover: Cover, locale: Locale) -> Iterator[Paragraph]:
    lot, label = cover.row.lot, locale.label
    if cover.answer.failed:
        yield Paragraph(label("paper.do_not_build"), 5.0, bold=True, before=4.0)
    turned = label("fleet.mirrored") if lot.mirrored else label("fleet.as_drawn")
    told = {
        "phase": lot.phase,
        "plan": f"{cover.job} ({lot.plan}), {turned}",
        "options": ", ".join(lot.options),
        "changes": "; ".join(f"{path} = {value}" for path, value in lot.changes),
        "facing": side(cover.row.facing, locale),
        "climate": cover.row.climate,
        "pack": cover.pack,
    }
    for name, value in told.items():
        if value:  # built the wrong way round, a house cannot be put right
            large = name == "plan"
            yield Paragraph(
                label(f"fleet.cover_{name}", value=value), 5.0 if large else 3.5, bold=large, before=2.4
            )
    yield Paragraph(label("fleet.cover_code", code=cover.code), 5.0, bold=True, before=4.0)
    yield Paragraph(label("fleet.cover_check"), 3.5)
    yield Paragraph(label("fleet.cover_marks", count=cover.answer.marks), 3.5)


def _found(cover: Cover, locale: Locale) -> Iterator[Paragraph]:
    findings = cover.answer.of_level("fail", "warn")
    if findings:
        yield text_and_tables.heading(locale.label("fleet.cover_wrong"))
    told = (f"{locale.label(f'level.{finding.level}')}  {locale.say(finding)}" for finding in findings)
    for text in dict.fromkeys(told):
        yield Paragraph(text, 3.5, before=2.4)
    yield Paragraph(locale.label("summary.codes_decide"), 3.5, before=4.0)


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
