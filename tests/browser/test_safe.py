"""A project somebody else has made, in a real browser: nothing of it acts, nothing leaves this computer."""

from __future__ import annotations

import base64
import os
import re
import socket

import pytest

from mistcalc.page.open_project import VIEWS
from tests import hostile
from tests.browser.test_page import ready
from tests.browser.visits import Server
from tests.short_year import one_month

pytestmark = pytest.mark.browser

ACTING = "a[href]:not([href^='#']), iframe, object, embed, script[src*='{0}'], [onerror], [onload], [onclick]"
# What Markdown or HTML would make of the names; our own headings, tables and boxes are made of others.
READ_AS = "em, del, code, pre, blockquote, .katex, [class*='katex'], [data-testid='stIconMaterial'] + a"


def test_no_text_of_a_project_acts_in_any_view(visit, tmp_path):
    (tmp_path / "theirs.toml").write_text(one_month(hostile.project_text()), "utf-8")
    tab = visit()
    tab.page.goto(tab.server.url)
    tab.page.locator("input[type=file]").set_input_files(tmp_path / "theirs.toml")
    tab.page.wait_for_url("**project=*")
    for view in VIEWS:
        ready(tab, view, patience=3)
        tab.page.wait_for_timeout(500)
        for side in tab.page.get_by_role("tab").all() or [None]:
            if side is not None:
                side.click()
            for folded in tab.page.locator("summary").all():
                if folded.is_visible():
                    folded.click()
        tab.page.wait_for_timeout(500)
        main = tab.page.locator("[data-testid='stMain']")
        assert main.locator(ACTING.format(hostile.OUTSIDE)).count() == 0, view
        assert main.locator(READ_AS).count() == 0, view
        sources = main.locator("img").evaluate_all("all => all.map(one => one.src)")
        assert all(source.startswith("data:image/svg+xml;base64,") for source in sources), view
        assert not any(b"<script" in base64.b64decode(source.split(",")[1]) for source in sources)
        assert tab.page.title() == "mistcalc"
        assert "![i](http://outside.test/p.png) 0" in main.inner_text(), view  # the job's name, as it stands
        assert tab.outside == [], view
    tab.page.goto(tab.server.url)
    tab.page.get_by_role("button", name=re.compile("last changed")).first.wait_for()
    assert tab.page.locator("[data-testid='stMain'] img").count() == 0


def asked(server: Server, path: str, host: str, *more: str) -> str:
    """The first line of the server's answer to a request that says it is for `host`."""
    lines = [f"GET {path} HTTP/1.1", f"Host: {host}", *more, "", ""]
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as line:
        line.sendall("\r\n".join(lines).encode())
        return line.recv(200).decode("latin-1").split("\r\n")[0]


def socket_asked(server: Server, host: str, origin: str) -> str:
    key = base64.b64encode(os.urandom(16)).decode()
    upgrade = ("Upgrade: websocket", "Connection: Upgrade", "Sec-WebSocket-Version: 13")
    return asked(server, "/_stcore/stream", host, *upgrade, f"Sec-WebSocket-Key: {key}", f"Origin: {origin}")


def test_a_name_that_was_made_to_lead_here_opens_no_socket(server):
    """DNS rebinding: the browser believes it asks the page's own host, so Host and Origin agree."""
    own = f"127.0.0.1:{server.port}"
    assert " 101 " in socket_asked(server, own, f"http://{own}")
    local = f"localhost:{server.port}"
    assert " 101 " in socket_asked(server, local, f"http://{local}")
    ported = f"{hostile.OUTSIDE}:{server.port}"
    for host in (ported, hostile.OUTSIDE, "", "127.0.0.1.outside.test", "x@127.0.0.1"):
        assert " 40" in socket_asked(server, host, f"http://{host}"), host
    assert " 403 " in socket_asked(server, own, f"http://{hostile.OUTSIDE}")


def test_a_name_that_was_made_to_lead_here_gets_no_page(server):
    own = f"127.0.0.1:{server.port}"
    assert " 200 " in asked(server, "/", own)
    for path in ("/", "/_stcore/health", "/media/x.pdf", "/_stcore/upload_file/x/y"):
        assert " 400 " in asked(server, path, f"{hostile.OUTSIDE}:{server.port}"), path


@pytest.mark.parametrize("opened", [True, pytest.param(False, marks=pytest.mark.long)])
def test_a_server_that_is_gone_is_said_in_our_words_alone(visit, spare, opened):
    tab = visit(at=spare)
    if opened:
        tab.open_example(view="lid")
    else:
        tab.page.goto(spare.url)
        tab.page.get_by_role("button", name="Tinaja Lane").first.wait_for()
    spare.stop()
    ours = tab.page.get_by_text("No connection to mistcalc")
    ours.wait_for(timeout=15_000)
    assert "All that was changed is saved" in ours.inner_text()
    tab.page.wait_for_timeout(8000)  # the framework gives up later, and says so in a dialog
    assert tab.page.get_by_role("dialog").count() == 0
    assert tab.page.get_by_text("not saved yet").count() == 0  # whatever the case, in components too
    assert tab.page.locator("a[href^=http]").count() == 0
    assert "Streamlit" not in tab.page.locator("body").inner_text()
    spare.start()
    ours.wait_for(state="hidden", timeout=30_000)


def test_a_value_put_back_as_it_was_is_not_called_unsaved(visit):
    tab = visit()
    tab.open_example(view="line")
    tab.page.locator("p", has_text="last nozzle").first.wait_for()
    tab.page.wait_for_timeout(1500)
    box = tab.page.get_by_label("Set pressure")
    before = box.input_value()
    box.fill("900 psi")
    tab.page.get_by_text("Not saved yet.").first.wait_for()
    box.fill(before)
    box.blur()
    tab.page.get_by_text("Saved.", exact=True).first.wait_for()
