"""What stands in front of the framework's own answers where the page asks for a login.

A login that fails ends on our page with our words; what is uploaded is taken from who is signed in alone;
cookies travel over HTTPS alone. Leans on names within Streamlit: the browser test of the login would notice.
"""

from __future__ import annotations

import logging
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any
from urllib.parse import parse_qs

from mistcalc.page.login import CALLBACK

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Message, Receive, Send], Awaitable[None]]

SIGN_IN = "/auth/login"
UPLOADS = "/_stcore/upload_file/"
LOGGER = "streamlit.web.server.starlette.starlette_auth_routes"
FAILURES = ("unreachable", "refused", "failed")  # as the page's address says them


class LoginGate:
    """secure: whether the page is asked for over HTTPS."""

    def __init__(self, app: App, secure: bool) -> None:
        self.app, self.secure = app, secure
        logging.getLogger(LOGGER).addFilter(_one_line)

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
        elif scope["path"].startswith(UPLOADS) and not _signed_in(scope):
            await _answer(send, 403)
        elif scope["path"] in (SIGN_IN, CALLBACK):
            await self._login(scope, receive, send)
        else:
            await self.app(scope, receive, self._kept_private(send))

    async def _login(self, scope: Message, receive: Receive, send: Send) -> None:
        """The framework's answer, unless it is that the login failed: then the way back to our page."""
        answer: list[Message] = []

        async def keep(message: Message) -> None:
            answer.append(message)

        try:
            await self.app(scope, receive, keep)
            failure = _failure(scope, answer[0])
        except Exception:
            logging.getLogger(LOGGER).warning("Sign-in failed.", exc_info=True)
            failure = "unreachable" if scope["path"] == SIGN_IN else "failed"
        if failure:
            await _answer(send, 303, (b"location", f"/?sign-in={failure}".encode()))
            return
        for message in answer:
            await self._kept_private(send)(message)

    def _kept_private(self, send: Send) -> Send:
        if not self.secure:
            return send

        async def private(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [
                    (name, value + b"; Secure" if name.lower() == b"set-cookie" else value)
                    for name, value in message["headers"]
                ]
            await send(message)

        return private


def _one_line(record: logging.LogRecord) -> bool:
    """Whoever runs the page reads what went wrong in a line, not in a trace of the framework."""
    if record.exc_info:
        fault = record.exc_info[1]
        record.msg, record.args = f"{record.getMessage()} {type(fault).__name__}: {fault}", ()
        record.exc_info = None
    return True


def _failure(scope: Message, first: Message) -> str:
    """Which of FAILURES the answer to a step of the login means; "" for none."""
    asked = parse_qs(scope["query_string"].decode("latin-1"))
    if scope["path"] == SIGN_IN:
        return "unreachable" if first["status"] >= 400 else ""
    if "error" in asked:
        return "refused"
    if "code" not in asked:  # back from signing out
        return ""
    return "" if any(_lets_in(*header) for header in first["headers"]) else "failed"


def _lets_in(name: bytes, value: bytes) -> bool:
    from streamlit.web.server.starlette.starlette_server_config import USER_COOKIE_NAME

    cookie, _, signed = value.partition(b";")[0].partition(b"=")
    return (
        name.lower() == b"set-cookie" and cookie == USER_COOKIE_NAME.encode() and signed not in (b"", b'""')
    )


def _signed_in(scope: Message) -> bool:
    """Whether the request carries a cookie that the login has signed."""
    from starlette.requests import Request
    from streamlit.web.server.starlette.starlette_server_config import USER_COOKIE_NAME
    from streamlit.web.server.starlette.starlette_websocket import _get_signed_cookie_with_chunks

    return _get_signed_cookie_with_chunks(Request(scope).cookies, USER_COOKIE_NAME) is not None


async def _answer(send: Send, status: int, *headers: tuple[bytes, bytes]) -> None:
    await send({"type": "http.response.start", "status": status, "headers": list(headers)})
    await send({"type": "http.response.body", "body": b""})
