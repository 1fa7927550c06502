"""Which reader a finding is for, told from its code and place; and the numbers the sheets give findings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from mistcalc.model.results import Design, Finding

LEVELS = ("fail", "warn", "note")
AFTERNOONS = ("hot", "typical", "humid")
_LINE = (
    "nozzle-", "nozzles-", "flow-", "speed-", "tube-", "surge-", "trapped-", "drain-", "filter-", "water-",
    "inlet-", "supply-", "pump-", "nameplate-", "relief-", "hold-", "line-empty", "line-on-mains",
)  # fmt: skip
# Cautions for the person who sits under the mist; the rest are for whoever builds the line.
_OWNER = ("lungs", "heat-illness", "slip", "open-slider", "water-rules", "legionella")
_BUILDER = ("injection", "gas-test", "trapped-water", "electrical", "backflow", "legionella", "freezing")


def about_lid(design: Design, patio: str) -> tuple[Finding, ...]:
    """What the builder of one patio must know, worst first, without repeats."""
    found = [
        f
        for f in design.findings
        if (f.where == patio or f.where.startswith(f"{patio}/"))
        and within(f, patio) not in AFTERNOONS
        and not f.code.startswith(("caution-", "climate-", *_LINE))
    ]
    return _worst_first(found)


def within(finding: Finding, patio: str) -> str:
    """What of a patio a finding is at; "" for the patio itself. Names may hold anything, a slash too."""
    return finding.where[len(patio) + 1 :]


def about_line(design: Design) -> tuple[Finding, ...]:
    """What the installer must know, worst first."""
    return _worst_first(f for f in design.findings if f.code.startswith(_LINE))


def about_air(design: Design, patio: str, afternoon: str) -> tuple[Finding, ...]:
    return _worst_first(f for f in design.findings if f.where == f"{patio}/{afternoon}")


def cautions(design: Design, owner: bool) -> tuple[Finding, ...]:
    """Cautions for the owner, or for builder and installer: each caution is for at least one of them."""
    found = [f for f in design.findings if f.code.startswith("caution-")]
    names = {f.code: f.code.removeprefix("caution-") for f in found}
    if owner:
        return tuple(f for f in found if names[f.code] in _OWNER)
    return tuple(f for f in found if names[f.code] in _BUILDER or names[f.code] not in _OWNER)


def _worst_first(found: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(dict.fromkeys(found), key=lambda f: LEVELS.index(f.level)))


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
