"""Readings of files, and what follows from them, that cost time: kept between runs.

What is kept is found by the content of everything it was made from: the files' bytes and the program's own.  A
change anywhere makes another key, so nothing kept can be out of date, and the folder may be thrown away at any
time.  It lies where the system keeps such things for a user; ``SWAPWRIGHT_CACHE`` names another folder, or is
``off``.

What is kept is a pickle: it is only as safe as the folder, which is made readable for its owner alone.  Nothing
that is damaged or cannot be written is ever an error.
"""

from __future__ import annotations

import os
import pickle
from collections.abc import Callable, Iterable
from functools import cache
from hashlib import blake2b
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import TypeVar

T = TypeVar("T")

MOST_KEPT = 40
MOST_BYTES_KEPT = 200_000_000
_SWITCH = "SWAPWRIGHT_CACHE"


def key_of(pieces: Iterable[bytes]) -> str:
    """One key for these pieces in this order."""
    digest = blake2b(digest_size=24)
    for piece in pieces:
        digest.update(len(piece).to_bytes(8, "big"))
        digest.update(piece)
    return digest.hexdigest()


@cache
def code_key(*packages: str) -> str:
    """The key of some of the program's packages: their code and their data."""
    here = Path(__file__).resolve().parents[2]
    pieces: list[bytes] = []
    for package in packages:
        for path in sorted((here / package).rglob("*")):
            if path.suffix in (".py", ".yaml", ".csv") and path.is_file():
                pieces += (path.relative_to(here).as_posix().encode(), path.read_bytes())
    return key_of(pieces)


def own_key() -> str:
    """The key of the program that reads."""
    return code_key("shared", "knowledge")


def folder() -> Path | None:
    """Where things are kept; ``None`` when nothing is to be."""
    said = os.environ.get(_SWITCH, "")
    if said.lower() == "off":
        return None
    if said:
        return Path(said)
    from platformdirs import user_cache_path

    return user_cache_path("swapwright", appauthor=False)


def kept(kind: str, pieces: Iterable[bytes], make: Callable[[], T], sound: Callable[[], bool]) -> T:
    """What ``make`` gives for these pieces, from the last time if it was kept.

    It is kept only if ``sound`` then says so (there were no faults that would have to be told again).
    """
    where = folder()
    if where is None:
        return make()
    path = where / f"{kind}-{key_of((own_key().encode(), *pieces))}"
    found: T
    try:
        found = pickle.loads(path.read_bytes())
        path.touch()
    except Exception:
        found = make()
        if sound():
            _keep(path, found)
    return found


def _keep(path: Path, what: object) -> None:
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with NamedTemporaryFile(dir=path.parent, prefix="new-", delete=False) as file:
            pickle.dump(what, file, protocol=pickle.HIGHEST_PROTOCOL)
        Path(file.name).replace(path)
        _make_room(path)
    except (OSError, pickle.PicklingError, TypeError, AttributeError):
        return


def _make_room(newest: Path) -> None:
    """Throw away what was not used for longest, until what is left beside the newest is few enough and small enough."""
    room = MOST_BYTES_KEPT
    known = {path: path.stat() for path in newest.parent.iterdir()}
    for number, path in enumerate(sorted(known, key=lambda p: known[p].st_mtime_ns, reverse=True)):
        room -= known[path].st_size
        if number >= MOST_KEPT or (room < 0 and path != newest):
            path.unlink(missing_ok=True)
