"""Nobody else's computer is served without a login, and a login that is broken lets nobody in."""

from __future__ import annotations

import asyncio
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from mistcalc.cli import main
from mistcalc.errors import InputErrors
from mistcalc.page import access, login_gate, places, server, store
from mistcalc.page.login import KEYS, loopback, read_login
from tests.page.test_faults import APP, shown

GOOD = {
    "redirect_uri": "https://plans.example/oauth2callback",
    "cookie_secret": "0123456789abcdef0123456789abcdef",
    "client_id": "mistcalc",
    "client_secret": "invented",
    "server_metadata_url": "https://login.example/.well-known/openid-configuration",
}


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("MISTCALC_DATA", str(tmp_path / "data"))
    monkeypatch.setattr(access, "_asked", [])
    monkeypatch.setattr(access, "_left", set())


@pytest.fixture
def secrets(tmp_path):
    """Writes a secrets file; its path."""

    def write(content: str | dict[str, object]) -> str:
        lines = content if isinstance(content, str) else "\n".join(f"{k} = {v!r}" for k, v in content.items())
        path = tmp_path / "secrets.toml"
        path.write_text(lines if isinstance(content, str) else f"[auth]\n{lines}\n", "utf-8")
        return str(path)

    return write


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.20", "8.8.8.8"])
def test_no_other_computer_is_served_without_a_login(host, capsys):
    assert main(["page", "--host", host]) == 2
    said = capsys.readouterr().err.splitlines()
    assert len(said) == 1 and host in said[0] and "--secrets" in said[0]


def test_this_computer_is_served_without_one():
    assert server.OPTIONS["server.address"] == "127.0.0.1"
    assert [loopback(host) for host in ("127.0.0.1", "localhost", "::1", "127.9.9.9")] == [True] * 4
    assert server.login_to_serve_with("127.0.0.1", None, "house.toml") is None


def test_a_whole_login_is_served_with(secrets):
    login = server.login_to_serve_with("0.0.0.0", secrets(GOOD), None)
    assert login is not None and (login.origin, login.host) == ("https://plans.example", "plans.example")


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("value", [None, "", 7])
def test_a_key_that_is_not_there_is_named(key, value, secrets):
    with pytest.raises(InputErrors) as wrong:
        read_login(Path(secrets({**GOOD, key: value} if value is not None else _without(key))))
    (mistake,) = wrong.value.mistakes
    assert (mistake.code, mistake.where) == ("login-key-missing", f"auth.{key}")


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("cookie_secret", "too-few-signs"),
        ("redirect_uri", "http://house.example/oauth2callback"),
        ("redirect_uri", "https://house.example/"),
        ("redirect_uri", "https://house.example/oauth2callback?x=1"),
        ("redirect_uri", "https://someone@plans.example/oauth2callback"),
        ("redirect_uri", "https://house.example:99999/oauth2callback"),
        ("redirect_uri", "house.example/oauth2callback"),
        ("server_metadata_url", "http://login.example/.well-known/openid-configuration"),
    ],
)
def test_what_would_be_unsafe_is_refused_and_no_value_is_repeated(key, value, secrets, capsys):
    assert main(["page", "--secrets", secrets({**GOOD, key: value})]) == 2
    said = capsys.readouterr().err
    assert len(said.splitlines()) == 1 and f"auth.{key}" in said
    assert value not in said and GOOD["cookie_secret"] not in said


@pytest.mark.parametrize(
    "content", ["", "[auth", "auth = 1", "[auth]\ncookie_secret = 'unclosed-secret", "\x00", "[other]\nx = 1"]
)
def test_a_broken_file_is_one_line_and_no_trace(content, secrets, capsys):
    assert main(["page", "--secrets", secrets(content)]) == 2
    said = capsys.readouterr().err
    assert len(said.splitlines()) == 1 and "secrets.toml" in said
    assert "unclosed-secret" not in said and "Traceback" not in said


def test_what_cannot_be_served_with_is_one_line(secrets, tmp_path, capsys):
    for arguments in (
        ["--secrets", str(tmp_path / "none.toml")],
        ["house.toml", "--secrets", secrets(GOOD)],
        ["--host", "plans.example", "--secrets", secrets(GOOD)],
    ):
        assert main(["page", *arguments]) == 2
        assert len(capsys.readouterr().err.splitlines()) == 1


def test_without_authlib_it_says_what_to_install(secrets, capsys, monkeypatch):
    monkeypatch.setattr("mistcalc.page.login.util.find_spec", lambda name: None)
    assert main(["page", "--secrets", secrets(GOOD)]) == 2
    assert "pip install" in capsys.readouterr().err


# ------------------------------------------------------------------ who comes in


def claims(monkeypatch, **told: object) -> None:
    class User(dict[str, object]):
        def to_dict(self) -> dict[str, object]:
            return dict(self)

    monkeypatch.setattr(access.st, "user", User(told))


WHOLE = {"is_logged_in": True, "iss": "https://login.example", "sub": "1", "name": "Ana Invented"}


def test_who_signed_in_today_is_known_by_issuer_and_subject(monkeypatch):
    claims(monkeypatch, **WHOLE, iat=time.time() - 60)
    known = access.person()
    assert known is not None and known.key == places.person_of("https://login.example", "1")
    assert access.owner() == known.key and known.shown == "Ana Invented"


@pytest.mark.parametrize(
    "other",
    [
        {"is_logged_in": False}, {"iss": ""}, {"sub": None}, {"sub": 7}, {"iat": None}, {"iat": "now"},
        {"iat": float("nan")}, {"iat": 1.0},
    ],
)  # fmt: skip
def test_who_is_not_wholly_signed_in_is_nobody(other, monkeypatch):
    claims(monkeypatch, **{**WHOLE, "iat": time.time(), **other})
    assert access.login_asked() and access.person() is None
    with pytest.raises(Exception, match="page-signed-out"):
        access.owner()


def test_signing_out_ends_every_tab_of_that_login_and_no_other(monkeypatch):
    now = time.time()
    monkeypatch.setattr(access.st, "logout", lambda: None)
    claims(monkeypatch, **WHOLE, iat=now)
    access.sign_out()
    assert access.person() is None
    claims(monkeypatch, **WHOLE, iat=now + 1)
    assert access.person() is not None


def test_a_login_that_breaks_later_lets_nobody_in(monkeypatch):
    """With its secrets file gone the framework says nothing of anybody, as on one computer."""
    claims(monkeypatch, **WHOLE, iat=time.time())
    assert access.person() is not None
    identity = store.create("name = 1")
    claims(monkeypatch)
    for asked in ({}, {"project": identity}, {"new": "1"}):
        app = AppTest.from_file(str(APP), default_timeout=60)
        for key, value in asked.items():
            app.query_params[key] = value
        assert "Nobody can come in" in shown(app.run())
        assert {str(button.key) for button in app.button} == {"speak"}


@pytest.mark.parametrize("address", ["0.0.0.0", "", "plans.example"])
def test_started_in_another_way_it_lets_nobody_in_over_the_network(address, monkeypatch):
    monkeypatch.setattr(
        access.config, "get_option", lambda name: address if name == "server.address" else None
    )
    assert access.login_asked()


@pytest.mark.parametrize("failed", login_gate.FAILURES)
def test_a_login_that_failed_is_said_in_our_words(failed, monkeypatch):
    claims(monkeypatch, is_logged_in=False)
    app = AppTest.from_file(str(APP), default_timeout=60)
    app.query_params["sign-in"] = failed
    assert {"speak", "sign-in"} == {str(button.key) for button in app.run().button}
    assert 'class="refused"' in shown(app)
    app.query_params["sign-in"] = "<script>"
    assert 'class="refused"' not in shown(app.run())


# ------------------------------------------------------------------ in front of the framework


def asked(
    path: str, query: str = "", cookie: str = "", secure: bool = True, answer=(200, ())
) -> tuple[int, dict]:
    """Status and headers of what the gate lets out, where the framework behind it answers so."""
    sent = []

    async def theirs(scope, receive, send):
        if isinstance(answer, Exception):
            raise answer
        await send({"type": "http.response.start", "status": answer[0], "headers": list(answer[1])})
        await send({"type": "http.response.body", "body": b""})

    async def keep(message):
        sent.append(message)

    headers = [(b"cookie", cookie.encode())] if cookie else []
    scope = {
        "type": "http",
        "path": path,
        "query_string": query.encode(),
        "headers": headers,
        "method": "PUT",
    }
    gated = login_gate.LoginGate(theirs, secure)(scope, None, keep)
    with ThreadPoolExecutor(
        1
    ) as pool:  # of its own: where a browser is driven a loop runs in this thread already
        pool.submit(asyncio.run, gated).result()
    return sent[0]["status"], dict(sent[0]["headers"])


COOKIE = (b"set-cookie", b'_streamlit_user="signed"; HttpOnly')
CLEARED = (b"set-cookie", b'_streamlit_user=""; Max-Age=0')
HOME = (b"location", b"/")


@pytest.mark.parametrize(
    ("path", "query", "answer", "failure"),
    [
        ("/auth/login", "", (302, [(b"location", b"https://login.example")]), ""),
        ("/auth/login", "", (400, []), "unreachable"),
        ("/auth/login", "", ValueError("a fault"), "unreachable"),
        ("/oauth2callback", "code=1&state=2", (302, [HOME, COOKIE]), ""),
        ("/oauth2callback", "code=1&state=2", (302, [HOME, CLEARED]), "failed"),
        ("/oauth2callback", "code=1&state=2", (302, [HOME]), "failed"),
        ("/oauth2callback", "code=1&state=2", ValueError("a fault"), "failed"),
        ("/oauth2callback", "error=access_denied", (302, [HOME]), "refused"),
        ("/oauth2callback", "", (302, [HOME]), ""),
    ],
)
def test_a_step_of_the_login_that_fails_ends_on_our_page(path, query, answer, failure):
    status, headers = asked(path, query, answer=answer)
    if failure:
        assert (status, headers[b"location"]) == (303, f"/?sign-in={failure}".encode())
    else:
        assert (status, headers[b"location"]) == (302, dict(answer[1])[b"location"])


def test_cookies_travel_over_https_alone_where_the_page_does():
    assert asked("/", answer=(200, [COOKIE]))[1][b"set-cookie"].endswith(b"; Secure")
    assert not asked("/", secure=False, answer=(200, [COOKIE]))[1][b"set-cookie"].endswith(b"; Secure")


@pytest.mark.parametrize("cookie", ["", "_streamlit_user=forged", "_streamlit_user=2|1:0|x"])
def test_nobody_uploads_who_is_not_signed_in(cookie):
    assert asked("/_stcore/upload_file/session/file", cookie=cookie)[0] == 403


def _without(key: str) -> dict[str, object]:
    return {name: value for name, value in GOOD.items() if name != key}
