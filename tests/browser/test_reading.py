"""What the page shows in a real browser to readers of another language, and to those who force its colors."""

from __future__ import annotations

import io
import re

import numpy as np
import pytest
from PIL import Image

from mistcalc import files
from mistcalc.page.open_project import VIEWS
from tests.browser.test_page import ready
from tests.browser.visits import Server, Visit, free_port
from tests.short_year import one_month
from tests.words import pseudo

pytestmark = pytest.mark.browser

# Every text in the page and in the shadows of its components, and what is read out in place of one. What HTML
# marks as not to be translated is the name of a picture.
TEXTS = """() => {
  const found = [];
  const look = (node) => {
    if (node.nodeType === Node.TEXT_NODE) found.push(node.textContent);
    if (node.nodeType === Node.ELEMENT_NODE) {
      const style = getComputedStyle(node);
      if (["SCRIPT", "STYLE", "NOSCRIPT"].includes(node.tagName) || !node.translate) return;
      if (style.display === "none" || style.fontSize === "0px") return;
      for (const name of ["aria-label", "title", "placeholder", "alt"])
        if (node.hasAttribute(name) && !node.matches("[tabindex='-1']")) found.push(node.getAttribute(name));
      if (node.shadowRoot) look(node.shadowRoot);
    }
    node.childNodes.forEach(look);
  };
  look(document.body);
  return found.filter((text) => text.trim());
}"""


NAMES = re.compile(
    r"\b[2-9A-Z]{3} [2-9A-Z]{3}\b|\b[\w-]+\.(?:pdf|svg|dxf|csv|json|inp|txt|html)\b|El Paso, TX|\bEnglish\b"
)  # content code, files, a town, a language's name in itself
TYPED = ("EL", "PASO", "INTERNATIONAL", "AP", "UT", *files.climate_sample_names())  # stations


def test_no_word_of_english_is_shown_in_another_language(visit, tmp_path):
    """The framework's own words count: they stand on the same screen."""
    pseudo.write_language(tmp_path / "words")
    (tmp_path / "house.toml").write_text(
        pseudo.project_text(one_month(files.example_text("courtyard"))), "utf-8"
    )
    (tmp_path / "data").mkdir()
    own = Server(tmp_path / "data", free_port(), tmp_path / "words")
    own.start()
    try:
        tab = visit(at=own, locale=f"{pseudo.CODE}-US")
        tab.page.goto(own.url)
        tab.page.get_by_role("button", name=pseudo.mask("Tinaja Lane")).first.wait_for()
        found = english(tab, "first page")
        tab.page.locator("input[type=file]").set_input_files(tmp_path / "house.toml")
        tab.page.wait_for_url("**project=*")
        for view in VIEWS:
            ready(tab, view, patience=3)
            if view == "line":  # and while somebody types
                tab.page.locator("input[type=text]").first.press_sequentially("1")
            found += english(tab, view)
    finally:
        own.stop()
    assert not found, "\n".join(found)


def english(tab: Visit, where: str) -> list[str]:
    shown = (NAMES.sub("", text) for text in tab.page.evaluate(TEXTS))
    return [f"{where}: {text}" for text in shown if pseudo.english(text, TYPED)]


# ------------------------------------------------------------------ forced colors


def drawn(tab: Visit, what: str) -> np.ndarray:
    """Of each point of a picture of the page, whether it stands out from its paper by 3 to 1, as WCAG 2.2
    (1.4.11) asks of drawings. The paper is the commonest color."""
    found = tab.page.locator(what).first
    found.evaluate("one => one.scrollIntoView({ block: 'end' })")  # clear of what stays at the top
    tab.page.wait_for_timeout(100)
    picture = np.asarray(Image.open(io.BytesIO(found.screenshot())).convert("RGB"), dtype=np.uint32)
    packed = (picture @ np.array([1 << 16, 1 << 8, 1], dtype=np.uint32)).ravel()
    colors, which, counts = np.unique(packed, return_inverse=True, return_counts=True)
    light = luminance(np.stack([colors >> 16, colors >> 8 & 255, colors & 255], axis=-1))
    paper = light[counts.argmax()]
    # WCAG 2.2, definition of contrast ratio.
    return ((np.maximum(light, paper) + 0.05) / (np.minimum(light, paper) + 0.05) >= 3.0)[which.ravel()]


def luminance(colors: np.ndarray) -> np.ndarray:
    """WCAG 2.2, definition of relative luminance."""
    parts = colors / 255
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return linear @ np.array([0.2126, 0.7152, 0.0722])


@pytest.mark.parametrize("scheme", ["dark", pytest.param("light", marks=pytest.mark.long)])
def test_drawings_stay_visible_where_colors_are_forced(visit, scheme):
    plain, forced = visit(), visit(forced_colors="active", color_scheme=scheme)
    places = {
        "lid": (".lid .overview", ".lid .strip"),
        "line": (".diagram img",),
        "afternoon": (".afternoon .plan canvas", ".afternoon .cut canvas", ".afternoon .range"),
    }
    for tab in (plain, forced):
        tab.open_example()
    assert forced.page.evaluate("matchMedia('(forced-colors: active)').matches")
    for view, parts in places.items():
        for tab in (plain, forced):
            ready(tab, view, patience=3)
            tab.page.locator(parts[-1]).first.wait_for()
        for part in parts:
            usual, now = drawn(plain, part), drawn(forced, part)
            assert usual.mean() > 0.005, part
            plain.page.emulate_media(forced_colors="active", color_scheme=scheme)  # while it is open
            switched = drawn(plain, part)
            plain.page.emulate_media(forced_colors="none", color_scheme="light")
            for told in (now, switched):
                assert len(usual) == len(told), part
                assert (usual & told).sum() > 0.85 * usual.sum(), part
