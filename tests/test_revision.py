"""A new revision of a set of sheets, as somebody at the command line meets it: plan --out, then --keep."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from mistcalc import cli, design, files, from_site, words
from mistcalc.design.revision import change_since
from mistcalc.errors import InputError, MistcalcError
from mistcalc.files.earlier_set import read_earlier_set
from mistcalc.model.content_code import code_of_contents
from mistcalc.model.earlier_set import EarlierSet
from mistcalc.model.project import Alternate, Project
from mistcalc.model.results import Design
from mistcalc.report import plan_json
from mistcalc.report.common.change_text import why_moved
from mistcalc.report.common.findings_by_reader import about_lid
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.common.mark_position import wood_missed
from tests import builders

# Sotol Bend, invented: 40 ft between walls, joists as framed 16 in apart but for two.
CENTRES = [14.5 + 16 * n for n in range(30)]
HOUSE = """\
format = 1
name = "Sotol Bend"
[revision]
date = 2027-01-11
[place]
elevation = "3,900 ft"
[[place.afternoon]]
name = "hot"
dry_bulb = "100 degF"
relative_humidity = "15 %"
wind = "8 mph"
[[patio]]
name = "porch"
depth = "12 ft"
[[patio.run]]
name = "A"
length = "40 ft"
framing = {{ centres = [{centres}] }}
{fixed}
[[patio.obstacle]]
name = "Can 1"
kind = "light"
run = "A"
along = "20 ft"
back = "5 ft"
size = "6 in"
{more}
"""
JOB = builders.design()
SECOND = """\
[[patio]]
name = "walk"
depth = "8 ft"
[[patio.run]]
name = "B"
length = "22 ft"
"""


def house(centres: list[float] = CENTRES, fixed: str = "", more: str = "") -> str:
    return HOUSE.format(centres=", ".join(f'"{c} in"' for c in centres), fixed=fixed, more=more)


def project(text: str, folder: Path, name: str = "sotol.toml") -> Path:
    path = folder / name
    path.write_text(text)
    return path


def run(*arguments: str | Path, capsys) -> tuple[int, str, str]:
    code = cli.main([str(a) for a in arguments])
    out, err = capsys.readouterr()
    return code, out, err


def laid(text: str, *drilled: str, keep: Path | None = None, folder: Path) -> Design:
    """A job as `plan` makes it; the line and the air of another, which nothing here reads."""
    file = project(text, folder)
    log = files.site_log_path(file)
    log.unlink(missing_ok=True)
    if drilled:
        log.write_text("".join(f"{line}\n" for line in drilled))
    keep_in = None if keep is None else str(keep)
    project_, before = from_site.revision_of(files.read_project(file), file, keep_in, None)
    pairs = design.lay_all(project_, before)
    layouts = tuple(layout for layout, _ in pairs)
    job = replace(
        JOB, project=project_, layouts=layouts, findings=tuple(f for _, found in pairs for f in found),
        change=None if before is None else change_since(before, project_, layouts),
    )  # fmt: skip
    return replace(job, code=code_of_contents(job, before))


def drilled(mark: str, along: str, field: str = "measured") -> str:
    return json.dumps({"when": "2027-01-20T09:00", "mark": mark, "field": f"mark {field}", "value": along})


def written(job: Design, folder: Path) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "plan.json").write_text(plan_json(job))
    return folder


def places(job: Design) -> dict[str, float]:
    return {mark.name: mark.along / 0.0254 for layout in job.layouts for mark in layout.marks}


@pytest.fixture(scope="module")
def first(tmp_path_factory) -> tuple[Path, Design]:
    folder = tmp_path_factory.mktemp("first")
    job = laid(house(more=SECOND), folder=folder)
    return written(job, folder / "A"), job


def joist_onto(job: Design, mark: str) -> list[float]:
    """The joists with the one nearest a mark found where that mark is."""
    place = places(job)[mark]
    near = min(range(len(CENTRES)), key=lambda n: abs(CENTRES[n] - place))
    return [*CENTRES[:near], place, *CENTRES[near + 1 :]]


@pytest.mark.thorough
def test_one_joist_and_one_hole_move_two_marks(first, tmp_path, capsys) -> None:
    """The whole command: two of all the marks on two patios, told on the terminal and in plan.json."""
    old, before = first
    was = places(before)
    off = f"{was['A4'] - 1.5} in"
    file = project(house(joist_onto(before, "A9"), more=SECOND), tmp_path)
    log = tmp_path / "phone.jsonl"
    log.write_text(drilled("A4", off) + "\n" + drilled("B2", f"{was['B2']} in") + "\n")
    code, out, _ = run("plan", file, "--keep", old, "--site", log, "--out", tmp_path / "B", capsys=capsys)
    told = " ".join(out.split())
    assert code in (cli.FINE, cli.FAILING)
    assert f"2 of {len(was)} marks moved since A: A4" in told and "as drilled; A9" in told
    assert f"The other {len(was) - 2} stand." in told
    tree = json.loads((tmp_path / "B" / "plan.json").read_text())
    assert tree["revision"] == "B" and [one["letter"] for one in tree["revisions"]] == ["A", "B"]
    assert tree["revisions"][0]["code"] == before.code != tree["code"]
    assert [one["date"] for one in tree["revisions"]] == ["2027-01-11", None]  # the file's date is of A
    assert {one["name"]: one["why"] for one in tree["changes"]["marks"]} == {"A4": "drilled", "A9": "member"}
    assert [one["kind"] for one in tree["changes"]["things"]] == ["member"]
    now = {mark["name"]: mark["along_m"] / 0.0254 for mark in tree["marks"]}
    assert {name for name in was if abs(now[name] - was[name]) > 1e-6} == {
        "A4",
        "A9",
    } and now.keys() == was.keys()
    assert {mark["name"] for mark in tree["marks"] if mark["drilled"]} == {"A4", "B2"}
    assert "mark measured" in (tmp_path / "sotol.site.jsonl").read_text()  # what the phone sent is in the log


def test_a_drilled_hole_is_not_told_to_miss_joists_that_nobody_stated(first, tmp_path) -> None:
    old, before = first
    was = places(before)
    holes = [drilled(name, f"{was[name] - 1.5} in") for name in ("A4", "B2")]
    job = laid(house(more=SECOND), *holes, keep=old, folder=tmp_path)
    told = {one.name: why_moved(one, "A", Locale("us", "en")) for one in job.change.marks}
    assert "Clear of the framing by" in told["A4"]
    assert told["B2"] == "Drilled 1-1/2 in nearer the datum than A has it. Kept: no second hole."


def test_a_mark_that_could_not_be_drilled_is_told_until_it_moves(first, tmp_path) -> None:
    """A crew met a joist at A9, where the file has none: with the joists as before the mark stands on it, and
    no sheet says that every hole misses the framing; with that joist in the file the mark moves."""
    old, before = first
    cannot = drilled("A9", "joist in the way", "cannot")
    entries = files.parse_site_log(cannot)
    said = {}
    for name, centres in (("as before", CENTRES), ("measured", joist_onto(before, "A9"))):
        job = design.with_holes(laid(house(centres, more=SECOND), cannot, keep=old, folder=tmp_path), entries)
        found = [words.say(finding) for finding in job.findings if finding.code == "built-cannot"]
        of_mark = [f.code for f in about_lid(job.findings, "porch") if f.value("mark") == "A9"]
        assert of_mark[: len(found)] == ["built-cannot"] * len(
            found
        )  # the sheet says so, under what to look at
        said[name] = (found, wood_missed(job.layouts[0], Locale("us", "en"), ()))
    assert len(said["as before"][0]) == 1 and "A9 could not be drilled" in said["as before"][0][0]
    assert "At 1 of" in said["as before"][1] and "Every hole" not in said["as before"][1]
    assert said["measured"][0] == [] and "Every hole misses" in said["measured"][1]
    assert not [f for f in design.with_holes(before, entries).findings if f.code == "built-cannot"]


def test_the_jobs_own_column_of_a_bid_is_of_its_own_marks(first) -> None:
    """Those that a revision keeps, not those of the same lid laid afresh."""
    _, before = first
    fewer = tuple(replace(one, marks=one.marks[:-1]) for one in before.layouts)
    named = replace(before.project, alternates=(Alternate("as stated", ()),))
    kept = replace(before, project=named, layouts=fewer)
    own, other = design.with_bids(kept, (named,), None).bids
    assert own.marks == other.marks - len(fewer)


def test_laid_afresh_nothing_is_told_of_a_set_before(first) -> None:
    tree = json.loads((first[0] / "plan.json").read_text())
    assert tree["changes"] is None and tree["retired"] == [] and len(tree["revisions"]) == 1


def test_names_are_never_used_again(first, tmp_path) -> None:
    """A shorter run loses its last mark; a longer one gets a new name for the place it had."""
    old, before = first
    short = house(more=SECOND).replace('length = "40 ft"', 'length = "33 ft"')
    second = laid(short, keep=old, folder=tmp_path)
    lost = places(before).keys() - places(second).keys()
    assert lost and second.change is not None and set(second.change.retired) == lost
    assert {c.name for c in second.change.marks if c.now is None} == lost
    third = laid(house(more=SECOND), keep=written(second, tmp_path / "B"), folder=tmp_path)
    assert third.project.revision.letter == "C" and third.change is not None
    assert [one.letter for one in third.change.revisions] == ["A", "B"]
    assert not lost & places(third).keys() and lost <= set(third.change.retired)
    assert places(second).items() <= places(third).items()  # all that stood stands
    assert any(change.why == "added" for change in third.change.marks)


def test_nothing_moved(first, tmp_path) -> None:
    old, before = first
    again = laid(house(more=SECOND), keep=old, folder=tmp_path)
    assert places(again) == pytest.approx(places(before)) and again.change is not None
    assert again.change.marks == again.change.things == () and again.change.standing == len(places(before))
    assert again.code != before.code  # it is another set of sheets: B, not A


@pytest.mark.parametrize(("off", "stands"), [(0.25, True), (-0.25, True), (0.375, False)])
def test_a_hole_within_a_quarter_inch_stands(first, tmp_path, off, stands) -> None:
    """1/4 in along is held (the rule on the sheets, typed here): such a hole changes no figure on paper."""
    old, before = first
    place = places(before)["A6"]
    job = laid(house(more=SECOND), drilled("A6", f"{place + off} in"), keep=old, folder=tmp_path)
    assert places(job)["A6"] == pytest.approx(place if stands else place + off)
    assert job.change is not None and bool(job.change.marks) is not stands
    assert next(m for layout in job.layouts for m in layout.marks if m.name == "A6").drilled


def test_a_hole_in_wood_stays_and_is_told(first, tmp_path) -> None:
    old, before = first
    place = places(before)["A6"]
    text = house(joist_onto(before, "A6"), more=SECOND)
    job = laid(text, drilled("A6", f"{place} in", "drilled"), keep=old, folder=tmp_path)
    assert places(job) == pytest.approx(places(before))
    assert "drilled-in-member" in {finding.code for finding in job.findings}
    assert job.layouts[0].holes.stop_drilled == ("A6",)


def test_a_new_letter_in_the_file_is_taken_with_its_date(first, tmp_path) -> None:
    text = house(more=SECOND).replace("[revision]", '[revision]\nletter = "C"').replace("01-11", "02-03")
    job = laid(text, keep=first[0], folder=tmp_path)
    assert (job.project.revision.letter, str(job.project.revision.date)) == ("C", "2027-02-03")


def test_a_plan_json_of_before_there_were_revisions_reads(first, tmp_path) -> None:
    """Such a one has no `revisions`, `retired`, `things` or `changes`: marks are kept all the same."""
    old, before = first
    tree = json.loads((old / "plan.json").read_text())
    for key in ("revisions", "retired", "things", "changes"):
        del tree[key]
    (tmp_path / "plan.json").write_text(json.dumps(tree))
    job = laid(house(joist_onto(before, "A9"), more=SECOND), keep=tmp_path, folder=tmp_path)
    assert job.change is not None and [change.name for change in job.change.marks] == ["A9"]
    assert job.change.things == () and job.change.marks[0].cause is None
    assert [(r.letter, r.code) for r in job.change.revisions] == [("A", before.code)]


# ------------------------------------------------------------------ what cannot be kept


def said(text: str, *lines: str, keep: Path, out: str | None = None, folder: Path) -> str:
    file = project(text, folder)
    files.site_log_path(file).write_text("".join(f"{line}\n" for line in lines))
    with pytest.raises(MistcalcError) as caught:
        from_site.revision_of(files.read_project(file), file, str(keep), out)
    sentence = words.say(caught.value)
    assert sentence.count("\n") == 0
    return sentence


def test_one_sentence_for_each_set_that_cannot_be_kept(first, tmp_path) -> None:
    old, _ = first
    text = house(more=SECOND)
    assert "There is no plan.json in this folder" in said(text, keep=tmp_path, folder=tmp_path)
    assert "There is no plan.json" in said(text, keep=tmp_path / "nowhere", folder=tmp_path)
    assert "would be written over" in said(text, keep=old, out=f"{old}/../A", folder=tmp_path)
    other = text.replace("Sotol Bend", "Yucca Flat")
    assert 'of "Sotol Bend" and this file of "Yucca Flat"' in said(other, keep=old, folder=tmp_path)
    whole = (old / "plan.json").read_text()
    tree = json.loads(whole)
    for wrong, told in (
        (whole[: len(whole) // 2], "is damaged"),
        ("[]", "damaged"),
        ("", "damaged"),
        (json.dumps({**tree, "schema": 2}), "A newer mistcalc wrote this"),
        (json.dumps({**tree, "marks": 3}), "What does not hold is at marks."),
        (json.dumps({**tree, "marks": [{**tree["marks"][0], "along_m": 1e999}]}), "at marks/0/along_m"),
        (json.dumps({**tree, "marks": [{**tree["marks"][0], "name": 4}]}), "at marks/0/name"),
        (json.dumps({**tree, "marks": [tree["marks"][0]] * 2}), "at marks."),
        (json.dumps({**tree, "revisions": [{"letter": "A", "date": "soon"}]}), "at revisions/0/date"),
        (json.dumps({**tree, "things": [{"kind": "cloud"}]}), "at things/0/"),
    ):
        (tmp_path / "broken").mkdir(exist_ok=True)
        (tmp_path / "broken" / "plan.json").write_text(wrong)
        assert told in said(text, keep=tmp_path / "broken", folder=tmp_path), wrong[:80]


def test_one_sentence_for_each_hole_that_cannot_be_kept(first, tmp_path) -> None:
    old, before = first
    text = house(more=SECOND)
    assert "neither set A nor the project file has such a mark" in said(
        text, drilled("A99", "20 ft"), keep=old, folder=tmp_path
    )
    with_it = house(fixed='fixed = [ { name = "A99", along = "20 ft", drilled = true } ]', more=SECOND)
    job = laid(with_it, drilled("A99", "20 ft"), keep=old, folder=tmp_path)
    assert places(job)["A99"] == pytest.approx(240)
    elsewhere = text + 'fixed = [ { name = "A3", along = "10 ft" } ]\n'
    assert "A3 is drilled on run A, and the project file fixes a mark of that name on run B" in said(
        elsewhere, drilled("A3", "9 ft"), keep=old, folder=tmp_path
    )
    renamed = text.replace('name = "B"', 'name = "C"')
    assert "B2 is drilled on run B, and the project file has no such run" in said(
        renamed, drilled("B2", "5 ft"), keep=old, folder=tmp_path
    )
    tree = json.loads((old / "plan.json").read_text())
    (tmp_path / "plan.json").write_text(json.dumps({**tree, "retired": ["A77"]}))
    assert "drilled from older paper" in said(text, drilled("A77", "9 ft"), keep=tmp_path, folder=tmp_path)
    assert not any(m.drilled for layout in before.layouts for m in layout.marks)


def test_exit_code_and_no_log_touched_where_it_cannot_be_kept(first, tmp_path, capsys) -> None:
    file = project(house(more=SECOND), tmp_path)
    log = tmp_path / "phone.jsonl"
    log.write_text(drilled("A99", "20 ft") + "\n")
    code, out, err = run("plan", file, "--keep", first[0], "--site", log, capsys=capsys)
    assert (code, out) == (cli.UNUSABLE, "") and "A99" in err and len(err.splitlines()) == 1
    assert not files.site_log_path(file).exists()
    code, _, err = run("plan", file, "--site", log, capsys=capsys)
    assert code == cli.UNUSABLE and "--keep" in err


def test_what_is_written_reads_back(first) -> None:
    old, before = first
    kept = read_earlier_set(old)
    marks = [m for layout in before.layouts for m in layout.marks]
    assert [(m.name, m.run, m.patio) for m in kept.marks] == [(m.name, m.run, m.patio) for m in marks]
    assert [m.along for m in kept.marks] == pytest.approx([m.along for m in marks])
    assert kept.revision.letter == "A" and kept.revision.code == before.code
    members = [t.along / 0.0254 for t in kept.things or () if (t.kind, t.run) == ("member", "A")]
    assert members == pytest.approx(CENTRES)
    with pytest.raises(InputError):
        design.revised(before.project, kept.__class__("another", kept.revisions, kept.marks))


def test_a_project_file_names_the_set_that_its_crew_works_from(first, tmp_path, capsys) -> None:
    """Without the option on every command; and no file reaches out of its own folder."""
    old, before = first
    shutil.copytree(old, tmp_path / "set-A")
    moved = house(joist_onto(before, "A9"), more=SECOND)

    def kept(folder: str) -> tuple[Project, EarlierSet | None]:
        text = moved.replace("[revision]\n", f'[revision]\nkeep = "{folder}"\n')
        assert text != moved
        file = project(text, tmp_path)
        return from_site.revision_of(files.read_project(file), file, None, None)

    revised, found = kept("set-A")
    assert found == read_earlier_set(old) and revised.revision.letter == "B" and revised.revision.keep == ""
    for folder in ("../set-A", str(old), ".", "a/../.."):
        with pytest.raises(InputError) as caught:
            kept(folder)
        assert "leads out of this file's folder" in words.say(caught.value)
    with pytest.raises(MistcalcError) as caught:
        kept("set-B")
    assert "no plan.json" in words.say(caught.value)


def test_a_set_whose_marks_stood_elsewhere_is_not_written_over_in_silence(first, tmp_path) -> None:
    old, before = first
    job = laid(house(joist_onto(before, "A9"), more=SECOND), folder=tmp_path)
    told = from_site.replaced_set(job, old)
    assert told is not None and (told.letter, told.code) == ("A", before.code)
    assert from_site.replaced_set(laid(house(more=SECOND), folder=tmp_path), old) is None  # as it was
    assert (
        from_site.replaced_set(
            laid(house(joist_onto(before, "A9"), more=SECOND), keep=old, folder=tmp_path), old
        )
        is None
    )
    assert from_site.replaced_set(job, tmp_path / "new") is None
