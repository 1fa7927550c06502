"""Who looks at the page: nobody asked for on one computer, somebody signed in on a network.

Whether a login is asked for is settled once in a process and never taken back: a secrets file that breaks
while the page runs lets nobody in, rather than everybody.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

import streamlit as st
from streamlit import config

from mistcalc.errors import DataError, InputError
from mistcalc.page import places
from mistcalc.page.login import CALLBACK, loopback

SIGNED_IN_FOR = 12 * 3600.0  # s: a working day. The framework's cookie would do for 30.
_asked: list[bool] = []
_left: set[tuple[str, object]] = set()  # logins signed out of: other tabs of theirs are out too


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody signed in. `key` names their folder; `shown` is what the page calls them, and nothing else."""

    key: str
    shown: str
    since: object


def login_asked() -> bool:
    """Whether this server asks who you are: where it has a login, and wherever others can reach it."""
    if not _asked and (_has_login() or _reached_by_others()):
        _asked.append(True)
    return bool(_asked)


def person() -> Person | None:
    """Who is signed in; None for somebody who has to. Raises DataError where nobody can be."""
    if not login_asked():
        return None
    if not _has_login():
        raise DataError("login-not-set-up")
    claims = st.user.to_dict()
    issuer, subject, since = (claims.get(name) for name in ("iss", "sub", "iat"))
    if not claims.get("is_logged_in") or not isinstance(since, int | float):
        return None
    if not (isinstance(issuer, str) and issuer and isinstance(subject, str) and subject):
        return None
    key = places.person_of(issuer, subject)
    if (key, since) in _left or not time.time() - since < SIGNED_IN_FOR:
        return None
    names = (claims.get(name) for name in ("name", "preferred_username", "email"))
    return Person(key, next((name for name in names if isinstance(name, str) and name.strip()), "?"), since)


def owner() -> str:
    """Whose projects stand here: the person's signed in, nobody's where no login is asked for. Raises
    DataError."""
    if not login_asked():
        return ""
    known = person()
    if known is None:
        raise DataError("page-signed-out")
    return known.key


def origin() -> str:
    """What an address of this server's begins with."""
    return str(st.secrets["auth"]["redirect_uri"]).removesuffix(CALLBACK)


def sign_in() -> None:
    st.login()


def sign_out() -> None:
    """Of this browser and of the identity provider, where it offers that."""
    if (known := person()) is not None:
        _left.add((known.key, known.since))
    st.logout()


def _has_login() -> bool:
    return st.user.get("is_logged_in") is not None  # there only where the secrets file holds a login


def _reached_by_others() -> bool:
    try:
        return not loopback(str(config.get_option("server.address")))
    except InputError:
        return True
