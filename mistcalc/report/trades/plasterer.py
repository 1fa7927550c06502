"""The lather's and plasterer's page: stubs to cut round, control joints, thickness."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mistcalc.model.project import Patio
from mistcalc.model.results import Design, JointLine, Member
from mistcalc.report.common.calendar_text import hold_points
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.trades.details import stub_detail
from mistcalc.report.trades.slip import Need, Places, Slip, SlipList, SlipRow, named_cautions, signed_by


def plasterer_slip(design: Design, locale: Locale) -> Slip:
    label, places = locale.label, Places(design, locale)
    patios = [patio for patio in design.project.patios if patio.plaster.plastered]
    joints = tuple(_joints(design, patios, places, locale))
    planned = sum(len(design.layout_of(patio.name).lid.joints) for patio in patios)
    columns = 2 if planned == len(joints) else 1  # what is asked takes all the width
    asked = "_proposed" if any(patio.plaster.joints == "propose" for patio in patios) else ""
    stubs = tuple(_stubs(design, patios, locale))
    coats = tuple(_coats(patios, locale))
    lists = (
        SlipList(label("paper_trade.stubs"), label("paper_trade.stubs_note"), stubs, columns=2),
        SlipList(
            label(f"paper_trade.joints{asked}"), label(f"paper_trade.joints_note{asked}"), joints, columns
        ),
        SlipList(label("paper_trade.thickness"), label("paper_trade.thickness_note"), coats),
    )
    count = sum(len(layout.marks) for layout in design.layouts)
    brown = "brown" in hold_points(design)
    first = next(((p, m) for p in patios for m in design.layout_of(p.name).marks), None)
    plumbing = design.project.plumbing
    tube = plumbing.tube if first is None else plumbing.tube_on(first[1].run)
    return Slip(
        name="plasterer",
        trades=("lather", "plasterer"),
        lead=label("paper_trade.lead_plasterer", stubs=count, joints=planned),
        lists=tuple(part for part in lists if part.rows),
        detail=None if first is None else stub_detail(*first, tube, False, locale),
        cautions=named_cautions(design, "ladder", "eyes"),
        mind=tuple(label(f"paper_trade.mind_plasterer_{n}") for n in (1, 2, 3, 4)),
        needs=(
            Need(label("paper_trade.need_hold", number=1), "first test"),
            Need(label("paper_trade.need_paper"), "paper"),
            Need(label("paper_trade.need_hold", number=2), "second test"),
            *([Need(label("paper_trade.need_hold", number=3), "third test")] if brown else []),
        ),
        hold=label("paper_trade.hold_plasterer"),
        hold_words=label("paper_trade.hold_plasterer_do"),
        signing=signed_by(locale, "lather", "plasterer", "builder"),
        shows=frozenset(("joints",)),
    )


def _stubs(design: Design, patios: list[Patio], locale: Locale) -> Iterator[SlipRow]:
    for patio in patios:
        marks = design.layout_of(patio.name).marks
        for run in patio.rows:
            own = [mark for mark in marks if mark.run == run.name]
            if own:
                where = locale.label("paper_trade.stub_count", count=len(own))
                words = locale.label("paper_trade.stub_row", back=own[0].back)
                yield SlipRow(run.name, where, words)


def _joints(design: Design, patios: list[Patio], places: Places, locale: Locale) -> Iterator[SlipRow]:
    number = 0
    for patio in patios:
        blocked = {b.name for b in design.carpentry.blocking if b.patio == patio.name and b.why == "joint"}
        lid = design.layout_of(patio.name).lid
        for line in lid.joints:
            number += 1
            key = "on_blocking" if line.joint.name in blocked else _lies(line, lid.members)
            words = locale.label(f"paper_trade.{key}", name=line.joint.name)
            where = places.at(line.run, line.joint.along)
            yield SlipRow(str(number), where, words, (places.spot(patio.name, line.run, line.joint.along),))
        if any(f.value("wants_joints") and f.value("patio") == patio.name for f in design.findings):
            label = locale.label
            yield SlipRow("–", label("paper_trade.joints_unstated"), label("paper_trade.joints_unstated_do"))


def _lies(line: JointLine, members: Sequence[Member]) -> str:
    """Along a member, or across members that lie the way of the run."""
    across = any(member.run == line.run and member.along is not None for member in members)
    lengthwise = any(member.run == line.run and member.along is None for member in members)
    return "across_members" if lengthwise and not across else "on_member"


def _coats(patios: list[Patio], locale: Locale) -> Iterator[SlipRow]:
    label = locale.label
    for patio in patios:
        plaster = patio.plaster
        face = plaster.sheathing + plaster.thickness
        name = patio.name if len(patios) > 1 else "–"
        system = label(f"paper_plaster.{plaster.system}")
        yield SlipRow(name, locale.number(face, "length"), label("paper_trade.face", system=system))
        yield SlipRow(
            "–", label("paper_trade.plane", within=plaster.tolerance), label("paper_trade.plane_do")
        )
