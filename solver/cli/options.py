"""Options that every command shares, and the writing of answers."""

from __future__ import annotations

import json
import os
import re
import secrets
import stat
import sys
from contextlib import suppress
from enum import StrEnum
from pathlib import Path
from shutil import get_terminal_size
from textwrap import wrap
from typing import Annotated

import typer

from shared.errors import SwapwrightError


class Units(StrEnum):
    """Unit systems to print in."""

    METRIC = "metric"
    US = "us"


JsonOption = Annotated[bool, typer.Option("--json", help="Answer as JSON, one document.")]
OutOption = Annotated[Path | None, typer.Option("--out", help="Write the answer to this file instead.")]
UnitsOption = Annotated[Units, typer.Option("--units", help="Print in these units.")]


def goal_here(path: Path | None) -> Path | None:
    """The only goal of a folder where a folder is named; anything else as it is.

    Raises :class:`shared.faults.BadInput` where the folder holds no goal, or several.
    """
    if path is None or not path.is_dir():
        return path
    from ..measuring.asking import goal_at

    return goal_at(path)


GoalArgument = Annotated[Path, typer.Argument(help="The goal file, or the folder of the only one.", callback=goal_here)]
SourceArgument = Annotated[
    Path,
    typer.Argument(
        help="A plan's JSON, or a goal file (or the folder of the only one), which is planned first.",
        callback=goal_here,
    ),
]


# What a terminal obeys or a reader cannot see: control characters but for the line's end and the tab, marks that turn
# the direction of writing, separators of lines, what takes no room, halves of characters.  Joiners that scripts need
# to write words are no such thing.
_UNSEEN = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f]"
    r"|[\ud800-\udfff\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)


def visible(text: str) -> str:
    r"""The text with everything unseen in it written out, as ``\u202e``: names come from strangers.

    In JSON that is the same text still, for so it is written there.

    >>> print(visible("a\x1b[31mb"))
    a\u001b[31mb
    """
    return _UNSEEN.sub(lambda match: json.dumps(match[0])[1:-1], text)


_MARKED = re.compile(r" *(?:- |! |\* |\+ |\[ \] |\d+\.? )?")
_COLUMNS = re.compile(r"\S {2,}\S")


def fitted(text: str, wide: int) -> str:
    """The text for a screen of so many columns: long lines are broken between words and hang by what they begin with.

    Rows of tables stay as they are, and so does a word longer than the screen.

    >>> print(fitted("  - caliper on bared metal", 18))
      - caliper on
        bared metal
    """
    lines = []
    for line in text.split("\n"):
        begin = _MARKED.match(line)
        hang = 0 if begin is None else begin.end()
        if len(line) <= wide or hang > wide // 2 or _COLUMNS.search(line):
            lines.append(line)
        else:
            lines += wrap(line, wide, subsequent_indent=" " * hang, break_long_words=False, break_on_hyphens=False)
    return "\n".join(lines)


def answer(text: str, out: Path | None, words: bool = False) -> None:
    """Give an answer: on stdout, or to a file that is written whole or not at all.

    An answer in ``words`` is broken to the width of the screen it goes to; elsewhere its lines stay whole.
    """
    text = visible(text)
    if not text.endswith("\n"):
        text += "\n"
    if out is None or str(out) == "-":
        if words and sys.stdout.isatty():
            text = fitted(text, get_terminal_size().columns)
        sys.stdout.write(text)
        sys.stdout.flush()
        return
    write_whole(out, text)
    print(f"written to {out}", file=sys.stderr)


def write_whole(path: Path, text: str) -> None:
    """Write a text file whole or not at all."""
    write_whole_bytes(path, text.encode("utf-8"))


def write_whole_bytes(path: Path, data: bytes) -> None:
    """Write a file by way of a new one beside it, so that no half-written file is ever there.

    A new file is as readable as the user's mask lets it be, an old one stays as readable as it was.  What is no
    file (a terminal, ``/dev/null``) is written to as it is.
    """
    if not path.parent.is_dir():
        raise SwapwrightError(f"there is no folder {path.parent} to write {path.name} in")
    old = path.stat().st_mode if path.exists() else None
    if old is not None and not stat.S_ISREG(old):
        path.write_bytes(data)
        return
    beside = path.parent / f".{path.name}.{secrets.token_hex(6)}"
    try:
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666), "wb") as file:
            if old is not None:
                beside.chmod(stat.S_IMODE(old))
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except BaseException as error:
        with suppress(OSError):
            beside.unlink()
        if isinstance(error, OSError):  # it names the new file, which nobody asked for
            raise OSError(error.errno, error.strerror, str(path)) from None
        raise
