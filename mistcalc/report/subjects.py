"""Which reader a finding is for, told from its code and place; and the numbers the sheets give findings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from mistcalc.model.results import Design, Finding, Layout, Level, framing_unknown
from mistcalc.report.voice import Voice

AFTERNOONS = ("hot", "typical", "humid")
_LINE = (
    "nozzle-", "nozzles-", "flow-", "speed-", "tube-", "surge-", "trapped-", "drain-", "filter-", "water-",
    "inlet-", "supply-", "pump-", "nameplate-", "relief-", "hold-", "line-empty", "line-on-mains", "zone-",
    "check-valve-",
)  # fmt: skip
# Cautions told in full, to the person who sits under the mist and to whoever builds the line.
_OWNER = (
    "lock-out", "shut-off", "injection", "electrical", "ladder", "drilling", "chemicals", "legionella",
    "heat-illness", "eyes", "hot-water", "children", "slip", "lungs", "open-slider", "water-rules",
)  # fmt: skip
OWNER_ONLY = ("heat-illness", "slip", "lungs", "children", "open-slider", "water-rules")
# Cautions in short, boxed at the head of a sheet, by what a hand does there.
_AT_HAND = {
    "drill": ("drilling", "ladder", "eyes"),
    "line": ("lock-out", "shut-off", "injection", "electrical", "gas-test", "trapped-water", "ladder", "eyes",
             "hot-water"),
    "call": ("lock-out", "shut-off", "injection", "electrical", "trapped-water", "ladder", "chemicals",
             "eyes", "hot-water"),
    "test": ("lock-out", "shut-off", "injection", "gas-test", "trapped-water", "ladder", "eyes"),
    "watch": ("lock-out", "shut-off", "trapped-water", "ladder", "eyes"),
    "valves": ("lock-out", "shut-off", "injection", "trapped-water"),
    "sit": ("lock-out", "injection", "electrical", "legionella", "heat-illness", "children", "slip", "lungs"),
}  # fmt: skip
CAUTION = "caution-"


def about_lid(design: Design, patio: str) -> tuple[Finding, ...]:
    """What the builder of one patio must know, worst first, without repeats."""
    found = [
        f
        for f in design.findings
        if (f.where == patio or f.where.startswith(f"{patio}/"))
        and within(f, patio) not in AFTERNOONS
        and not f.code.startswith((CAUTION, "climate-", *_LINE))
    ]
    return _worst_first(found)


def within(finding: Finding, patio: str) -> str:
    """What of a patio a finding is at; "" for the patio itself. Names may hold anything, a slash too."""
    return finding.where[len(patio) + 1 :]


def about_line(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """What the installer must know, worst first."""
    return _worst_first(f for f in findings if f.code.startswith(_LINE))


def line_fails(findings: Iterable[Finding]) -> bool:
    """Is the line as planned not to be built? What a test on site found of a built one does not ask that."""
    return any(f.level == "fail" and not f.code.startswith("hold-") for f in about_line(findings))


def about_air(design: Design, patio: str, afternoon: str) -> tuple[Finding, ...]:
    return _worst_first(f for f in design.findings if f.where == f"{patio}/{afternoon}")


def cautions(design: Design, owner: bool) -> tuple[Finding, ...]:
    """Cautions for the owner, or for builder and installer: each caution is for at least one of them."""
    found = _named(design.findings)
    if owner:
        return tuple(f for name, f in found if name in _OWNER)
    return tuple(f for name, f in found if name not in OWNER_ONLY)


def at_hand(findings: Iterable[Finding], where: str) -> tuple[tuple[Level, tuple[Finding, ...]], ...]:
    """What can hurt a hand at one kind of work, a key of _AT_HAND, by grade."""
    found = [f for name, f in _named(findings) if name in _AT_HAND[where]]
    grades: tuple[Level, ...] = ("danger", "caution")
    told = ((grade, tuple(f for f in found if f.level == grade)) for grade in grades)
    return tuple((grade, of) for grade, of in told if of)


def name_of(caution: Finding) -> str:
    """A caution's name, as its short forms in `words` have it."""
    return caution.code.removeprefix(CAUTION)


def _named(findings: Iterable[Finding]) -> list[tuple[str, Finding]]:
    return [(name_of(f), f) for f in findings if f.code.startswith(CAUTION)]


def _worst_first(found: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(dict.fromkeys(found), key=lambda f: f.rank))


@dataclass(frozen=True)
class Numbered:
    """One finding of a patio's sheets: its number (0: none), the marks it names, the thing it stands at."""

    number: int
    finding: Finding
    marks: tuple[str, ...]
    thing: str  # name of an obstacle or joint; "" where it is about marks or a run

    @property
    def stop(self) -> bool:
        return self.finding.level == "fail"

    @property
    def look(self) -> bool:
        """Does it ask for a look on site, by a numbered sign?"""
        return self.finding.level != "note" or bool(self.marks)


def numbered(design: Design, patio: str) -> tuple[Numbered, ...]:
    """Findings on the lid with the numbers that plan and table share."""
    layout = design.layout_of(patio)
    things = {o.name for o in layout.lid.obstacles} | {j.joint.name for j in layout.lid.joints}
    known = {mark.name for mark in layout.marks}
    out = []
    for finding in about_lid(design, patio):
        told = finding.value("marks", finding.value("mark", ()))
        marks = told if isinstance(told, tuple) else (told,)
        tail = within(finding, patio)
        thing = tail if tail in things else ""
        out.append(Numbered(0, finding, tuple(str(m) for m in marks if m in known), thing))
    looked = [one for one in out if one.look]
    return (*(replace(one, number=n) for n, one in enumerate(looked, 1)), *(o for o in out if not o.look))


def wood_missed(layout: Layout, findings: Sequence[Finding], speak: Voice) -> str:
    """Whether the holes miss the wood, as far as the project says where it is."""
    unknown = framing_unknown(findings, layout.patio)
    clear = [m.member_clear for m in layout.marks if m.member_clear is not None and m.name not in unknown]
    if not clear:
        return speak.label("summary.no_members")
    if unknown:
        of = len(layout.marks)
        return speak.label("summary.clear_part", clear=min(clear), unknown=len(unknown), of=of)
    return speak.label("summary.clear", clear=min(clear))
