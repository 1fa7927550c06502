"""Cautions: what can hurt someone, shown wherever it applies. No threshold here judges a design.

Two grades, meant as ANSI Z535.4 means its words (as makers of labels quote it; the standard itself was not
opened): danger, death or serious injury if it is ignored; caution, minor or moderate injury. What harms a
house or breaks a rule and hurts nobody is a note. Each defers to local code and licensed practice; `words`
says so. `source` names what gives the advice: OSHA's rules bind employers and are named as good practice.
What is known of each source, and how: docs/cautions.md. Editions must be checked with the authority.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mistcalc.checks.shared import PRACTICE
from mistcalc.model.lid_heights import lowest_and_highest
from mistcalc.model.project import Project
from mistcalc.model.results import Audience, Finding, Level

# Pa gauge: 7 bar (100 psi) is quoted as enough to pierce skin by Yim et al. 2022, J. Trauma & Orthopaedics
# 10(4), and J. Clin. Med. 2025 14(1) 72, both after older work.
INJECTION = 7e5
SCALDS = 322.0  # K: from 120 degF (49 degC) water burns skin within minutes; from memory, no source opened
WARM = (298.15, 315.15)  # K: where Legionella grows best; CDC, Developing a Water Management Program, page 5
ELECTRICAL = ("light", "fan", "heater", "speaker", "screen", "outlet")
INJURY = "Verhoeven and Hierner 2008; Yim et al. 2022"
LOCK_OUT = "29 CFR 1910.147"
LADDER = "29 CFR 1926.1053"
EYES = "29 CFR 1910.133; ANSI Z87.1"
DOSED = "NSF/ANSI/CAN 60"


# Of each caution, whose it is and the work before which it is told in short.
_OWNERS: tuple[Audience, ...] = ("owner",)
_FITTERS: tuple[Audience, ...] = ("builder", "installer")
_ALL: tuple[Audience, ...] = (*_FITTERS, "owner")
_FOR: dict[str, tuple[tuple[Audience, ...], str]] = {
    "lock-out": (_ALL, "line call test watch valves sit again keep"),
    "shut-off": (_ALL, "line call test watch valves again keep"),
    "injection": (_ALL, "line call test valves sit again keep measure"),
    "electrical": ((*_ALL, "trades"), "line call sit"),
    "gas-test": (_FITTERS, "line test"),
    "trapped-water": (_FITTERS, "line call test watch valves"),
    "hot-water": (_ALL, "line call keep"),
    "backflow": ((*_FITTERS, "trades"), ""),
    "freezing": (_FITTERS, ""),
    "drilling": ((*_ALL, "trades"), "drill"),
    "ladder": ((*_ALL, "trades"), "drill line call test watch"),
    "chemicals": (_ALL, "call keep"),
    "eyes": ((*_ALL, "trades"), "drill line call test watch"),
    "children": (_OWNERS, "sit keep measure"),
    "legionella": (_ALL, "sit keep"),
    "heat-illness": (_OWNERS, "sit keep measure"),
    "slip": (_OWNERS, "sit keep measure"),
    "lungs": (_OWNERS, "sit keep measure"),
    "wet-plaster": ((*_FITTERS, "trades"), ""),
    "wet-wood": ((*_FITTERS, "trades"), ""),
    "open-slider": (_OWNERS, ""),
    "water-rules": (_OWNERS, ""),
}


def all_cautions(project: Project) -> tuple[Finding, ...]:
    """Every caution that applies to this job: dangers, cautions, notes, the most urgent of each first."""
    return tuple(sorted((_for(finding) for finding in _all(project)), key=lambda finding: finding.rank))


def _for(caution: Finding) -> Finding:
    audience, work = _FOR[caution.code.removeprefix("caution-")]
    return replace(caution, audience=audience, topic="caution", work=tuple(work.split()))  # type: ignore[arg-type]


def injects(project: Project) -> bool:
    """Can a jet of this line pass the skin?"""
    return project.plumbing.working >= INJECTION


def _all(project: Project) -> Iterator[Finding]:
    yield from _of_the_line(project)
    yield from _of_the_work(project)
    yield from _of_the_mist(project)


def _of_the_line(project: Project) -> Iterator[Finding]:
    pump = project.plumbing.pump
    hot = project.plumbing.tube_temperature
    drained = _drained(project)
    powered = tuple(o.name for p in project.patios for o in p.obstacles if o.kind in ELECTRICAL)
    if pump is not None:
        yield _warned(project, "lock-out", "danger", LOCK_OUT, **drained)
    else:
        yield _warned(project, "shut-off", "caution", **drained)
    if injects(project):
        sizes = (project.plumbing.working, INJECTION, "Pa", INJURY)
        yield Finding("caution-injection", "danger", project.name, "pressure", *sizes)
    if pump is not None or powered:
        yield _warned(project, "electrical", "danger", "NEC 210.8", things=powered, **_fed(project))
    yield _warned(project, "gas-test", "danger")
    yield _warned(project, "trapped-water", "danger" if injects(project) else "caution")
    if hot >= SCALDS:
        yield Finding("caution-hot-water", "caution", project.name, "temperature", hot, SCALDS, "K", PRACTICE)
    yield _warned(project, "backflow", "caution", "IRC P2902, IPC 608")
    yield _warned(project, "freezing", "note", hidden=_plastered(project), **drained)


def _of_the_work(project: Project) -> Iterator[Finding]:
    highest = max(lowest_and_highest(patio)[1] for patio in project.patios)
    yield _warned(project, "drilling", "danger", hidden=_plastered(project))
    yield Finding("caution-ladder", "danger", project.name, "height", highest, None, "m", LADDER)
    yield _warned(project, "chemicals", "danger", DOSED)
    yield _warned(project, "eyes", "caution", EYES)
    yield _warned(project, "children", "caution", PRACTICE, **_fed(project))


def _of_the_mist(project: Project) -> Iterator[Finding]:
    sliders = tuple(o.name for p in project.patios for o in p.obstacles if o.kind == "door glass")
    warm = {"low": WARM[0], "high": WARM[1], **_drained(project)}
    yield _warned(project, "legionella", "danger", "CDC; MMWR 65(22), 2016", **warm)
    yield _warned(project, "heat-illness", "danger", "NOAA and OSHA")
    yield _warned(project, "slip", "caution")
    yield _warned(project, "lungs", "caution")
    yield _warned(project, "wet-plaster" if _plastered(project) else "wet-wood", "note")
    if sliders:
        yield _warned(project, "open-slider", "note", things=sliders)
    yield _warned(project, "water-rules", "note")


def _drained(project: Project) -> dict[str, object]:
    """Which sentence about emptying is true of this line."""
    drained = bool(project.plumbing.drains)
    return {"drained": drained, "undrained": not drained}


def _fed(project: Project) -> dict[str, object]:
    """Which sentence about the pump is true of this line."""
    pumped = project.plumbing.pump is not None
    return {"pumped": pumped, "mains": not pumped}


def _plastered(project: Project) -> bool:
    return any(patio.plaster.plastered for patio in project.patios)


def _warned(
    project: Project, name: str, level: Level, source: str = PRACTICE, /, **values: object
) -> Finding:
    return Finding(f"caution-{name}", level, project.name, source=source, values=tuple(values.items()))
