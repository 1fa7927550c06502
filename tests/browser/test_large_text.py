"""The page on a phone whose browser is set to text twice as large, in the language of longer words."""

from __future__ import annotations

import shutil

import pytest

from mistcalc import files
from tests.browser.test_page import ready
from tests.browser.visits import PHONE, Visit
from tests.conftest import BROWSER_ARGUMENTS
from tests.short_year import one_month

pytestmark = pytest.mark.browser

# Texts that reach out of the window or of their field; what slides sideways in a box of its own is in reach.
CUT = """() => {
  const found = [];
  const look = (root) => root.querySelectorAll("*").forEach((one) => {
    if (one.shadowRoot) look(one.shadowRoot);
    const style = getComputedStyle(one);
    if (one.matches("input") && one.value && one.scrollWidth > one.clientWidth + 1) found.push(one.value);
    const text = [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
    if (!text || style.visibility === "hidden" || parseFloat(style.fontSize) === 0) return;
    if (one.closest(".scroll, .window, .overview, script, style")) return;
    const range = document.createRange();
    range.selectNodeContents(one);
    const { left, right, width } = range.getBoundingClientRect();
    if (width && (left < -1 || right > innerWidth + 1)) found.push(one.textContent.trim());
  });
  look(document.body);
  return found;
}"""


@pytest.fixture
def twice_as_large(browser, server):
    """A tab of a browser of its own: the size is set as it starts."""
    large = [*BROWSER_ARGUMENTS, "--blink-settings=defaultFontSize=32"]
    started = browser.browser_type.launch(executable_path=browser_path(), args=large)
    yield Visit(started.new_page(viewport=PHONE), server)
    started.close()


def browser_path() -> str:
    found = shutil.which("chromium-headless-shell")
    assert found is not None  # `browser` has looked
    return found


@pytest.mark.parametrize("view", ["house", "lid", "line", "season", "options"])
def test_text_twice_as_large_fits_a_phone(twice_as_large, view):
    tab = twice_as_large
    tab.open_text(one_month(files.example_text("courtyard", "es")), view)
    ready(tab, view, patience=3)
    size = tab.page.locator("h1").first.evaluate("head => getComputedStyle(head).fontSize")
    assert float(size.removesuffix("px")) == pytest.approx(48.0, abs=0.1)  # 24 px at the usual size
    main = tab.page.locator('[data-testid="stMainBlockContainer"]')
    assert main.evaluate("box => box.scrollWidth") <= PHONE["width"]
    assert tab.page.evaluate(CUT) == []
