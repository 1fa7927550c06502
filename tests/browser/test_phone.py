"""marks.html on a phone: a real browser 390 wide, by touch, from a file, with no network at all."""

from __future__ import annotations

import dataclasses
import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest

from mistcalc import design, files, units
from mistcalc.model.results import Design
from mistcalc.report.common.locale_text import Locale
from mistcalc.report.phone.marks_page import marks_html
from tests import hostile
from tests.browser.test_page import RULES
from tests.browser.test_reading import NAMES, TEXTS, drawn
from tests.browser.visits import PHONE
from tests.report.jobs import solved
from tests.terminal import run
from tests.words import pseudo

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

QUIET = 750  # ms after which the main button counts a tap again
CASE = """
format = 1
name = "Case"
units = "{units}"
[place]
elevation = "80 ft"
[[place.afternoon]]
name = "hot"
dry_bulb = "98 degF"
relative_humidity = "40 %"
wind_on_patio = "3 mph"
wind_from = "S"
[[patio]]
name = "porch"
depth = "9 ft"
height = "9 ft"
[[patio.run]]
name = "A"
length = "{length}"
[patio.run.framing]
spacing = "16 in"
{more}
"""
STOP = """
[[patio.run.fixed]]
name = "X1"
along = "10 ft"
[[patio.obstacle]]
name = "F1"
kind = "fan"
run = "A"
along = "10 ft"
back = "1 ft"
size = "52 in"
"""


class Phone:
    """One person with one phone; whatever the page asks of the world outside is written down."""

    def __init__(self, page: Page) -> None:
        self.page, self.asked, self.faults = page, list[str](), list[str]()
        page.clock.install()  # the page's own clock, so that nobody waits till a tap counts again
        page.on("request", lambda request: self.asked.append(request.url))
        page.on("pageerror", lambda fault: self.faults.append(str(fault)))

    def open(self, path: Path, start: bool = True) -> None:
        self.page.goto(path.as_uri())
        if start:
            self.tap("main")

    def tap(self, name: str) -> None:
        if name == "main":
            self.page.clock.fast_forward(QUIET)
        self.page.locator(f"#{name}").tap()

    def drill(self, count: int) -> None:
        for _ in range(count):
            self.tap("main")

    def stand(self, mark: str) -> None:
        self.tap("list")
        self.page.get_by_role("button", name=re.compile(f"^{re.escape(mark)}, ")).tap()

    @property
    def mark(self) -> str:
        return self.page.locator("h1").inner_text()

    def text(self, what: str = "#page") -> str:
        return self.page.locator(what).first.inner_text()

    def sent(self) -> list[dict[str, Any]]:
        """The file as it is saved from the page, line by line."""
        return [json.loads(line) for line in self.saved().read_text("utf-8").splitlines()]

    def saved(self) -> Path:
        self.tap("send")
        with self.page.expect_download() as download:
            self.tap("main")
        path = Path(download.value.path())
        self.tap("back-to")
        return path


@pytest.fixture
def phone(browser: Browser) -> Iterator[Callable[..., Phone]]:
    contexts = []

    def take(size: dict[str, int] = PHONE, **how: Any) -> Phone:
        context = browser.new_context(
            viewport=size,  # type: ignore[arg-type]
            **{"has_touch": True, "offline": True, "accept_downloads": True, "locale": "en-US", **how},
        )
        made = Phone(context.new_page())
        contexts.append((context, made))
        return made

    yield take
    for context, made in contexts:
        context.close()
        assert made.faults == []
        assert [url for url in made.asked if not url.startswith(("file:", "blob:"))] == []


@pytest.fixture(scope="module")
def courtyard() -> Design:
    project = files.parse_project(files.example_text("courtyard"))
    return design.run(project, files.read_climate(files.climate_path("el-paso", None)))


def written(folder: Path, job: Design, name: str = "marks.html", language: str = "en") -> Path:
    path = folder / name
    path.write_text(marks_html(job, Locale(job.project.units, language)), "utf-8")
    return path


def case(folder: Path, units: str = "us", length: str = "24 ft", more: str = "") -> Path:
    return written(folder, solved(CASE.format(units=units, length=length, more=more)))


# ------------------------------------------------------------------ a morning on the ladder


def test_a_morning_from_the_first_hole_to_what_check_says(phone, courtyard, tmp_path):
    """Five drilled, one taken back, one measured 3/8 in off, one refused, a note; reloaded; sent; checked."""
    someone = phone()
    someone.open(written(tmp_path, courtyard), start=False)
    assert courtyard.code in someone.text() and "Find wires, gas and water" in someone.text()
    someone.page.locator("#who").fill("PJ")
    someone.tap("main")
    assert someone.mark == "A1" and "3'-0\"" in someone.text("main")
    someone.drill(5)
    assert someone.mark == "A6"
    someone.tap("undo")
    assert someone.mark == "A5" and "4 drilled" in someone.text("footer")
    someone.page.reload()
    assert someone.mark == "A5" and "4 drilled" in someone.text("footer")
    someone.tap("measured")
    for _ in range(3):
        someone.tap("less")
    assert "3/8 in short of the plan, toward the datum. Over" in someone.text("main")
    someone.tap("main")
    assert someone.mark == "A5" and "Measured 10'-11 5/8\"" in someone.text("main")
    someone.tap("main")
    assert someone.mark == "A6"
    someone.tap("cannot")
    someone.tap("reason-1")
    assert someone.mark == "A7" and "Light L2 is within 3 ft" in someone.text(".warning")
    someone.tap("note")
    someone.page.locator("#note-text").fill("Pipe <b>above</b>\nby 2 in")
    someone.page.locator("#photo").fill("31")
    someone.tap("main")
    file = someone.saved()

    project = tmp_path / "job.toml"
    project.write_text(files.example_text("courtyard"), "utf-8")
    (tmp_path / "sent.txt").write_bytes(file.read_bytes())
    first = run("check", str(project), "--site", str(tmp_path / "sent.txt"), cwd=tmp_path)
    assert first.returncode == 0, first.stderr
    told = " ".join(first.stdout.split())
    assert "5 of 28 marks are drilled, 1 of them measured." in told
    assert "A5 was found at 10'-11 5/8\", 3/8 in from its place at 11'-0\"" in told
    assert "A6 could not be drilled: pipe or wire in the way." in told
    assert 'Noted at A7: "Pipe <b>above</b> by 2 in" Photo 31.' in told
    assert "Drilled and not measured: A1, A2, A3 and A4." in told
    log = tmp_path / "job.site.jsonl"
    kept = log.read_bytes()
    assert b'"who": "PJ"' in kept
    again = run("check", str(project), "--site", str(tmp_path / "sent.txt"), cwd=tmp_path)
    assert again.stdout == first.stdout and log.read_bytes() == kept


@pytest.mark.long
def test_every_step_off_the_plan_is_judged_on_the_phone_as_check_judges_it(phone, courtyard, tmp_path):
    someone = phone()
    someone.open(written(tmp_path, courtyard))
    someone.tap("measured")
    held = {}
    for name, step in (("along", -1), ("back", -1), ("back", 1), ("along", 1)):
        someone.tap(name)
        someone.tap("as_plan")
        for n in range(1, 5):
            someone.tap("less" if step < 0 else "more")
            held[name, step * n] = "Good" in someone.text("[role=status]")
    assert held == {
        (name, step * n): n <= most
        for name, most in (("along", 2), ("back", 1))
        for step in (-1, 1)
        for n in range(1, 5)
    }


def test_a_distance_is_typed_on_the_pad(phone, courtyard, tmp_path):
    someone = phone()
    someone.open(written(tmp_path, courtyard))
    someone.tap("measured")
    someone.tap("type_it")
    for key in ("key-1", "key-2", "pad-inches", "key-1", "key-1", "pad-fraction"):
        someone.tap(key)
    someone.page.get_by_role("button", name="7/8", exact=True).tap()
    someone.tap("main")
    assert "12'-11 7/8\"" in someone.text(".fitted") and "Far from the plan" in someone.text("main")
    someone.tap("type_it")
    for key in ("key-9", "key-9", "key-9"):
        someone.tap(key)
    someone.tap("main")
    assert "Far from the plan" in someone.text("main")  # past any tape: still on the pad
    someone.tap("back-to")
    someone.tap("main")
    (line,) = [line for line in someone.sent() if line.get("field") == "mark measured"]
    assert line["value"] == "12'-11 7/8\""


def test_a_hole_past_its_datum_is_measured_there(phone, courtyard, tmp_path):
    """No tape reads below nothing: the page looked for such a text, found none and stood still."""
    layout = courtyard.layouts[0]
    past = dataclasses.replace(layout.marks[0], along=-8 * 0.0254)
    marks = (past, *layout.marks[1:])
    job = dataclasses.replace(courtyard, layouts=(dataclasses.replace(layout, marks=marks),))
    someone = phone()
    someone.open(written(tmp_path, job))
    assert someone.text(".fitted") == "0'-8\"" and "other way" in someone.text("main")
    someone.tap("measured")
    someone.tap("more")  # on the tape, which is pulled the other way
    assert someone.text(".fitted").endswith("0'-8 1/8\"")
    assert "1/8 in past the plan, away from the datum" in someone.text("[role=status]")
    someone.tap("type_it")
    someone.tap("main")
    someone.tap("main")
    (line,) = [line for line in someone.sent() if line.get("field") == "mark measured"]
    assert units.parse(line["value"], "length") == pytest.approx(-8.125 * 0.0254)


LONG_RUN = """[patio.run.datum]
surface = "face of west wall framing"
second = "face of east post framing"
"""


def test_past_a_tape_s_length_more_and_less_say_which_way(phone, tmp_path):
    """Beyond 25 ft a crew works from the far end too: which wall a hole is off toward was left to guess."""
    someone = phone()
    job = solved(CASE.format(units="us", length="38 ft", more=LONG_RUN))
    someone.open(written(tmp_path, job))
    last = job.layouts[0].marks[-1]
    assert last.along > units.parse("30 ft", "length")
    someone.stand(last.name)
    voice = Locale("us", "en")
    left = job.layouts[0].lid.rows[0].second - last.along
    assert f"{voice.tape(left)} from face of east post framing, the second datum" in someone.text("main")
    assert "from datum A, face of west wall framing" in someone.text("main")
    someone.tap("measured")
    someone.tap("more")
    assert "1/8 in past the plan, away from the datum" in someone.text("[role=status]")
    someone.tap("less")
    someone.tap("less")
    assert "1/8 in short of the plan, toward the datum" in someone.text("[role=status]")


SPANISH = {
    "mark": "desde el punto cero", "measure": "Igual al plano", "note": "Número de foto",
    "cannot": "¿Por qué", "list": "Todas las marcas", "send": "Copiar",
}  # fmt: skip
WAY = {"measure": "measured", "note": "note", "cannot": "cannot", "list": "list", "send": "send"}


def test_the_language_is_switched_on_every_screen_and_nothing_is_lost(phone, courtyard, tmp_path):
    someone = phone()
    someone.open(written(tmp_path, courtyard))
    someone.stand("A3")
    for screen, told in SPANISH.items():
        if screen in WAY:
            someone.tap(WAY[screen])
        if screen == "measure":
            someone.tap("more")
        if screen == "note":
            someone.page.locator("#note-text").fill("wire 2 in past it")
        someone.tap("language")
        assert someone.page.locator("html").get_attribute("lang") == "es"
        assert told.lower() in someone.text().lower(), screen
        if screen == "measure":
            assert "1/8 in de más, alejándose del punto cero" in someone.text("[role=status]")
        if screen == "note":
            assert someone.page.locator("#note-text").input_value() == "wire 2 in past it"
        someone.tap("language")
        assert someone.page.locator("html").get_attribute("lang") == "en"
        if screen in WAY:
            someone.tap("back-to")
        assert someone.mark == "A3"


SHARING = """
window.given = [];
navigator.canShare = (what) => what.files.length === 1;
navigator.share = async (what) => {
  window.given.push(what.files[0]);
  if (window.given.length === 1) throw new DOMException("not now", "AbortError");
};
"""
GIVEN = "Promise.all(window.given.map(async (file) => [file.name, await file.text()]))"


def test_the_file_is_shared_where_the_phone_can_and_saved_beside(phone, courtyard, tmp_path):
    """The first time whoever holds it changes their mind: nothing is lost, and the other ways stay."""
    someone = phone()
    someone.page.add_init_script(SHARING)
    someone.open(written(tmp_path, courtyard))
    someone.drill(2)
    someone.tap("send")
    assert someone.text("#main") == "Share the file"
    someone.tap("main")
    someone.tap("main")
    first, second = someone.page.evaluate(GIVEN)
    assert first == second and first[0].endswith(".txt")
    lines = [json.loads(line) for line in second[1].splitlines()]
    assert [line["mark"] for line in lines if line.get("field") == "mark drilled"] == ["A1", "A2"]
    with someone.page.expect_download() as download:
        someone.tap("download")
    assert Path(download.value.path()).read_text("utf-8") == second[1]


@pytest.mark.parametrize("way", ["clipboard", "by hand"])
def test_the_text_is_copied_whichever_way_the_phone_allows(phone, courtyard, tmp_path, way):
    someone = phone(permissions=["clipboard-read", "clipboard-write"])
    if way == "by hand":
        someone.page.add_init_script("Object.defineProperty(navigator, 'clipboard', { value: undefined })")
    someone.open(written(tmp_path, courtyard))
    someone.drill(1)
    someone.tap("send")
    text = someone.page.locator("#text").input_value()
    someone.tap("copy")
    someone.page.locator("main [role=status]", has_text="Copied").wait_for()
    assert someone.page.locator("#text").input_value() == text and "A1" in text
    if way == "clipboard":
        assert someone.page.evaluate("navigator.clipboard.readText()") == text


@pytest.mark.long
def test_a_metric_house_is_measured_by_five_millimeters(phone, tmp_path):
    someone = phone()
    someone.open(case(tmp_path, "metric", "6 m"))
    planned = someone.text(".fitted")
    assert re.fullmatch(r"\d+ mm", planned) and not re.search(r"\d in\b", someone.text("main"))
    someone.tap("measured")
    someone.tap("more")
    assert someone.text(".fitted") == f"{int(planned[:-3]) + 5} mm" and "Good: within 6 mm" in someone.text(
        "main"
    )
    someone.tap("more")
    assert "10 mm past the plan, away from the datum. Over" in someone.text("main")
    someone.tap("back")
    someone.tap("more")
    someone.tap("main")
    lines = someone.sent()
    assert [line["value"] for line in lines if line.get("field") == "mark back"] == ["151 mm"]


@pytest.mark.long
def test_two_taps_of_a_glove_drill_one_hole(phone, courtyard, tmp_path):
    someone = phone()
    someone.open(written(tmp_path, courtyard))
    someone.page.wait_for_timeout(QUIET)
    someone.page.evaluate("() => { for (let n = 0; n < 2; n += 1) document.getElementById('main').click(); }")
    assert someone.mark == "A2" and "1 drilled" in someone.text("footer")


@pytest.mark.long
def test_the_last_hole_leads_to_sending(phone, tmp_path):
    someone = phone()
    someone.open(case(tmp_path, length="8 ft"))
    count = len(someone.page.locator(".squares rect:not(.here)").all())
    someone.drill(count)
    assert someone.mark == "Every mark is done"
    assert f"{count} of {count} drilled" in someone.text("main")


def test_joists_that_nobody_stated_are_told_as_assumed(phone, courtyard, tmp_path):
    """How far the joist is stands in words on every mark, whatever room the picture has for it."""
    someone = phone()
    someone.open(case(tmp_path), start=False)
    assert "Joists are assumed here, not stated" in someone.text(".start")
    someone.tap("main")
    for _ in range(4):
        assert re.search(r" in (past|before) joist center\. Joist assumed: find it\.", someone.text("main"))
        assert someone.page.locator(".tape .wood:not(rect[height='22'])").count() == 0
        someone.tap("main")
    someone.open(written(tmp_path, courtyard, "stated.html"), start=False)
    assert "assumed" not in someone.text()
    someone.tap("main")
    assert re.search(r" in (past|before) joist center$", someone.text("main"), re.M)
    assert "assumed" not in someone.text("main") and someone.page.locator(".tape .guess").count() == 0


def test_a_mark_that_must_not_be_drilled_says_stop(phone, tmp_path):
    someone = phone()
    someone.open(case(tmp_path, more=STOP))
    someone.stand("X1")
    assert "STOP: do not drill X1" in someone.text(".warning.stop")
    assert someone.text("#main") == "Drilled X1 all the same"


# ------------------------------------------------------------------ what is kept


def test_what_is_kept_is_of_these_sheets_alone(phone, courtyard, tmp_path):
    someone = phone()
    someone.open(written(tmp_path, courtyard))
    someone.drill(2)
    other = written(
        tmp_path, solved(files.example_text("courtyard").replace('"38 ft"', '"36 ft"', 1)), "b.html"
    )
    someone.open(other, start=False)
    assert f"holes of other sheets: {courtyard.code}" in someone.text()
    someone.tap("main")
    assert someone.mark == "A1" and "0 drilled" in someone.text("footer")
    someone.open(tmp_path / "marks.html", start=False)
    assert someone.mark == "A3" and "2 drilled" in someone.text("footer")


def test_holes_of_the_set_before_are_not_told_as_kept_on_this_phone(phone, tmp_path):
    someone = phone()
    drilled = '[[patio.run.fixed]]\nname = "X1"\nalong = "10 ft"\ndrilled = true'
    someone.open(case(tmp_path, more=drilled))
    assert "0 drilled, kept" in someone.text("footer")
    someone.drill(2)
    assert "2 drilled, kept" in someone.text("footer")
    someone.tap("send")
    assert re.search(r"^3 of \d+ drilled", someone.text(".send .strong"))


@pytest.mark.long
def test_two_tabs_of_one_page_lose_nothing(phone, courtyard, tmp_path):
    first = phone()
    first.open(written(tmp_path, courtyard))
    second = Phone(first.page.context.new_page())
    second.open(tmp_path / "marks.html", start=False)
    second.stand("B1")
    first.drill(2)
    second.drill(1)
    first.drill(1)
    drilled = {line["mark"] for line in first.sent()[1:]}
    assert drilled == {"A1", "A2", "A3", "B1"}
    first.page.reload()
    assert "4 drilled" in first.text("footer")


KEEPS_NOTHING = {
    "refused": "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no'); } });",
    "full": "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };",
}


@pytest.mark.long
@pytest.mark.parametrize("why", KEEPS_NOTHING)
def test_a_phone_that_keeps_nothing_says_so_and_works(phone, courtyard, tmp_path, why):
    someone = phone()
    someone.page.add_init_script(KEEPS_NOTHING[why])
    someone.open(written(tmp_path, courtyard), start=False)
    assert "keeps nothing" in someone.text()
    someone.tap("main")
    someone.drill(2)
    assert someone.mark == "A3" and "keeps nothing" in someone.text("footer")
    assert [line["mark"] for line in someone.sent()[1:]] == ["A1", "A2"]


@pytest.mark.long
def test_what_cannot_be_read_is_not_thrown_away(phone, courtyard, tmp_path):
    someone = phone()
    someone.open(written(tmp_path, courtyard))
    someone.drill(1)
    keys = someone.page.evaluate(
        "() => { const key = Object.keys(localStorage)[0]; localStorage[key] = '{broken'; }"
    )
    assert keys is None
    someone.page.reload()
    assert someone.page.evaluate("() => Object.values(localStorage)").count("{broken") == 1


# ------------------------------------------------------------------ for everyone


def screens(someone: Phone) -> Iterator[str]:
    """Every screen, each with something on it."""
    yield "start"
    someone.tap("main")
    yield "mark"
    someone.drill(1)
    someone.tap("cannot")
    yield "cannot"
    someone.tap("reason-0")
    someone.tap("measured")
    for _ in range(3):
        someone.tap("more")
    yield "measure"
    someone.tap("type_it")
    yield "pad"
    someone.tap("pad-fraction")
    yield "pad of eighths"
    someone.tap("back-to")
    someone.tap("main")
    yield "a mark measured"
    someone.tap("note")
    yield "note"
    someone.page.locator("#note-text").fill("8")
    someone.tap("main")
    someone.tap("list")
    yield "list"
    someone.tap("back-to")
    someone.tap("send")
    yield "send"
    someone.tap("main")
    yield "sent"


SIZES = """all => all.map((e) => {
    const box = e.getBoundingClientRect();
    const least = e.matches('header *, .link') ? 44 : 64;
    return [Math.min(box.width, box.height), least, e.outerHTML.slice(0, 160)];
})"""


def test_everyone_can_use_every_screen(phone, courtyard, tmp_path):
    """WCAG AA as far as a machine can judge; nothing scrolls sideways; what is tapped is a thumb wide."""
    from axe_playwright_python.sync_playwright import Axe

    someone = phone()
    someone.open(written(tmp_path, courtyard), start=False)
    for screen in screens(someone):
        assert someone.page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], screen
        targets = someone.page.locator("button:visible, input:visible, textarea:visible").evaluate_all(SIZES)
        assert targets and [target for target in targets if target[0] < target[1] - 0.5] == [], screen
        someone.page.set_viewport_size({"width": PHONE["width"], "height": 2000})
        told = Axe().run(someone.page, options={"runOnly": {"type": "tag", "values": RULES}}).response
        judged = {rule["id"] for rule in [*told["passes"], *told["violations"]]}
        assert {"color-contrast", "button-name"} <= judged
        assert [(v["id"], v["nodes"][0]["html"][:160]) for v in told["violations"]] == [], screen
        someone.page.set_viewport_size(PHONE)


@pytest.mark.long
def test_no_writing_is_small(phone, courtyard, tmp_path):
    """20 px, 13 in pictures, as they are shown."""
    someone = phone()
    someone.open(written(tmp_path, courtyard), start=False)
    small = """() => [...document.querySelectorAll("#page *")]
      .filter((e) => [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()))
      .map((e) => [e.textContent, parseFloat(getComputedStyle(e).fontSize) * (e.ownerSVGElement
        ? e.ownerSVGElement.getBoundingClientRect().width / e.ownerSVGElement.viewBox.baseVal.width : 1),
        e.ownerSVGElement ? 13 : 20])
      .filter(([, size, least]) => size < least - 0.1)"""
    for screen in screens(someone):
        assert someone.page.evaluate(small) == [], screen


@pytest.mark.long
def test_a_narrow_phone_and_a_long_tape(phone, tmp_path):
    someone = phone({"width": 320, "height": 568})
    someone.open(
        case(tmp_path, length="119 ft 7 in", more='[patio.marks]\npitch = "18 in"\nclosest = "12 in"')
    )
    count = int(re.search(r"of (\d+)", someone.text("header")).group(1))
    assert count > 70
    someone.stand(f"A{count}")
    assert someone.page.evaluate("document.documentElement.scrollWidth") <= 320
    shown = someone.page.locator("#main").bounding_box()
    assert shown and shown["y"] + shown["height"] <= 568  # under the thumb without scrolling
    assert someone.page.locator("#next").is_disabled()


@pytest.mark.long
@pytest.mark.parametrize("scheme", ["dark", "light"])
def test_pictures_stay_visible_where_colors_are_forced(phone, courtyard, tmp_path, scheme):
    plain, forced = phone(), phone(forced_colors="active", color_scheme=scheme)
    for someone in (plain, forced):
        someone.open(written(tmp_path, courtyard))
        someone.stand("A7")
    for part in (".tape", ".squares", ".warning"):
        usual, now = (drawn(SimpleNamespace(page=someone.page), part) for someone in (plain, forced))
        assert len(usual) == len(now) and usual.mean() > 0.005, part
        assert (usual & now).sum() > 0.85 * usual.sum(), part


@pytest.mark.long
def test_without_scripts_the_distances_are_there(phone, courtyard, tmp_path):
    someone = phone(java_script_enabled=False)
    someone.open(written(tmp_path, courtyard), start=False)
    told = someone.text("body")
    assert courtyard.code in told and re.search(r"A18\s+37'-0\"", told) and re.search(r"B1\s+2'-4\"", told)


def test_what_a_hostile_project_says_is_only_shown(phone, tmp_path):
    someone = phone()
    someone.open(written(tmp_path, solved(hostile.project_text())), start=False)
    title = someone.page.title()
    for screen in screens(someone):
        acting = f"#page :is(img, a, iframe, script, link), #page [href*='{hostile.OUTSIDE}'], #page [onload]"
        assert someone.page.locator(acting).count() == 0, screen
        assert someone.page.title() == title


def test_no_word_of_english_in_another_language_and_one_tap_changes_it(
    phone, courtyard, tmp_path, monkeypatch
):
    from mistcalc.words import sentences

    pseudo.write_language(tmp_path / "words")
    monkeypatch.setattr(sentences, "_folder", lambda: tmp_path / "words")
    sentences._sentences.cache_clear()
    try:
        path = written(tmp_path, solved(pseudo.project_text(files.example_text("courtyard"))))
    finally:
        monkeypatch.undo()
        sentences._sentences.cache_clear()
    someone = phone()
    someone.open(path, start=False)
    assert "Compare this code" in someone.text()
    someone.tap("language")
    assert someone.page.locator("html").get_attribute("lang") == pseudo.CODE
    for screen in screens(someone):
        shown = [NAMES.sub("", text) for text in someone.page.evaluate(TEXTS) if '"when"' not in text]
        english = [text for text in shown if pseudo.english(text, ["English"])]
        assert english == [], screen
    someone.page.reload()
    assert someone.page.locator("html").get_attribute("lang") == pseudo.CODE


def test_a_crews_page_opens_in_its_language_and_any_other_in_the_phones(phone, tmp_path):
    someone = phone(locale="en-US")
    for more, language in (("", "en"), ('crew_language = "es"\n', "es")):
        text = more + CASE.format(units="us", length="24 ft", more="")
        someone.open(written(tmp_path, solved(text), f"{language}.html", language="es"), start=False)
        assert someone.page.locator("html").get_attribute("lang") == language
