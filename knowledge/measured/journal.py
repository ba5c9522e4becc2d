"""A file that is only ever added to: one line a record, and none lost once it is acknowledged.

A record goes in by one write to the end of the file, under a lock that one writer holds at a time, and counts as
kept only when file and folder have reached the disk.  A writer stopped half way leaves a line without an end: it
was never acknowledged, it is recognised, and the next record starts a line of its own.  Nothing is ever cut off.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from shared.errors import SwapwrightError

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

# A folder may come from a stranger: its file of records is never a link to somewhere else.
_NO_LINK: int = getattr(os, "O_NOFOLLOW", 0)


class NotKept(SwapwrightError):
    """A record could not be written whole; it is not acknowledged."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the file: its number from 1, its bytes, and whether it has an end."""

    number: int
    data: bytes
    ended: bool


@contextmanager
def _locked(handle: int, exclusive: bool) -> Iterator[None]:
    """Hold the file's lock; it goes with the process however that ends."""
    if sys.platform == "win32":
        os.lseek(handle, 0, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_LOCK, 1)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX if exclusive else fcntl.LOCK_SH)
    try:
        yield
    finally:
        if sys.platform == "win32":
            os.lseek(handle, 0, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_UN)


def _all(handle: int) -> bytes:
    os.lseek(handle, 0, os.SEEK_SET)
    pieces = []
    while piece := os.read(handle, 1 << 20):
        pieces.append(piece)
    return b"".join(pieces)


def _sync_folder(folder: Path) -> None:
    """Make the file's name as lasting as its bytes; a system that cannot do that for folders has no need of it."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def append(path: Path, record: Mapping[str, object]) -> int:
    """Keep a record, and answer the number of its line once it is on the disk.

    Raises :class:`NotKept` where the disk took only a part of it, ``OSError`` where it cannot be written at all.
    """
    data = json.dumps(record, ensure_ascii=False).encode("utf-8") + b"\n"
    handle = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | _NO_LINK, 0o666)
    try:
        with _locked(handle, True):
            before = _all(handle)
            if before and not before.endswith(b"\n"):
                data = b"\n" + data
            written = os.write(handle, data)
            if written != len(data):
                raise NotKept(f"{path.name}: only {written} of {len(data)} bytes could be written; nothing was kept")
            os.fsync(handle)
        _sync_folder(path.parent)
    finally:
        with suppress(OSError):
            os.close(handle)
    return (before + data).count(b"\n")


def lines(path: Path) -> list[Line]:
    """Every line of the file as it is between two records; none where there is no file."""
    try:
        handle = os.open(path, os.O_RDONLY | _NO_LINK)
    except FileNotFoundError:
        return []
    try:
        with _locked(handle, False):
            data = _all(handle)
    finally:
        os.close(handle)
    pieces = data.split(b"\n")
    last = pieces.pop()
    found = [Line(i, piece, True) for i, piece in enumerate(pieces, 1)]
    return [*found, Line(len(pieces) + 1, last, False)] if last else found
