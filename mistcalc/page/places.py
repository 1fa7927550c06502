"""Whose a project is: to which folder an id leads, and whether it may be changed from there.

    DATA/projects/<id>                  nobody's: the page on one computer, without a login
    DATA/people/<person>/projects/<id>  of somebody who signs in
    DATA/links/<token>.json             a link for reading: to which project, and for whom

Within the program an id is what its holder may do: "<id>" and "<person>.<id>" read and write, "link.<token>"
only reads, and only while the link stands. An address carries <id> or <token> alone; the person comes from
the login, so no address leads to another's project. No path is made of a name, an e-mail or a file's name.
"""

from __future__ import annotations

import contextlib
import datetime
import hashlib
import json
import os
import re
import secrets
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from mistcalc import files
from mistcalc.errors import DataError

Reader = Literal["owner", "crew"]
READERS: tuple[Reader, ...] = get_args(Reader)
LINK = "link."
_ID = re.compile(r"[0-9a-f]{16}")
_PERSON = re.compile(r"[0-9a-f]{64}")
_TOKEN = re.compile(r"[0-9a-f]{32}")  # 128 random bits; letters of one case, for disks that know only one


@dataclass(frozen=True, slots=True)
class Link:
    """A link by which somebody without a login reads one project."""

    token: str
    project: str  # id within the program of whoever made it
    reader: Reader
    made: str  # day and time, as in 2027-03-01T08:15:02


def data_folder() -> Path:
    """The user's data folder of this program. MISTCALC_DATA, where set, is used instead."""
    if stated := os.environ.get("MISTCALC_DATA"):
        return Path(stated)
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "mistcalc"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "mistcalc"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share") / "mistcalc"


def person_of(issuer: str, subject: str) -> str:
    """A person's name for folders: the two claims that tell people apart (OpenID Connect Core 1.0, section 2
    and 5.7), digested together so that no pair of them reads as another."""
    return hashlib.sha256(json.dumps([issuer, subject]).encode()).hexdigest()


def new_id() -> str:
    """Of a project."""
    return secrets.token_hex(8)


def owned(person: str, asked: str) -> str:
    """The id within the program of what an address of that person's ("" without a login) asks for. Raises
    DataError."""
    if not _ID.fullmatch(asked):
        raise DataError("page-project-unknown", identity=asked[:40])
    return f"{person}.{asked}" if person else asked


def in_address(identity: str) -> str:
    """What an address carries of an id."""
    return identity.rpartition(".")[2]


def only_reads(identity: str) -> bool:
    """Whether nothing may be changed by that id."""
    return identity.startswith(LINK)


def projects_folder(person: str) -> Path:
    """Where the projects of a person lie; of nobody, where there is no login."""
    if not person:
        return data_folder() / "projects"
    if not _PERSON.fullmatch(person):
        raise DataError("page-project-unknown", identity=person[:40])
    return data_folder() / "people" / person / "projects"


def folder_to_read(identity: str) -> Path:
    """The folder of a project. Raises DataError where the id is none of ours, or its link is gone."""
    return folder_to_write(link_of(identity).project if only_reads(identity) else identity)


def folder_to_write(identity: str) -> Path:
    """The same for who wants to change it. Raises DataError where the id only reads."""
    if only_reads(identity):
        raise DataError("page-read-only")
    person, _, bare = identity.rpartition(".")
    if not _ID.fullmatch(bare):
        raise DataError("page-project-unknown", identity=identity[:40])
    return projects_folder(person) / bare


# ------------------------------------------------------------------ links for reading


def make_link(identity: str, reader: Reader) -> Link:
    """A new link to a project of one's own; nobody guesses it."""
    folder_to_write(identity)
    now = datetime.datetime.now().isoformat(timespec="seconds")
    link = Link(secrets.token_hex(16), identity, reader, now)
    told = {"project": link.project, "reader": link.reader, "made": link.made}
    path = _link_path(link.token)
    path.parent.mkdir(parents=True, exist_ok=True)
    files.write_file(path, json.dumps(told))
    return link


def links_to(identity: str) -> list[Link]:
    """Those that stand, oldest first."""
    tokens = [path.stem for path in (data_folder() / "links").glob("*.json")]
    standing = [link for link in map(link_by, tokens) if link is not None and link.project == identity]
    return sorted(standing, key=lambda link: (link.made, link.token))


def withdraw(identity: str, token: str) -> None:
    """End a link to a project of one's own, at once for whoever reads by it. Another's stays."""
    folder_to_write(identity)
    if (link := link_by(token)) is not None and link.project == identity:
        _link_path(token).unlink(missing_ok=True)


def link_by(token: str) -> Link | None:
    """The link of a token, while it stands."""
    if not _TOKEN.fullmatch(token):
        return None
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
        told = json.loads(_link_path(token).read_text("utf-8"))
        if told["reader"] in READERS:
            return Link(token, str(told["project"]), told["reader"], str(told["made"]))
    return None


def link_of(identity: str) -> Link:
    """The link of an id that only reads. Raises DataError where it does not stand."""
    link = link_by(identity.removeprefix(LINK))
    if link is None:
        raise DataError("page-link-gone")
    return link


def _link_path(token: str) -> Path:
    return data_folder() / "links" / f"{token}.json"
