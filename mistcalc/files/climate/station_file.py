"""From a path or an upload to the text of a climate file; hostile until it is read.

Sizes are capped before and after unpacking, and text of a file is shown only as one short printable line.
"""

from __future__ import annotations

import zlib
from pathlib import Path

from mistcalc.errors import DataError
from mistcalc.files.climate.quality_checks import note
from mistcalc.model.results import Finding

LARGEST = 64 * 2**20  # bytes, on disk and once inflated; a year as EPW has 1.7 MB
MEMBERS = 1200  # gzip files in one: LARGEST, in the blocks of 64 kB that some programs write
PIECE = 2**16  # bytes
SAMPLES = {
    "el-paso": "el-paso-tx.csv.gz",
    "fresno": "fresno-ca.csv.gz",
    "houston": "houston-tx.csv.gz",
    "las-vegas": "las-vegas-nv.csv.gz",
    "miami": "miami-fl.csv.gz",
    "palm-springs": "palm-springs-ca.csv.gz",
    "tucson": "tucson-az.csv.gz",
}


def samples_folder() -> Path:
    """Where the shipped samples lie: inside an installed package, beside it in a copy of the repository."""
    package = Path(__file__).resolve().parents[2]
    inside = package / "climate_samples"
    return inside if inside.is_dir() else package.parent / "climate_samples"


def load(path: Path, where: str) -> bytes:
    try:
        if path.stat().st_size > LARGEST:
            raise DataError("climate-too-large", name=where, size=path.stat().st_size, limit=LARGEST)
        with path.open("rb") as stream:
            return stream.read(LARGEST + 1)  # a device has no size and no end; `decode` refuses the surplus
    except OSError as error:
        raise DataError("climate-unreadable", name=where, reason=error.strerror or "") from None


def decode(content: bytes, where: str) -> tuple[str, list[Finding]]:
    if len(content) > LARGEST:
        raise DataError("climate-too-large", name=where, size=len(content), limit=LARGEST)
    if content[:2] == b"\x1f\x8b":
        content = _inflate(content, where)
    if content[:4] == b"PK\x03\x04":
        raise DataError("climate-zip", name=where)
    if not content.strip():
        raise DataError("climate-empty", name=where)
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", "replace"), []
    if b"\0" in content:
        raise DataError("climate-binary", name=where)
    try:
        return content.decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        # Station names in an old Windows encoding; the figures are the same in both.
        line = content.count(b"\n", 0, error.start) + 1
        return content.decode("cp1252", "replace"), [note("climate-encoding", "note", where, line=line)]


def _inflate(content: bytes, where: str) -> bytes:
    """Unpack gzip, at most LARGEST bytes of at most MEMBERS files put one behind the other.

    A small file may be made to unpack to any size, or to be of any number of empty ones. What is left over is
    handed on a piece at a time, so that the work grows with the size of the file and no faster.
    """
    packed, at, unpacked, size = memoryview(content), 0, [], 0
    for _ in range(MEMBERS):
        inflater = zlib.decompressobj(wbits=31)
        while not inflater.eof:
            piece = packed[at : at + PIECE]
            try:
                unpacked.append(inflater.decompress(piece, LARGEST + 1 - size))
            except zlib.error:
                raise DataError("climate-gzip", name=where) from None
            at += len(piece) - len(inflater.unused_data)
            size += len(unpacked[-1])
            if size > LARGEST:
                raise DataError("climate-too-large", name=where, size=size, limit=LARGEST)
            if not piece:
                raise DataError("climate-gzip", name=where)
        if at == len(packed):
            return b"".join(unpacked)
    raise DataError("climate-gzip", name=where)


def plain(text: str) -> str:
    """Text from a file for showing: one line of printable characters, not too long."""
    return "".join(c for c in text if c.isprintable()).strip()[:80]
