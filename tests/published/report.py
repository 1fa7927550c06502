"""docs/validation from the published tests: `python -m tests.published.report` runs them and writes it.

`--check` writes nothing and fails when the committed pages are not what the tests say now. Pages written
by hand or by another program may lie in the same folder: the index links them.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

from tests.published import cases, chart, field_cases
from tests.published.cases import READ, SUBJECTS, Case, Source

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "validation"
MARK = "<!-- written by `python -m tests.published.report`; change the tests, not this page -->\n"
NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?")

HEAD = """# Held against others

Every published figure this program is tested against: theirs, ours, how far apart, how far apart they may
be, and why. {count} comparisons with {sources} sources; {failed}.

How to read it. *Deviation* is ours less theirs. *Used* is the share of the tolerance it takes up: 0 % is
dead on, 100 % just allowed. A tolerance is what the source itself allows (its last digit, its scatter, what
it left unsaid), set before the comparison and never widened afterwards. A row over many states shows the
worst of them. The page of a source says how its figures came here; what is quoted from memory deserves a
second look with the book open.

What this does not show. A figure that agrees says that an equation is typed right and fits the case it was
measured in. It does not say that your patio is that case: the field studies, where a whole answer is
compared, have wide tolerances because their weather or nozzles were not told in full. They stand together,
with those that could not be compared, in [field cases](field-cases.md). Limits of each model:
[theory](../theory.md).
"""


def run() -> list[Case]:
    """Run the published tests in this process; their comparisons, in the order of the files."""
    cases.RECORDED.clear()
    here = str(Path(__file__).parent)
    outcome = pytest.main([here, "-q", "-p", "no:cacheprovider", "-p", "no:xdist", "-m", "not long"])
    if outcome != pytest.ExitCode.OK and not any(not case.passes for case in cases.RECORDED):
        raise SystemExit(f"the published tests did not run: {outcome!r}")
    return list(cases.RECORDED)


def pages(recorded: list[Case], beside: Path = FOLDER) -> dict[str, str]:
    """Name to text of everything in the folder that the tests decide."""
    grouped: dict[str, list[Case]] = {}
    sources: dict[str, Source] = {}
    for case in recorded:
        name = case.source.page
        if sources.setdefault(name, case.source) is not case.source:
            raise ValueError(f"two sources share the page {name}")
        grouped.setdefault(name, []).append(case)
    order = sorted(sources.values(), key=lambda s: (SUBJECTS.index(s.subject), s.title))
    made = {}
    for source in order:
        made[f"{source.page}.md"] = _page(source, grouped[source.page])
        made[f"{source.page}.svg"] = chart.picture(source.title, grouped[source.page])
    if studies := field_cases.page(order, grouped, _figures, MARK):
        made[field_cases.PAGE] = studies
    made["README.md"] = _index(order, grouped, _others(beside, made))
    return made


def _page(source: Source, held: list[Case]) -> str:
    return "\n".join(
        [
            f"# {source.title}\n",
            MARK,
            f"Source: {source.cite.rstrip('.')}.\n",
            f"Figures read {READ[source.read]}.\n",
            *([f"Limits: {source.limits}\n"] if source.limits else []),
            f"![Our figures beside theirs]({source.page}.svg)\n",
            "| what | theirs | ours | deviation | tolerance | used | why this tolerance |",
            "|---|--:|--:|--:|--:|--:|---|",
            *(_row(case) for case in held),
            "\n[All sources](README.md)\n",
        ]
    )


def _row(case: Case) -> str:
    theirs, ours, deviation, used = _figures(case)
    what = case.what if case.ours.size == 1 else f"{case.what} (worst of {case.ours.size})"
    cells = (what, theirs, ours, deviation, case.tolerance, used, case.because)
    return "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


def _figures(case: Case) -> tuple[str, str, str, str]:
    """Theirs, ours, deviation and used at the worst place, no finer than the tolerance makes sense of."""
    i = case.worst
    ours, low, high = (float(v.flat[i]) for v in (case.ours, case.low, case.high))
    used = f"{abs(float(case.share.flat[i])):.0%}".replace("%", " %")
    verdict = "" if case.passes else " **outside**"
    if case.tolerance == "the same":
        return "", "the same" if case.passes else "other", "", used + verdict
    places = max(0, 1 - _power((high - low) / 2))
    unit = f" {case.unit}" if case.unit else ""
    told = "" if case.theirs is None else f"{float(case.theirs.flat[i]):.7g}{unit}"
    shown = f"{ours:.{places}f}{unit}" if places <= 6 else f"{ours:.7g}{unit}"
    if case.theirs is None:
        return told, shown, "", used + verdict
    off = ours - float(case.theirs.flat[i])
    if case.relative:
        share = 100 * off / abs(float(case.theirs.flat[i]))
        room = 100 * (high - low) / 2 / abs(float(case.theirs.flat[i]))
        return told, shown, _signed(share, room) + " %", used + verdict
    return told, shown, _signed(off, (high - low) / 2) + unit, used + verdict


def _signed(value: float, room: float) -> str:
    places = max(0, 1 - _power(room))
    text = f"{value:+.{places}f}" if places <= 8 else f"{value:+.1e}"
    return "0" if float(text) == 0 or abs(value) < room / 200 else text


def _power(value: float) -> int:
    return int(f"{value:e}".split("e")[1]) if value > 0 else -4


def _index(order: list[Source], grouped: dict[str, list[Case]], others: list[tuple[str, str]]) -> str:
    every = [case for held in grouped.values() for case in held]
    failed = [case for case in every if not case.passes]
    told = "all within tolerance" if not failed else f"**{len(failed)} outside tolerance**"
    lines = [HEAD.format(count=len(every), sources=len(order), failed=told), MARK]
    for subject in SUBJECTS:
        here = [source for source in order if source.subject == subject]
        if not here:
            continue
        lines += [
            f"## {subject}\n",
            "| source | what | deviation | tolerance | used |",
            "|---|---|--:|--:|--:|",
        ]
        for source in here:
            for n, case in enumerate(grouped[source.page]):
                name = f"[{source.title}]({source.page}.md)" if n == 0 else ""
                _, _, deviation, used = _figures(case)
                cells = (name, case.what, deviation, case.tolerance, used)
                lines.append("| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |")
        lines.append("")
    if others:
        lines += ["## More\n", *(f"- [{title}]({name})" for name, title in others), ""]
    return "\n".join(lines)


def _others(folder: Path, made: dict[str, str]) -> list[tuple[str, str]]:
    """Pages beside ours that do not bear our mark: file name and first heading."""
    found = []
    for path in sorted(folder.glob("*.md")):
        text = path.read_text(encoding="utf-8")
        if path.name not in made and path.name != "README.md" and MARK not in text:
            found.append((path.name, text.split("\n", 1)[0].lstrip("# ")))
    return found


def alike(first: str, second: str) -> bool:
    """The same text, each number within one unit of its last printed digit: machines round differently."""
    if NUMBER.sub("#", first) != NUMBER.sub("#", second):
        return False
    pairs = zip(NUMBER.findall(first), NUMBER.findall(second), strict=True)
    return all(a == b or abs(float(a) - float(b)) <= 1.001 * max(_unit(a), _unit(b)) for a, b in pairs)


def _unit(number: str) -> float:
    mantissa, _, power = number.partition("e")
    return 10.0 ** (int(power or 0) - len(mantissa.partition(".")[2]))


def stale(made: dict[str, str], folder: Path = FOLDER) -> list[str]:
    """Names of pages that are missing, out of date, or ours and no longer made."""
    wrong = [
        name
        for name, text in made.items()
        if not (folder / name).is_file() or not alike((folder / name).read_text(encoding="utf-8"), text)
    ]
    pictures = [path.name for path in folder.glob("*.svg") if path.name not in made]
    return sorted([*wrong, *(name for name in pictures if _ours(folder, name)), *_left_over(folder, made)])


def _left_over(folder: Path, made: dict[str, str]) -> list[str]:
    return [
        p.name for p in folder.glob("*.md") if p.name not in made and MARK in p.read_text(encoding="utf-8")
    ]


def _ours(folder: Path, picture: str) -> bool:
    page = (folder / picture).with_suffix(".md")
    return page.is_file() and MARK in page.read_text(encoding="utf-8")


def main(arguments: list[str]) -> int:
    made = pages(run())
    old = stale(made)
    if "--check" in arguments:
        print("\n".join(f"out of date: {name}" for name in old) or "docs/validation is current")
        return 1 if old else 0
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name in set(old) - made.keys():
        (FOLDER / name).unlink()
    for name, text in made.items():
        (FOLDER / name).write_text(text, encoding="utf-8")
    print(f"{len(made)} pages written to {FOLDER}, {len(old)} of them new or changed")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
