"""Pictures of the page for the README: `python -m tests.browser.screenshots` writes docs/pictures.

What they show is the invented demo house, drawn by a real browser from the page as it is served.
"""

from __future__ import annotations

import io
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image
from playwright.sync_api import sync_playwright

from tests.browser.visits import Server, Visit, free_port
from tests.conftest import BROWSER_ARGUMENTS

if TYPE_CHECKING:
    from playwright.sync_api import Browser

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "pictures"
SIZE = {"width": 1280, "height": 900}
PICTURES = (  # name, view, size of the window
    ("lid", "lid", SIZE),
    ("afternoon", "afternoon", SIZE),
)
PATIENCE = 120_000  # ms
COLORS = 64  # a page of few colors needs no more, and a file of a tenth the size


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        server = Server(Path(data), free_port())
        server.start()
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium-headless-shell"), args=BROWSER_ARGUMENTS
        )
        try:
            for name, view, size in PICTURES:
                path = FOLDER / f"{name}.png"
                path.write_bytes(_picture(browser, server, view, size))
                print(path.relative_to(FOLDER.parents[1]))
        finally:
            browser.close()
            server.stop()


def _picture(browser: Browser, server: Server, view: str, size: dict[str, int]) -> bytes:
    context = browser.new_context(viewport=size)  # type: ignore[arg-type]
    visit = Visit(context.new_page(), server)
    visit.open_example(view=view)
    visit.page.get_by_role("button", name="Stop").first.wait_for(state="detached", timeout=PATIENCE)
    visit.page.wait_for_timeout(2000)  # what was worked out in the background is drawn after it
    shot = visit.page.screenshot()
    context.close()
    small, kept = Image.open(io.BytesIO(shot)).convert("RGB").quantize(COLORS), io.BytesIO()
    small.save(kept, "PNG", optimize=True)
    return kept.getvalue()


if __name__ == "__main__":
    main()
