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
    r"\b[2-9A-Z]{3} [2-9A-Z]{3}\b|\b[\w-]+\.(?:pdf|svg|dxf|csv|json|inp|txt|html)\b|el-paso-tx|\bEnglish\b"
)  # content code, files, a climate's name, a language's name in itself
TYPED = ("EL", "PASO", "INTERNATIONAL", "AP", "UT", *files.climate_sample_names())  # stations


def test_no_word_of_english_is_shown_in_another_language(visit, tmp_path):
    """The framework's own words count: they stand on the same screen."""
    pseudo.write_language(tmp_path / "words")
    (tmp_path / "house.toml").write_text(pseudo.project_text(files.example_text("courtyard")), "utf-8")
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
    found.scroll_into_view_if_needed()
    picture = np.asarray(Image.open(io.BytesIO(found.screenshot())).convert("RGB")).reshape(-1, 3)
    colors, which, counts = np.unique(picture, axis=0, return_inverse=True, return_counts=True)
    paper = colors[counts.argmax()]
    return np.array([contrast(color, paper) >= 3.0 for color in colors])[which.ravel()]


def contrast(one: np.ndarray, other: np.ndarray) -> float:
    """WCAG 2.2, definitions of contrast ratio and relative luminance."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(color: np.ndarray) -> float:
    parts = (value / 255 for value in color)
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


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
            assert len(usual) == len(now) and usual.mean() > 0.005, part
            assert (usual & now).sum() > 0.85 * usual.sum(), part
