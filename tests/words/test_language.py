"""No door says a word of English that does not come from `words`, and each speaks the language asked for."""

from __future__ import annotations

import base64
import csv
import functools
import html
import importlib
import io
import json
import re
import shutil
import tomllib
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import ezdxf
import pytest
from google.protobuf.message import Message
from pypdf import PdfReader
from streamlit.testing.v1 import AppTest

from mistcalc import design, files, options, report, words
from mistcalc.errors import InputErrors
from mistcalc.files.project.key_specs import TableListSpec, TableSpec, ValueSpec
from mistcalc.files.project.schema import ROOT
from mistcalc.model.results import Design, Weather
from mistcalc.page import store
from mistcalc.page.open_project import VIEWS
from tests import hostile, random_projects
from tests.fleet import subdivision
from tests.page.test_views import run as run_to_rest
from tests.report import jobs
from tests.short_year import one_month, one_way_in_twelve
from tests.terminal import run
from tests.test_bad_input import REFUSED
from tests.test_cli import CALL_BACK, SITE
from tests.words import pseudo

pytestmark = pytest.mark.thorough

TOP = Path(__file__).resolve().parents[2]

Shown = Iterable[tuple[str, str]]  # where, what


@pytest.fixture(scope="module", autouse=True)
def accented(tmp_path_factory) -> Iterator[Path]:
    """The accented language beside English, in a folder as the package's own is."""
    say = importlib.import_module("mistcalc.words.sentences")
    folder = tmp_path_factory.mktemp("words")
    pseudo.write_language(folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(say, "_folder", lambda: folder)
        say._sentences.cache_clear()
        yield folder
    say._sentences.cache_clear()


def assert_no_english(shown: Shown, besides: Iterable[str] = ()) -> None:
    """Fails with every word of English, where it stands and in what."""
    lines = [(where, line) for where, text in shown for line in text.splitlines()]
    assert any(sign in line for _, line in lines for sign in "áéíóú"), "nothing is in the accented language"
    found: dict[str, str] = {}
    for where, line in lines:
        for word in pseudo.english(line, besides):
            found.setdefault(word, f"{word!r} in {where}: {line.strip()[:150]}")
    assert not found, "\n".join(found.values())


@functools.cache
def weather(climate: str = "el-paso") -> Weather:
    return files.read_climate(files.climate_path(climate, None))


def solved(text: str) -> Design:
    project = files.parse_project(pseudo.project_text(text))
    climate = project.place.climate
    return design.run(project, weather(climate) if climate else None)


@functools.cache
def demo(name: str) -> Design:
    return solved(one_month(files.example_text(name)))


# ------------------------------------------------------------------ paper and lists

_written: dict[tuple[int, str | None], tuple[Design, dict[str, str | bytes]]] = {}


def paper(job: Design, language: str | None = None) -> dict[str, str | bytes]:
    """What `plan --out` writes, once a job and language."""
    known = (id(job), language)
    if known not in _written:
        _written[known] = (job, report.contents(job, language=language))
    return _written[known][1]


def told_on_paper(job: Design, language: str | None = None) -> Iterator[tuple[str, str]]:
    """Every text of what `plan --out` writes for people, in the project's language or another.

    plan.json, picture.csv and line.inp are for other programs, in names that docs/plan-json.md and
    the engine's manual list."""
    made = paper(job, language)
    for name, content in made.items():
        if name.endswith(".svg"):
            drawn = ET.fromstring(content)
            yield from ((name, one.text or "") for one in drawn.iter() if not one.tag.endswith("style"))
        elif name in ("marks.csv", "materials.csv", "cuts.csv"):
            rows = csv.reader(io.StringIO(content if isinstance(content, str) else content.decode()))
            yield from ((name, cell) for row in rows for cell in row)
    yield "summary.txt", str(made["summary.txt"])


def check_paper(job: Design) -> None:
    climate = job.air_source.partition(".")[0]  # a file's name
    assert_no_english(told_on_paper(job), [job.code, *given([climate])])


def test_paper_and_lists():
    check_paper(demo("courtyard"))


def test_drawing_for_cad_and_what_the_pdf_says_of_itself():
    job = demo("courtyard")
    made = paper(job)
    drawing = ezdxf.read(io.StringIO(bytes(made["lid.dxf"]).decode()))  # type: ignore[arg-type]
    spaces = (drawing.modelspace(), *drawing.blocks)
    texts = [one.dxf.text for space in spaces for one in space.query("TEXT DIMENSION")]
    about = PdfReader(io.BytesIO(made["sheets-builder.pdf"])).metadata or {}  # type: ignore[arg-type]
    told = [
        *(("lid.dxf", text) for text in texts),
        *(("sheets-builder.pdf", about[key]) for key in ("/Title",)),
    ]
    assert_no_english(told, [job.code])


@pytest.mark.long
@pytest.mark.parametrize("name", ["bayou", "terraza", *jobs.TEXTS])
def test_paper_and_lists_of_the_other_houses(name):
    check_paper(demo(name) if name in files.EXAMPLES else solved(jobs.TEXTS[name]))


@pytest.mark.long
@pytest.mark.parametrize("seed", range(10))
def test_paper_and_lists_of_random_houses(seed):
    check_paper(solved(random_projects.project_text(seed)))


# ------------------------------------------------------------------ the terminal

COMMANDS = ("new", "check", "plan", "season", "options", "fleet", "page")
TYPED = {  # what is typed as it stands in every language
    *COMMANDS, *files.EXAMPLES, "inside", "outside", "us", "metric", "en", pseudo.CODE, "csv", "toml",
    *(f"-{name}" for name in "h"), "help", "version", "language", "units", "json", "out", "climate", "site",
    "share", "keep", "example", "mirror", "from",
    "map", "scale-check", "run", "depth", "corner", "near", "port", "host", "secrets", "pole", "sheets",
    "roll",
    "also", "ifc", "parquet",
    "find", "rule", "find-rule", "most", "water", "most-water", "motor", "floor", "cost",
    "fleet", "lots", "processes", "scheduler",
}  # fmt: skip


def test_a_fleet(tmp_path):
    """Its terminal, page and tables; what keeps lots from an answer among it."""
    subdivision.small_plan(tmp_path / "small.toml", name="ŜÚ")
    heads = ("lot", "plan", "mirrored", "facing", "climate", "line.nozzle.opens_at", "options")
    rows = [(1, "small.toml", "yes", "W", "", "", ""), (2, "small.toml", "", "E", "", "3.99 bar", "")]
    rows += [(3, "small.toml", "oui", "", "", "", ""), (4, "small.toml", "", "up", "", "", "")]
    rows += [(5, "small.toml", "", "", "mars", "", ""), (5, "", "", "", "", "", "")]
    rows += [(6, "small.toml", "", "", "", "", "pool"), (7, "small.toml", "yes", "N", "", "", "")]
    subdivision.table(tmp_path / "lots.csv", heads, rows)
    command = ("fleet", "lots.csv", "--out", "out", "--processes", "1")
    done = run(*command, "--language", pseudo.CODE, cwd=tmp_path)
    page, lots, orders = (
        (tmp_path / "out" / name).read_text("utf-8") for name in ("index.html", "lots.csv", "orders.csv")
    )
    page = html.unescape(re.sub(r"(?s)<style>.*?</style>|<[^>]*>", " ", page))
    told = [("terminal", done.stdout), ("page", page), ("orders.csv", orders)]
    told.append(("lots.csv", re.sub(r",[0-9a-f]{10},", ",", lots)))  # a design's key
    besides = {"oui", "up", "mars", "pool", "small", "yes", "no", "orders", "index", "html"}
    assert_no_english(told, TYPED | {*keys(), *given(files.climate_sample_names()), *besides})


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help(command, tmp_path):
    done = run(*command.split(), "--help", "--language", pseudo.CODE, cwd=tmp_path)
    assert done.returncode == 0
    assert_no_english([(f"{command} --help", done.stdout)], TYPED)


@pytest.mark.parametrize(
    "arguments",
    [
        ("plan",), ("plan", "house.toml", "--paper"), ("plan", "house.toml", "--units", "feet"),
        ("plan", "house.toml", "--out"), ("new", "house", "--example", "palace"), ("new", "house"),
        ("new", "house", "--run", "38", "--depth", "9 ft"),
        ("new", "house", "--run", "9 ft", "--depth", "1 km"),
        ("new", "..", "--example", "bayou"), ("plan", "none.toml"), ("check", "none.toml"), ("plan", "."),
        ("page", "none.toml"), ("page", "--port", "high"), ("page", "--host", "0.0.0.0"),
    ],
)  # fmt: skip
def test_a_command_line_of_no_use(arguments, tmp_path):
    done = run(*arguments, "--language", pseudo.CODE, cwd=tmp_path)
    assert done.returncode == 2
    assert_no_english(
        [(" ".join(arguments), unquoted(done.stderr))], TYPED | {"my-house", *keys()} | given(arguments)
    )


def unquoted(text: str) -> str:
    """Without what stands in quotes, which is to be typed as it stands."""
    return re.sub(r"\"[^\"]*\"|'[^']*'", "", text)


def given(texts: Iterable[str]) -> set[str]:
    return {word for text in texts for word in pseudo.WORD.findall(text)}


def keys(table: TableSpec = ROOT) -> Iterator[str]:
    """Words of the project file's own: keys and choices."""
    for key, entry in table.keys.items():
        yield key
        if isinstance(entry, ValueSpec):
            yield from entry.choices
        else:
            yield from keys(entry.table if isinstance(entry, TableListSpec) else entry)


@pytest.fixture(scope="module")
def sound() -> str:
    return files.example_text("terraza")


@pytest.mark.parametrize(("old", "new"), [case[:2] for case in REFUSED if "language" not in case[0]])
def test_a_mistake_in_a_project_file(old, new, sound):
    with pytest.raises(InputErrors) as caught:
        files.parse_project(sound.replace(old, new, 1), "casa.toml")
    said = words.say(caught.value, "us", pseudo.CODE)
    assert_no_english([(new, unquoted(said))], given([*keys(), new, "casa.toml", "pergola Lamp bench hot"]))


def test_new_files_say_the_same_with_other_remarks(tmp_path):
    lengths = ("--run", "9 m", "--run", "5 m", "--depth", "4 m", "--near", "houston")
    plain, other = (
        run("new", "-", *lengths, *more, cwd=tmp_path).stdout for more in ((), ("--language", pseudo.CODE))
    )
    house, patio = (words.label(f"new_file.{key}", language=pseudo.CODE) for key in ("name", "patio_name"))
    wanted = {**tomllib.loads(plain), "name": house, "language": pseudo.CODE}
    wanted["patio"][0]["name"] = patio
    assert tomllib.loads(other) == wanted
    remarks = re.findall(r"(?m)(?:^|   )# (?!\[|\w+ *=)(.*)", other)
    assert len(remarks) > 30
    assert_no_english((("new", unquoted(one)) for one in remarks), given(["climate house.epw"]))
    assert run("new", "house", *lengths, "--language", pseudo.CODE, cwd=tmp_path).returncode in (0, 1)
    project = files.read_project(tmp_path / "house.toml")
    assert project.language == pseudo.CODE


def test_a_job_at_the_terminal(tmp_path):
    text = one_month(files.example_text("courtyard"))
    (tmp_path / "house.toml").write_text(pseudo.project_text(text), "utf-8")
    told = [
        run("check", "house.toml", cwd=tmp_path),
        run("plan", "house.toml", "--out", "sheets", cwd=tmp_path),
        run("season", "house.toml", cwd=tmp_path),
        run("season", "house.toml", "--find-rule", cwd=tmp_path),
    ]
    keys_to_paste = files.control_lines(demo("courtyard").project.control, "us")
    names = given(path.name for path in (tmp_path / "sheets").iterdir())
    code = [demo("courtyard").code]
    assert_no_english(
        [("check, plan and season", one.stdout) for one in told],
        {
            *names,
            *code,
            *given(
                ["house.toml sheets [control]", *keys_to_paste, demo("courtyard").air_source, "El Paso, TX"]
            ),
        },
    )


def test_a_language_of_the_command_goes_before_that_of_the_file(tmp_path):
    (tmp_path / "house.toml").write_text(files.example_text("bayou"), "utf-8")
    for arguments in (("check", "house.toml"), ("plan", "house.toml")):
        plain, other = (
            run(*arguments, *more, cwd=tmp_path).stdout for more in ((), ("--language", pseudo.CODE))
        )
        assert plain != other and other.isascii() is False
        assert len(pseudo.english(other)) < len(pseudo.english(plain)) / 2


def test_what_was_read_on_site(tmp_path):
    """A test that leaks, a call-back of plugged nozzles, a line struck out and a measuring day."""
    for one in (TOP / "docs" / "measuring-day").iterdir():
        shutil.copy(one, tmp_path)
    text = files.example_text("courtyard", pseudo.CODE)
    (tmp_path / "house.toml").write_text(text, "utf-8")
    strike = '{"when": "2027-03-02T08:00", "field": "strike", "value": "2027-03-01T08:15 test tube 20 degC"}'
    (tmp_path / "phone.jsonl").write_text(SITE + CALL_BACK.replace("99000", "1000") + strike, "utf-8")
    done = run("check", "house.toml", "--site", "phone.jsonl", "tuesday.csv", cwd=tmp_path)
    assert done.returncode in (0, 1), done.stderr
    project = files.read_project(tmp_path / "house.toml")
    typed = given(hostile.texts_of(files.example_text("courtyard")))
    assert_no_english(
        [("check --site", done.stdout)],
        typed | given(["house.toml tuesday.csv degC test tube"]) | {project.name},
    )


# ------------------------------------------------------------------ the page

SHOWN_FIELDS = ("label", "placeholder", "help", "options", "caption", "body")


def told_on_page(app: AppTest) -> Iterator[tuple[str, str]]:
    """Every text that a run of the page shows or has read out."""

    def fields(message: Message, kind: str) -> Iterator[tuple[str, str]]:
        for field, value in message.ListFields():
            if field.name in SHOWN_FIELDS:
                texts = [value] if isinstance(value, str) else value
                yield from ((f"{kind} {field.name}", text) for text in texts)
            elif field.name == "json":
                yield from ((f"{kind} data", text) for text in strings(json.loads(value)))
            elif field.message_type is not None and not field.is_repeated:
                yield from fields(value, kind)

    def walk(block: Any) -> Iterator[tuple[str, str]]:
        for child in block.children.values():
            if child.proto is not None:
                yield from fields(child.proto, child.type)
            if hasattr(child, "children"):
                yield from walk(child)

    for where, text in walk(app._tree):
        yield from markup(text) if where == "html body" else [(where, text)]


def strings(data: Any) -> Iterator[str]:
    """Texts of a component's data that are shown: words, labels and notes."""
    if isinstance(data, dict):
        for key, value in data.items():
            if key in ("label", "note", "words") or not isinstance(value, str):
                yield from [value] if isinstance(value, str) else strings(value)
    elif isinstance(data, list):
        for one in data:
            yield from strings(one) if not isinstance(one, str) else [one]


def markup(body: str) -> Iterator[tuple[str, str]]:
    """What an HTML text shows, in pictures too."""
    for picture in re.findall(r"data:image/svg\+xml;base64,([\w+/=]+)", body):
        drawn = ET.fromstring(base64.b64decode(picture))
        yield from (("picture", one.text or "") for one in drawn.iter() if not one.tag.endswith("style"))
    yield from (
        ("attribute", text) for text in re.findall(r'(?:title|alt|aria-label|placeholder)="([^"]*)"', body)
    )
    yield "html", html.unescape(re.sub(r"<style>.*?</style>|<[^>]*>", " ", body, flags=re.S))


@pytest.fixture
def page(tmp_path, monkeypatch) -> AppTest:
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    return AppTest.from_file(str(TOP / "app.py"), default_timeout=600)


@pytest.mark.parametrize("view", VIEWS)
def test_a_view_of_the_page(view, page, monkeypatch):
    monkeypatch.setattr(options, "ways", one_way_in_twelve(options.ways))
    identity = store.create(pseudo.project_text(one_month(files.example_text("courtyard"))))
    store.site_log(identity).write_text(SITE + CALL_BACK.replace("99000", "1000"), "utf-8")
    page.query_params["project"], page.query_params["view"] = identity, view
    shown = list(told_on_page(run_to_rest(page)))
    job = demo("courtyard")
    typed = [
        *files.climate_sample_names(),
        *map(files.climate_place, files.climate_sample_names()),
        *paper(job),
        "season.csv",
        job.air_source,
        weather().station,
    ]
    typed += [json.loads(line)["value"] for line in (SITE + CALL_BACK).splitlines()]
    assert_no_english(shown, [job.code, "English", *given(typed)])


def test_the_first_page_speaks_the_browsers_language(page, monkeypatch):
    monkeypatch.setattr("streamlit.context", SimpleNamespace(locale=f"{pseudo.CODE}-US"))
    assert_no_english(told_on_page(page.run()), given(["Tinaja English"]))
    page.button(key="example-bayou").click().run()
    assert f'language = "{pseudo.CODE}"' in store.read(page.query_params["project"])


def test_scripts_of_the_page_hold_no_sentence():
    """What they show is sent to them; a text with a blank between two words would be one of their own."""
    for path in sorted((TOP / "mistcalc" / "page").glob("*.js")):
        code = re.sub(r"(?m)(?<!:)//.*$", "", path.read_text("utf-8"))
        texts = re.findall(r"\"([^\"\n]*)\"|'([^'\n]*)'|`([^`]*)`", code)
        sentences = [
            t for pair in texts for t in pair if re.search(r"[A-Z][a-z]+[,.]? [a-z]{2,}|[a-z] [a-z]+[.]$", t)
        ]
        assert [text for text in sentences if "${" not in text and "[" not in text] == [], path.name
