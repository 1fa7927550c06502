"""What the secrets file says of the login, judged before anything is served.

The login itself is Streamlit's (OpenID Connect); here is only what it would leave to fail later.
No value of the file is ever repeated: a message may be read by more people than the file.
"""

from __future__ import annotations

import ipaddress
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import util
from pathlib import Path
from urllib.parse import urlsplit

from mistcalc.errors import DataError, InputError, InputErrors

KEYS = ("redirect_uri", "cookie_secret", "client_id", "client_secret", "server_metadata_url")
CALLBACK = "/oauth2callback"  # where the framework takes a person back
SHORTEST_SECRET = 32  # signs of what cookies are signed with


@dataclass(frozen=True, slots=True)
class Login:
    """A login that can be served with."""

    file: Path
    origin: str  # by which the page is asked for, as in https://plans.example

    @property
    def host(self) -> str:
        return urlsplit(self.origin).hostname or ""


def loopback(host: str) -> bool:
    """Whether only this computer can ask for that address. Raises InputError for what is no address."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        raise InputError("host-no-address", text=host[:60]) from None


def read_login(file: Path) -> Login:
    """Raises InputErrors with every mistake of the file at once, or DataError."""
    if util.find_spec("authlib") is None or util.find_spec("httpx2") is None:
        raise DataError("login-extra")
    try:
        told = tomllib.loads(file.read_bytes().decode("utf-8-sig"))
    except OSError as fault:
        reason = fault.strerror or type(fault).__name__
        raise DataError("login-unreadable", path=str(file), reason=reason) from None
    except ValueError as fault:  # TOMLDecodeError and UnicodeDecodeError are both
        line = re.search(r"at line (\d+)", str(fault))
        raise InputErrors(
            str(file), (InputError("login-not-toml", "", int(line[1]) if line else None),)
        ) from None
    auth = told.get("auth")
    if not isinstance(auth, dict):
        raise InputErrors(str(file), (InputError("login-no-auth", "auth"),))
    if mistakes := tuple(_mistakes(auth)):
        raise InputErrors(str(file), mistakes)
    return Login(file.resolve(), auth["redirect_uri"].removesuffix(CALLBACK))


def _mistakes(auth: Mapping[str, object]) -> Iterator[InputError]:
    for key in KEYS:
        value, where = auth.get(key), f"auth.{key}"
        if not isinstance(value, str) or not value.strip():
            yield InputError("login-key-missing", where, key=key)
        elif key == "cookie_secret" and len(value) < SHORTEST_SECRET:
            yield InputError("login-secret-short", where, least=SHORTEST_SECRET)
        elif key == "server_metadata_url" and not _private(value):
            yield InputError("login-not-https", where)
        elif key == "redirect_uri" and not (_private(value) and urlsplit(value).path == CALLBACK):
            yield InputError("login-redirect", where, end=CALLBACK)


def _private(address: str) -> bool:
    """Over HTTPS, or within this computer, and nothing behind its path."""
    try:
        parts = urlsplit(address)
        _ = parts.port
        if not parts.hostname or parts.username or parts.query or parts.fragment:
            return False
        return parts.scheme == "https" or (parts.scheme == "http" and loopback(parts.hostname))
    except (ValueError, InputError):
        return False
