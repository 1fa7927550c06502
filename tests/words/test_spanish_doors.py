"""Each door in Spanish: no sentence of English, nothing cut for want of room, the numbers of the English."""

from __future__ import annotations

import functools
import re
from collections import Counter
from collections.abc import Iterable
from types import SimpleNamespace

import pytest
from streamlit.testing.v1 import AppTest

from mistcalc import design, files
from mistcalc.model.results import Design
from mistcalc.page import store
from mistcalc.page.open_project import VIEWS
from tests.page.test_views import run as run_to_rest
from tests.short_year import one_month
from tests.terminal import run
from tests.test_cli import CALL_BACK, SITE
from tests.words import pseudo
from tests.words.test_language import COMMANDS, TOP, paper, told_on_page, told_on_paper, unquoted, weather
from tests.words.test_spanish import ENGLISH, TRADE, english_words

pytestmark = pytest.mark.thorough

# All three take most of a minute: two have the command of long tests.
ONE_OF_THREE = ["courtyard", *(pytest.param(name, marks=pytest.mark.long) for name in ("bayou", "terraza"))]
MONTHS = ("ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic")
PLAIN = re.compile(r"\b(\d\d)/(\d\d)/(\d{4})\b")  # 03/08/2027, and 8 mar 2027
LETTERS = re.compile(rf"\b(\d\d?) ({'|'.join(MONTHS)}) (\d{{4}})\b")


def in_spanish(name: str) -> str:
    """A demo whose typed texts hold no letter, so that whatever word is read comes from us."""
    return pseudo.project_text(one_month(files.example_text(name))).replace(f'"{pseudo.CODE}"', '"es"')


@functools.cache
def solved(name: str) -> Design:
    project = files.parse_project(in_spanish(name))
    climate = project.place.climate
    return design.run(project, weather(climate) if climate else None)


def assert_spanish(shown: Iterable[tuple[str, str]], besides: Iterable[str] = ()) -> None:
    shown = list(shown)
    assert any(sign in text for _, text in shown for sign in "áéíóúñ")
    found = {
        (where, word, text[:150])
        for where, text in shown
        for word in english_words(text)
        if word in ENGLISH and word not in {*TRADE, *besides}
    }
    assert sorted(found) == []


def numbers(shown: Iterable[tuple[str, str]]) -> Counter[str]:
    """Every number of some texts, but for those of the sheets in the set; a day by its day and year."""
    counted: Counter[str] = Counter()
    for _, text in shown:
        if re.search(r"\bR-\d|^\d+ (of|de) \d+$|(sheet|hoja) \d+ (of|de) \d+$", text):
            continue
        text = PLAIN.sub(lambda day: f"{int(day[2])} {day[3]}", text)
        text = LETTERS.sub(lambda day: f"{day[1]} {day[3]}", text)
        counted.update(re.findall(r"\d+(?:[.,]\d+)*(?:/\d+)?", text))
    return counted


@pytest.mark.parametrize("name", ONE_OF_THREE)
def test_paper_and_lists(name):
    job = solved(name)
    assert_spanish(told_on_paper(job))


@pytest.mark.parametrize("name", ONE_OF_THREE)
def test_numbers_and_code_are_those_of_the_english_set(name):
    """A table that goes on to another sheet repeats its head, so paper is compared number by number."""
    job = solved(name)
    spanish, english = (paper(job, language) for language in ("es", "en"))
    for each in ("marks.csv", "materials.csv"):
        assert numbers([(each, str(spanish[each]))]) == numbers([(each, str(english[each]))])
    assert job.code in str(spanish["summary.txt"]) and job.code in str(english["summary.txt"])
    drawn = [
        numbers((key, text) for key, text in told_on_paper(job, language) if key.endswith("svg"))
        for language in ("es", "en")
    ]
    assert drawn[0].keys() == drawn[1].keys()


def test_the_language_of_a_file_is_not_in_its_code():
    texts = [files.example_text("terraza", language) for language in ("en", "es")]
    codes = {design.run(files.parse_project(text), None).code for text in texts}
    assert len(codes) == 1


@pytest.mark.parametrize("name", files.EXAMPLES)
def test_nothing_is_cut_for_want_of_room(name):
    """A text that has no room ends in an ellipsis. What is typed (here without a Latin letter) may be of any
    length."""
    for language in ("es", "en"):
        told = told_on_paper(solved(name), language)
        cut = [text for key, text in told if key.endswith("svg") and "…" in text]
        assert [text for text in cut if not re.match(".*[Α-Ω]", text)] == [], language


# ------------------------------------------------------------------ the terminal

TYPED = {
    "run",
    "runs",
    "line",
    "mark",
    "from",
    "to",
    "on",
    "off",
    "after",
    "inside",
    "outside",
    "check",
    "write",
}


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help(command, tmp_path):
    done = run(*command.split(), "--help", "--language", "es", cwd=tmp_path)
    assert done.returncode == 0
    assert_spanish([(f"{command} --help", re.sub(r"--[\w-]+|\{[\w,]+\}", "", done.stdout))], TYPED)


def test_help_names_the_languages(tmp_path):
    assert "--language {en,es}" in re.sub(r"\s+", " ", run("plan", "--help", cwd=tmp_path).stdout)


def test_help_and_complaints_follow_the_file_else_the_computer(tmp_path, monkeypatch):
    broken = files.example_text("terraza", "es").replace('depth  = "', 'depht  = "')
    (tmp_path / "casa.toml").write_text(broken, "utf-8")
    assert "No hay clave" in run("plan", "casa.toml", cwd=tmp_path).stderr.replace("Aquí no", "No")
    assert "There is no key" in run("plan", "casa.toml", "--language", "en", cwd=tmp_path).stderr
    monkeypatch.delenv("LC_ALL", raising=False)
    monkeypatch.delenv("LC_MESSAGES", raising=False)
    for told, wanted in (("es_MX.UTF-8", "uso: "), ("C.UTF-8", "usage: "), ("xx_XX", "usage: ")):
        monkeypatch.setenv("LANG", told)
        assert run("--help", cwd=tmp_path).stdout.startswith(wanted)


def test_a_job_at_the_terminal(tmp_path):
    (tmp_path / "casa.toml").write_text(in_spanish("courtyard"), "utf-8")
    told = [
        run("check", "casa.toml", cwd=tmp_path),
        run("plan", "casa.toml", "--out", "hojas", cwd=tmp_path),
        run("season", "casa.toml", cwd=tmp_path),
        run("plan", "no.toml", "--language", "es", cwd=tmp_path),
    ]
    assert [done.returncode for done in told] == [0, 0, 0, 2]
    assert_spanish(((done.stdout[:40], unquoted(done.stdout + done.stderr)) for done in told), {"marks"})


def test_a_new_file_has_its_remarks_in_spanish(tmp_path):
    lengths = ("--run", "9 m", "--run", "5 m", "--depth", "4 m", "--near", "houston")
    made = run("new", "-", *lengths, "--language", "es", cwd=tmp_path).stdout
    assert 'language = "es"' in made
    remarks = re.findall(r"(?m)(?:^|   )# (?!\[|\w+ *=)(.*)", made)
    shown = [("new", re.sub(r"\b\w+ \(", "(", unquoted(one))) for one in remarks]
    assert_spanish(shown, {"in", "house", "open", "wall"})


# ------------------------------------------------------------------ the page


@pytest.fixture
def page(tmp_path, monkeypatch) -> AppTest:
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    return AppTest.from_file(str(TOP / "app.py"), default_timeout=600)


@pytest.mark.parametrize(
    "view", [pytest.param(view, marks=pytest.mark.long if view == "options" else ()) for view in VIEWS]
)
def test_a_view_of_the_page(view, page):
    identity = store.create(in_spanish("courtyard"))
    store.site_log(identity).write_text(SITE + CALL_BACK.replace("99000", "1000"), "utf-8")
    page.query_params["project"], page.query_params["view"] = identity, view
    assert_spanish(told_on_page(run_to_rest(page)), {"marks", "line", "sheet", "sheets"})


def test_the_first_page_speaks_spanish_to_a_browser_that_does(page, monkeypatch):
    monkeypatch.setattr("streamlit.context", SimpleNamespace(locale="es-MX"))
    assert_spanish(told_on_page(page.run()))
