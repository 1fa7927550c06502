"""The page in a small office, in a real browser, against a stand-in for an identity provider."""

from __future__ import annotations

import json
import re
import urllib.error
import urllib.request
from collections.abc import Iterator

import pytest

from mistcalc.page import places
from tests.browser.identity_provider import CLIENT, SECRET, IdentityProvider
from tests.browser.test_page import violations
from tests.browser.visits import PHONE, Server, Visit, free_port

pytestmark = pytest.mark.browser
PATIENCE = 60_000  # ms


@pytest.fixture
def provider() -> Iterator[IdentityProvider]:
    started = IdentityProvider()
    yield started
    started.stop()


@pytest.fixture
def office(provider, tmp_path) -> Iterator[Server]:
    port = free_port()
    told = {
        "redirect_uri": f"http://127.0.0.1:{port}/oauth2callback",
        "cookie_secret": "0123456789abcdef" * 4,
        "client_id": CLIENT,
        "client_secret": SECRET,
        "server_metadata_url": f"{provider.issuer}/.well-known/openid-configuration",
    }
    lines = "".join(f"{key} = {json.dumps(value)}\n" for key, value in told.items())
    (tmp_path / "secrets.toml").write_text(f"[auth]\n{lines}", "utf-8")
    started = Server(tmp_path, port, secrets=tmp_path / "secrets.toml")
    started.start()
    yield started
    started.stop()


def sign_in(tab: Visit, name: str) -> None:
    tab.page.get_by_role("button", name="Sign in").click()
    tab.page.get_by_role("link", name=name).click()
    tab.page.get_by_role("button", name="Sign" if name == "Refuse" else "Sign out").first.wait_for()


def upload_status(office: Server) -> int:
    asked = urllib.request.Request(f"{office.url}/_stcore/upload_file/x/y", b"x", method="PUT")
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(asked)
    return refused.value.code


def test_two_people_and_a_reader(visit, office, provider, tmp_path):
    """Two sign in, each sees only their own; one's link opens elsewhere, edits nothing, and ends."""
    ana, ben, reader = visit(at=office), visit(at=office), visit(PHONE, at=office)
    for tab in (ana, ben, reader):
        tab.page.set_default_timeout(PATIENCE)
    ana.page.goto(office.url)
    ana.page.get_by_role("button", name="Sign in").wait_for()
    assert violations(ana) == []
    sign_in(ana, "Refuse")
    ana.page.get_by_role("alert").get_by_text("did not let you in").wait_for()
    sign_in(ana, "Ana Invented")
    ana.page.get_by_role("button", name="Tinaja Lane").click()
    ana.page.wait_for_url("**project=*")
    theirs = ana.page.url
    (folder,) = (tmp_path / "people").iterdir()
    assert folder.name == places.person_of(provider.issuer, "p-1")
    (project,) = folder.glob("projects/*/project.toml")
    before = project.read_bytes()

    ben.page.goto(theirs)
    sign_in(ben, "Ben Invented")
    assert ben.page.get_by_role("button", name=re.compile("last changed")).count() == 0
    ben.page.goto(theirs)  # as if it did not exist
    ben.page.get_by_role("alert").get_by_text("no project at this address").wait_for()

    ana.go("paper")
    ana.page.get_by_role("button", name="Make a link for the crew").click()
    link = ana.page.locator(".address").inner_text()
    assert violations(ana) == []

    reader.page.goto(link)
    reader.page.get_by_role("note").get_by_text("For reading only").wait_for()
    drawn = reader.page.get_by_role("img", name="Reflected ceiling plan")
    drawn.wait_for()
    assert reader.page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert violations(reader) == []
    assert reader.page.locator("input, textarea, [role=slider], [contenteditable=true]").count() == 0
    reader.page.goto(f"{link}&{theirs.split('?')[1]}")  # nor does an address that asks for both
    drawn.wait_for()
    assert reader.page.locator("input").count() == 0
    assert upload_status(office) == 403
    assert project.read_bytes() == before

    ana.page.get_by_role("button", name="Withdraw this link").click()
    reader.page.get_by_text("nothing to read here").wait_for()  # by itself, where it stood open
    assert violations(reader) == []
    reader.page.goto(link)
    reader.page.get_by_text("nothing to read here").wait_for()

    second = ana.page.context.new_page()  # one login, two tabs: signing out ends both
    second.goto(theirs)
    second.get_by_role("button", name="Sign out").first.click()
    ana.page.get_by_role("button", name="Sign in").wait_for()
    provider.stop()
    ana.page.get_by_role("button", name="Sign in").click()
    ana.page.wait_for_url("**sign-in=*")
    ana.page.get_by_role("button", name="Sign in").wait_for()
    assert "Traceback" not in (tmp_path / "server.log").read_text("utf-8")
