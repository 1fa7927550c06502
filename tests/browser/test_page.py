"""The page as people use it: opening, typing, taking away, on a wide screen and on a phone, by anyone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mistcalc import files
from mistcalc.page.open_project import VIEWS
from tests.browser.visits import PHONE, WIDE, Visit, until
from tests.short_year import one_month

pytestmark = pytest.mark.browser

AIR = 60_000  # ms the air of a patio may take on a busy machine
# WCAG 2.2 AA rules of axe-core (axe-core is MPL-2.0; it comes with the axe-playwright-python package).
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


def ready(tab: Visit, view: str, patience: int = 1) -> None:
    """Open a view, unless it is open, and wait until nothing, nor what follows, is being worked out."""
    if not tab.page.url.endswith(f"&view={view}"):
        tab.go(view)
    working = tab.page.locator("[class*=st-key-working]")
    while True:
        working.first.wait_for(state="detached", timeout=patience * AIR)  # what follows may have begun
        tab.page.locator("h1").first.wait_for()
        tab.quiet()
        if working.count() == 0:
            return


def violations(tab: Visit) -> list[str]:
    """What axe finds, with the whole page in the window: it does not judge what is below the fold."""
    from axe_playwright_python.sync_playwright import Axe

    width = tab.page.viewport_size["width"]  # type: ignore[index]
    tab.page.set_viewport_size({"width": width, "height": 6000})
    tab.page.locator("button:visible").first.wait_for()
    tab.quiet()
    tab.page.wait_for_timeout(500)
    told = Axe().run(tab.page, options={"runOnly": {"type": "tag", "values": RULES}}).response
    judged = {rule["id"] for rule in [*told["passes"], *told["violations"]]}
    assert {"color-contrast", "button-name"} <= judged  # else it looked at a page not yet drawn
    return [f"{v['id']}: {v['help']} {[n['html'][:160] for n in v['nodes'][:3]]}" for v in told["violations"]]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    "size",
    [pytest.param(WIDE, id="wide", marks=pytest.mark.long), pytest.param(PHONE, id="phone")],
)
def test_everyone_can_use_every_view_and_none_scrolls_sideways(visit, size, scheme):
    """WCAG AA as far as a machine can judge, on the first demo, at both widths, in light and in dark."""
    tab = visit(size, color_scheme=scheme)
    tab.open_example(view=VIEWS[0])
    for view in VIEWS:
        tab.page.set_viewport_size(size)
        ready(tab, view, patience=3)
        assert tab.page.evaluate("document.documentElement.scrollWidth") <= size["width"], view
        main = tab.page.locator('[data-testid="stMainBlockContainer"]')
        assert main.evaluate("box => box.scrollWidth") <= size["width"], view
        assert violations(tab) == [], view
        assert lightness(tab) == scheme, view


GROUNDS = """() => {
  const ours = document.body.appendChild(document.createElement("i"));
  ours.style.background = "var(--paper)";
  const app = document.querySelector("[data-testid=stApp]");
  const all = [app, ours].map((one) => getComputedStyle(one).backgroundColor);
  ours.remove();
  return all;
}"""


def lightness(tab: Visit) -> str:
    """Of the page's own ground and of the framework's: "light" or "dark" where both are."""
    grounds = set(tab.page.evaluate(GROUNDS))
    return {"rgb(255, 255, 255)": "light", "rgb(18, 18, 18)": "dark"}.get("".join(grounds), str(grounds))


def test_a_theme_chosen_for_another_program_at_this_address_is_not_kept(visit):
    """The page came half in one scheme and half in the other: light writing on white."""
    tab = visit(color_scheme="dark")
    tab.page.goto(tab.server.url)
    tab.page.locator("h1").first.wait_for()
    kept = "() => Object.keys(localStorage).filter((key) => key.startsWith('stActiveTheme'))"
    (key,) = tab.page.evaluate(kept)
    tab.page.evaluate("(key) => { localStorage[key] = '\"Light\"'; }", key)
    tab.page.reload()
    tab.page.wait_for_function("(key) => localStorage[key] === '\"System\"'", arg=key)
    tab.page.locator("h1").first.wait_for()
    tab.quiet()
    assert lightness(tab) == "dark"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_everyone_can_use_the_first_pages(visit, scheme):
    tab = visit(color_scheme=scheme)
    tab.page.goto(tab.server.url)
    tab.page.get_by_role("button", name="Tinaja Lane").first.wait_for()
    assert violations(tab) == []
    tab.page.goto(f"{tab.server.url}/?new=1")
    tab.page.locator('[role="slider"]').first.wait_for()
    assert violations(tab) == [] and lightness(tab) == scheme


def test_targets_are_a_thumb_wide_on_a_phone(visit):
    """On the whole plan things lie closer than thumbs are wide: the nearest is taken, and grows."""
    tab = visit(PHONE, touch=True)
    tab.open_example()
    light = tab.spot("thing", "L1")
    light.wait_for()
    read = """all => all.map(e => {
        const box = (e.closest('[data-testid=stTextInputRootElement]') || e).getBoundingClientRect();
        return [Math.min(box.width, box.height), e.classList.contains('spot'), e.outerHTML.slice(0, 160)];
    })"""
    targets = tab.page.locator("button:visible, [role=slider]:visible, input[type=text]:visible")
    found = targets.evaluate_all(read)
    assert len(found) > 40
    least = {False: 43.5, True: 24}  # a thumb; WCAG 2.2, 2.5.8
    assert [target for target in found if target[0] < least[target[1]]] == []
    light.tap()
    assert light.evaluate("e => Math.min(e.offsetWidth, e.offsetHeight)") >= 44


def test_the_menu_of_a_phone_leads_to_every_view(visit):
    tab = visit(PHONE, touch=True)
    tab.page.goto(tab.server.url)
    tab.page.get_by_role("button", name="Tinaja Lane").first.tap()
    tab.page.wait_for_url("**project=*")
    tab.page.get_by_role("button", name="Menu").click()
    tab.page.get_by_role("button", name="Line and pump").last.click()
    tab.page.wait_for_url("**view=line*")
    tab.page.locator("p", has_text="last nozzle").first.wait_for()


def test_a_pressure_typed_in_is_saved_and_survives_reload_restart_and_another_tab(visit, spare):
    tab = visit(at=spare)
    tab.open_example(view="line")
    box = tab.page.get_by_label("Set pressure")
    tab.page.locator("p", has_text="last nozzle").first.wait_for()
    tab.page.wait_for_timeout(1500)  # a field drawn anew while it is typed in forgets what was typed
    box.fill("800 psi")
    tab.page.get_by_text("Not saved yet.").first.wait_for()
    box.press("Enter")
    tab.page.locator("p", has_text="of 800 psi").first.wait_for()
    tab.page.get_by_text("Saved.", exact=True).first.wait_for()
    tab.saves(lambda text: 'set_pressure = "800 psi"' in text, True)
    spare.stop()
    spare.start()
    tab.page.reload()
    tab.page.locator("p", has_text="of 800 psi").first.wait_for(timeout=30_000)
    other = visit(at=spare)
    other.page.goto(tab.page.url)
    other.page.locator("p", has_text="of 800 psi").first.wait_for(timeout=30_000)


def test_a_project_is_uploaded_changed_and_taken_away_again(visit, tmp_path):
    """The file that comes back reads as what was on screen, comments and all."""
    text = "# my own remark\n" + one_month(files.example_text("courtyard"))
    (tmp_path / "mine.toml").write_text(text, "utf-8")
    tab = visit()
    tab.page.goto(tab.server.url)
    tab.page.locator("input[type=file]").set_input_files(tmp_path / "mine.toml")
    tab.page.wait_for_url("**project=*")
    tab.go("lid")
    tab.page.get_by_text("Spacing", exact=True).click()
    tab.page.get_by_label("Line behind the edge").fill("8 in")
    tab.page.get_by_label("Line behind the edge").press("Enter")
    tab.page.get_by_text("Saved.", exact=True).first.wait_for()
    tab.page.wait_for_timeout(1000)
    ready(tab, "paper")
    with tab.page.expect_download() as caught:
        tab.page.get_by_role("button", name="Download the project file").click()
    back = Path(caught.value.path()).read_text("utf-8")
    assert back.startswith("# my own remark\n")
    patio = files.parse_project(back).patios[0]
    assert patio.line_behind_edge == pytest.approx(0.2032, abs=1e-12)
    assert back == tab.on_disk()


@pytest.mark.parametrize(
    ("name", "content"),
    [("empty.toml", b""), ("binary.toml", bytes(range(256)) * 40), ("cut.toml", b'name = "x')],
)
def test_a_file_that_is_no_project_is_refused_in_words(visit, tmp_path, name, content):
    (tmp_path / name).write_bytes(content)
    tab = visit()
    tab.page.goto(tab.server.url)
    tab.page.locator("input[type=file]").set_input_files(tmp_path / name)
    alert = tab.page.get_by_role("alert").first
    alert.wait_for()
    assert "Traceback" not in tab.page.locator("body").inner_text()
    assert alert.inner_text().strip()
    assert "project=" not in tab.page.url


def test_a_climate_file_is_uploaded_and_the_air_follows(visit, tmp_path):
    sample = files.climate_path("houston", None)
    (tmp_path / "near us.csv.gz").write_bytes(sample.read_bytes())
    tab = visit()
    tab.open_example(view="house")
    tab.page.get_by_text("EL PASO").first.wait_for()
    tab.page.locator("input[type=file]").set_input_files(tmp_path / "near us.csv.gz")
    tab.page.get_by_text("HOUSTON").first.wait_for(timeout=30_000)
    tab.saves(lambda text: 'climate         = "near us.csv.gz"' in text, True)


def test_two_people_work_on_two_houses_at_once(visit):
    one, two = visit(), visit()
    one.open_example(view="line")
    two.open_example("bayou", view="line")
    one.page.get_by_label("Set pressure").fill("900 psi")
    one.page.get_by_label("Set pressure").press("Enter")
    one.page.locator("p", has_text="of 900 psi").first.wait_for()
    assert "900 psi" not in two.on_disk()
    one.saves(lambda text: "900 psi" in text, True)


def test_long_work_can_be_stopped_and_taken_up_again(visit, server):
    tab = visit()
    tab.open_example(view="house")
    tab.page.get_by_label("Elevation").fill("1234 m")  # a place nobody has worked out yet
    tab.page.get_by_label("Elevation").press("Enter")
    tab.page.get_by_text("Saved.", exact=True).first.wait_for()
    with server.at_work():
        tab.page.get_by_role("button", name="A hot afternoon").first.click()
        tab.page.get_by_role("button", name="Stop", exact=True).click()
        tab.page.get_by_text("Stopped.").wait_for()
        assert tab.page.get_by_role("button", name="Stop", exact=True).count() == 0
    tab.page.get_by_role("button", name="Work it out").click()
    tab.page.locator("h1", has_text="Hot afternoon").wait_for(timeout=AIR)


def test_the_afternoons_map_is_chosen_fits_a_phone_and_tells_its_values(visit):
    tab = visit()
    tab.open_example(view="afternoon")
    ready(tab, "afternoon")
    tab.page.get_by_text("Where it is cooler, and where it gets wet").click()
    picture = tab.page.locator("figure.map")
    picture.wait_for(timeout=AIR)
    title = picture.locator("i").first.get_attribute("title")
    assert re.search(r"cooler; floor \w+; eyeglasses and faces \w+", title)
    assert "of the floor" in picture.locator(".drawing img").get_attribute("alt")
    tab.page.get_by_text("Humid", exact=True).first.click()
    tab.page.locator("h1", has_text="Humid afternoon").wait_for(timeout=AIR)
    picture.locator("h3", has_text="Humid").wait_for()
    tab.page.get_by_text("How much cooler", exact=True).first.click()
    picture.get_by_text("Mean of this map").wait_for(timeout=AIR)
    tab.page.set_viewport_size(PHONE)
    tab.page.wait_for_timeout(500)
    box = picture.bounding_box()
    assert box["x"] >= 0 and box["x"] + box["width"] <= PHONE["width"]


def test_what_the_check_finds_is_in_sight_on_a_phone(visit):
    """The last column of its tables, with PASS and FAIL, lay beyond the right edge."""
    tab = visit(PHONE, touch=True)
    tab.open_example(view="line")
    fold = tab.page.locator("details").filter(has=tab.page.get_by_text("Check", exact=True)).last
    fold.locator("summary").click()
    told = fold.locator("td", has_text="PASS").first
    told.wait_for()
    right = told.evaluate("cell => cell.getBoundingClientRect().right")
    assert right <= PHONE["width"]
    hidden = "boxes => boxes.filter(box => box.scrollWidth > box.clientWidth + 1).length"
    assert fold.locator(".scroll").evaluate_all(hidden) == 0


@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["wide", "phone"])
def test_figures_worked_out_anew_keep_their_place(visit, size):
    """Of what follows from the lid: the old ones stand greyed meanwhile, the page as high as before."""
    tab = visit(size)
    tab.open_example()
    ready(tab, "lid", patience=3)
    main, table = tab.page.locator('[data-testid="stMainBlockContainer"]'), tab.page.locator(".facts")
    table.first.wait_for(timeout=AIR)
    tab.settled()

    def height() -> float:
        return main.evaluate("box => box.getBoundingClientRect().height")

    before, told = height(), table.inner_text()
    tab.handle("thing", "L2").focus()
    with tab.server.at_work():
        tab.page.keyboard.press("ArrowRight")
        tab.page.locator(".st-key-working-job").wait_for(timeout=AIR)
        tab.settled()
        assert table.get_attribute("aria-label") == "Old figures: new ones are being worked out."
        assert table.inner_text() == told and height() == before
        assert tab.page.get_by_text("Old figures: new ones are being worked out.").is_visible()
    tab.page.locator(".st-key-working-job").wait_for(state="detached", timeout=3 * AIR)
    assert table.get_attribute("aria-label") is None and height() == before


OLD = "Old figures: new ones are being worked out."
PLACES = """view => [...view.querySelectorAll("h1, h2, p, table, img, summary, button, input")]
  .filter(one => !one.closest('[class*="st-key-meanwhile-"]'))
  .map(one => [one.tagName, one.getBoundingClientRect().top + scrollY, one.innerText])"""


@pytest.mark.parametrize(
    ("view", "size"),
    [("season", WIDE), ("season", PHONE), ("paper", WIDE), ("afternoon", WIDE), ("options", PHONE)],
)
def test_a_view_worked_out_anew_keeps_its_place(visit, view, size):
    """What another tab changes empties no view: the old figures stand greyed, said to be old in sight, and
    nothing that was made of them can be taken; then the new ones come."""
    tab = visit(size)
    tab.open_example(view=view)
    ready(tab, view, patience=6)
    tab.page.locator("[class*=st-key-working-]").first.wait_for(state="detached", timeout=3 * AIR)
    tab.quiet()
    whole = tab.page.locator(".st-key-view")
    before, told = whole.evaluate(PLACES), whole.inner_text()
    assert len(before) > 10
    with tab.server.at_work():
        tab.server.change(tab.page.url, 'set_pressure = "1000 psi"', 'set_pressure = "800 psi"')
        said = tab.page.get_by_text(OLD).first
        said.wait_for(timeout=AIR)
        tab.quiet()
        tab.page.wait_for_timeout(500)
        assert whole.evaluate(PLACES) == before
        box = said.bounding_box()
        assert box is not None and 0 <= box["y"] < size["height"]
        greyed = ".st-key-view .stHtml:not(:has(.alert), [class*=st-key-working-] *)"
        lighter = "all => all.map(one => getComputedStyle(one).opacity)"
        assert set(tab.page.locator(greyed).evaluate_all(lighter)) == {"0.7"}
        takes = tab.page.locator('.st-key-download-all, [class*="st-key-take-"]').locator("button")
        assert all(button.is_disabled() for button in takes.all())
    assert until(lambda: whole.inner_text() not in (told, f"{told}\n{OLD}"), 6 * AIR / 1000)
    ready(tab, view, patience=6)
    assert OLD not in whole.inner_text()
    assert set(tab.page.locator(greyed).evaluate_all(lighter)) == {"1"}


def test_the_answer_to_a_first_reading_is_in_sight(visit):
    """The call-back folded itself up as the first line of the log came to stand above it, answer and all."""
    tab = visit(PHONE, touch=True)
    tab.open_example(view="line")
    ready(tab, "line")
    tab.page.get_by_text(re.compile(r"^\d Call-back$")).tap()
    tab.page.get_by_label("Gauge at the pump").fill("820 psi")
    tab.page.get_by_label("Gauge at the pump").press("Tab")
    tab.page.get_by_role("button", name="Work it out").tap()
    tab.page.get_by_text("The site log, 1 line", exact=True).wait_for(timeout=AIR)
    tab.page.get_by_text(re.compile(r"^Chance (over )?\d+ %")).first.wait_for(timeout=AIR)
