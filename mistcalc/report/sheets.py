"""All sheets of a job: built from one Design, numbered, and written as PDF, SVG and DXF."""

from __future__ import annotations

from collections.abc import Iterable

from mistcalc.drawing import dxf, flow, frame, pdf, svg
from mistcalc.drawing.boxes import Box
from mistcalc.drawing.flow import Paragraph
from mistcalc.drawing.frame import PAPERS, Paper, Section, TitleBlock
from mistcalc.drawing.sheet import Sheet, Text
from mistcalc.model.results import Design
from mistcalc.report import warned
from mistcalc.report.assumed import assumed
from mistcalc.report.check_sheet import check_leaves
from mistcalc.report.hold_sheets import hold_leaves
from mistcalc.report.leaf import Leaf
from mistcalc.report.line_diagram import diagram_leaves
from mistcalc.report.marks_table import table_leaves
from mistcalc.report.owner_page import owner_leaves
from mistcalc.report.plan import plan_leaves
from mistcalc.report.voice import Voice
from mistcalc.units import System

REVISION_ROWS = 3  # on every sheet, the head counted in
NOTE_COLUMN = 105.0  # width of a column on a sheet of notes [mm]


def files(design: Design, units: System, language: str) -> dict[str, bytes]:
    """By name: sheets.pdf, sheet-<n>.svg for each sheet, and lid.dxf."""
    sheets = build(design, units, language)
    return {
        "sheets.pdf": pdf.write(sheets, design.project.name),
        **{f"sheet-{n}.svg": svg.write(sheet).encode() for n, sheet in enumerate(sheets, 1)},
        "lid.dxf": dxf.write(sheets, "ft" if units == "us" else "mm").encode(),
    }


def build(design: Design, units: System, language: str) -> tuple[Sheet, ...]:
    """Every sheet in the order it is bound. The same Design gives the same sheets."""
    voice = Voice(units, language)
    paper = PAPERS[design.project.paper.sheet]
    wide = paper if paper.width > paper.height else paper.turned()
    leaves: list[Leaf] = []
    for patio in design.project.patios:
        leaves += plan_leaves(design, patio, wide, voice)
    for patio in design.project.patios:
        leaves += table_leaves(design, patio, wide, voice)
    leaves += check_leaves(design, wide, voice)
    leaves += diagram_leaves(design, wide, voice)
    leaves += hold_leaves(design, wide, voice)
    blocks = [_block(design, leaf, voice) for leaf in leaves]
    left = [p for leaf, block in zip(leaves, blocks, strict=True) for p in _left_over(leaf, block)]
    notes = _notes(dict.fromkeys(left), wide, voice)
    leaves += notes
    tall = paper if paper.height > paper.width else PAPERS["letter" if units == "us" else "A4"]
    leaves += owner_leaves(design, tall, voice)
    count = len(leaves)
    return tuple(_bind(design, leaf, number, count, voice) for number, leaf in enumerate(leaves, 1))


def _left_over(leaf: Leaf, block: TitleBlock) -> tuple[Paragraph, ...]:
    """What neither the sheet nor its strip had room for, under the heads it stood under."""
    lost = list(frame.strip(leaf.paper, block)[1])
    told = list(leaf.left_over)
    for section in block.sections:
        if section.elsewhere:
            continue
        missing = [p for p in section.paragraphs if p in lost]
        told += [flow.heading(section.head), *missing] if missing else []
    return tuple(told)


def _notes(paragraphs: Iterable[Paragraph], paper: Paper, voice: Voice) -> list[Leaf]:
    """Sheets of notes for what found no room elsewhere."""
    left = tuple(p for p in paragraphs if p.text)
    leaves = []
    while left:
        zone = paper.zone.grown(-6.0)
        head = Text((zone.left, zone.top - 5.0), voice.label("paper.notes"), 5.0, True, layer="NOTE")
        columns = flow.split(zone._replace(top=zone.top - 12.0), NOTE_COLUMN, 8.0)
        flowed = flow.flow(left, columns)
        if not flowed.left_over:
            flowed = _level(left, columns)
        if len(flowed.left_over) == len(left):  # one paragraph taller than a sheet: nothing a person wrote
            break
        left = flowed.left_over
        leaves.append(Leaf(paper, voice.label("paper.notes_short"), (head, *flowed.items), kind="notes"))
    return leaves


def _level(told: tuple[Paragraph, ...], columns: list[Box]) -> flow.Flowed:
    """Set in columns of about a length, in the larger writing where that finds room."""
    if not flow.flow(flow.larger(told), columns).left_over:
        told = flow.larger(told)
    return flow.level(told, columns)


def _bind(design: Design, leaf: Leaf, number: int, count: int, voice: Voice) -> Sheet:
    name = f"R-{number}"
    if leaf.kind == "owner":
        return _owner(design, leaf, number, count, voice)
    told = voice.label("paper.count", number=number, count=count)
    block = _block(design, leaf, voice, name, told)
    items = [*frame.border(leaf.paper), *frame.strip(leaf.paper, block)[0], *leaf.items]
    return Sheet(leaf.paper.width, leaf.paper.height, tuple(items), leaf.title, name)


def _owner(design: Design, leaf: Leaf, number: int, count: int, voice: Voice) -> Sheet:
    """A page without border and strip: its code and number stand at its foot."""
    box = leaf.paper.inside.grown(-2.0)
    told = voice.label("paper_owner.page", code=design.code, number=number, count=count)
    if design.line_verdict.fails:
        told = f"{voice.label('paper.do_not_build')}   {told}"
    foot = Text((box.right - 4.0, box.bottom + 1.5), told, 2.5, True, align="right")
    return Sheet(leaf.paper.width, leaf.paper.height, (*leaf.items, foot), leaf.title, f"R-{number}")


def _block(design: Design, leaf: Leaf, voice: Voice, number: str = "R-0", count: str = "") -> TitleBlock:
    project, label = design.project, voice.label
    day = project.revision.date
    date = label("paper.day", day=day.isoformat()) if day else label("paper.no_date")
    rows = [(label("paper.rev"), label("paper.date"), label("paper.for"))]
    rows.append((project.revision.letter, date, project.revision.status))
    rows += [("", "", "")] * (REVISION_ROWS - len(rows))
    return TitleBlock(
        status=_status(design, voice),
        code_label=label("paper.this_set"),
        code=design.code,
        code_note=label("paper.same_code"),
        job=project.name,
        job_note=project.about,
        sections=leaf.sections or _sections(design, leaf, voice),
        revisions=tuple(rows),
        facts=(
            (label("paper.drawn"), "mistcalc"),
            (label("paper.checked"), ""),
            (label("paper.scale"), leaf.scale or label("paper.no_scale")),
            (label("paper.print"), label("paper.full_size", sheet=leaf.paper.name)),
        ),
        title=leaf.title,
        number=number,
        count=count,
    )


def _status(design: Design, voice: Voice) -> str:
    """What the sheets are for; of a line that fails, that nothing is built from them."""
    if design.line_verdict.fails:
        return "\n".join(voice.label(f"paper.{key}") for key in ("do_not_build", "see_check"))
    return design.project.revision.status.upper()


def _sections(design: Design, leaf: Leaf, voice: Voice) -> tuple[Section, ...]:
    """What the strip of a plan says: what can hurt whoever drills from it, then what was assumed."""
    if leaf.kind != "plan":
        return ()
    more = voice.label("paper.more_notes", n="{n}")
    told = assumed(design.project, voice, design.line) or (voice.label("paper.assumed_none"),)
    return (
        warned.in_strip(design.findings, "drill", voice),
        Section(voice.label("paper.assumed"), _listed(told), more),
    )


def _listed(told: Iterable[str]) -> tuple[Paragraph, ...]:
    return tuple(Paragraph(words, sign="–", indent=3.0) for words in told)
