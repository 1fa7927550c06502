"""Which sheet a finding stands on, in what order: the one place that looks at its audience and its level."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from mistcalc.model.results import Audience, Design, Finding, Layout, Level, Work
from mistcalc.report.common.alike_findings import alike, as_one, names_told

Graded = tuple[tuple[Level, tuple[Finding, ...]], ...]


def about_lid(findings: Iterable[Finding], patio: str) -> tuple[Finding, ...]:
    """What the builder of one patio must know, worst first, without repeats."""
    return _worst_first(f for f in _of_design(findings, "builder") if f.value("patio") == patio)


def place_in_patio(finding: Finding, patio: str) -> str:
    """What of a patio a finding is at; "" for the patio itself. Names may hold anything, a slash too."""
    return finding.where[len(patio) + 1 :]


def about_line(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """What the installer must know, worst first."""
    return _worst_first(_of_design(findings, "installer"))


def about_dates(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """What is wrong with the calendar, worst first."""
    about = (f for f in _of_design(findings, "builder") if f.where == "dates" and f.value("patio") is None)
    return _worst_first(about)


def about_air(design: Design, patio: str, afternoon: str) -> tuple[Finding, ...]:
    """What the owner should hear of one afternoon."""
    owner_findings = _of_design(design.findings, "owner")
    return _worst_first(f for f in owner_findings if f.where == f"{patio}/{afternoon}")


def about_climate(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """What the owner should hear of where the weather was measured."""
    return tuple(f for f in _of_design(findings, "owner") if f.where == "place.climate")


def about_season(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """What the owner should hear of the typical year."""
    return tuple(f for f in findings if f.topic == "season")


def about_sun(design: Design, patio: str) -> tuple[Finding, ...]:
    """What the owner should hear of the sun at one patio's seats."""
    return tuple(f for f in design.findings if f.topic == "sun" and f.value("patio") == patio)


def cautions(findings: Iterable[Finding], *audience: Audience) -> tuple[Finding, ...]:
    """Cautions for any of these people, for all where nobody is named; the most urgent first."""
    all_cautions = (f for f in findings if f.topic == "caution")
    return _worst_first(f for f in all_cautions if not audience or set(audience) & set(f.audience))


def cautions_for_work(findings: Iterable[Finding], work: Work) -> Graded:
    """What can hurt a hand at one kind of work, by grade."""
    return by_level(f for f in findings if work in f.work)


def by_level(findings: Iterable[Finding]) -> Graded:
    """Findings level by level, worst first, without repeats."""
    ordered = _worst_first(findings)
    levels = dict.fromkeys(finding.level for finding in ordered)
    return tuple((level, tuple(f for f in ordered if f.level == level)) for level in levels)


def notes_apart(findings: Iterable[Finding]) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """(What asks for somebody's care, what is good to know), each worst first."""
    ordered = _worst_first(findings)
    return tuple(f for f in ordered if f.level != "note"), tuple(f for f in ordered if f.level == "note")


def dangerous(level: Level) -> bool:
    """Is it the gravest grade, in whose box the dangers of one work alone stand first?"""
    return level == "danger"


def to_be_mended(finding: Finding) -> bool:
    """Does it fail? Such a one is read in full on every screen."""
    return finding.level == "fail"


def from_the_day(findings: Iterable[Finding]) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """(What measuring days say, all else), in the order they were told."""
    all_findings = tuple(findings)
    return tuple(f for f in all_findings if f.topic == "day"), tuple(
        f for f in all_findings if f.topic != "day"
    )


def acted_on(findings: Iterable[Finding]) -> bool:
    """Is there an answer from the site that somebody will put a hand to?"""
    return any(finding.topic == "site" for finding in findings)


def judged(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """All but cautions, worst first, without repeats."""
    return _worst_first(f for f in findings if f.topic != "caution")


def caution_name(caution: Finding) -> str:
    """A caution's name, as its short forms in `words` have it."""
    return caution.code.removeprefix("caution-")


def _of_design(findings: Iterable[Finding], reader: Audience) -> Iterable[Finding]:
    return (f for f in findings if reader in f.audience and f.topic == "design")


def _worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(dict.fromkeys(findings), key=lambda f: f.rank))


@dataclass(frozen=True)
class NumberedFinding:
    """One finding of a patio's sheets: its number (0: none), the marks it names, the thing it stands at."""

    number: int
    finding: Finding
    marks: tuple[str, ...]
    things: tuple[str, ...]  # names of obstacles or joints; none where it is about marks or a run

    @property
    def stop(self) -> bool:
        return to_be_mended(self.finding)

    @property
    def note(self) -> bool:
        """Is it only good to know?"""
        return self.finding.level == "note"

    @property
    def look(self) -> bool:
        """Does it ask for a look on site, by a numbered sign?"""
        return not self.note or bool(self.marks)


def numbered(design: Design, patio: str, together: bool = True) -> tuple[NumberedFinding, ...]:
    """Findings on the lid with the numbers that plan and table share. together: those alike as one; apart
    they share its number."""
    return numbered_on(design.layout_of(patio), design.findings, together)


def numbered_on(
    layout: Layout, findings: Iterable[Finding], together: bool = True
) -> tuple[NumberedFinding, ...]:
    """The same of one lid and all findings there are."""
    patio = layout.patio
    things = {o.name for o in layout.lid.obstacles} | {j.joint.name for j in layout.lid.joints}
    known = {mark.name for mark in layout.marks}

    def told(finding: Finding) -> NumberedFinding:
        named_marks = finding.value("marks", finding.value("mark", ()))
        marks = named_marks if isinstance(named_marks, tuple) else (named_marks,)
        at = (place_in_patio(finding, patio), *names_told(finding))
        return NumberedFinding(
            0, finding, tuple(str(m) for m in marks if m in known), tuple(n for n in at if n in things)
        )

    looked: list[list[NumberedFinding]] = []
    rest: list[list[NumberedFinding]] = []
    for group in alike(about_lid(findings, patio)):
        one = told(as_one(group))
        all_told = [one] if together else [told(finding) for finding in group]
        (looked if one.look else rest).append(all_told)
    return (
        *(replace(each, number=n) for n, all_told in enumerate(looked, 1) for each in all_told),
        *(each for all_told in rest for each in all_told),
    )
